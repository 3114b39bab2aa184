"""House rules of the page's own files: no text for people outside the catalogue, nothing from elsewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path
from xml.etree import ElementTree

import pytest

from bot.channels.web.pages import _WISHES
from bot.talk.messages import text
from bot.talk.understand import Wish, wish
from bot.words import Words

WEB = Path(__file__).parents[2] / "bot" / "channels" / "web"
TEMPLATES = sorted((WEB / "templates").glob("*.html"))
DRAWINGS = sorted((WEB / "static" / "drawings").glob("*.svg"))
_JINJA = re.compile(r"\{\{.*?\}\}|\{%.*?%\}", re.DOTALL)
_FOR_PEOPLE = {"alt", "title", "placeholder", "aria-label", "aria-description"}
_SIGNS = {"16-4-8", "N", "P", "K"}


class Texts(HTMLParser):
    """Collects what a person would read, see pointed out, or have read aloud."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_data(self, data: str) -> None:
        if re.search(r"\w", data):
            self.found.append(data.strip())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [str(value) for name, value in attrs if name in _FOR_PEOPLE and re.search(r"\w", value or "")]


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: path.name)
def test_templates_hold_no_words_of_their_own(template: Path) -> None:
    """Every visible word comes from the catalogue."""
    reader = Texts()
    reader.feed(_JINJA.sub("", template.read_text(encoding="utf-8")))

    assert reader.found == []


@pytest.mark.parametrize("drawing", DRAWINGS, ids=lambda path: path.stem)
def test_drawings_are_drawn_not_written(drawing: Path, words: Words) -> None:
    """No word in a drawing, words for whoever cannot see it, and valid XML of its own."""
    root = ElementTree.fromstring(drawing.read_text(encoding="utf-8"))
    written = {element.text for element in root.iter() if element.tag.endswith("text") and element.text}

    assert written <= _SIGNS
    assert words.text(text(f"picture-{drawing.stem}")).startswith("Drawing:")
    assert "prefers-color-scheme" in drawing.read_text(encoding="utf-8")


def test_nothing_is_fetched_from_elsewhere() -> None:
    """No address of another host in any file the browser gets, but the name of SVG itself."""
    for file in [*TEMPLATES, *(path for path in (WEB / "static").rglob("*") if path.is_file())]:
        found = set(re.findall(r"https?://[^\"'\s]+", file.read_text(encoding="utf-8")))
        assert found <= {"http://www.w3.org/2000/svg"}, file.name


def test_no_template_runs_scripts_or_styles_of_its_own() -> None:
    """Inline ones would need a hole in the rules of the page."""
    for template in TEMPLATES:
        source = template.read_text(encoding="utf-8")
        assert not re.search(r"<script(?! src=| type=\"application/json\")|\son\w+=|\sstyle=|javascript:", source)


def test_quick_words_are_words_that_work(words: Words) -> None:
    """What a quick word sends is understood as the wish it names."""
    meant = {name: wish(words.text(text(f"page-wish-{name}"))) for name in _WISHES}

    assert meant == {name: Wish(name) for name in _WISHES}
