"""The forecast grid: values that hold for a while, spread over hours, however the service cuts its intervals."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.clock import SetClock
from bot.weather.live.forecast_grid import hours_covered, interval_of, means_over, sums_over
from bot.weather.live.http import Web
from bot.weather.live.national import NAME, NationalService
from bot.weather.live.port import NothingThere, NotUnderstood, OutsideArea, ServiceUnreachable
from tests.fakes.weather_services import PLACE, WeatherServices, body, grid_body, serving
from tests.weather.live.conftest import QUICK

BEGIN = datetime(2027, 1, 15, 6, tzinfo=UTC)
Held = tuple[datetime, datetime, float]


@pytest.fixture
def national(web: Web, address: str) -> NationalService:
    return NationalService(web, address)


async def test_a_value_holds_for_its_whole_interval(services: WeatherServices, national: NationalService) -> None:
    """Three hours of one, one of the next; times with an offset; the hour is named by its end."""
    services.grid = grid_body(
        [
            ("2027-01-15T06:00:00+00:00/PT3H", -2.5),
            ("2027-01-15T04:00:00-05:00/PT1H", -4.0),
            ("2027-01-15T10:00:00+00:00/P1DT1H", 3.0),
        ]
    )

    found = await national.forecast(*PLACE)

    air_c = found.hourly.air_c
    assert str(found.hourly.hours[0]) == "2027-01-15T07"
    assert len(air_c) == 29
    assert air_c[:5].tolist() == [-2.5, -2.5, -2.5, -4.0, 3.0]
    assert (air_c[4:] == 3.0).all()  # a forecast may stand still
    assert found.hourly.utc_offset_hours == -5
    assert found.issued_at == datetime(2027, 1, 15, 11, 2, tzinfo=UTC)
    assert not found.source.is_measured
    assert (found.hourly.station.code, found.hourly.station.elevation_m) == ("TAR/12,34", 21.0)


async def test_units_nulls_and_holes_of_the_grid(services: WeatherServices, national: NationalService) -> None:
    """Fahrenheit is converted, null and what no interval covers are missing, rain is shared out over its hours."""
    rain = {
        "uom": "wmoUnit:mm",
        "values": [
            {"validTime": "2027-01-15T06:00:00+00:00/PT6H", "value": 9.0},
            {"validTime": "2027-01-15T12:00:00+00:00/PT1H", "value": None},
        ],
    }
    services.grid = grid_body(
        [
            ("2027-01-15T06:00:00+00:00/PT2H", 32.0),
            ("2027-01-15T08:00:00+00:00/PT1H", None),
            ("2027-01-15T10:00:00+00:00/PT3H", 14.0),
        ],
        "wmoUnit:degF",
        quantitativePrecipitation=rain,
    )

    found = await national.forecast(*PLACE)

    assert found.hourly.air_c == pytest.approx([0, 0, np.nan, np.nan, -10, -10, -10], nan_ok=True)
    assert found.hourly.rain_mm == pytest.approx([1.5] * 6 + [np.nan], nan_ok=True)


async def test_what_cannot_be_is_missing_from_a_forecast(services: WeatherServices, national: NationalService) -> None:
    """A figure in a wrong unit does not stop the rest."""
    services.grid = grid_body([("2027-01-15T06:00:00+00:00/PT1H", 268.0), ("2027-01-15T07:00:00+00:00/PT1H", 2.0)])

    assert (await national.forecast(*PLACE)).hourly.air_c == pytest.approx([np.nan, 2.0], nan_ok=True)


@pytest.mark.parametrize(
    "written",
    [
        "2027-01-15T06:00:00/PT3H",  # no zone
        "2027-01-15T06:00:00+00:00/PT0H",
        "2027-01-15T06:00:00+00:00/P16D",
        "2027-01-15T06:00:00+00:00/P1M",
        "2027-01-15T06:00:00+00:00/3H",
        "2027-01-15T06:00:00+00:00",
        "2027-13-45T06:00:00+00:00/PT3H",
        "2027-01-15T06:00:00+00:00/PT99999999999H",
        "",
    ],
)
def test_a_time_that_is_no_interval_is_told(written: str) -> None:
    """Nothing is guessed, and no duration fills the memory."""
    with pytest.raises(NotUnderstood, match=NAME):
        interval_of(NAME, written)


async def test_intervals_years_apart_are_told(services: WeatherServices, national: NationalService) -> None:
    """A typing error in a year must not make a million hours."""
    services.grid = grid_body([("2027-01-15T06:00:00+00:00/PT1H", 1.0), ("2127-01-15T06:00:00+00:00/PT1H", 1.0)])

    with pytest.raises(NotUnderstood, match="runs from 2027-01-15 to 2127-01-15"):
        await national.forecast(*PLACE)


@pytest.mark.parametrize(
    ("grid", "kind"),
    [
        (grid_body([]), NothingThere),
        (grid_body([("2027-01-15T06:00:00+00:00/PT1H", None)]), NothingThere),
        (grid_body([("2027-01-15T06:00:00+00:00/PT1H", 1.0)], "wmoUnit:percent"), NotUnderstood),
        ({"properties": {"temperature": {"uom": "wmoUnit:degC", "values": [{"value": 3}]}}}, NotUnderstood),
    ],
)
async def test_a_grid_without_a_forecast_is_told(
    grid: dict[str, object], kind: type[Exception], services: WeatherServices, national: NationalService
) -> None:
    """Empty, all null, in no unit of temperature, in another form."""
    services.grid = grid

    with pytest.raises(kind):
        await national.forecast(*PLACE)


async def test_a_place_without_a_grid_has_no_forecast(services: WeatherServices, national: NationalService) -> None:
    """Some islands have stations only."""
    point = {"properties": {"timeZone": "Pacific/Guam", "observationStations": "/gridpoints/GUM/1,1/stations"}}
    services.fail("/points", body(json.dumps(point)))

    with pytest.raises(OutsideArea, match="no forecast"):
        await national.forecast(*PLACE)


async def test_a_kept_forecast_serves_half_a_day(tmp_path: Path, services: WeatherServices) -> None:
    """Cut off, the copy is told as one; older than 12 hours it is no forecast any more."""
    clock = SetClock(datetime.now(UTC))
    services.grid = grid_body([("2027-01-15T06:00:00+00:00/PT1H", 1.0)])
    cache_file = tmp_path / "answers" / "kept.db"
    async with Web(contact="lawns@tarrow.invalid", cache_file=cache_file, clock=clock, patience=QUICK) as web:
        async with serving(services) as address:
            national = NationalService(web, address)
            fresh = await national.forecast(*PLACE)
        clock.set(clock.now() + timedelta(hours=11))
        kept = await national.forecast(*PLACE)
        clock.set(clock.now() + timedelta(hours=2))
        with pytest.raises(ServiceUnreachable):
            await national.forecast(*PLACE)

    assert not fresh.is_kept_copy
    assert kept.is_kept_copy
    assert kept.source.note == f"kept copy: {NAME} could not be reached"
    assert kept.source.fetched_at is not None
    assert fresh.source.fetched_at is not None
    assert abs(kept.source.fetched_at - fresh.source.fetched_at) < timedelta(seconds=5)


@st.composite
def forecasts(draw: st.DrawFn) -> tuple[list[Held], list[Held]]:
    """Intervals one after the other with holes, and the same cut finer at any minute, in any order."""
    whole: list[Held] = []
    cut: list[Held] = []
    at = BEGIN + timedelta(minutes=draw(st.integers(0, 59)))
    for _ in range(draw(st.integers(1, 8))):
        at += timedelta(minutes=draw(st.sampled_from([0, 0, 0, 30, 60, 200])))
        minutes = draw(st.integers(1, 12 * 60))
        value = draw(st.floats(-30, 40))
        whole.append((at, at + timedelta(minutes=minutes), value))
        marks = sorted({0, minutes, *draw(st.lists(st.integers(1, minutes), max_size=5))})
        steps = [(at + timedelta(minutes=a), at + timedelta(minutes=b)) for a, b in pairwise(marks)]
        cut += [(begin, end, value) for begin, end in steps]
        at += timedelta(minutes=minutes)
    return whole, draw(st.permutations(cut))


@given(forecasts())
def test_however_intervals_are_cut_the_hours_are_the_same(drawn: tuple[list[Held], list[Held]]) -> None:
    """One value for six hours, or six times the same value for one: no difference to any hour. Amounts likewise."""
    whole, cut = drawn
    hours = hours_covered(NAME, whole)

    assert np.array_equal(hours, hours_covered(NAME, cut))
    assert means_over(whole, hours) == pytest.approx(means_over(cut, hours), abs=1e-9, nan_ok=True)
    minutes = {id(each): (each[1] - each[0]) / timedelta(minutes=1) for each in cut}
    amounts = [(begin, end, (end - begin) / timedelta(minutes=60)) for begin, end, _ in whole]
    amounts_cut = [(each[0], each[1], minutes[id(each)] / 60) for each in cut]
    assert sums_over(amounts, hours) == pytest.approx(sums_over(amounts_cut, hours), abs=1e-9, nan_ok=True)


@given(forecasts())
def test_hours_are_means_over_their_minutes(drawn: tuple[list[Held], list[Held]]) -> None:
    """Against a plain walk over every minute."""
    whole, _ = drawn
    hours = hours_covered(NAME, whole)
    means = means_over(whole, hours)

    for hour, mean in zip(hours.tolist(), means, strict=True):
        begin = hour.replace(tzinfo=UTC) - timedelta(hours=1)
        held = [
            next((value for first, end, value in whole if first <= begin + timedelta(minutes=minute) < end), np.nan)
            for minute in range(60)
        ]
        assert mean == pytest.approx(sum(held) / 60, abs=1e-9, nan_ok=True)
