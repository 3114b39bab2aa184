"""The recovery of one spot out of dated photos: how much is green, how fast it grows, what speaks for life.

The logit of the cover is a straight line over warm days. A photo is off by some points, now and then by many; another
kind of upload reads a little higher or lower. What remains is a posterior over level and growth, worked out on a grid
(`recovery_grid.py`). Warm days count, not calendar days: ground that is cold cannot grow. No change is worth telling
that two photos of the same grass show by chance. What may be said of a spot stands in `recovery_state.py`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from functools import lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING, TypeVar

from rules.errors import NotEnoughData, require_range
from rules.facts import evidence as evidence_facts
from rules.facts import recovery as facts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Percent = TypeVar("Percent", float, "NDArray[np.float64]")

_ODDS_KEPT = 512  # worked-out trends that are remembered: a talk asks for the same one many times
STANDARD = NormalDist()


class Weeds(StrEnum):
    """How much of the green is weeds, as the owner told it."""

    NONE = "none"
    SOME = "some"
    MOST = "most"
    NOT_SURE = "not_sure"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Reading:
    """The green cover of a spot on one visit.

    warm_days : warm days since growth could start, 0 to 400
    visit : any growing number; puts visits in order that fall on one warm day (before the ground is warm all are 0)
    cover_percent : measured green, weeds and all, 0 to 100
    upload : kind of upload, any word ("file", "photo", "mms"); readings of another kind may lie a step off
    photos : photos of the spot that were averaged, 1 to 50
    weeds : what the owner said of the green; nobody asked counts as none
    """

    warm_days: float
    visit: int = 0
    cover_percent: float
    upload: str = ""
    photos: int = 1
    weeds: Weeds = Weeds.NONE

    def __post_init__(self) -> None:
        require_range("warm_days", self.warm_days, 0, 400, "warm days")
        require_range("cover_percent", self.cover_percent, 0, 100, "percent")
        require_range("photos", self.photos, 1, 50, "photos")

    @property
    def grass_percent(self) -> float:
        """The green that is taken as grass: weeds are discounted by what the owner said of them."""
        return self.cover_percent * facts.WEED_DISCOUNTS[self.weeds].kept.value

    @property
    def weeds_sd_percent(self) -> float:
        """How unsure that discount is."""
        return self.cover_percent * facts.WEED_DISCOUNTS[self.weeds].sd.value


def error_variance(cover_percent: Percent, reading: Reading) -> Percent:
    """Variance of a reading where the true cover is this. [percent of the spot, 0 to 100; squared]

    Source: rules/facts/recovery.py, expert judgement set by simulations.
    """
    half = facts.HALF_COVER_PERCENT.value
    by_cover = facts.SD_SLOPE.value * (half - abs(cover_percent - half)) + facts.SD_OFFSET.value
    steady = facts.SD_FLOOR.value**2 + facts.SD_FRAMING.value**2 / reading.photos
    variance: Percent = by_cover * by_cover + steady
    if reading.upload.lower() in facts.SMALL_UPLOADS:
        variance = (variance**0.5 + facts.SD_SMALL_UPLOAD.value) ** 2
    return variance + reading.weeds_sd_percent**2


def error_sd_percent(cover_percent: float, reading: Reading) -> float:
    """Standard deviation of a reading where the true cover is this. [percent of the spot] Source: `error_variance`."""
    return math.sqrt(error_variance(cover_percent, reading))


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What changed between two readings, in percent of the spot, weeds discounted."""

    from_percent: float
    to_percent: float
    smallest_percent: float  # less than this shows by chance one time in twenty

    @property
    def gained_percent(self) -> float:
        """Later less earlier."""
        return self.to_percent - self.from_percent

    @property
    def is_worth_telling(self) -> bool:
        """Whether anybody should comment on it."""
        return abs(self.gained_percent) >= self.smallest_percent


def smallest_change_percent(earlier: Reading, later: Reading) -> float:
    """The smallest change between two readings that can be told from chance. [percent of the spot]

    Source: rules/facts/recovery.py; checked against the error of two photos in tests/rules/test_recovery.py.
    """
    variance = sum(error_variance(each.grass_percent, each) for each in (earlier, later))
    if earlier.upload != later.upload:
        variance += step_sd_percent(max(earlier.grass_percent, later.grass_percent)) ** 2
    return float(STANDARD.inv_cdf((1 + facts.CHANGE_PROBABILITY.value) / 2) * variance**0.5)


def step_sd_percent(cover_percent: Percent) -> Percent:
    """How far readings of another kind of upload may lie off, as a standard deviation. [percent of the spot]"""
    return cover_percent * facts.STEP_SD_SLOPE.value + facts.STEP_SD_BASE.value


