"""When a channel will be done, by its pace, what it may send a day, and the hours of those it is for. Pure.

Goes through the coming days in steps of five minutes: in each, those whose hours are open get what the channel can
send, in turn. Told as about, since replies go first and people write.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.hours import opens_at
from bot.pace import Limits

STEP = timedelta(minutes=5)
DAY = timedelta(days=1)
AT_MOST = timedelta(days=21)


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """What a channel has to send: by hours ("zone first last") how many people, and the units one message takes.

    spent : units that went out in the last 24 hours
    """

    people: Mapping[str, int]
    units_each: float = 1.0
    spent: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """When the last one goes out (None: nobody does), and how many do not get it while it is of use."""

    done_at: datetime | None
    too_late: int


def forecast(load: Load, limits: Limits, now: datetime, until: datetime) -> Forecast:
    """What a channel will have done by when."""
    left = {hours: float(count) for hours, count in load.people.items() if count}
    at, done_at, day_ends_at = now, None, now + DAY
    room = _a_day(limits) - load.spent
    while left and at < min(until, now + AT_MOST):
        if at >= day_ends_at:
            room, day_ends_at = _a_day(limits), day_ends_at + DAY
        units = max(0.0, min(_units_in(limits, min(STEP, until - at)), room))
        served = _serve(left, at, units / load.units_each)
        if served:
            room -= served * load.units_each
            done_at = at + timedelta(seconds=_seconds_for(limits, served * load.units_each))
        at += STEP
    return Forecast(done_at=done_at, too_late=math.ceil(sum(left.values())))


def _serve(left: dict[str, float], at: datetime, people: float) -> float:
    """Take off whom a channel can serve in a step; how many."""
    served = 0.0
    for hours in [each for each in left if opens_at(each, at) is None]:
        some = min(left[hours], people - served)
        served += some
        left[hours] -= some
        if left[hours] <= 0:
            del left[hours]
    return served


def _a_day(limits: Limits) -> float:
    return math.inf if limits.day_units is None else limits.day_units * (1 - limits.reply_share)


def _units_in(limits: Limits, span: timedelta) -> float:
    return limits.units * span.total_seconds() / limits.window_seconds


def _seconds_for(limits: Limits, units: float) -> float:
    return 0.0 if math.isinf(limits.units) else units * limits.window_seconds / limits.units
