"""The forecast grid of the US National Weather Service: values that hold for a while, spread over its hours."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from bot.weather.live.answers import not_understood, told
from bot.weather.live.hours import Times
from bot.weather.live.national_bodies import GridSeries
from bot.weather.live.units_told import Convert, converter
from rules.weather import Array

_INTERVAL = re.compile(r"([0-9T:.Z+-]{16,40})/P(?:(\d{1,3})D)?(?:T(?:(\d{1,3})H)?(?:(\d{1,4})M)?)?", re.ASCII)
LONGEST = timedelta(days=15)  # the grid reaches some eight days ahead
_MINUTE = timedelta(minutes=1)
_MINUTES_PER_HOUR = 60
Held = tuple[datetime, datetime, float]


def interval_of(service: str, written: str) -> tuple[datetime, datetime]:
    """Begin and end of an ISO 8601 interval (`2027-01-15T06:00:00+00:00/PT3H`). Raises NotUnderstood."""
    found = _INTERVAL.fullmatch(written)
    if found is None:
        raise not_understood(service, f"{told(written)} is no time with a duration")
    try:
        begin = datetime.fromisoformat(found[1])
    except ValueError as error:
        raise not_understood(service, f"{told(found[1])} is no time") from error
    days, hours, minutes = (int(part or 0) for part in found.groups()[1:])
    lasts = timedelta(days=days, hours=hours, minutes=minutes)
    if begin.tzinfo is None or not timedelta(0) < lasts <= LONGEST:
        raise not_understood(service, f"{told(written)} has no zone, or lasts no time we can use")
    return begin.astimezone(UTC), begin.astimezone(UTC) + lasts


def held_values(service: str, what: str, series: GridSeries | None, units: Mapping[str, Convert]) -> list[Held]:
    """Begin, end and value in our unit of all that is not null."""
    if series is None or not series.values:
        return []
    convert = converter(service, what, series.unit or "", units)
    return [
        (*interval_of(service, each.valid), convert(each.value)) for each in series.values if each.value is not None
    ]


def hours_covered(service: str, held: Sequence[Held]) -> Times:
    """Every hour, by its END in UTC, from the first begin to the last end."""
    begin, end = min(each[0] for each in held), max(each[1] for each in held)
    if end - begin > LONGEST:
        raise not_understood(service, f"the forecast runs from {begin:%Y-%m-%d} to {end:%Y-%m-%d}")
    first = np.datetime64(begin.replace(tzinfo=None), "h") + np.timedelta64(1, "h")
    after = np.datetime64((end - timedelta(microseconds=1)).replace(tzinfo=None), "h") + np.timedelta64(2, "h")
    return np.arange(first, after)


def means_over(held: Sequence[Held], hours: Times) -> Array:
    """What holds at every moment, averaged over each hour; hours not covered whole are missing."""
    return np.asarray(_minutes(held, hours, is_amount=False).reshape(len(hours), -1).mean(axis=1))


def sums_over(held: Sequence[Held], hours: Times) -> Array:
    """Amounts of whole intervals, spread evenly over their minutes, summed over each hour; else missing."""
    return np.asarray(_minutes(held, hours, is_amount=True).reshape(len(hours), -1).sum(axis=1))


def _minutes(held: Sequence[Held], hours: Times, *, is_amount: bool) -> Array:
    """The value of every minute. Minutes make it all one whether an interval begins on the hour or not."""
    grid = np.full(len(hours) * _MINUTES_PER_HOUR, np.nan)
    origin = (hours[0] - np.timedelta64(1, "h")).astype("datetime64[m]").item().replace(tzinfo=UTC)
    for begin, end, value in held:
        first, after = (begin - origin) // _MINUTE, (end - origin) // _MINUTE
        grid[max(first, 0) : max(after, 0)] = value / (after - first) if is_amount else value
    return grid
