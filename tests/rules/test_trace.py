"""One freeze hour by hour: the same lows as the odds are worked out from, bands that snow narrows, days as they are."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from rules.errors import NotEnoughData
from rules.lawn_soil import DailyPlaces, hourly_air_c
from rules.modelled_cold import Ground, ground_under, modelled_site_cold
from rules.site_cold import SpotTraits
from rules.trace import FreezeTrace, days_around, freeze_trace, half_die_band_c

DAYS, COLD_FROM, COLD_TO = 60, 40, 44
FIRST = np.datetime64("2026-12-05", "D")
FREEZE = (date(2027, 1, 14), date(2027, 1, 17))
PLAIN = SpotTraits()


def ground(snow_m: float | None = 0.0) -> Ground:
    """An invented winter at two places, the second 3 degC colder, with a freeze of four days; None is snow unknown."""
    low, high = np.full((DAYS, 2), 5.0), np.full((DAYS, 2), 14.0)
    low[COLD_FROM:COLD_TO] = np.array([-3.0, -8.0, -11.0, -6.0])[:, None]
    high[COLD_FROM:COLD_TO] = np.array([4.0, 1.0, -1.0, 5.0])[:, None]
    snow = np.full((DAYS, 2), np.nan if snow_m is None else 0.0)
    if snow_m:
        snow[COLD_FROM:COLD_TO] = snow_m
    return ground_under(
        DailyPlaces(
            days=np.repeat((FIRST + np.arange(DAYS))[:, None], 2, axis=1),
            air_min_c=low - [0.0, 3.0],
            air_max_c=high - [0.0, 3.0],
            rain_mm=np.full((DAYS, 2), 2.0),
            latitude=np.array([31.6, 35.0]),
            height_m=np.array([20.0, 200.0]),
            solar_mj_m2=np.full((DAYS, 2), np.nan),
            snow_depth_m=snow,
        )
    )


@pytest.fixture(scope="module")
def bare() -> Ground:
    return ground()


def trace_of(ground: Ground, traits: SpotTraits = PLAIN, place: int = 0) -> FreezeTrace:
    return freeze_trace(ground, place, *FREEZE, traits)


@pytest.mark.parametrize("place", [0, 1])
def test_its_lows_are_those_the_odds_are_worked_out_from(bare: Ground, place: int) -> None:
    """Crown, soil and air fall as low as in `modelled_site_cold`, at each place, and the crown's band is as wide."""
    cold = modelled_site_cold(bare, place, *FREEZE, SpotTraits(is_windy=True))
    trace = trace_of(bare, SpotTraits(is_windy=True), place)

    assert trace.crown_c.min() == pytest.approx(cold.crown.min_c)
    assert trace.soil_2in_c.min() == pytest.approx(cold.soil_2in_min_c)
    assert trace.air_c.min() == pytest.approx(cold.air_min_c, abs=0.2)
    assert trace.crown_high_c - trace.crown_low_c == pytest.approx(2 * 1.645 * cold.crown.sd_dc)
    assert (trace.soil_high_c - trace.soil_low_c).max() == pytest.approx(2 * 1.645 * cold.soil_2in_sd_dc)


def test_every_hour_has_its_time_by_its_end(bare: Ground) -> None:
    """Four days are 96 hours, the first ending at one in the morning, the last at midnight."""
    trace = trace_of(bare)

    assert len(trace.times) == len(trace.air_c) == len(trace.crown_low_c) == len(trace.soil_high_c) == 96
    assert trace.times[0] == np.datetime64("2027-01-14T01", "h")
    assert trace.times[-1] == np.datetime64("2027-01-18T00", "h")
    assert (np.diff(trace.times) == np.timedelta64(1, "h")).all()
    assert list(trace.days) == [np.datetime64(FREEZE[0], "D") + day for day in range(4)]


def test_a_harder_spot_shifts_the_crown_and_nothing_else(bare: Ground) -> None:
    """North sides are colder at the crown; the weather and the soil 2 in down are the lawn's."""
    plain, north = trace_of(bare), trace_of(bare, SpotTraits(is_north_or_shaded=True))

    assert (north.crown_c < plain.crown_c).all()
    assert (north.air_c == plain.air_c).all()
    assert (north.soil_2in_c == plain.soil_2in_c).all()


def test_snow_is_told_and_narrows_the_crowns_band(bare: Ground) -> None:
    """Four inches lay in the freeze, measured; under them less is in doubt and the crown stays warmer."""
    snowed = trace_of(ground(0.1016))

    assert snowed.snow_in == pytest.approx(4.0)
    assert snowed.snow_is_measured.all()
    assert (snowed.crown_high_c - snowed.crown_low_c < (trace_of(bare).crown_high_c - trace_of(bare).crown_low_c)).all()
    assert snowed.crown_c.min() > trace_of(bare).crown_c.min() + 2


def test_snow_that_nobody_measured_is_marked() -> None:
    """Rain on a cold day counts as snow, and says that it was worked out."""
    trace = trace_of(ground(None))

    assert trace.snow_in.max() > 0
    assert not trace.snow_is_measured.any()


def test_the_hours_of_the_air_stay_within_the_days_extremes(bare: Ground) -> None:
    """An hourly curve that knows only lowest and highest never goes beyond them."""
    air = hourly_air_c(bare.places)[24:-24].reshape(-1, 24, 2)
    low, high = bare.places.air_min_c, bare.places.air_max_c

    assert (air.min(axis=1) >= np.minimum(low[1:-1], low[2:]) - 1e-9).all()
    assert (air.max(axis=1) <= np.maximum(high[1:-1], high[:-2]) + 1e-9).all()


@pytest.mark.parametrize(
    ("first_on", "last_on", "why"),
    [
        (date(2026, 12, 1), date(2026, 12, 9), "does not hold 2026-12-01"),
        (date(2027, 1, 30), date(2027, 2, 3), "runs from 2026-12-05 to 2027-02-02"),
        (date(2027, 1, 17), date(2027, 1, 14), "before they begin"),
    ],
)
def test_days_that_are_not_there_are_named(bare: Ground, first_on: date, last_on: date, why: str) -> None:
    """A window that leaves the weather, or ends before it begins, is refused with what there is."""
    with pytest.raises(NotEnoughData, match=why):
        freeze_trace(bare, 0, first_on, last_on, PLAIN)


def test_two_days_are_shown_around_a_freeze_where_the_record_has_them(bare: Ground) -> None:
    """Cut at the ends of the record, and what comes out can be traced."""
    assert days_around(bare, 0, *FREEZE) == (date(2027, 1, 12), date(2027, 1, 19))
    assert days_around(bare, 0, date(2026, 12, 6), date(2027, 2, 2)) == (date(2026, 12, 5), date(2027, 2, 2))
    assert len(freeze_trace(bare, 0, *days_around(bare, 0, *FREEZE), PLAIN).days) == 8


def test_half_die_band_is_the_middle_nine_tenths() -> None:
    """arithmetic: 1.645 standard deviations to either side."""
    assert half_die_band_c(-5.0, 1.0) == pytest.approx((-6.645, -3.355))
