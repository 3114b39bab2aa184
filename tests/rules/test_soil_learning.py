"""A thermometer in the ground teaches: how far it moves the estimate, how sure that makes it, what it leaves."""

from __future__ import annotations

import numpy as np
import pytest

from rules.facts import soil as facts
from rules.soil_blend import Soil2in
from rules.soil_learning import (
    STATION_SD_DC,
    Offset,
    Taught,
    joined,
    kept_fraction,
    learned_offset,
    offset_of,
    with_offset,
    with_readings,
)

MILD_C = 12.0
FIRST = np.datetime64("2026-12-01", "D")
SLOW, FAST = facts.SLOW_SD_DC.value, facts.FAST_SD_DC.value


def readings(days: list[int], off_dc: float | np.ndarray, sd_dc: float = 0.0) -> Taught:
    """Readings on days counted from 1 December, all so far from a model that says 12 degC."""
    count = len(days)
    return Taught(
        days=FIRST + np.array(days, dtype=np.int64),
        modelled_c=np.full(count, MILD_C),
        measured_c=MILD_C + np.broadcast_to(off_dc, count),
        reading_sd_dc=np.full(count, sd_dc),
    )


def estimate(mean_c: float = MILD_C, days: int = 60, winter: slice = slice(None)) -> Soil2in:
    """The same each day with 1.8 to both sides; fitted only on the days of `winter`."""
    mean = np.full((days, 1), mean_c)
    regression = np.full((days, 1), np.nan)
    regression[winter] = mean_c
    return Soil2in(
        mean_c=mean,
        low_c=mean - 1.8,
        high_c=mean + 1.8,
        regression_c=regression,
        is_beyond_measured=np.zeros((days, 1), dtype=bool),
    )


def test_nothing_read_teaches_nothing() -> None:
    """No readings, or days without: the offset is 0 as doubtful as before."""
    told = learned_offset(np.full(30, 5.0), np.full(30, np.nan))

    assert (told.mean_dc, told.sd_dc) == (0.0, STATION_SD_DC)
    soil = estimate(days=3)
    without = with_readings(soil, FIRST + np.arange(3), readings([], 0.0))
    np.testing.assert_array_equal(without.low_c, soil.low_c)
    np.testing.assert_array_equal(without.mean_c, soil.mean_c)


def test_one_reading_is_weighed_by_the_book() -> None:
    """Arithmetic: the place's own variance over that of everything in a reading."""
    own, rest = STATION_SD_DC**2, SLOW**2 + FAST**2
    told = learned_offset(np.array([5.0]), np.array([7.0]))

    assert told.mean_dc == pytest.approx(2 * own / (own + rest))
    assert told.sd_dc == pytest.approx(np.sqrt(own - own**2 / (own + rest)))


def test_one_reading_moves_a_little_a_winter_most_of_the_way_and_some_winters_nearly_all() -> None:
    """Two degrees too warm, by a thermometer read once, by a winter of days, by five winters."""
    winter = list(range(120))
    years = [day + 365 * year for year in range(5) for day in winter]
    once = offset_of(readings([0], 2.0, facts.READING_SD_DC.value))
    one = learned_offset(np.full(120, 5.0), np.full(120, 7.0))
    five = offset_of(readings(years, 2.0))

    assert 0.1 < once.mean_dc / 2 < 0.3
    assert 0.5 < one.mean_dc / 2 < 0.8
    assert 0.85 < five.mean_dc / 2 < 1
    assert STATION_SD_DC > once.sd_dc > one.sd_dc > five.sd_dc > 0.1


def test_ten_days_in_a_row_tell_less_than_ten_days_apart() -> None:
    """Errors of neighbouring days are alike: they count as fewer."""
    in_a_row, apart = (offset_of(readings(days, 1.0)) for days in (list(range(10)), list(range(0, 100, 10))))

    assert in_a_row.sd_dc > apart.sd_dc
    assert in_a_row.mean_dc < apart.mean_dc


def test_last_week_tells_more_of_today_than_last_year() -> None:
    """What fades over weeks counts for near days; far from it only what stays is left."""
    days = FIRST + np.array([15, 60, 500])
    told = with_readings(estimate(days=3), days, readings([0, 7, 14], 1.5))
    stays = offset_of(readings([0, 7, 14], 1.5))
    by_dc, half_dc = (told.mean_c - MILD_C)[:, 0], (told.high_c - told.mean_c)[:, 0]

    assert by_dc[0] > by_dc[1] > by_dc[2]
    assert by_dc[2] == pytest.approx(stays.mean_dc, abs=1e-3)
    assert half_dc[0] < half_dc[1] < half_dc[2] < 1.8


def test_holes_are_passed_over_and_parts_joined() -> None:
    """A day not read counts as not there; readings given in two parts count as given in one."""
    measured = np.full(40, 6.0)
    measured[10:30] = np.nan
    with_holes = learned_offset(np.full(40, 5.0), measured)
    without = offset_of(readings([*range(10), *range(30, 40)], 1.0))
    parts = offset_of(joined([readings(list(range(10)), 1.0), readings(list(range(30, 40)), 1.0)]))

    assert with_holes.mean_dc == pytest.approx(without.mean_dc)
    assert parts.mean_dc == pytest.approx(without.mean_dc)
    assert with_holes.sd_dc == pytest.approx(without.sd_dc)


