"""Who may get an advisory now, who later, and who not, with the reason. Pure; preview and sending both ask here.

1. Left out for good: no way to reach them, no consent, or they want quiet.
2. Somebody a person talks with, or who got something unasked today, waits; not for what is pressing.
3. In closed hours everybody waits, and nobody is begun with whose hours close in a moment: what is queued must go out
   on the day it counts for.
4. Whoever would have to wait past the time it is of use is left out for what they wait for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from bot.arrivals import Consent
from bot.hours import opens_at
from bot.talk.case import Homeowner, Standing
from bot.terms import Terms

CLOSING = timedelta(minutes=5)
"""Hours that close so soon count as closed."""
HELD_PAUSE = timedelta(minutes=15)
"""How long until somebody a person talks with is looked at again."""


class Why(StrEnum):
    """Why somebody is left out, waits, or could not be sent to."""

    NO_CHANNEL = "no channel"  # the network they are heard on is not switched on here
    UNREACHABLE = "unreachable"
    OPTED_OUT = "opted out"
    NO_CONSENT = "no consent"
    QUIET = "quiet"  # wants nothing unasked
    HELD = "held"  # a person talks with them
    TODAY = "today"  # got something unasked today
    HOURS = "hours"
    NO_FIGURES = "no figures"  # every sentence has a figure that is not known for them
    LATE = "late"  # it was of no use any more before their turn came
    STOPPED = "stopped"  # it was stopped before their turn came
    OVERTAKEN = "overtaken"  # it was put right before their turn came
    GONE = "gone"  # asked to be forgotten
    BROKEN = "broken"  # failed: their talk could not take it
    REFUSED = "refused"  # failed: the far side would not take it


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How somebody wants to be written to, and what stands against it now."""

    zone: str
    first_hour: int
    last_hour: int
    is_active: bool
    is_held: bool
    last_unasked_on: date | None

    @property
    def hours(self) -> str:
        """Their hours, as a row of the outbox carries them."""
        return f"{self.zone} {self.first_hour} {self.last_hour}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where somebody is heard, and how that address stands."""

    channel: str
    consent: int
    is_unreachable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Rules:
    """What holds for everybody of one advisory: the channels that run, and until when it is of use."""

    terms: Mapping[str, Terms]
    is_pressing: bool
    useful_until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """Now (`why` None), later (`until`), or not (`why` alone)."""

    why: Why | None = None
    until: datetime | None = None


NOW = Decision()


def manner_of(homeowner: Homeowner, zone: str) -> Manner:
    """How a homeowner wants to be written to."""
    return Manner(
        zone=zone,
        first_hour=homeowner.first_hour,
        last_hour=homeowner.last_hour,
        is_active=homeowner.standing is Standing.ACTIVE,
        is_held=bool(homeowner.held_by),
        last_unasked_on=homeowner.last_unasked_on,
    )


def decide(manner: Manner, address: Address, rules: Rules, now: datetime) -> Decision:
    """Whether somebody may get it now."""
    why = _why_never(manner, address, rules)
    if why is not None:
        return Decision(why=why)
    later = _why_later(manner, rules, now)
    if later is None:
        return NOW
    why, until = later
    return Decision(why=why, until=until if until < rules.useful_until else None)


def _why_never(manner: Manner, address: Address, rules: Rules) -> Why | None:
    terms = rules.terms.get(address.channel)
    if terms is None:
        return Why.NO_CHANNEL
    if address.is_unreachable:
        return Why.UNREACHABLE
    if address.consent == Consent.WITHDRAWN:
        return Why.OPTED_OUT
    if terms.needs_consent and address.consent != Consent.GIVEN:
        return Why.NO_CONSENT
    return None if manner.is_active else Why.QUIET


def _why_later(manner: Manner, rules: Rules, now: datetime) -> tuple[Why, datetime] | None:
    if not rules.is_pressing:
        if manner.is_held:
            return Why.HELD, now + HELD_PAUSE
        local = now.astimezone(ZoneInfo(manner.zone))
        if manner.last_unasked_on is not None and manner.last_unasked_on >= local.date():
            opens = datetime.combine(local.date() + timedelta(days=1), time(manner.first_hour), tzinfo=local.tzinfo)
            return Why.TODAY, opens
    opens_on = opens_at(manner.hours, now) or opens_at(manner.hours, now + CLOSING)
    return None if opens_on is None else (Why.HOURS, opens_on)
