"""Days out of what stations reported: units, doubts, hours, stations near and far, days of local standard time."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import numpy as np
import pytest

from bot.clock import SetClock
from bot.weather.live.hours import Span, in_hours, instants, standard_offset_hours
from bot.weather.live.http import Web
from bot.weather.live.national import NAME, NationalService
from bot.weather.live.near import sent
from bot.weather.live.observations import NOT_TAKEN
from bot.weather.live.port import NothingThere, NotUnderstood, OutsideArea, Refused, ServiceBroken, TryLater
from rules.weather_checks import Doubts
from tests.fakes.weather_services import (
    HOUR,
    PLACE,
    WeatherServices,
    body,
    day_course_c,
    hourly_reports,
    observation,
    quantity,
    station,
    status,
)
from tests.weather.live.conftest import NOW

FIRST, LAST = date(2027, 1, 15), date(2027, 1, 19)
MIDNIGHT = datetime(2027, 1, 15, 5, tzinfo=UTC)  # of local standard time on the Tarrow coast


@pytest.fixture
def national(web: Web, address: str) -> NationalService:
    return NationalService(web, address)


def fill(services: WeatherServices, code: str = "KTAR", days: int = 5, begin: datetime = MIDNIGHT) -> None:
    services.reports[code] = hourly_reports(code, begin, 24 * days)


async def test_days_come_from_the_station_with_its_place_and_credit(
    services: WeatherServices, national: NationalService
) -> None:
    """Lowest and highest of each local standard day, and where and when they were measured."""
    fill(services)

    found = await national.daily(*PLACE, FIRST, LAST)

    assert found.daily.days.tolist() == [FIRST + timedelta(days=step) for step in range(5)]
    reported = [day_course_c(MIDNIGHT + timedelta(hours=hour, minutes=53)) for hour in range(24)]
    assert found.daily.air_min_c == pytest.approx([min(reported)] * 5)
    assert found.daily.air_max_c == pytest.approx([max(reported)] * 5)
    assert found.daily.air_mean_c == pytest.approx([np.mean(reported)] * 5)
    where = found.daily.station
    assert (where.code, where.name, where.network, where.elevation_m) == ("KTAR", "Tarrow Field", "NWS", 12.0)
    assert (where.latitude, where.longitude) == (31.65, -81.70)
    assert found.distance_km == pytest.approx(5.8, abs=0.1)
    assert found.source.is_measured
    assert "US National Weather Service" in found.source.credit
    assert found.source.fetched_at == NOW
    assert found.source.note == ""
    assert found.doubts == Doubts()
    assert found.soil_top_mean_c is None


async def test_only_a_rough_place_goes_out(services: WeatherServices, national: NationalService) -> None:
    """Two decimals, about a kilometre, without zeros that would be redirected."""
    fill(services)

    await national.daily(31.598765, -81.700123, FIRST, LAST)

    assert services.asked[0] == "/points/31.6,-81.7"


async def test_days_gone_by_keep_their_address(services: WeatherServices, national: NationalService) -> None:
    """One question a day from midnight to midnight; today's ends with the last full hour."""
    fill(services)

    await national.daily(*PLACE, date(2027, 1, 19), date(2027, 1, 25))

    spans = [each.partition("?")[2] for each in services.asked if "observations" in each]
    assert spans == [
        "start=2027-01-19T05%3A00%3A00Z&end=2027-01-20T05%3A00%3A00Z&limit=500",
        "start=2027-01-20T05%3A00%3A00Z&end=2027-01-20T20%3A00%3A00Z&limit=500",
    ]


async def test_pages_are_followed_to_the_last(services: WeatherServices, national: NationalService) -> None:
    """Stations and reports; the same report on two pages counts once."""
    services.stations = [station(f"KF{n:02}", "", 31.7 + n / 100, -81.75) for n in range(9)] + services.stations
    services.page_size = 7
    fill(services)

    found = await national.daily(*PLACE, FIRST, LAST)

    assert found.daily.station.code == "KTAR"
    assert np.isfinite(found.daily.air_min_c).all()


