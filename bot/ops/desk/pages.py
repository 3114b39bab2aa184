"""Templates and words to the desk's HTML. Every word comes from the catalogue; everything from outside is escaped."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import cast
from zoneinfo import ZoneInfo

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from bot.ops.desk.later import BASE
from bot.ops.roles import Operator, Role
from bot.talk.messages import ClockTime, Day, Number, Text, Value, Verbatim, text
from bot.words import Words

STATIC = Path(__file__).parent / "static"
_TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tab:
    """A way to a part of the desk, for those who may go there. `key`: its words."""

    path: str
    key: str
    role: Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Around:
    """What stands around a page: whose it is, where they are, the mark of their forms, a short notice on top."""

    operator: Operator | None
    path: str
    mark: str
    note: str = ""


class Pages:
    """Renders the desk's pages."""

    def __init__(self, words: Words) -> None:
        self._words = words
        self._notes = frozenset(key for key in words.keys("en") if "-note-" in key or "-fault-" in key)
        self._version = _digest_of(STATIC)
        self._tabs: list[Tab] = []
        self._environment = Environment(
            loader=FileSystemLoader(_TEMPLATES),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            auto_reload=False,
        )
        self._environment.globals |= {"t": self.say, "when": self.when, "to": to, "static": self._static}

    def add_tab(self, tab: Tab) -> None:
        """Offer a way to a part of the desk."""
        self._tabs.append(tab)

    def render(self, template: str, around: Around, values: dict[str, object]) -> str:
        """A page as HTML."""
        return self._environment.get_template(template).render(
            operator=around.operator,
            path=around.path,
            mark=around.mark,
            note=self.note(around.note),
            is_fault="-fault-" in around.note,
            tabs=self._tabs_of(around.operator),
            may=lambda role: around.operator is not None and around.operator.role.may(Role(role)),
            **values,
        )

    def note(self, key: str) -> str:
        """A notice in words. What is asked for stands in the address, so anything but one of ours is nothing."""
        return self.say(key) if key in self._notes else ""

    def say(self, key: str, **values: object) -> str:
        """Words of the catalogue, filled."""
        return self._words.text(Text(key=key, values={name: _value(value) for name, value in values.items()}))

    def when(self, at: datetime, zone: str | None = None) -> str:
        """An instant by the clock of a zone, or as the one on this machine's wall shows it."""
        local = at.astimezone(None if zone is None else ZoneInfo(zone))
        name, year = Verbatim(local.tzname() or "UTC"), Verbatim(str(local.year))
        when = text("desk-when", day=Day(local.date()), year=year, time=ClockTime(local), zone=name)
        return self._words.text(when)

    def _tabs_of(self, operator: Operator | None) -> Sequence[Tab]:
        return [tab for tab in self._tabs if operator is not None and operator.role.may(tab.role)]

    def _static(self, name: str) -> str:
        return f"{BASE}/static/{name}?v={self._version}"


def to(path: str) -> str:
    """The address of a path of the desk."""
    return BASE + path


def link_at(base_url: str, secret: str) -> str:
    """A one-time link, whole, for where the chat page is reached at."""
    return f"{base_url.rstrip('/')}{to('/link/')}{secret}"


def _value(value: object) -> Value:
    match value:
        case datetime():
            raise TypeError("Show an instant with when(...).")
        case date():
            return Day(value)
        case bool() | None:
            raise TypeError(f"{value!r} is no text.")
        case int() | float():
            return Number(value)
        case str():
            return Verbatim(value)
        case _:
            return cast(Value, value)


def _digest_of(folder: Path) -> str:
    """A name for the state of the static files, so that a browser asks for new ones after an upgrade."""
    digest = hashlib.sha256()
    for file in sorted(folder.rglob("*")):
        if file.is_file():
            digest.update(file.read_bytes())
    return digest.hexdigest()[:12]
