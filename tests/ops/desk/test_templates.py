"""House rules of all the desk's templates: no words outside the catalogue, nothing inline, a mark in every form."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest

from bot.ops.desk.staffing import Fault
from bot.ops.roles import Role
from bot.words import Words
from tests.web.test_templates import Texts

DESK = Path(__file__).parents[3] / "bot" / "ops" / "desk"
TEMPLATES = sorted((DESK / "templates").glob("*.html"))
_JINJA = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
_MACRO = re.compile(r"\{% macro (\w+)\(\) %\}(.*?)\{% endmacro %\}", re.DOTALL)
PROBLEMS = ("role", "bad", "origin", "link", "missing", "too-big", "busy", "ours")
_SIGNS = {"°N", "°W"}
_FORM = re.compile(r"<form\b.*?</form>", re.DOTALL)


def name_of(path: Path) -> str:
    return path.name


@pytest.mark.parametrize("template", TEMPLATES, ids=name_of)
def test_templates_hold_no_words_of_their_own(template: Path) -> None:
    """Every visible word comes from the catalogue."""
    reader = Texts()
    reader.feed(_JINJA.sub("", template.read_text(encoding="utf-8")))

    assert set(reader.found) <= _SIGNS


@pytest.mark.parametrize("template", TEMPLATES, ids=name_of)
def test_templates_run_no_scripts_or_styles_of_their_own(template: Path) -> None:
    """Inline ones would need a hole in the rules of the pages; and nothing is marked as safe that is not escaped."""
    source = template.read_text(encoding="utf-8")

    assert not re.search(r"<script(?! src=)|\son\w+=|\sstyle=|javascript:|\|\s*safe\b", source)


@pytest.mark.parametrize("template", TEMPLATES, ids=name_of)
def test_every_form_that_does_something_carries_the_mark(template: Path) -> None:
    """A form without it would never work; one that looks must not carry it, since it stands in the address."""
    source = template.read_text(encoding="utf-8")
    for name, body in _MACRO.findall(source):
        source = source.replace(f"{{{{ {name}() }}}}", body)
    forms = _FORM.findall(source)
    has_mark = {form: 'name="mark" value="{{ mark }}"' in form for form in forms}

    assert has_mark == {form: 'method="post"' in form for form in forms}


def test_nothing_is_fetched_from_elsewhere() -> None:
    """No address of another host in any file the browser gets, but the name of SVG itself."""
    for file in [*TEMPLATES, *(path for path in (DESK / "static").rglob("*") if path.is_file())]:
        found = set(re.findall(r"https?://[^\"'\s]+", file.read_text(encoding="utf-8")))
        assert found <= {"http://www.w3.org/2000/svg"}, file.name


def test_everything_that_can_go_wrong_has_words(words: Words) -> None:
    """Keys the code puts together: roles, problems, and why something about operators or passwords was not done."""
    needed = {f"desk-role{may}-{role}" for may in ("", "-may") for role in Role}
    needed |= {f"desk-problem-{name}{tail}" for name in PROBLEMS for tail in ("", "-title")}
    needed |= {f"desk-fault-staff-{fault}" for fault in get_args(Fault)}
    needed |= {f"desk-fault-password-{fault}" for fault in ("unfit", "wait", "wrong")}

    assert needed - words.keys("en") == set()
