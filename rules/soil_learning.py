"""What a thermometer in the ground teaches the estimate 2 in down: how far this one place lies off.

Each place is a little warmer or colder than the model says, for reasons that nobody writes down. An error of the daily
mean is taken as three normal parts that add: the place's own, which stays; one that fades over weeks; one over days.
Readings tell of their sum. One alone moves the estimate a little, a winter of them most of the way, and what was read
last week tells more of today than what was read last year. Where the ground is near freezing the place's own part was
not found again: there snow and ice decide, and the offset fades out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.facts import soil as facts
from rules.soil_blend import Soil2in, moved
from rules.soil_column import Array

STATION_SD_DC = facts.STATION_SD_DC.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Offset:
    """How much warmer a place is 2 in down in mild ground than the model says, and the doubt about it. [degC]

    sd_dc : standard deviation of what is left to doubt
    before_sd_dc : the same before anything was read
    """

    mean_dc: float
    sd_dc: float
    before_sd_dc: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Taught:
    """Readings 2 in down beside what the model said of the same days. [reading]; NaN measured: none that day.

    days : of the readings, in any order
    modelled_c, measured_c : daily means [degC]
    reading_sd_dc : how far one reading may be off the day's mean [degC], 0 or more
    """

    days: NDArray[np.datetime64]
    modelled_c: Array
    measured_c: Array
    reading_sd_dc: Array


def learned_offset(
    modelled_2in_mean_c: Array, measured_2in_mean_c: Array, *, prior_sd_dc: float = STATION_SD_DC
) -> Offset:
    """A place's own offset from daily means of consecutive days, for other winters. Normal prior, normal readings.

    Parameters
    ----------
    modelled_2in_mean_c, measured_2in_mean_c : array [day]
        Of consecutive days. [degC] Measured may have holes.
    prior_sd_dc : float
        How far places differ before anything was read. [degC] Above 0.

    Returns
    -------
    Offset
        [degC]

    Source
    ------
    Textbook normal updating; the spread and its fading in rules/facts/soil.py.

    Checked
    -------
    tests/rules/test_soil_learning.py by simulation; tests/bench/soil_winters.py on winters and stations left out.
    """
    days = np.datetime64("2000-01-01", "D") + np.arange(len(modelled_2in_mean_c))
    taught = Taught(
        days=days,
        modelled_c=modelled_2in_mean_c,
        measured_c=measured_2in_mean_c,
        reading_sd_dc=np.zeros(len(days)),
    )
    return offset_of(taught, prior_sd_dc=prior_sd_dc)


def joined(taught: Sequence[Taught]) -> Taught:
    """All readings together. Counting."""
    names = Taught.__slots__
    return Taught(**{name: np.concatenate([getattr(each, name) for each in taught]) for name in names})


def offset_of(taught: Taught, *, prior_sd_dc: float = STATION_SD_DC) -> Offset:
    """The part that stays, from readings of any days. [degC] Source and checks: as `learned_offset`."""
    read = _read(taught)
    own = np.full((1, len(read.days)), prior_sd_dc**2)
    by_dc, explained_dc2 = _told(read, own, prior_sd_dc)
    return Offset(
        mean_dc=float(by_dc[0]),
        sd_dc=float(np.sqrt(max(prior_sd_dc**2 - explained_dc2[0], 0.0))),
        before_sd_dc=prior_sd_dc,
    )


def with_offset(soil: Soil2in, offset: Offset) -> Soil2in:
    """The estimate with what earlier winters taught: moved by it, and narrower by the doubt it took away.

    Parameters
    ----------
    soil : Soil2in
        The estimate without it, [day, place].
    offset : Offset
        Of all its places.

    Returns
    -------
    Soil2in
        [degC] Less is moved the colder the ground is, and nothing near freezing or outside November to March.

    Source
    ------
    Ours: variances of parts that do not depend on each other add. How it fades: rules/facts/soil.py.

    Checked
    -------
    tests/bench/soil_winters.py: error and how often the narrower interval holds, on winters and stations left out.
    """
    share = kept_fraction(soil.mean_c)
    return _moved(soil, share * offset.mean_dc, share**2 * (offset.before_sd_dc**2 - offset.sd_dc**2))


def with_readings(
    soil: Soil2in, days: NDArray[np.datetime64], taught: Taught, *, prior_sd_dc: float = STATION_SD_DC
) -> Soil2in:
    """The estimate at one place with all that was read there, in earlier winters or last week. [degC]

    `soil` is [day, 1] on `days`. Beside the part that stays, the part that fades over weeks counts on days near the
    readings. Source and checks: as `with_offset`.
    """
    read = _read(taught)
    share = kept_fraction(soil.mean_c)
    shared = share * prior_sd_dc**2 + _part(days, read.days, facts.SLOW_SD_DC.value, facts.SLOW_DAYS.value)
    by_dc, explained_dc2 = _told(read, shared, prior_sd_dc)
    return _moved(soil, by_dc[:, None], explained_dc2[:, None])


def kept_fraction(mean_2in_c: Array) -> Array:
    """The share of a place's own offset that is found again at a soil temperature: none in cold ground, all in mild.

    [degC] -> [0..1] Source: rules/facts/soil.py.
    """
    none_c, all_c = facts.COLD_GROUND_C.value, facts.OFFSET_WHOLE_ABOVE_C.value
    return np.asarray(np.clip((mean_2in_c - none_c) / (all_c - none_c), 0.0, 1.0))


def _read(taught: Taught) -> Taught:
    is_read = np.isfinite(taught.measured_c) & np.isfinite(taught.modelled_c)
    return Taught(**{name: getattr(taught, name)[is_read] for name in Taught.__slots__})


def _told(read: Taught, shared_dc2: Array, prior_sd_dc: float) -> tuple[Array, Array]:
    """What readings say of things that vary with them, [asked, reading], and how much of those they explain. [degC]"""
    spread = prior_sd_dc**2 + _fading(read.days, read.days) + np.diag(read.reading_sd_dc**2)
    weights = np.linalg.solve(spread, shared_dc2.T).T
    return weights @ (read.measured_c - read.modelled_c), (weights * shared_dc2).sum(axis=1)


def _moved(soil: Soil2in, by_dc: Array, explained_dc2: Array) -> Soil2in:
    """Moved and narrowed on days the model was fitted for. What changes from day to day stays, whatever was read."""
    is_winter = np.isfinite(soil.regression_c)
    taken = np.where(is_winter, facts.NORMAL_90.value**2 * explained_dc2, 0.0)
    least = (facts.NORMAL_90.value * facts.FAST_SD_DC.value) ** 2
    low_dc = np.sqrt(np.maximum((soil.mean_c - soil.low_c) ** 2 - taken, least))
    high_dc = np.sqrt(np.maximum((soil.high_c - soil.mean_c) ** 2 - taken, least))
    return moved(soil, np.where(is_winter, by_dc, 0.0), low_dc, high_dc)


def _fading(first: NDArray[np.datetime64], second: NDArray[np.datetime64]) -> Array:
    """The covariance of errors of two days in their parts that fade. [degC2]"""
    slow = _part(first, second, facts.SLOW_SD_DC.value, facts.SLOW_DAYS.value)
    return slow + _part(first, second, facts.FAST_SD_DC.value, facts.FAST_DAYS.value)


def _part(first: NDArray[np.datetime64], second: NDArray[np.datetime64], sd_dc: float, fades_days: float) -> Array:
    apart = np.abs((first[:, None] - second[None, :]) / np.timedelta64(1, "D"))
    return np.asarray(sd_dc**2 * np.exp(-apart / fades_days))
