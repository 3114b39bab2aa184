"""By which clock an operator's times are read and told: that of the lawns they write to.

1. A time somebody types is meant in the zone most of those live in whom the advisory is for, or in the one they name.
   Times are told in the same zone, always with its name. Where nobody is meant, it is this machine's clock.
2. An hour that clocks skip in spring is refused. Of an hour that comes twice in autumn the first is meant.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import lru_cache
from zoneinfo import ZoneInfo, available_timezones

from bot.ops.advisories.advisory import AdvisoryRefused

COMMON = (
    "America/New_York",
    "America/Chicago",
    "America/Denver",
    "America/Phoenix",
    "America/Los_Angeles",
    "Pacific/Honolulu",
)
"""Zones offered first: those in which warm-season lawns grow in this country."""


@lru_cache(maxsize=1)
def _known() -> frozenset[str]:
    return frozenset(available_timezones())


def zone_named(name: str) -> str:
    """A zone by its name. Raises `AdvisoryRefused` (`zone`)."""
    if name not in _known():
        raise AdvisoryRefused("zone", f"{name[:40]!r} is no time zone, like America/Chicago.")
    return name


def moment(typed: datetime, zone: str | None) -> datetime:
    """The instant of a day and time as a clock shows it. Raises `AdvisoryRefused` (`no_such_hour`)."""
    if zone is None:
        return typed.astimezone()
    at = typed.replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)  # of two such hours the first
    if at.astimezone(ZoneInfo(zone)).replace(tzinfo=None) != typed:
        told = f"{typed:%Y-%m-%d %H:%M}"
        raise AdvisoryRefused("no_such_hour", f"There is no {told} in {zone}: clocks skip that hour. Take a later one.")
    return at


def on_clock(at: datetime, zone: str | None) -> datetime:
    """An instant as that clock shows it."""
    return at.astimezone(None if zone is None else ZoneInfo(zone))


def told(at: datetime, zone: str | None) -> str:
    """An instant for the command line: with the name of the zone, and where that is."""
    where = "" if zone is None else f" ({zone})"
    return f"{on_clock(at, zone):%Y-%m-%d %H:%M %Z}{where}"


def most_live_in(hours: Mapping[str, Mapping[str, int]]) -> str | None:
    """Of people by channel and hours ("zone first last"), the zone most live in; of two as many the first by name."""
    counted = Counter[str]()
    for of_channel in hours.values():
        for each, people in of_channel.items():
            counted[each.split(" ")[0]] += people
    return min(counted, key=lambda zone: (-counted[zone], zone), default=None)
