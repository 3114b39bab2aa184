"""The small pieces alerts are made of, from text: times, points, circles, references, words of a fixed list."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Set
from datetime import datetime

from bot.ops.alerts.alert import AlertCircle, Moment, Point, Reference
from bot.ops.alerts.refused import AlertRefused

MOST_AREAS = 200
MOST_POINTS = 10_000  # of one polygon
FEWEST_POINTS = 4
LARGEST_KM = 20_037.5  # half-way around the earth: everywhere

_TIME = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?(Z|[+-]\d\d:\d\d)", re.ASCII)
_NUMBER = re.compile(r"[+-]?\d{1,6}(\.\d{0,20})?", re.ASCII)


class TooFar(ValueError):
    """A point, ring or circle that is none, or lies beyond what is sensible; the message says what."""


def moment_of(written: str, name: str) -> Moment:
    """An instant as CAP writes it, `Z` included. Raises `AlertRefused`."""
    try:
        if not _TIME.fullmatch(written):
            raise ValueError("another form")
        return Moment.of(datetime.fromisoformat(written.replace("Z", "+00:00")))
    except ValueError as error:
        raise AlertRefused(
            "bad_time", f"<{name}> is no time with an offset, like 2027-01-16T05:00:00-05:00: {written[:40]!r}."
        ) from error


def one_of(written: str, known: Set[str], name: str) -> str:
    """A word of a fixed list. Raises `AlertRefused`."""
    if written not in known:
        raise AlertRefused(f"bad_value:{name}", f"<{name}> says {written[:40]!r}, which CAP does not know.")
    return written


def reference_of(written: str) -> Reference:
    """Sender, identifier and time of an earlier message, with commas between them. Raises `AlertRefused`."""
    sender, _, rest = written.partition(",")
    identifier, _, sent = rest.rpartition(",")
    if not (sender and identifier):
        raise AlertRefused("bad_reference", f"<references> holds {written[:60]!r} instead of sender,identifier,sent.")
    return Reference(identifier=identifier, sender=sender, sent=moment_of(sent, "references"))


def points_in(written: str) -> list[Point]:
    """Points as "lat,lon lat,lon". Raises `TooFar`."""
    words = written.split()
    if len(words) > MOST_POINTS:
        raise TooFar(f"a polygon has more than {MOST_POINTS} points")
    return [_point(each) for each in words]


def closed_ring(points: Iterable[Point]) -> tuple[Point, ...]:
    """Points as a polygon's outline, which ends where it began. Raises `TooFar`."""
    ring = tuple(points)
    if len(ring) < FEWEST_POINTS:
        raise TooFar(f"a polygon has {len(ring)} points and needs {FEWEST_POINTS}")
    if len(ring) > MOST_POINTS:
        raise TooFar(f"a polygon has more than {MOST_POINTS} points")
    if ring[0] != ring[-1]:
        raise TooFar("a polygon does not end where it began")
    return ring


def circle_of(written: str) -> AlertCircle:
    """A circle as "lat,lon km". Raises `TooFar`."""
    words = written.split()
    if len(words) != 2:
        raise TooFar(f"{written[:40]!r} is no circle")
    latitude, longitude = _point(words[0])
    km = _number(words[1])
    if not 0 <= km <= LARGEST_KM:
        raise TooFar(f"a circle has a radius of {words[1]} km")
    return AlertCircle(latitude=latitude, longitude=longitude, km=km)


def on_the_globe(latitude: float, longitude: float) -> Point:
    """A point, if it is one. Raises `TooFar`, also for what is no number."""
    if not (math.isfinite(latitude) and math.isfinite(longitude) and abs(latitude) <= 90 and abs(longitude) <= 180):
        raise TooFar("a point is not on the globe")
    return latitude, longitude


def _point(written: str) -> Point:
    latitude, comma, longitude = written.partition(",")
    if not comma:
        raise TooFar(f"{written[:40]!r} is no point")
    return on_the_globe(_number(latitude), _number(longitude))


def _number(written: str) -> float:
    if not _NUMBER.fullmatch(written):
        raise TooFar(f"{written[:40]!r} is no number")
    return float(written)
