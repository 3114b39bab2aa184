"""What the conversation wants done. Data only; `bot/service.py` turns it into rows in the same transaction."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Literal

from bot.talk.cover_chart import Chart
from bot.talk.messages import Text


class Urgency(StrEnum):
    """In which order a courier sends: a reply always goes first, then what an operator sends to many."""

    REPLY = "reply"
    ADVISORY = "advisory"
    REMINDER = "reminder"


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One button. `token` comes back in `Chose`; `label` is its text."""

    token: str
    label: Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Say:
    """One message: its paragraphs, the buttons under it, a picture if one helps, and where the talk stands.

    `several` means any number of the choices may be picked; `numbered` that they may be shown with numbers to type.
    `step` and `steps` show progress ("3 of about 8").
    `photos` shows the homeowner's own pictures (content hashes); `picture` names one of the built-in drawings; `chart`
    is a picture of numbers, drawn by whoever shows it, and `chart_alt` the same in words.
    `in_hours` holds a reply until its owner's hours open: a person wrote it while they may be asleep.
    """

    parts: tuple[Text, ...]
    choices: tuple[Choice, ...] = ()
    several: bool = False
    numbered: bool = True
    step: int | None = None
    steps: int | None = None
    picture: str | None = None
    photos: tuple[str, ...] = ()
    chart: Chart | None = None
    chart_alt: Text | None = None
    urgency: Urgency = Urgency.REPLY
    in_hours: bool = False
    kind: Literal["say"] = field(default="say")


@dataclass(frozen=True, slots=True, kw_only=True)
class CallPerson:
    """Pass a question to a person: the words it was asked in, and which lawn it is about (None: none yet)."""

    question: str
    lawn: int | None
    kind: Literal["call_person"] = field(default="call_person")


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetHomeowner:
    """Erase everything stored about this homeowner, after the last message has gone out."""

    kind: Literal["forget"] = field(default="forget")


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferData:
    """Give the homeowner a copy of everything stored about them, the way their channel can carry it."""

    kind: Literal["offer_data"] = field(default="offer_data")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPhoto:
    """File a stored photo under a lawn and a spot, with the local date it shows."""

    photo_id: str
    lawn: int
    spot: str
    on: date
    kind: Literal["keep_photo"] = field(default="keep_photo")


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferMove:
    """Give the homeowner a code with which another chat of theirs joins. Whoever runs the talk has the chance for it.

    The code stands in the message `move-code`, which is said where this effect stands among the others.
    """

    kind: Literal["offer_move"] = field(default="offer_move")


Effect = Say | CallPerson | ForgetHomeowner | OfferData | KeepPhoto | OfferMove


@dataclass(frozen=True, slots=True, kw_only=True)
class Reminder:
    """A reminder the case wants: rows are made from the difference of two such sets.

    The key (lawn, task, due_on) is unique, so planning ten times over yields one reminder.
    """

    lawn: int
    task: str
    due_on: date
    hour: int
    minute: int
