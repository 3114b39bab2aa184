"""What can come in. Adapters make these; the reducer is the only one that decides what they mean."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from typing import Literal

from bot.talk.cover import CoverSeen


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    """Somebody opened the chat (first visit, a start command, or a return).

    invite : the code of the link they came by, as it stands in it; whose it is the shell knows
    """

    invite: str = ""
    kind: Literal["arrived"] = "arrived"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Typed words, exactly as typed."""

    text: str
    kind: Literal["said"] = "said"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chose:
    """Pressed buttons: the tokens of the choices, one for a plain question, any number where several may be picked."""

    tokens: tuple[str, ...]
    kind: Literal["chose"] = "chose"


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedPlace:
    """A position shared from a phone. [degrees, north and east positive]"""

    latitude: float
    longitude: float
    kind: Literal["shared_place"] = "shared_place"


@dataclass(frozen=True, slots=True, kw_only=True)
class SentPhoto:
    """A photo that was opened safely and stored; `photo_id` is its content hash, `cover` what was measured on it.

    more : another one of the same sending comes right after it, and is answered for both
    """

    photo_id: str
    cover: CoverSeen | None = None
    more: bool = False
    kind: Literal["sent_photo"] = "sent_photo"


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRefused:
    """A picture that could not be used. `reason` is a short code that has words in the catalogue."""

    reason: str
    kind: Literal["photo_refused"] = "photo_refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class DueReminder:
    """One reminder whose instant has come: the lawn's number, the task's key, and the day it was meant for."""

    lawn: int
    task: str
    due_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class RemindersDue:
    """Everything that is due for one homeowner at this tick. The reducer looks again before a word is said."""

    reminders: tuple[DueReminder, ...]
    kind: Literal["reminders_due"] = "reminders_due"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advised:
    """What an operator sends to many: the words as this homeowner gets them, with their own figures filled in.

    is_pressing : a freeze advisory or a correction, which may come beside the one message a day nobody asked for
    """

    advisory: int
    words: str
    is_pressing: bool = False
    kind: Literal["advised"] = "advised"


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonSaid:
    """What a person who answers for the region writes to one homeowner, under the name they are known by."""

    words: str
    name: str
    kind: Literal["person_said"] = "person_said"


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonCame:
    """A person takes the talk over, or gives it back. Until then the bot says nothing but what protects people."""

    name: str
    is_leaving: bool = False
    kind: Literal["person_came"] = "person_came"


INVITE = re.compile(r"[A-Za-z0-9_-]{1,64}")
"""What the code of an invitation looks like; anything else in a link is left out."""

FromPeople = Advised | PersonSaid | PersonCame
Incoming = Arrived | Said | Chose | SharedPlace | SentPhoto | PhotoRefused | RemindersDue | FromPeople

FROM_PEOPLE = (Advised, PersonSaid, PersonCame)
FROM_US = (RemindersDue, *FROM_PEOPLE)
"""What comes from our side: the homeowner did not write."""


def as_one_sending(incoming: Sequence[Incoming]) -> tuple[Incoming, ...]:
    """What came at once: each photo right before another one knows that more follow."""
    marked = (
        replace(each, more=True) if isinstance(each, SentPhoto) and isinstance(after, SentPhoto) else each
        for each, after in pairwise((*incoming, None))
    )
    return tuple(each for each in marked if each is not None)
