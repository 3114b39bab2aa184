"""The dates of one lawn's spring: last frost, warm soil, judging day. Table dates until measured weather replaces them.

Every date here is a best estimate and is told as "about" (plus or minus two weeks) unless an operator set it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from itertools import pairwise

from rules.errors import NotEnoughData, require_range
from rules.facts import season as facts
from rules.grasses import GrassCode
from rules.units import KM_PER_DEGREE_LATITUDE


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonDates:
    """Dates an operator may set from local knowledge or measurements; None leaves the table's date.

    `last_frost_is_about`, `warm_soil_is_about`: give or take two weeks, as the table's are.
    """

    last_frost_on: date | None = None
    warm_soil_on: date | None = None
    last_frost_is_about: bool = False
    warm_soil_is_about: bool = False

    @property
    def are_exact(self) -> bool:
        """Whether both dates are set, and neither is meant give or take two weeks."""
        are_set = self.last_frost_on is not None and self.warm_soil_on is not None
        return are_set and not (self.last_frost_is_about or self.warm_soil_is_about)


@dataclass(frozen=True, slots=True, kw_only=True)
class Season:
    """One spring after one freeze at one place, for one grass."""

    last_frost_on: date  # mean date of the last 32 F night
    frost_gate_on: date  # from here a cut is allowed: two weeks after the mean, or an operator's sure date
    warm_soil_on: date  # 4-in soil at or above 65 F from about here: growth can start
    test_again_on: date  # four warm weeks
    judging_on: date  # nothing is called dead before this day
    likely_dead_on: date  # photos alone may say "likely dead" from here
    first_fall_frost_on: date
    is_about: bool  # False only when an operator set both dates, and said that they are sure

    def warm_days_by(self, day: date) -> int:
        """How many warm days have passed by a day, counting every day from the warm-soil date. 0 before it."""
        return max(0, (day - self.warm_soil_on).days)


def spring_year(freeze_on: date) -> int:
    """The year whose spring follows a freeze: September to December belong to the next year's."""
    return freeze_on.year + 1 if freeze_on.month >= facts.WINTER_FROM_MONTH.value else freeze_on.year


def season_of(
    *,
    latitude: float,
    longitude: float,
    code: GrassCode,
    freeze_on: date,
    told: SeasonDates | None = None,
) -> Season:
    """The spring of one lawn.

    Parameters
    ----------
    latitude, longitude : float
        [degrees north 18 to 45, degrees east -125 to -60]
    code : GrassCode
        Bermuda and zoysia are judged two weeks later than the others.
    freeze_on : date
        Day of the freeze, local.
    told : SeasonDates, optional
        An operator's own dates; they win over the table.

    Returns
    -------
    Season
        Ordered: last_frost_on <= frost_gate_on, warm_soil_on <= test_again_on < judging_on < likely_dead_on.

    Raises
    ------
    OutOfRange
        Place outside the range.

    Source
    ------
    rules/facts/season.py: tables by latitude and coast (expert judgement drawn through published station dates and
    measured soil); waiting times are expert judgement.

    Checked
    -------
    tests/rules/test_season.py: published last-frost dates of southern towns within two weeks; Griffin, Georgia 2019.
    """
    require_range("latitude", latitude, 18.0, 45.0, "degrees north")
    require_range("longitude", longitude, -125.0, -60.0, "degrees east")
    told = told or SeasonDates()
    year = spring_year(freeze_on)
    last_frost_on = told.last_frost_on or _last_frost_on(latitude, longitude, year)
    is_frost_sure = told.last_frost_on is not None and not told.last_frost_is_about
    gate_days = 0 if is_frost_sure else facts.FROST_GATE_AFTER_MEAN_DAYS.value
    warm_soil_on = told.warm_soil_on or _warm_soil_on(latitude, longitude, year)
    judging_on = warm_soil_on + timedelta(days=judging_warm_days(code))
    if latitude >= facts.UPPER_SOUTH_FROM_LATITUDE.value:
        judging_on = max(judging_on, date(year, int(facts.UPPER_SOUTH_NOT_BEFORE_MONTH.value), 1))
    likely_dead_on = warm_soil_on + timedelta(days=facts.LIKELY_DEAD_WARM_DAYS.value)
    return Season(
        last_frost_on=last_frost_on,
        frost_gate_on=last_frost_on + timedelta(days=gate_days),
        warm_soil_on=warm_soil_on,
        test_again_on=warm_soil_on + timedelta(days=facts.TEST_AGAIN_WARM_DAYS.value),
        judging_on=judging_on,
        likely_dead_on=max(likely_dead_on, judging_on + timedelta(days=1)),
        first_fall_frost_on=_first_fall_frost_on(latitude, longitude, year),
        is_about=not told.are_exact,
    )


