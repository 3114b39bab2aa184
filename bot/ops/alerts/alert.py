"""An official alert as plain data, whichever form it came in. The names are those of OASIS CAP 1.2.

1. An instant is in UTC, and the offset its sender wrote is kept beside it: local times are told with it.
2. Points stand with latitude first, as CAP writes them.
3. `ends` is when the weather ends, `expires` when the message does. A message expires long before its weather is over
   when a new one is sure to come.
4. Resources (files an alert points to) and signatures are not kept: nothing here follows a link.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from enum import StrEnum

Point = tuple[float, float]
"""Latitude and longitude, in degrees."""


class Status(StrEnum):
    """How an alert is meant."""

    ACTUAL = "Actual"
    EXERCISE = "Exercise"
    SYSTEM = "System"
    TEST = "Test"
    DRAFT = "Draft"


class MsgType(StrEnum):
    """What a message does to those before it."""

    ALERT = "Alert"
    UPDATE = "Update"
    CANCEL = "Cancel"
    ACK = "Ack"
    ERROR = "Error"


class Scope(StrEnum):
    """Who may see it."""

    PUBLIC = "Public"
    RESTRICTED = "Restricted"
    PRIVATE = "Private"


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """An instant, and how far its sender's clock is from UTC (`offset_minutes`)."""

    at: datetime
    offset_minutes: int = 0

    @classmethod
    def of(cls, told: datetime) -> Moment:
        """From a time that knows its offset. Raises ValueError for one that does not, or lies beyond the calendar."""
        offset = told.utcoffset()
        if offset is None:
            raise ValueError("a time without an offset")
        try:
            return cls(at=told.astimezone(UTC), offset_minutes=round(offset.total_seconds() / 60))
        except OverflowError as error:
            raise ValueError("a time beyond the calendar") from error

    @property
    def local(self) -> datetime:
        """As its sender's clock showed it."""
        return self.at.astimezone(timezone(timedelta(minutes=self.offset_minutes)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A value with the name of the list it is from (`SAME` and `013127`)."""

    name: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertCircle:
    """Everything within `km` of a point. Zero: the point itself."""

    latitude: float
    longitude: float
    km: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A place an alert is for: the union of its polygons and circles, or what its codes name.

    about : in words
    altitude, ceiling : as written (feet above the sea); nothing is decided with them
    """

    about: str
    polygons: tuple[tuple[Point, ...], ...] = ()
    circles: tuple[AlertCircle, ...] = ()
    geocodes: tuple[Named, ...] = ()
    altitude: str = ""
    ceiling: str = ""

    def codes(self, name: str) -> tuple[str, ...]:
        """The values of one list."""
        return tuple(each.value for each in self.geocodes if each.name.upper() == name)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """An earlier message that this one is about. Some senders give its identifier only."""

    identifier: str
    sender: str = ""
    sent: Moment | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Info:
    """What an alert says, in one language."""

    event: str
    language: str = "en-US"
    categories: tuple[str, ...] = ()
    responses: tuple[str, ...] = ()
    urgency: str = "Unknown"
    severity: str = "Unknown"
    certainty: str = "Unknown"
    event_codes: tuple[Named, ...] = ()
    effective: Moment | None = None
    onset: Moment | None = None
    expires: Moment | None = None
    ends: Moment | None = None
    sender_name: str = ""
    headline: str = ""
    description: str = ""
    instruction: str = ""
    web: str = ""
    contact: str = ""
    parameters: tuple[Named, ...] = ()
    areas: tuple[Area, ...] = ()

    def parameter(self, name: str) -> tuple[str, ...]:
        """The values of one parameter."""
        return tuple(each.value for each in self.parameters if each.name.lower() == name.lower())


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One message. `infos` may be empty where it calls another off, and has one entry for each language."""

    identifier: str
    sender: str
    sent: Moment
    status: Status
    msg_type: MsgType
    scope: Scope
    source: str = ""
    note: str = ""
    incidents: str = ""
    codes: tuple[str, ...] = ()
    references: tuple[Reference, ...] = ()
    infos: tuple[Info, ...] = ()

    @property
    def digest(self) -> str:
        """The same for the same message in whatever form, place or offset it is found again."""
        return digest_of(self.sender, self.identifier, self.sent.at)

    @property
    def told(self) -> Info | None:
        """What it says, in English where it does, else in its first language."""
        english = (each for each in self.infos if each.language.lower().startswith("en"))
        return next(english, self.infos[0] if self.infos else None)

    @property
    def areas(self) -> tuple[Area, ...]:
        """Every place it is for, each once, in whichever language it was told."""
        return tuple(dict.fromkeys(area for info in self.infos for area in info.areas))


def digest_of(sender: str, identifier: str, sent_at: datetime) -> str:
    """What tells one message from all others: CAP says that sender, identifier and time do."""
    key = "\n".join((sender, identifier, sent_at.astimezone(UTC).isoformat()))
    return hashlib.sha256(key.encode("utf-8", "surrogatepass")).hexdigest()


def plain_text(written: str) -> str:
    """Words of an alert as they may be shown: nothing a terminal would obey or that turns the reading around."""
    kept = "".join(each if each.isprintable() or each == "\n" else " " for each in written.replace("\r\n", "\n"))
    return kept.strip()