async def test_an_address_may_have_a_path_of_its_own(web: Web, services: WeatherServices, address: str) -> None:
    """Behind a firm's own gateway; links with that path and without it both lead below it."""
    services.prefix, services.page_size = "/nws", 20
    fill(services, days=1)

    found = await NationalService(web, f"{address}/nws/").daily(*PLACE, FIRST, FIRST)

    assert found.daily.days.tolist() == [FIRST]
    assert all(each.startswith("/nws/") and not each.startswith("/nws/nws") for each in services.asked)
    assert sum("cursor=" in each for each in services.asked) == 1


async def test_pages_without_end_are_an_error(services: WeatherServices, national: NationalService) -> None:
    """A page that names itself as the next."""
    services.fail(
        "/gridpoints", *[body('{"features": [], "pagination": {"next": "/gridpoints/TAR/12,34/stations"}}')] * 99
    )

    with pytest.raises(NotUnderstood, match="more than 20 pages"):
        await national.daily(*PLACE, FIRST, LAST)


async def test_null_is_missing_and_not_zero(services: WeatherServices, national: NationalService) -> None:
    """Of temperature and of rain. Seven hours without leave no day's low; rain has too few hours to add up."""
    fill(services)
    for report in services.reports["KTAR"][24:31]:
        report["properties"]["temperature"]["value"] = None
    for report in services.reports["KTAR"][48:72]:
        report["properties"]["precipitationLastHour"] = quantity(1.5, "wmoUnit:mm")

    found = await national.daily(*PLACE, FIRST, LAST)

    assert np.isnan(found.daily.air_min_c).tolist() == [False, True, False, False, False]
    assert found.daily.rain_mm == pytest.approx([np.nan, np.nan, 36.0, np.nan, np.nan], nan_ok=True)


@pytest.mark.parametrize("quality", [*sorted(NOT_TAKEN), "qc:X"])
async def test_what_the_service_doubts_is_not_taken(
    quality: str, services: WeatherServices, national: NationalService
) -> None:
    """Rejected, questioned, found bad, interpolated or replaced: here a low of -30 that never was."""
    fill(services)
    services.reports["KTAR"].insert(
        3, observation("KTAR", MIDNIGHT + 2.9 * HOUR, temperature=quantity(-30.0, quality=quality))
    )

    found = await national.daily(*PLACE, FIRST, LAST)

    assert found.daily.air_min_c.min() > -4


@pytest.mark.parametrize("quality", ["V", "C", "S", "Z", "G", "qc:V", None])
async def test_what_passed_or_was_not_checked_is_taken(
    quality: str | None, services: WeatherServices, national: NationalService
) -> None:
    """With no mark at all too."""
    fill(services)
    for report in services.reports["KTAR"]:
        value = report["properties"]["temperature"]["value"]
        report["properties"]["temperature"] = quantity(value, quality=quality)

    found = await national.daily(*PLACE, FIRST, LAST)

    assert np.isfinite(found.daily.air_min_c).all()


@pytest.mark.parametrize(
    ("unit", "of_c"),
    [
        ("unit:degC", lambda c: c),
        ("wmoUnit:degF", lambda c: c * 1.8 + 32),
        ("wmoUnit:K", lambda c: c + 273.15),
        ("uc:degC", lambda c: c),
    ],
)
async def test_the_unit_is_read_with_every_value(
    unit: str, of_c: object, services: WeatherServices, national: NationalService
) -> None:
    """Half the reports in one unit and half in another give the same days."""
    fill(services)
    plain = await national.daily(*PLACE, FIRST, LAST)
    for report in services.reports["KTAR"][::2]:
        value = report["properties"]["temperature"]["value"]
        report["properties"]["temperature"] = quantity(of_c(value), unit)  # type: ignore[operator]

    mixed = await national.daily(*PLACE, FIRST, LAST)

    assert mixed.daily.air_min_c == pytest.approx(plain.daily.air_min_c, abs=1e-9)
    assert mixed.daily.air_max_c == pytest.approx(plain.daily.air_max_c, abs=1e-9)