def test_it_is_right_as_often_as_it_says() -> None:
    """Simulated places, errors made step by step and not from the formula: the doubt told is the error made."""
    chance = np.random.default_rng(7)
    places, days, until = 600, 40, 54
    own = chance.normal(0, STATION_SD_DC, places)
    off = own + _fading(chance, (until, places), SLOW, facts.SLOW_DAYS.value)
    seen = off + _fading(chance, (until, places), FAST, facts.FAST_DAYS.value)
    far, near = [], []
    for place in range(places):
        far.append(learned_offset(np.zeros(days), seen[:days, place]))
        taught = readings(list(range(days)), seen[:days, place])
        near.append(with_readings(estimate(days=1), FIRST + np.array([until - 1]), taught))

    errors = np.array([each.mean_dc for each in far]) - own
    assert np.sqrt((errors**2).mean()) == pytest.approx(far[0].sd_dc, rel=0.1)
    errors = np.array([each.mean_c[0, 0] for each in near]) - MILD_C - off[-1]
    taken = 1.8**2 - (near[0].high_c - near[0].mean_c)[0, 0] ** 2
    left = STATION_SD_DC**2 + SLOW**2 - taken / 1.645**2
    assert (errors**2).mean() == pytest.approx(left, rel=0.2)


def _fading(chance: np.random.Generator, shape: tuple[int, int], sd: float, fades_days: float) -> np.ndarray:
    """A process of that spread, each day keeping a share of the day before."""
    keep = np.exp(-1 / fades_days)
    out = np.empty(shape)
    out[0] = chance.normal(0, sd, shape[1])
    for day in range(1, shape[0]):
        out[day] = keep * out[day - 1] + chance.normal(0, sd * np.sqrt(1 - keep**2), shape[1])
    return out


def test_the_estimate_moves_and_narrows_in_winter_only() -> None:
    """Moved by the offset, narrower, still around its mean; days outside November to March as they were."""
    soil = estimate(winter=slice(0, 40))
    told = with_offset(soil, Offset(mean_dc=-0.5, sd_dc=0.2, before_sd_dc=0.6))

    np.testing.assert_allclose(told.mean_c[:40], MILD_C - 0.5)
    np.testing.assert_allclose(told.high_c[:40] - told.mean_c[:40], np.sqrt(1.8**2 - 1.645**2 * (0.6**2 - 0.2**2)))
    for name in ("mean_c", "low_c", "high_c"):
        np.testing.assert_array_equal(getattr(told, name)[40:], getattr(soil, name)[40:])


def test_earlier_winters_teach_nothing_of_ground_near_freezing() -> None:
    """All of the offset in mild ground, none in cold, and a part between; the interval narrows as far."""
    offset = Offset(mean_dc=-1.0, sd_dc=0.2, before_sd_dc=0.6)
    cold, cool, mild = (with_offset(estimate(each), offset) for each in (2.0, 6.0, 12.0))

    assert cold.mean_c[0, 0] == 2.0
    assert -1 < cool.mean_c[0, 0] - 6.0 < 0
    assert mild.mean_c[0, 0] == 11.0
    widths = [(each.high_c - each.low_c)[0, 0] for each in (cold, cool, mild)]
    assert widths == sorted(widths, reverse=True)
    assert widths[0] == pytest.approx(3.6)
    assert list(kept_fraction(np.array([-5.0, 3.0, 10.0, 20.0]))) == [0, 0, 1, 1]


def test_readings_of_this_winter_count_in_cold_ground_too() -> None:
    """What was read last week moves tomorrow's cold soil, less than mild soil."""
    days, taught = FIRST + np.array([22]), readings([0, 7, 14], -1.5)
    cold, mild = (with_readings(estimate(each, days=1), days, taught) for each in (1.0, 12.0))

    assert -1.5 < mild.mean_c[0, 0] - 12 < cold.mean_c[0, 0] - 1 < -0.1


def test_no_reading_makes_it_narrower_than_a_day_is_uncertain() -> None:
    """What changes from day to day stays."""
    told = with_offset(estimate(), Offset(mean_dc=0.0, sd_dc=0.0, before_sd_dc=3.0))

    assert (told.high_c - told.mean_c).min() == pytest.approx(1.645 * FAST)


def test_a_place_that_reads_colder_than_was_ever_measured_is_flagged() -> None:
    """The flag goes with the moved estimate."""
    days = FIRST + np.arange(14, 16)
    soil = estimate(-1.5, days=2)

    assert with_readings(soil, days, readings([0, 7, 13], -3.0)).is_beyond_measured.all()
    assert not with_readings(soil, days, readings([0, 7, 13], 0.0)).is_beyond_measured.any()
