"""Templates and words to HTML. Every word comes from the catalogue, and everything from outside is escaped."""

from __future__ import annotations

import hashlib
import re
import secrets
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from bot.channels.web.book import Book, Shown
from bot.channels.web.keys import form_mark
from bot.talk.messages import Day, Number, Text, Value, Verbatim, text
from bot.words import Words

STATIC = Path(__file__).parent / "static"
_TEMPLATES = Path(__file__).parent / "templates"
_RUN_IN = re.compile(r"([^:.?!]{2,60}:) (.+)|([^:]{2,80}:)", re.DOTALL)
_WISHES = ("back", "why", "change", "plan", "person", "help")
_SCRIPT_WORDS = (
    "sending",
    "not-sent",
    "try-again",
    "lost",
    "place-failed",
    "keep-copied",
    "said-photo",
    "said-place",
)
_SCRIPT_NOTES = ("pick", "empty", "photo_size")
NOTES = frozenset({*_SCRIPT_NOTES, "cut", "no_photo", "cookie", "other_book"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """A page that says what went wrong: its status and the catalogue's name for it."""

    status: int
    name: str


class Pages:
    """Renders the pages."""

    def __init__(self, words: Words, *, has_albums: bool = False) -> None:
        self._words = words
        self._has_albums = has_albums
        self._version = _digest_of(STATIC)
        self._environment = Environment(
            loader=FileSystemLoader(_TEMPLATES),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
        )
        self._drawings = frozenset(file.stem for file in (STATIC / "drawings").glob("*.svg"))

    def book(self, book: Book, key: str, base_url: str, note: str = "") -> str:
        """The whole page of one homeowner."""
        return self._environment.get_template("book.html").render(
            **self._around(book, key),
            earlier=[line for line in book.lines if line.turn < book.turn],
            newest=[line for line in book.lines if line.turn >= book.turn],
            turn=book.turn,
            note=note,
            asks_place=book.asks_place,
            has_dates=book.has_dates,
            has_album=self._has_album(book),
            wishes=[f"page-wish-{name}" for name in _WISHES],
            own_link=link_of(key, base_url),
            script_words=self._script_words(book),
        )

    def update(self, book: Book, key: str, after: int) -> dict[str, object]:
        """What is new on a page that has everything up to a turn, for its script."""
        around = self._around(book, key)
        fragments: Any = self._environment.get_template("lines.html").make_module(around)
        live = {"of": book.live.id, "html": str(fragments.choices(book.live))} if book.live else None
        return {
            "turn": book.turn,
            "html": str(fragments.lines(book.after(after))),
            "live": live,
            "label": self._say(book.language, "page-text" if book.live else "page-text-only"),
            "place": book.asks_place,
            "dates": book.has_dates,
            "album": self._has_album(book),
        }

    def _has_album(self, book: Book) -> bool:
        """Whether albums are made here and a photo of theirs is kept: one that is filed under a day."""
        return self._has_albums and any(photo.on is not None for photo in book.shown.values())

    def problem(self, problem: Problem, language: str = "en") -> str:
        """A page that says what went wrong, and the way back."""
        return self._notice(language, f"page-problem-{problem.name}", "page-problem-back")

    def problem_words(self, problem: Problem, language: str = "en") -> str:
        """The same in one sentence, for the page's script."""
        return self._say(language, f"page-problem-{problem.name}")

    def gone(self, language: str = "en") -> str:
        """What is left after everything was erased."""
        return self._notice(language, "page-gone", "page-gone-start")

    def other(self, own_link: str, open_path: str, language: str = "en") -> str:
        """Asks before a link takes the place of another page that is open on this device."""
        return self._environment.get_template("other.html").render(
            **self._plain(language), own_link=own_link, open_path=open_path
        )

    def note_words(self, note: str, language: str = "en") -> str:
        """One of the short notices above the text field."""
        return self._say(language, f"page-note-{note}")

    def _notice(self, language: str, key: str, link: str) -> str:
        return self._environment.get_template("notice.html").render(
            **self._plain(language), title=f"{key}-title", said=key, link=link, href="/"
        )

    def _plain(self, language: str) -> dict[str, Any]:
        def say(key: str, **values: object) -> str:
            return self._say(language, key, **values)

        return {"t": say, "language": language, "static": self._static}

    def _around(self, book: Book, key: str) -> dict[str, Any]:
        """What every part of a homeowner's page may use."""
        return {
            **self._plain(book.language),
            "photo_alt": lambda shown: self._photo_alt(book.language, shown),
            "fresh_id": lambda: secrets.token_hex(16),
            "run_in": run_in,
            "mark": form_mark(key),
            "live": book.live,
            "shown": book.shown,
            "drawings": self._drawings,
        }

    def _photo_alt(self, language: str, shown: Shown) -> str:
        if shown.on is None:
            return self._say(language, "page-photo-alt-plain")
        where = text("where-spot", name=Verbatim(shown.spot)) if shown.spot else text("where-lawn")
        return self._say(language, "page-photo-alt", where=where, day=shown.on)

    def _script_words(self, book: Book) -> dict[str, str]:
        said = {name: self._say(book.language, f"page-{name}") for name in _SCRIPT_WORDS}
        said |= {f"note-{name}": self.note_words(name, book.language) for name in _SCRIPT_NOTES}
        return {**said, "you": self._say(book.language, "page-from-you")}

    def _say(self, language: str, key: str, **values: object) -> str:
        filled = {name: _value(value) for name, value in values.items()}
        return self._words.text(Text(key=key, values=filled), language=language)

    def _static(self, name: str) -> str:
        return f"/static/{name}?v={self._version}"


def link_of(key: str, base_url: str) -> str:
    """The private link that leads back to a homeowner's page."""
    return f"{base_url.rstrip('/')}/back/{key}"


def run_in(line: str) -> tuple[str, str]:
    """A line's first words up to a colon, where they are short enough to stand out: a day, "Why:", a heading."""
    found = _RUN_IN.fullmatch(line)
    return (found[1] or found[3], found[2] or "") if found else ("", line)


def _value(value: object) -> Value:
    match value:
        case Text():
            return value
        case date():
            return Day(value)
        case int() | float():
            return Number(value)
        case _:
            return Verbatim(str(value))


def _digest_of(folder: Path) -> str:
    """A name for the state of the static files, so that a browser asks for new ones after an upgrade."""
    digest = hashlib.sha256()
    for file in sorted(folder.rglob("*")):
        if file.is_file():
            digest.update(file.read_bytes())
    return digest.hexdigest()[:12]
