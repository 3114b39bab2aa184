"""The reanalysis: units, nulls, days of standard time, the cell's own place, and soil that is no 2-in reading."""

from __future__ import annotations

from dataclasses import fields
from datetime import UTC, date, datetime
from typing import Any
from urllib.parse import parse_qs

import numpy as np
import pytest
from starlette.responses import JSONResponse

from bot.clock import SetClock
from bot.weather.live.http import Web
from bot.weather.live.port import NothingThere, NotUnderstood, Refused, TooManyRequests
from bot.weather.live.reanalysis import CUSTOMER_URL, NAME, Reanalysis, solar_offset_hours
from rules.weather import DailyWeather
from tests.fakes.weather_services import PLACE, Answering, Json, WeatherServices, archive_body

FIRST, LAST = date(2026, 12, 20), date(2026, 12, 24)


@pytest.fixture
def reanalysis(web: Web, address: str) -> Reanalysis:
    return Reanalysis(web, address)


def changed(services: WeatherServices, **changes: Any) -> None:
    services.archive = lambda first, last: archive_body(first, last, **changes)


async def test_days_come_from_the_cell_with_its_own_place(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """What the answer says of itself, not what was asked; and never as something measured."""
    found = await reanalysis.daily(*PLACE, FIRST, LAST)

    assert len(found.daily.days) == 5
    assert found.daily.air_min_c == pytest.approx([-4.0] * 5, abs=0.05)
    assert found.daily.air_max_c == pytest.approx([12.0] * 5, abs=0.05)
    assert found.daily.rain_mm == pytest.approx([2.4] * 5)
    assert found.daily.snow_depth_cm == pytest.approx([2.0] * 5)
    assert found.daily.solar_mj_per_m2 == pytest.approx([200 * 86400 / 1e6] * 5)
    where = found.daily.station
    assert (where.latitude, where.longitude, where.elevation_m, where.network) == (31.599, -81.801, 17.0, "ERA5")
    assert found.distance_km == pytest.approx(5.4, abs=0.1)
    assert not found.source.is_measured
    assert "CC BY 4.0" in found.source.credit
    assert "Copernicus" in found.source.credit
    assert found.source.link == "https://open-meteo.com/"


async def test_what_is_asked(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """A rough place, times in UTC, and the UTC days that the local ones reach into."""
    await reanalysis.daily(31.62345, -81.75432, FIRST, LAST)

    query = parse_qs(services.asked[0].partition("?")[2])
    assert query["latitude"] + query["longitude"] == ["31.62", "-81.75"]
    assert query["start_date"] + query["end_date"] == ["2026-12-20", "2026-12-25"]
    assert query["timezone"] == ["GMT"]
    assert query["models"] == ["era5_seamless"]
    assert "apikey" not in query


async def test_the_top_layer_is_kept_apart_from_measured_soil(reanalysis: Reanalysis) -> None:
    """Its mean of 0 to 7 cm is never a reading at 2 in, nor at 4."""
    found = await reanalysis.daily(*PLACE, FIRST, LAST)

    assert found.soil_top_mean_c == pytest.approx([7.0] * 5, abs=0.05)
    for name in ("soil_2in_c", "soil_4in_c", "soil_moisture_2in_fraction"):
        assert np.isnan(getattr(found.daily, name)).all()
        assert np.isnan(getattr(found.hourly, name)).all()
    assert "soil_top_mean_c" not in {each.name for each in fields(DailyWeather)}


async def test_nulls_are_missing(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """The newest days are null until they are worked out: the days end before them, the soil with them."""

    def unfinished(first: date, last: date) -> Json:
        whole = archive_body(first, last)
        for name, values in whole["hourly"].items():
            if name != "time":
                whole["hourly"][name] = [*values[:70], *[None] * (len(values) - 70)]
        return whole

    services.archive = unfinished

    found = await reanalysis.daily(*PLACE, FIRST, LAST)

    assert found.daily.days.tolist() == [date(2026, 12, 20), date(2026, 12, 21)]
    assert found.soil_top_mean_c is not None
    assert len(found.soil_top_mean_c) == 2


async def test_a_soil_figure_that_cannot_be_is_missing(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """Each kind by its own limits."""
    changed(services, soil_temperature_0_to_7cm=[-45.0] * 144)

    found = await reanalysis.daily(*PLACE, FIRST, LAST)

    assert found.soil_top_mean_c is not None
    assert np.isnan(found.soil_top_mean_c).all()


async def test_nothing_but_nulls_is_told(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """Over the sea, or all too new."""
    changed(services, temperature_2m=[None] * 144)

    with pytest.raises(NothingThere, match="no full day of air temperature"):
        await reanalysis.daily(*PLACE, FIRST, LAST)


@pytest.mark.parametrize(
    ("name", "unit", "values", "series", "expected"),
    [
        ("temperature_2m", "°F", [50.0, 49.0] * 72, "air_max_c", 10.0),
        ("precipitation", "inch", [0.01] * 144, "rain_mm", 24 * 0.254),
        ("snow_depth", "ft", [0.5] * 144, "snow_depth_cm", 15.24),
        ("snow_depth", "cm", [3.0] * 144, "snow_depth_cm", 3.0),
    ],
)
async def test_units_are_read_from_the_answer(
    name: str,
    unit: str,
    values: list[float],
    series: str,
    expected: float,
    services: WeatherServices,
    reanalysis: Reanalysis,
) -> None:
    """Whatever was asked for."""
    units = archive_body(FIRST, LAST)["hourly_units"] | {name: unit}
    changed(services, hourly_units=units, **{name: values})

    found = await reanalysis.daily(*PLACE, FIRST, LAST)

    assert getattr(found.daily, series)[0] == pytest.approx(expected)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({"temperature_2m": [1.0] * 143}, "temperature_2m has 143 values for 144 hours"),
        ({"snow_depth": []}, "snow_depth has 0 values for 144 hours"),
        ({"utc_offset_seconds": -18000}, "times are not in UTC"),
        ({"time": ["2026-12-20T00:00"] * 144}, "hours do not follow one another"),
        ({"time": ["2026-12-20T00:30", "2026-12-20T01:30"]}, "hours do not follow one another"),
        ({"time": ["first"] * 144}, "is no date"),
        ({"time": []}, "times are missing"),
        ({"temperature_2m": ["cold"] * 144}, "hourly.temperature_2m.0"),
        ({"latitude": 1234.5}, "latitude"),
        ({"hourly": {"time": []}}, "hourly.temperature_2m"),
        ({"hourly_units": {"time": "iso8601"}}, "temperature_2m comes in the unit none"),
        ({"hourly_units": {"time": "unixtime"}}, "not written as dates"),
        ({"hourly_units": {"time": "iso8601", "temperature_2m": "hPa"}}, "temperature_2m comes in the unit hPa"),
    ],
)
async def test_another_form_is_told(
    changes: Json, what: str, services: WeatherServices, reanalysis: Reanalysis
) -> None:
    """Arrays of unequal length, times in another zone or order, unknown units, texts for numbers."""
    changed(services, **changes)

    with pytest.raises(NotUnderstood, match=what):
        await reanalysis.daily(*PLACE, FIRST, LAST)


async def test_its_own_words_are_in_the_error(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """It answers with a reason; and when asked too often says so without a time to wait."""
    services.fail("/v1", reason(400, "end_date is out of allowed range"))
    with pytest.raises(Refused, match=rf"{NAME}: .*end_date is out of allowed range"):
        await reanalysis.daily(*PLACE, FIRST, LAST)

    services.fail("/v1", *[reason(429, "Daily API request limit exceeded.")] * 9)
    with pytest.raises(TooManyRequests, match="Daily API request limit exceeded"):
        await reanalysis.daily(*PLACE, FIRST, LAST)


def reason(code: int, words: str) -> Answering:
    """An error in the archive's own form."""
    return lambda request: JSONResponse({"error": True, "reason": words}, code)


@pytest.mark.parametrize(
    ("first", "last"), [(LAST, FIRST), (date(2027, 2, 1), date(2027, 2, 3)), (date(2020, 1, 1), date(2026, 1, 1))]
)
async def test_spans_it_cannot_be_asked_for_never_go_out(
    first: date, last: date, services: WeatherServices, reanalysis: Reanalysis
) -> None:
    """Turned round, all to come, or many years at once."""
    with pytest.raises(Refused, match="at most 1100 days"):
        await reanalysis.daily(*PLACE, first, last)
    assert services.asked == []


async def test_days_to_come_are_left_off(services: WeatherServices, reanalysis: Reanalysis) -> None:
    """The service would refuse the whole question, even for tomorrow by UTC, on which today ends in the west."""
    found = await reanalysis.daily(*PLACE, date(2027, 1, 10), date(2027, 3, 1))

    assert "end_date=2027-01-20" in services.asked[0]
    assert found.daily.days[-1].item() == date(2027, 1, 20)


async def test_in_the_evening_the_day_of_utc_is_asked_for(
    clock: SetClock, services: WeatherServices, reanalysis: Reanalysis
) -> None:
    """On the 19th at nine in the evening by the sun it is the 20th in UTC already."""
    clock.set(datetime(2027, 1, 20, 2, 0, tzinfo=UTC))
    await reanalysis.daily(*PLACE, date(2027, 1, 10), date(2027, 1, 25))

    assert "end_date=2027-01-20" in services.asked[0]


async def test_days_are_cut_by_the_offset_it_is_given(web: Web, address: str, services: WeatherServices) -> None:
    """By the sun when nobody knows better; with the zone's own offset by that."""

    def lows_at_05_utc(first: date, last: date) -> Json:
        whole = archive_body(first, last)
        times = [datetime.fromisoformat(each) for each in whole["hourly"]["time"]]
        whole["hourly"]["temperature_2m"] = [(-8.0 if at.hour == 5 else 3.0 + at.hour / 10) for at in times]
        whole["hourly"]["temperature_2m"][5] = -9.0
        return whole

    services.archive = lows_at_05_utc
    by_sun = await Reanalysis(web, address).daily(31.62, -81.75, FIRST, FIRST)
    by_zone = await Reanalysis(web, address, offset_hours=lambda latitude, longitude: -6.0).daily(
        31.62, -88.0, FIRST, FIRST
    )

    assert by_sun.hourly.utc_offset_hours == -5
    assert by_sun.daily.air_min_c == pytest.approx([-8.0])  # the hour to midnight closes the day
    assert by_zone.hourly.utc_offset_hours == -6
    assert str(by_zone.hourly.hours[0]) == "2026-12-20T07"


def test_solar_time_of_the_south() -> None:
    """Whole hours."""
    assert [solar_offset_hours(30.0, longitude) for longitude in (-81.8, -90.2, -97.0, 0.0)] == [-5.0, -6.0, -6.0, 0.0]


async def test_a_key_goes_to_the_address_for_customers(web: Web, address: str, services: WeatherServices) -> None:
    """Unless the operator named another; and free use is known as such."""
    assert Reanalysis(web).is_free_of_charge
    assert not Reanalysis(web, key="abc").is_free_of_charge
    assert not Reanalysis(web, "https://own.copy.invalid").is_free_of_charge
    assert Reanalysis(web, key="abc").base_url == CUSTOMER_URL
    await Reanalysis(web, address, key="abc").daily(*PLACE, FIRST, LAST)

    assert "apikey=abc" in services.asked[0]
