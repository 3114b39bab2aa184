"""A freeze beside a station, carried over to a lawn: which freeze is meant, snow as the owner saw it, the air there."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.modelled_cold import ground_under, modelled_site_cold
from rules.nearby_cold import FreezeGround, cold_here, freeze_grounds, freeze_near, freezes_told, trace_here
from rules.site_cold import AirHere, Basis, OwnReading, SpotTraits, air_here
from rules.station_ground import places_of
from rules.weather import DailyWeather, Station, between

BEGINS = date(2026, 11, 20)
FREEZE = date(2027, 1, 15)
STILL = AirHere(shift_dc=0.0, sd_dc=0.0)
NOTHING = SpotTraits()


def record(*, days: int = 90, snow_cm: float = math.nan, colder_on: date | None = None) -> DailyWeather:
    """A mild winter on a coast with one freeze of four days, the third the coldest."""
    low, high = np.full(days, 6.0), np.full(days, 17.0)
    at = (FREEZE - BEGINS).days
    low[at : at + 4], high[at : at + 4] = (-5.0, -6.0, -10.0, -4.0), (4.0, 2.0, 1.0, 6.0)
    if colder_on is not None:
        low[(colder_on - BEGINS).days] = -12.0
    snow = np.full(days, snow_cm)
    if snow_cm == snow_cm:
        snow[:at], snow[at + 4 :] = 0.0, 0.0
    holes = np.full(days, np.nan)
    return DailyWeather(
        station=Station(
            code="S1", name="Osprey Ferry", latitude=31.35, longitude=-81.42, elevation_m=8.0, network="invented"
        ),
        days=np.datetime64(BEGINS, "D") + np.arange(days),
        air_min_c=low,
        air_max_c=high,
        air_mean_c=(low + high) / 2,
        rain_mm=np.zeros(days),
        snow_depth_cm=snow,
        solar_mj_per_m2=holes.copy(),
        soil_moisture_2in_fraction=holes.copy(),
        soil_2in_c=holes.copy(),
        soil_4in_c=holes.copy(),
    )


def grounds_of(daily: DailyWeather) -> tuple[FreezeGround, ...]:
    return freeze_grounds([daily])[0]


@pytest.fixture(scope="module")
def one() -> FreezeGround:
    return grounds_of(record())[0]


def test_the_freeze_beside_the_station_is_what_the_model_says_of_it(one: FreezeGround) -> None:
    """Carrying nothing over changes nothing: independent of the steps of snow worked out beside it."""
    alone = ground_under(places_of(record()))
    direct = modelled_site_cold(alone, 0, one.freeze.first_on, one.freeze.last_on, NOTHING)
    here = cold_here(one, None, STILL, NOTHING)
    assert here.basis is Basis.MODELLED
    assert here.crown.min_c == pytest.approx(direct.crown.min_c, abs=1e-9)
    assert here.soil_2in_min_c == pytest.approx(direct.soil_2in_min_c, abs=1e-9)
    assert (one.freeze.coldest_on, one.freeze.air_min_c) == (FREEZE + timedelta(days=2), -10.0)


def test_the_freeze_meant_is_the_one_near_the_day_named() -> None:
    grounds = grounds_of(record(colder_on=date(2027, 2, 10)))
    today = date(2027, 2, 20)
    assert len(grounds) == 2
    named = freeze_near(grounds, FREEZE + timedelta(days=5), 0, today)
    assert named is not None and named.freeze.first_on == FREEZE
    unnamed = freeze_near(grounds, None, 0, today)
    assert unnamed is not None and unnamed.freeze.air_min_c == -12.0
    assert freeze_near(grounds, date(2026, 12, 24), 2, today) is None
    assert freeze_near(grounds, None, 0, date(2028, 2, 20)) is None, "last year's freeze is not asked about"


def test_records_of_different_lengths_are_worked_out_together_as_if_alone(one: FreezeGround) -> None:
    longer = record(days=110, colder_on=date(2027, 2, 20))
    together = freeze_grounds([record(days=60), longer, record()])
    assert [len(each) for each in together] == [1, 2, 1]
    alone = grounds_of(record(days=60))[0]
    assert together[0][0].as_recorded.crown.min_c == pytest.approx(alone.as_recorded.crown.min_c, abs=1e-9)
    assert together[2][0].as_recorded.crown.min_c == pytest.approx(one.as_recorded.crown.min_c, abs=1e-9)
    assert together[1][1].freeze.first_on == date(2027, 2, 20)


def test_a_freeze_before_the_ground_has_settled_is_not_told() -> None:
    assert grounds_of(record(colder_on=BEGINS + timedelta(days=10)))[0].freeze.first_on == FREEZE


def test_of_a_siege_begun_before_the_ground_settled_its_later_days_are_told() -> None:
    """A month of frost from the first day on: what counts is that its coldest day is late enough."""
    winter = record()
    low = np.minimum(winter.air_min_c, -3.0)
    siege = grounds_of(replace(winter, air_min_c=low))[0]
    assert siege.freeze.first_on == BEGINS + timedelta(days=30)
    assert (siege.freeze.coldest_on, siege.freeze.last_on) == (FREEZE + timedelta(days=2), BEGINS + timedelta(days=89))
    assert len(siege.traces[0].days) == 1 + 2 * 7 + 2 * 2, "around its coldest day, two more on either side"


def test_snow_recorded_is_told_and_keeps_the_crown_warmer() -> None:
    bare, snowed = grounds_of(record(snow_cm=0.0))[0], grounds_of(record(snow_cm=10.0))[0]
    assert (bare.snow_is_measured, bare.worked_out_snow_in) == (True, 0.0)
    assert snowed.worked_out_snow_in == pytest.approx(10 / 2.54)
    assert snowed.as_recorded.crown.min_c > bare.as_recorded.crown.min_c + 2
    assert not grounds_of(record())[0].snow_is_measured


@given(st.floats(0, 10), st.floats(0, 10))
def test_more_snow_never_makes_a_crown_colder(one: FreezeGround, first: float, second: float) -> None:
    thin, thick = sorted((first, second))
    colds = [cold_here(one, snow, STILL, NOTHING) for snow in (thin, thick)]
    assert colds[0].crown.min_c <= colds[1].crown.min_c + 1e-9
    assert colds[1].snow_in == thick


def test_snow_between_two_steps_lies_between_them(one: FreezeGround) -> None:
    low, mid, high = (cold_here(one, snow, STILL, NOTHING).crown.min_c for snow in (2.0, 3.0, 4.0))
    assert mid == pytest.approx((low + high) / 2)


def test_an_owner_s_thermometer_is_weighed_against_the_station() -> None:
    """Equal doubts meet half way; inverse variances add up."""
    air = air_here(-8.0, 1.5, OwnReading(air_c=-11.0, sd_dc=1.5))
    assert air.shift_dc == pytest.approx(-1.5)
    assert air.sd_dc == pytest.approx(1.5 / math.sqrt(2))
    assert air_here(-8.0, 1.5, None) == AirHere(shift_dc=0.0, sd_dc=1.5)
    own = OwnReading(air_c=-11.0, sd_dc=1.5)
    near, far = air_here(-8.0, 1.0, own), air_here(-8.0, 2.5, own)
    assert near.shift_dc > far.shift_dc


@given(st.floats(-6, 0), st.floats(0, 3))
def test_colder_air_at_the_lawn_makes_crown_and_rhizomes_colder_and_doubt_wider(
    one: FreezeGround, shift_dc: float, sd_dc: float
) -> None:
    plain, here = (
        cold_here(one, None, STILL, NOTHING),
        cold_here(one, None, AirHere(shift_dc=shift_dc, sd_dc=sd_dc), NOTHING),
    )
    assert here.crown.min_c <= plain.crown.min_c and here.crown.sd_dc >= plain.crown.sd_dc
    drops = [a.min_c - b.min_c for a, b in zip(plain.rhizomes, here.rhizomes, strict=True)]
    assert drops == sorted(drops, reverse=True) and drops[-1] == 0
    assert plain.crown.min_c - here.crown.min_c < -shift_dc + 1e-9, "no more than the air's own difference"


def test_a_filled_day_in_the_freeze_widens_the_doubt_and_is_counted() -> None:
    whole = record()
    at = (FREEZE - BEGINS).days + 1
    low = whole.air_min_c.copy()
    low[at] = np.nan
    holed = grounds_of(replace(whole, air_min_c=low))[0]
    assert holed.days_filled == 1
    wide, narrow = (cold_here(each, None, STILL, NOTHING).crown.sd_dc for each in (holed, grounds_of(whole)[0]))
    assert wide > narrow


def test_a_shaded_spot_is_colder_by_its_shift(one: FreezeGround) -> None:
    shaded = cold_here(one, None, STILL, SpotTraits(is_north_or_shaded=True))
    assert shaded.crown.min_c < cold_here(one, None, STILL, NOTHING).crown.min_c


def test_a_record_that_ends_on_the_coldest_day_shows_no_day_after_it() -> None:
    """Alone or beside a longer record: the same hours."""
    ending = between(record(), BEGINS, FREEZE + timedelta(days=2))
    alone, beside = grounds_of(ending)[0], freeze_grounds([ending, record(days=110)])[0][0]
    assert alone.freeze.coldest_on == alone.freeze.last_on == ending.days[-1].item()
    for ground in (alone, beside):
        assert ground.traces[0].days[-1] == ending.days[-1]
    for name in ("times", "air_c", "crown_c", "soil_2in_c", "snow_in"):
        ours, theirs = (getattr(ground.traces[0], name) for ground in (alone, beside))
        assert len(ours) == len(theirs)
        np.testing.assert_allclose(ours.astype(np.float64), theirs.astype(np.float64), atol=1e-9, err_msg=name)


@pytest.mark.parametrize("shift_dc", [-3.0, 1.0, 8.0])
def test_picture_and_text_tell_the_same_lowest_crown_under_snow(shift_dc: float) -> None:
    """Air that was warmer at the lawn thaws nothing under snow that lies."""
    ground, air = grounds_of(record(snow_cm=20.0))[0], AirHere(shift_dc=shift_dc, sd_dc=1.0)
    told, drawn = cold_here(ground, None, air, NOTHING), trace_here(ground, None, air, NOTHING)
    in_freeze = np.repeat((drawn.days >= np.datetime64(FREEZE)) & (drawn.snow_in > 0), 24)
    assert drawn.crown_c[in_freeze].min() == pytest.approx(told.crown.min_c)


def test_told_are_hard_freezes_and_frosts_apart_from_them_once_the_ground_has_settled() -> None:
    """One of four days; one frost alone; not the one in the first month."""
    winter = record(colder_on=BEGINS + timedelta(days=10))
    low = winter.air_min_c.copy()
    low[80] = -0.5
    told = freezes_told(replace(winter, air_min_c=low))
    assert [each.coldest_on for each in told] == [FREEZE + timedelta(days=2), BEGINS + timedelta(days=80)]


def with_rain(rain_mm: float, snow_cm: float = math.nan) -> DailyWeather:
    """Something falls on the second cold day."""
    daily = record(snow_cm=snow_cm)
    rain = daily.rain_mm.copy()
    rain[(FREEZE - BEGINS).days + 1] = rain_mm
    return replace(daily, rain_mm=rain)


def test_snow_that_nobody_measured_is_a_doubt_and_no_blanket() -> None:
    """Half way between bare and snowed, and so wide that it holds both."""
    ground = grounds_of(with_rain(15.0))[0]
    assert ground.may_have_snowed and not ground.snow_is_measured
    bare, snowed = ground.under_snow[0].crown.min_c, ground.as_recorded.crown.min_c
    unsure = cold_here(ground, None, STILL, NOTHING).crown
    assert snowed > bare + 2
    assert bare < unsure.min_c < snowed
    assert unsure.min_c - 1.645 * unsure.sd_dc < bare and unsure.min_c + 1.645 * unsure.sd_dc > snowed


def test_snow_the_owner_tells_of_lies_from_when_it_can_have_fallen() -> None:
    """The night before it fell was bare, whatever lay afterwards."""
    later, always = grounds_of(with_rain(15.0))[0], grounds_of(record())[0]
    assert cold_here(later, 4.0, STILL, NOTHING).crown.min_c < cold_here(always, 4.0, STILL, NOTHING).crown.min_c - 0.3
    assert cold_here(later, 0.0, STILL, NOTHING).crown.min_c == pytest.approx(
        cold_here(always, 0.0, STILL, NOTHING).crown.min_c, abs=0.5
    )


def test_colder_air_here_reaches_two_inches_by_a_third_and_widens_it(one: FreezeGround) -> None:
    plain, here = (cold_here(one, None, air, NOTHING) for air in (STILL, AirHere(shift_dc=-3.0, sd_dc=2.0)))
    assert plain.soil_2in_min_c - here.soil_2in_min_c == pytest.approx(1.0, abs=0.05)
    assert here.soil_2in_sd_dc > plain.soil_2in_sd_dc