def change(earlier: Reading, later: Reading) -> Change:
    """The change between two readings, and the smallest one worth telling. Source: `smallest_change_percent`."""
    return Change(
        from_percent=earlier.grass_percent,
        to_percent=later.grass_percent,
        smallest_percent=smallest_change_percent(earlier, later),
    )


# --- the trend -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Likely:
    """A middle with its likely range; None where it lies beyond anything in sight."""

    low: float | None
    middle: float | None
    high: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverRange:
    """Cover in percent of the spot: middle and the range in which it lies nine times in ten."""

    low_percent: float
    middle_percent: float
    high_percent: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trend:
    """What the readings of a spot say together, as of the newest one.

    readings : in order of time
    growing_probability : that the logit of the cover rises by 0.015 a warm day or more
    growth_per_day : of the logit, nine times in ten
    cover_now, cover_later : now, and after 28 more warm days at this pace
    half_cover_in_warm_days : from now on, eight times in ten; 0 where it is there
    recovered_probability, bare_probability : that the cover now is 75 % or more, under 5 %
    """

    readings: tuple[Reading, ...] = field(repr=False)
    growing_probability: float
    growth_per_day: Likely
    cover_now: CoverRange
    cover_later: CoverRange
    half_cover_in_warm_days: Likely
    recovered_probability: float
    bare_probability: float

    @property
    def warm_days(self) -> float:
        """Warm days at the newest reading."""
        return self.readings[-1].warm_days

    @property
    def since_first(self) -> Change | None:
        """Newest against first reading; None where there is one only."""
        return change(self.readings[0], self.readings[-1]) if len(self.readings) > 1 else None

    @property
    def since_previous(self) -> Change | None:
        """Newest against the one before it."""
        return change(self.readings[-2], self.readings[-1]) if len(self.readings) > 1 else None

    @property
    def is_accelerating(self) -> bool:
        """Growing and not yet half closed: it gains more every day."""
        is_growing = self.growing_probability >= facts.RECOVERING_PROBABILITY.value
        return is_growing and self.cover_now.middle_percent < facts.HALF_COVER_PERCENT.value


def trend_of(readings: Iterable[Reading]) -> Trend:
    """What the readings of one spot say together.

    Parameters
    ----------
    readings : iterable of Reading
        One or more, in any order.

    Returns
    -------
    Trend

    Raises
    ------
    NotEnoughData
        No reading.

    Source
    ------
    Logit of the cover linear over warm days, error of rules/facts/recovery.py (expert judgement, set by simulations);
    days to half cover as Karcher et al. 2005 summarise recovery. Bayes' rule on a grid.

    Checked
    -------
    tests/rules/test_recovery_grid.py: an independent integrator; order of readings; tests/bench/recovery_lawns.py.
    """
    ordered = tuple(sorted(readings))
    if not ordered:
        raise NotEnoughData("a trend needs at least one reading of the spot")
    return _trend(ordered)


@lru_cache(maxsize=_ODDS_KEPT)
def _trend(readings: tuple[Reading, ...]) -> Trend:
    from rules.recovery_grid import worked_out  # brings numpy, which a talk does without

    return worked_out(readings)


# --- what the photos say about life ---------------------------------------------------------------------------------


def photos_likelihood(readings: Iterable[Reading]) -> tuple[float, ...]:
    """How likely the readings are at each alive fraction 0.00 ... 1.00, late starters counted in; the largest 1.

    Raises NotEnoughData without a reading. Source: rules/recovery_alive.py, expert judgement.
    """
    ordered = tuple(sorted(readings))
    if not ordered:
        raise NotEnoughData("photos that say something need at least one reading of the spot")
    return _photos_likelihood(ordered)


@lru_cache(maxsize=_ODDS_KEPT)
def _photos_likelihood(readings: tuple[Reading, ...]) -> tuple[float, ...]:
    from rules.recovery_alive import photos_likelihood as worked_out  # brings numpy, which a talk does without

    return worked_out(readings)


def living_ratio(readings: Iterable[Reading]) -> float:
    """How much better a spot that returns explains the photos than one with nothing alive: over 1 speaks for life.

    A spot that returns has a tenth or more alive, each share as likely. Source: `photos_likelihood`.
    """
    likelihood = photos_likelihood(readings)
    living = likelihood[round(evidence_facts.RETURNS_FROM_ALIVE_FRACTION.value * (len(likelihood) - 1)) :]
    return sum(living) / len(living) / max(likelihood[0], 1e-300)
