"""What the conversation and the shell agree on: the shapes of the functions the shell calls, and what they give back.

Types only. The real functions live in `reducer.py`, `followup.py`, `upgrade.py` and `bot/words`; tests bring a small
talk of their own.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from bot.talk.case import Homeowner
from bot.talk.cover_chart import Chart
from bot.talk.effects import Effect, Reminder, Say
from bot.talk.incoming import Incoming

Known = object
"""What is known beside the homeowner's own answers (places, a region's freeze). Only the reducer looks inside."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What the reducer decided: the homeowner as they are now, and what is wanted done, in order."""

    homeowner: Homeowner
    effects: tuple[Effect, ...] = ()


class Reduce(Protocol):
    """The one function that decides. Pure: the same arguments give the same outcome."""

    def __call__(self, homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: Known) -> Outcome: ...


WantedReminders = Callable[[Homeowner], frozenset[Reminder]]
"""Every reminder a homeowner wants from now on. Pure and cheap: it runs once a message."""

ZoneOf = Callable[[Homeowner], str]
"""The IANA zone in which a homeowner's days and hours are meant. Always an answer."""

Upgrade = Callable[[dict[str, object]], dict[str, object]]
"""A stored homeowner of an older version, as plain data, to the same homeowner of today's version."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RenderedChoice:
    """One button in words: what comes back when it is pressed, and what it says."""

    token: str
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rendered:
    """One message in final words, as every channel gets it and as the outbox keeps it.

    `numbered`: the choices may be shown with numbers to type. Not where a typed number is itself an answer.
    A short message (for SMS) has no pictures, and its text already holds its progress and its choices.
    """

    text: str
    choices: tuple[RenderedChoice, ...] = ()
    several: bool = False
    numbered: bool = True
    step: int | None = None
    steps: int | None = None
    picture: str | None = None
    picture_alt: str | None = None
    photos: tuple[str, ...] = ()
    metric: bool = False  # in which units the reader is told
    chart: Chart | None = None  # drawn by whoever shows it, in the reader's units; in words: picture_alt


class Render(Protocol):
    """Message keys and values to final words, in the homeowner's language and units; `is_short`: as for SMS."""

    def __call__(self, say: Say, homeowner: Homeowner, *, is_short: bool = False) -> Rendered: ...


def as_stored(stored: dict[str, object]) -> dict[str, object]:
    """The upgrade for a house that has only ever had one version: nothing to change."""
    return stored


@dataclass(frozen=True, slots=True, kw_only=True)
class Talk:
    """A whole conversation as the shell needs it. Wiring puts the real one together; tests bring a small one."""

    reduce: Reduce
    wanted_reminders: WantedReminders
    zone_of: ZoneOf
    render: Render
    known: Known = None
    upgrade: Upgrade = as_stored