@pytest.mark.parametrize("unit", ["wmoUnit:Pa", "degrees", ""])
async def test_an_unknown_unit_is_an_error(unit: str, services: WeatherServices, national: NationalService) -> None:
    """20 of something else would pass for a mild day."""
    fill(services)
    services.reports["KTAR"][5]["properties"]["temperature"] = quantity(20.0, unit)

    with pytest.raises(NotUnderstood, match=f"{NAME}: air_c comes in the unit {unit or 'none'}"):
        await national.daily(*PLACE, FIRST, LAST)


async def test_snow_and_rain_come_in_our_units(services: WeatherServices, national: NationalService) -> None:
    """Metres of snow, centimetres of rain; of several reports in an hour the most rain counts, they add up to it."""
    fill(services)
    for at, report in enumerate(services.reports["KTAR"][:24]):
        report["properties"]["snowDepth"] = quantity(0.05, "wmoUnit:m")
        report["properties"]["precipitationLastHour"] = quantity(0.1 if at < 12 else 0.0, "wmoUnit:cm")
    early = observation("KTAR", MIDNIGHT + 0.5 * HOUR, precipitationLastHour=quantity(0.4, "wmoUnit:mm"))
    services.reports["KTAR"].insert(0, early)

    found = await national.daily(*PLACE, FIRST, FIRST)

    assert found.daily.snow_depth_cm == pytest.approx([5.0])
    assert found.daily.rain_mm == pytest.approx([12.0])


async def test_reports_every_five_minutes_are_averaged_by_the_hour(
    services: WeatherServices, national: NationalService
) -> None:
    """And one that cannot be is left out before it spoils the mean, and counted."""
    times = [MIDNIGHT + step * timedelta(minutes=5) for step in range(1, 288)]
    services.reports["KTAR"] = [observation("KTAR", at, temperature=quantity(day_course_c(at))) for at in times]
    services.reports["KTAR"][30]["properties"]["temperature"] = quantity(-99.9)

    found = await national.daily(*PLACE, FIRST, FIRST)

    assert found.doubts == Doubts(impossible=1)
    assert found.hourly.air_c[:24] == pytest.approx(
        [day_course_c(MIDNIGHT + timedelta(hours=hour, minutes=32)) for hour in range(24)], abs=0.4
    )


async def test_a_sensor_that_hangs_is_found_out(services: WeatherServices, national: NationalService) -> None:
    """Thirteen equal hours; its day is not told."""
    fill(services)
    for report in services.reports["KTAR"][24:38]:
        report["properties"]["temperature"]["value"] = 3.3

    found = await national.daily(*PLACE, FIRST, LAST)

    assert found.doubts.stuck == 14
    assert np.isnan(found.daily.air_min_c).tolist() == [False, True, False, False, False]


async def test_the_next_station_steps_in_for_one_with_too_few_days(
    services: WeatherServices, national: NationalService
) -> None:
    """Nearest first whatever the order of the list; the best of those tried; broken and empty ones are passed over."""
    services.stations = [
        station("KFAR", "Far", 31.95, -81.75),
        station("KMID", "Middle", 31.80, -81.75),
        station("KONE", "Nearest", 31.63, -81.75),
        station("KTWO", "Second", 31.70, -81.75),
    ]
    fill(services, "KMID", days=3)
    fill(services, "KTWO", days=2)
    fill(services, "KFAR", days=5)

    found = await national.daily(*PLACE, FIRST, LAST)

    assert found.daily.station.code == "KMID"
    assert found.daily.days.tolist() == [FIRST + timedelta(days=step) for step in range(3)]

    services.fail("/stations/KMID", *[status(500)] * 4)
    instead = await national.daily(*PLACE, FIRST, LAST)
    assert instead.daily.station.code == "KTWO"

    fill(services, "KONE", days=5)
    nearest = await national.daily(*PLACE, FIRST, LAST)
    assert nearest.daily.station.code == "KONE"


