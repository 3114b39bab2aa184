"""From weather to survival: published freezes, replayed with weather made to their printed figures.

Florida 1989 sets how far crowns stand out of the thatch (calibration); the others set nothing and are checks. The days
around each freeze are invented: the sources print the lowest air temperature, its length, and snow.
"""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from rules.errors import NotEnoughData
from rules.facts import cold as facts
from rules.grasses import GrassCode, tolerance
from rules.modelled_cold import ground_under, hardened_by_weather_fraction, modelled_site_cold
from rules.site_cold import Basis, SpotTraits
from rules.survival import survival
from rules.units import f_to_c
from tests.rules.outcomes import (
    ARKANSAS_2010,
    COLLEGE_STATION_1968,
    DAYS_BEFORE,
    FIELD,
    FLORIDA_1989,
    KANSAS_2021,
    NOTHING,
    FieldOutcome,
    felt,
    given_probability,
    odds_of,
    weather,
)


def test_calibration_half_of_st_augustine_survives_florida_1989() -> None:
    """CALIBRATION. Busey 2003, HortScience 38:1439: 50 % survival at an air minimum of -7.9 degC."""
    alive = survival(felt(FLORIDA_1989), GrassCode.ST_AUGUSTINE, tolerance(GrassCode.ST_AUGUSTINE), NOTHING)

    assert alive.mean_fraction == pytest.approx(0.5, abs=0.05)


@pytest.mark.parametrize("outcome", FIELD, ids=lambda each: f"{each.name}{' (not counted)' if each.sets else ''}")
def test_a_field_outcome_is_within_the_stated_odds(outcome: FieldOutcome) -> None:
    """Worked out from weather; source, what it prints and what is ours in tests/rules/outcomes.py."""
    cold = felt(outcome.freeze)

    for seen in outcome.seen:
        assert given_probability(odds_of(cold, seen), seen) >= seen.at_least, seen


def test_kansas_2021_soil_under_snow_is_within_reach_of_what_was_measured() -> None:
    """Kansas State Univ. 2021: the lowest 2-in soil was 29 F at Olathe."""
    kansas = felt(KANSAS_2021)

    assert abs(f_to_c(29) - kansas.soil_2in_min_c) <= 2 * kansas.soil_2in_sd_dc


def test_what_comes_out_is_in_order() -> None:
    """Crown colder than rhizomes, rhizomes colder the nearer the top, shares add up, and it says it is modelled."""
    cold = felt(ARKANSAS_2010)
    lows = [cold.crown.min_c, *(layer.min_c for layer in cold.rhizomes)]

    assert lows == sorted(lows)
    assert sum(layer.share_fraction for layer in cold.rhizomes) == pytest.approx(1)
    assert cold.basis is Basis.MODELLED
    assert 1 <= cold.hours_near_min <= 48


def test_a_harder_spot_is_colder_and_snow_is_told() -> None:
    """North sides and wind shift the crown; the depth of snow on the coldest day is kept."""
    assert felt(ARKANSAS_2010, SpotTraits(is_north_or_shaded=True)).crown.min_c < felt(ARKANSAS_2010).crown.min_c
    assert felt(KANSAS_2021).snow_in == pytest.approx(4, abs=0.1)


def test_warm_days_before_a_freeze_undo_hardening() -> None:
    """Ten days of 20 degC and more leave grass softer than ten cool ones."""
    cool, warm = weather(COLLEGE_STATION_1968), weather(COLLEGE_STATION_1968)
    warm.air_max_c[DAYS_BEFORE - 10 : DAYS_BEFORE] = 24.0
    first = cool.days[DAYS_BEFORE, 0].astype(object)

    assert hardened_by_weather_fraction(warm, 0, first) < 0.5 * hardened_by_weather_fraction(cool, 0, first)


def hardened_after(warm_days: int, cold_days: int = 0) -> float:
    """Midwinter grass after some days of 25 degC and then some cold ones, as a share of what it had."""
    cool, warm = weather(COLLEGE_STATION_1968), weather(COLLEGE_STATION_1968)
    last = DAYS_BEFORE - cold_days
    warm.air_max_c[last - warm_days : last] = 25.0
    first = cool.days[DAYS_BEFORE, 0].astype(object)
    return hardened_by_weather_fraction(warm, 0, first) / hardened_by_weather_fraction(cool, 0, first)


def test_calibration_most_hardening_is_lost_in_three_days_and_some_in_one() -> None:
    """CALIBRATION. Reeves and McBee 1972, Agron. J. 64:447: St. Augustine lost most between 48 and 72 h at 25 degC."""
    assert hardened_after(1) > 0.5
    assert hardened_after(3) < 0.5


def test_calibration_ten_cold_days_bring_hardening_back() -> None:
    """CALIBRATION. Johnston and Dickens 1976, Agron. J. 68:83: centipede hardens no further after ten days."""
    assert hardened_after(3, cold_days=10) == 1
    assert hardened_after(3, cold_days=5) < 1


def test_centipede_after_two_warm_days_is_nearly_as_soft_as_unhardened() -> None:
    """Johnston and Dickens 1976: after 2 days of warm growth centipede was hurt at -7 degC like unhardened plants.

    Outdoors nights are cool, so we let it lose half at least and not all.
    """
    assert 0.2 < hardened_after(2) <= 0.5


def test_more_warm_days_never_leave_more_hardening_and_never_none() -> None:
    """It falls with every warm day down to what is kept in the end."""
    left = [hardened_after(days) for days in range(11)]

    assert left == sorted(left, reverse=True)
    assert left[-1] == pytest.approx(1 - facts.SOFTENED_MOST_FRACTION.value)


def test_hours_near_the_minimum_are_counted_within_one_degree() -> None:
    """A longer siege at the same lowest air leaves the crown near its minimum for longer."""
    ground = ground_under(weather(ARKANSAS_2010))
    days = ground.places.days[:, 0]
    first = days[DAYS_BEFORE].astype(object)
    crown = ground.run.crown_c[DAYS_BEFORE * 24 : (DAYS_BEFORE + ARKANSAS_2010.days) * 24, 0]

    cold = modelled_site_cold(ground, 0, first, first + timedelta(days=ARKANSAS_2010.days - 1), NOTHING)

    assert cold.hours_near_min == sum(each <= crown.min() + 1 for each in crown)


def test_days_that_are_not_there_are_named() -> None:
    """A freeze outside the weather's days is refused with what there is."""
    ground = ground_under(weather(FLORIDA_1989))
    with pytest.raises(NotEnoughData, match="1989"):
        modelled_site_cold(ground, 0, date(1990, 5, 1), date(1990, 5, 2), NOTHING)