def judging_warm_days(code: GrassCode) -> int:
    """Warm days to wait after growth can start before anything is called dead: 42, bermuda and zoysia 56."""
    late = code in (GrassCode.BERMUDA, GrassCode.ZOYSIA)
    return int((facts.JUDGING_WARM_DAYS_RHIZOMES if late else facts.JUDGING_WARM_DAYS).value)


def is_coastal(latitude: float, longitude: float) -> bool:
    """Whether a place lies within 30 miles of the Gulf or Atlantic shore. [degrees north, degrees east]"""
    return coast_distance_km(latitude, longitude) <= facts.COAST_WITHIN_KM.value


@lru_cache  # asked several times for one place in one turn
def coast_distance_km(latitude: float, longitude: float) -> float:
    """Distance to the Gulf or Atlantic shore, coarse (about 15 km). [km] Meant for 24 to 40 degrees north."""
    return min(_segment_distance_km((latitude, longitude), start, end) for start, end in pairwise(facts.COAST_POINTS))


def _last_frost_on(latitude: float, longitude: float, year: int) -> date:
    coastal = is_coastal(latitude, longitude)
    table = facts.LAST_FROST_COAST_DAY if coastal else facts.LAST_FROST_INLAND_DAY
    return _date_of(year, _interpolated(table, latitude) + _high_plains_days(latitude, longitude))


def _warm_soil_on(latitude: float, longitude: float, year: int) -> date:
    day = _interpolated(facts.WARM_SOIL_DAY, latitude) + _high_plains_days(latitude, longitude)
    if is_coastal(latitude, longitude):
        day -= facts.COAST_WARM_SOIL_EARLIER_DAYS.value
    return _date_of(year, day)


def _first_fall_frost_on(latitude: float, longitude: float, year: int) -> date:
    day = _interpolated(facts.FIRST_FALL_FROST_INLAND_DAY, latitude) - _high_plains_days(latitude, longitude)
    if is_coastal(latitude, longitude):
        day += facts.COAST_FALL_FROST_LATER_DAYS.value
    return _date_of(year, day)


def _high_plains_days(latitude: float, longitude: float) -> float:
    west = longitude <= facts.HIGH_PLAINS_WEST_OF_LONGITUDE.value
    high = latitude >= facts.HIGH_PLAINS_FROM_LATITUDE.value
    return facts.HIGH_PLAINS_LATER_DAYS.value if west and high else 0.0


def _date_of(year: int, day_of_year: float) -> date:
    return date(year, 1, 1) + timedelta(days=round(day_of_year) - 1)


def _interpolated(table: tuple[tuple[float, int], ...], latitude: float) -> float:
    """Straight line between the two nearest rows; beyond the ends, the end's value."""
    if latitude <= table[0][0]:
        return table[0][1]
    for (south, south_day), (north, north_day) in pairwise(table):
        if latitude <= north:
            return south_day + (north_day - south_day) * (latitude - south) / (north - south)
    return table[-1][1]


def _segment_distance_km(point: tuple[float, float], start: tuple[float, float], end: tuple[float, float]) -> float:
    """Distance from a point to a stretch of shore on a flat map around the point; fine within a few hundred km."""
    shrink = math.cos(math.radians(point[0]))

    def flat(place: tuple[float, float]) -> tuple[float, float]:
        return (place[1] - point[1]) * shrink * KM_PER_DEGREE_LATITUDE, (place[0] - point[0]) * KM_PER_DEGREE_LATITUDE

    (ax, ay), (bx, by) = flat(start), flat(end)
    length_squared = (bx - ax) ** 2 + (by - ay) ** 2
    if length_squared == 0:
        raise NotEnoughData("a stretch of shore needs two different points")
    along = min(1.0, max(0.0, -(ax * (bx - ax) + ay * (by - ay)) / length_squared))
    return math.hypot(ax + along * (bx - ax), ay + along * (by - ay))