async def test_a_station_out_of_reach_is_no_station(services: WeatherServices, national: NationalService) -> None:
    """What it measured says nothing of this lawn."""
    services.stations = [station("KFAR", "Far", 32.4, -81.75)]
    fill(services, "KFAR")

    with pytest.raises(NothingThere, match="no station within 60 km; the nearest is 87 km away"):
        await national.daily(*PLACE, FIRST, LAST)


async def test_an_elevation_that_stands_for_unknown_is_none(
    services: WeatherServices, national: NationalService
) -> None:
    """No station lies 9,999 m high."""
    services.stations = [station("KTAR", "", 31.65, -81.70, 9999.0)]
    fill(services)

    assert (await national.daily(*PLACE, FIRST, LAST)).daily.station.elevation_m is None


async def test_only_the_last_week_is_there(services: WeatherServices, national: NationalService) -> None:
    """Older days are not asked for; a span of them alone is told."""
    fill(services, days=6, begin=MIDNIGHT - timedelta(days=1))

    found = await national.daily(*PLACE, date(2026, 12, 1), LAST)

    assert found.daily.days[0].item() == date(2027, 1, 14)
    first = next(each for each in services.asked if "observations" in each)
    assert "start=2027-01-13T05" in first
    with pytest.raises(NothingThere, match="keeps the last 7 days only, and has none from 2026-12-01 to 2027-01-12"):
        await national.daily(*PLACE, date(2026, 12, 1), date(2027, 1, 12))


async def test_no_readings_at_all_are_told(services: WeatherServices, national: NationalService) -> None:
    """The station is there and silent."""
    with pytest.raises(NothingThere, match="no full day of air temperature from 2027-01-15 to 2027-01-19"):
        await national.daily(*PLACE, FIRST, LAST)


async def test_outside_the_country_is_told(services: WeatherServices, national: NationalService) -> None:
    """By the service's own error, and by a point without stations (at sea)."""
    with pytest.raises(OutsideArea, match="gives no weather for this place"):
        await national.daily(51.5, -0.1, FIRST, LAST)
    services.fail("/points", body('{"properties": {"gridId": null, "timeZone": null}}'))
    with pytest.raises(OutsideArea):
        await national.daily(*PLACE, FIRST, LAST)


@pytest.mark.parametrize(
    ("broken", "where"),
    [
        ('{"features": [{"properties": {"timestamp": "2027-01-15T06:00:00"}}]}', "features.0.properties.timestamp"),
        ('{"features": [{"properties": {"timestamp": "noon"}}]}', "features.0.properties.timestamp"),
        ('{"features": [{"properties": {}}]}', "features.0.properties.timestamp"),
        (
            '{"features": [{"properties": {"timestamp": "2027-01-15T06:00:00Z", "temperature": {"value": "4"}}}]}',
            "features.0.properties.temperature.value",
        ),
        ('{"features": {}}', "features"),
        ("[]", "the whole"),
    ],
)
async def test_another_form_is_told_with_its_place(
    broken: str, where: str, services: WeatherServices, national: NationalService
) -> None:
    """Times without a zone, texts for numbers, other shapes: nothing is guessed."""
    services.fail("/stations", body(broken))

    with pytest.raises(NotUnderstood, match=rf"does not fit at {where} "):
        await national.daily(*PLACE, FIRST, LAST)


@pytest.mark.parametrize(("code", "kind"), [(503, ServiceBroken), (403, Refused)])
async def test_errors_of_the_service_come_through(
    code: int, kind: type[Exception], services: WeatherServices, national: NationalService
) -> None:
    """Those that pass and those that do not, with the service's name."""
    services.fail("/points", *[status(code, "Forbidden or down")] * 9)

    with pytest.raises(kind, match=rf"{NAME}: .*Forbidden or down"):
        await national.daily(*PLACE, FIRST, LAST)


async def test_a_busy_service_for_every_station_is_try_later(
    services: WeatherServices, national: NationalService
) -> None:
    """So that the caller knows that waiting helps."""
    services.fail("/stations", *[status(429, retry_after="900")] * 9)

    with pytest.raises(TryLater) as caught:
        await national.daily(*PLACE, FIRST, LAST)
    assert caught.value.after_seconds == 900


@pytest.mark.parametrize(
    ("now", "on"),
    [
        (datetime(2027, 3, 16, 12, tzinfo=UTC), date(2027, 3, 14)),  # clocks go forward
        (datetime(2026, 11, 3, 12, tzinfo=UTC), date(2026, 11, 1)),  # and back
    ],
)
async def test_days_are_of_standard_time_when_clocks_change(
    now: datetime, on: date, services: WeatherServices, national: NationalService, clock: SetClock
) -> None:
    """24 hours from 05:00 UTC, whatever the clocks show: a low at 04:30 UTC belongs to the day before."""
    clock.set(now)
    midnight = datetime(on.year, on.month, on.day, 5, tzinfo=UTC)
    fill(services, days=3, begin=midnight - timedelta(days=1))
    last_hour = services.reports["KTAR"][23]
    last_hour["properties"]["temperature"]["value"] = -9.0

    found = await national.daily(*PLACE, on - timedelta(days=1), on)

    assert found.hourly.utc_offset_hours == -5
    assert len(found.hourly.hours) == 48
    assert found.daily.air_min_c == pytest.approx([-9.0, -3.0], abs=0.1)


@pytest.mark.parametrize(
    ("zone", "on", "hours"),
    [
        ("America/New_York", date(2027, 1, 15), -5.0),
        ("America/New_York", date(2027, 7, 15), -5.0),
        ("America/Chicago", date(2027, 3, 14), -6.0),
        ("America/Phoenix", date(2027, 7, 15), -7.0),
        ("America/St_Johns", date(2027, 7, 15), -3.5),
    ],
)
def test_standard_time_is_the_same_all_year(zone: str, on: date, hours: float) -> None:
    """Summer time is taken off."""
    assert standard_offset_hours(NAME, zone, on) == hours


@pytest.mark.parametrize("zone", ["America/Tarrow", "America", "../etc/passwd", "x" * 3000])
def test_a_zone_that_is_none_is_told(zone: str) -> None:
    """Not taken for UTC."""
    with pytest.raises(NotUnderstood, match="no time zone"):
        standard_offset_hours(NAME, zone, FIRST)


def test_an_hour_ends_with_its_full_hour() -> None:
    """13:00 closes the hour before, 13:01 opens the next; what lies outside has no place."""
    span = Span(first_on=FIRST, last_on=FIRST, utc_offset_hours=-5)
    hours = span.hours()
    offsets = [0, 1, 3600, 3601, 86400, 86401]

    place, inside = in_hours(instants([MIDNIGHT + timedelta(seconds=each) for each in offsets]), hours)

    assert (str(hours[0]), str(hours[-1]), len(hours)) == ("2027-01-15T06", "2027-01-16T05", 24)
    assert place[inside].tolist() == [0, 0, 1, 23]
    assert inside.tolist() == [False, True, True, True, True, False]


@pytest.mark.parametrize("offset", [-3.5, 0.0, 5.5, 5.75])
def test_days_of_zones_with_half_hours_have_24_hours_too(offset: float) -> None:
    """Each hour whose middle lies in the day."""
    span = Span(first_on=FIRST, last_on=LAST, utc_offset_hours=offset)
    begin, end = (np.datetime64(at.replace(tzinfo=None)) for at in (span.begin_at, span.end_at))
    middles = span.hours().astype("datetime64[m]") - np.timedelta64(30, "m")

    assert len(middles) == 120
    assert (middles >= begin).all()
    assert (middles < end).all()


@pytest.mark.parametrize(
    ("degrees", "written"),
    [(31.623456, "31.62"), (-81.7, "-81.7"), (31.0, "31"), (-0.001, "0"), (-123.4567, "-123.46")],
)
def test_coordinates_go_out_short(degrees: float, written: str) -> None:
    """No zeros at the end, no minus before a zero."""
    assert sent(degrees) == written
