"""Services together: measured days first, the reanalysis for the rest, and each day's origin told."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.clock import SetClock
from bot.errors import SettingsError
from bot.weather.live import national, reanalysis
from bot.weather.live.merging import Gathered, merged
from bot.weather.live.port import Fetched, NothingThere, OutsideArea, ServiceBroken, ServiceUnreachable
from bot.weather.live.services import LiveSettings, Step, open_services
from bot.weather.source import Source
from rules.weather import DAY_SERIES, HOUR_SERIES, Array, DailyWeather, HourlyWeather, Station
from rules.weather_checks import Doubts
from tests.fakes.weather_services import (
    HOUR,
    PLACE,
    WeatherServices,
    archive_body,
    hourly_reports,
    serving,
    status,
    unused_address,
)
from tests.weather.live.conftest import NOW, QUICK

FIRST, LAST = date(2027, 1, 1), date(2027, 1, 20)
NATIONAL, ARCHIVE = national.NAME, reanalysis.NAME


@pytest.fixture
def settings(address: str) -> LiveSettings:
    return LiveSettings(
        contact="lawns@tarrow.invalid",
        cache_file=None,
        national_url=address,
        reanalysis_url=address,
        patience=QUICK,
    )


def measure(services: WeatherServices, first_on: date, days: int) -> None:
    begin = datetime(first_on.year, first_on.month, first_on.day, 5, tzinfo=UTC)
    services.reports["KTAR"] = hourly_reports("KTAR", begin, 24 * days)


def lag(services: WeatherServices, last_known_on: date) -> None:
    """The archive has nulls after a day, as it lags."""

    def lagging(first: date, last: date) -> dict[str, object]:
        whole = archive_body(first, last)
        known = 24 * ((last_known_on - first).days + 1) + 5
        for name, values in whole["hourly"].items():
            if name != "time":
                whole["hourly"][name] = [*values[:known], *[None] * (len(values) - known)]
        return whole

    services.archive = lagging


async def fetch(settings: LiveSettings, clock: SetClock, first: date = FIRST, last: date = LAST) -> Gathered:
    async with open_services(settings, clock) as live:
        return await live.fetch(*PLACE, first, last)


def told(found: Gathered) -> list[tuple[str, date, date]]:
    return [(each.source.name, each.first_on, each.last_on) for each in found.stretches]


async def test_measured_days_come_first_and_the_rest_from_the_reanalysis(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """Day by day, each with its origin; the credit of both is there."""
    measure(services, date(2027, 1, 13), 7)
    lag(services, date(2027, 1, 15))

    found = await fetch(settings, clock)

    assert told(found) == [
        (ARCHIVE, FIRST, date(2027, 1, 12)),
        (NATIONAL, date(2027, 1, 13), date(2027, 1, 19)),
    ]
    assert found.missing == ((LAST, LAST),)  # today is not over
    assert len(found.daily.days) == 19
    assert found.daily.air_min_c == pytest.approx([-4.0] * 12 + [-3.0] * 7, abs=0.1)
    assert [each.is_measured for each in found.sources] == [True, False]
    assert found.daily.station.code == "KTAR"
    assert found.problems == ()


async def test_rain_and_sun_of_measured_days_are_topped_up(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """Where the archive reaches; which readings that are is told, and the air is never mixed."""
    measure(services, date(2027, 1, 13), 7)
    lag(services, date(2027, 1, 15))

    found = await fetch(settings, clock)

    assert set(found.topped_up) == {"rain_mm", "snow_depth_cm", "solar_mj_per_m2"}
    assert np.isfinite(found.daily.rain_mm).tolist() == [True] * 15 + [False] * 4
    assert found.soil_top_mean_c is not None
    assert np.isfinite(found.soil_top_mean_c).tolist() == [True] * 15 + [False] * 4


async def test_nobody_is_asked_for_what_he_cannot_have(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """Old days go to the archive alone, recent ones to the stations alone."""
    await fetch(settings, clock, date(2026, 12, 1), date(2026, 12, 5))
    assert [each.partition("?")[0] for each in services.asked] == ["/v1/archive"]

    services.asked.clear()
    measure(services, date(2027, 1, 17), 3)
    found = await fetch(settings, clock, date(2027, 1, 17), LAST)
    assert told(found) == [(NATIONAL, date(2027, 1, 17), date(2027, 1, 19))]
    assert not any("archive" in each for each in services.asked)


async def test_a_hole_in_the_measured_days_is_filled_and_told(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """A station that was silent for a day the archive has."""
    measure(services, date(2027, 1, 13), 7)
    services.reports["KTAR"] = services.reports["KTAR"][:24] + services.reports["KTAR"][48:]

    found = await fetch(settings, clock, date(2027, 1, 13), date(2027, 1, 19))

    assert told(found) == [
        (NATIONAL, date(2027, 1, 13), date(2027, 1, 13)),
        (ARCHIVE, date(2027, 1, 14), date(2027, 1, 14)),
        (NATIONAL, date(2027, 1, 15), date(2027, 1, 19)),
    ]


async def test_one_service_down_leaves_the_other(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """What went wrong is told beside what there is."""
    services.fail("/points", *[status(500)] * 9)
    found = await fetch(settings, clock)
    assert {name for name, _, _ in told(found)} == {ARCHIVE}
    assert [type(each) for each in found.problems] == [ServiceBroken]

    services.faults.clear()
    measure(services, date(2027, 1, 14), 6)
    found = await fetch(replace(settings, reanalysis_url=unused_address()), clock)
    assert told(found) == [(NATIONAL, date(2027, 1, 14), date(2027, 1, 19))]
    assert [type(each) for each in found.problems] == [ServiceUnreachable]
    assert found.missing == ((FIRST, date(2027, 1, 13)), (LAST, LAST))


async def test_outside_the_country_the_reanalysis_serves(settings: LiveSettings, clock: SetClock) -> None:
    """The national service says that it has nothing; that is told, and no obstacle."""
    async with open_services(settings, clock) as live:
        found = await live.fetch(19.4, -99.1, FIRST, LAST)

    assert [type(each) for each in found.problems] == [OutsideArea]
    assert {name for name, _, _ in told(found)} == {ARCHIVE}


async def test_when_all_fail_the_error_that_passes_comes_first(
    services: WeatherServices, settings: LiveSettings, clock: SetClock
) -> None:
    """The caller can wait then."""
    services.fail("/v1", *[status(500)] * 9)
    async with open_services(settings, clock) as live:
        with pytest.raises(ServiceBroken):
            await live.fetch(19.4, -99.1, FIRST, LAST)


async def test_services_can_be_switched_off(services: WeatherServices, settings: LiveSettings, clock: SetClock) -> None:
    """Without the national one no contact is needed; with none at all that is said."""
    found = await fetch(replace(settings, with_national=False, contact=""), clock)
    assert {name for name, _, _ in told(found)} == {ARCHIVE}
    assert not any("points" in each for each in services.asked)

    with pytest.raises(NothingThere, match="Switch another one on"):
        await fetch(replace(settings, with_national=False, with_reanalysis=False), clock)
    with pytest.raises(SettingsError, match="AFTERFROST_WEATHER_CONTACT"):
        await fetch(replace(settings, contact=""), clock)


async def test_progress_is_told(services: WeatherServices, settings: LiveSettings, clock: SetClock) -> None:
    """Each service, that it is asked and how it went."""
    services.fail("/points", *[status(500)] * 9)
    steps: list[Step] = []
    async with open_services(settings, clock) as live:
        await live.fetch(*PLACE, FIRST, LAST, steps.append)

    assert [(each.service, each.state) for each in steps] == [
        (NATIONAL, "asking"),
        (NATIONAL, "failed"),
        (ARCHIVE, "asking"),
        (ARCHIVE, "done"),
    ]


async def test_cut_off_a_season_still_comes_from_kept_copies(
    tmp_path: Path, services: WeatherServices, clock: SetClock
) -> None:
    """Both services gone: the same days, marked as copies, with their age."""
    clock.set(datetime.now(UTC))
    today = (clock.now() - 5 * HOUR).date()
    measure(services, today - timedelta(days=7), 7)
    async with serving(services) as address:
        settings = LiveSettings(
            contact="lawns@tarrow.invalid",
            cache_file=tmp_path / "answers" / "kept.db",
            national_url=address,
            reanalysis_url=address,
            patience=QUICK,
        )
        first, last = today - timedelta(days=20), today - timedelta(days=1)
        fresh = await fetch(settings, clock, first, last)
    kept = await fetch(settings, clock, first, last)

    assert told(kept) == told(fresh)
    assert np.array_equal(fresh.daily.air_min_c, kept.daily.air_min_c, equal_nan=True)
    assert not any(each.is_kept_copy for each in fresh.parts)
    assert all(each.is_kept_copy for each in kept.parts)
    assert all("kept copy" in each.note and each.fetched_at is not None for each in kept.sources)


def part(name: str, first_on: date, air: list[float], rain: list[float]) -> Fetched:
    count = len(air)
    nothing = np.full(count, np.nan)
    station = Station(code=name, name="", latitude=31.0, longitude=-81.0, elevation_m=None, network="")
    series: dict[str, Array] = dict.fromkeys(DAY_SERIES, nothing)
    series |= {"air_min_c": np.array(air), "air_max_c": np.array(air) + 5, "rain_mm": np.array(rain)}
    days = np.datetime64(first_on, "D") + np.arange(count)
    hours = np.array(["2027-01-01T06"], dtype="datetime64[h]")
    return Fetched(
        daily=DailyWeather(station=station, days=days, **series),
        hourly=HourlyWeather(
            station=station, hours=hours, utc_offset_hours=-5.0, **{each: np.full(1, np.nan) for each in HOUR_SERIES}
        ),
        source=Source(name=name, credit="", link="", is_measured=name == "A", fetched_at=NOW),
        distance_km=1.0,
        doubts=Doubts(),
    )


MAYBE = st.one_of(st.just(np.nan), st.floats(0, 20))


@st.composite
def parts_of_days(draw: st.DrawFn) -> list[Fetched]:
    """One to three origins with holes, at least one day known."""
    found = []
    for name in "ABC"[: draw(st.integers(1, 3))]:
        first_on = FIRST + timedelta(days=draw(st.integers(0, 8)))
        air = draw(st.lists(MAYBE, min_size=1, max_size=10))
        rain = draw(st.lists(MAYBE, min_size=len(air), max_size=len(air)))
        found.append(part(name, first_on, air, rain))
    found[0].daily.air_min_c[0], found[0].daily.air_max_c[0] = 1.0, 6.0
    return found


@given(parts_of_days())
def test_every_day_has_the_air_of_the_first_that_knows_it(parts: list[Fetched]) -> None:
    """Against a plain walk over days and parts; stretches and missing days cover the span once."""
    found = merged(parts, FIRST, LAST)

    span = [FIRST + timedelta(days=step) for step in range(20)]
    values = {
        (each.source.name, day): (low, rain)
        for each in parts
        for day, low, rain in zip(each.daily.days.tolist(), each.daily.air_min_c, each.daily.rain_mm, strict=True)
    }
    owner = {
        day: next(
            (each.source.name for each in parts if not np.isnan(values.get((each.source.name, day), (np.nan,))[0])), ""
        )
        for day in span
    }
    covered = {
        each.first_on + timedelta(days=step): each.source.name
        for each in found.stretches
        for step in range((each.last_on - each.first_on).days + 1)
    }
    gaps = {first + timedelta(days=step) for first, last in found.missing for step in range((last - first).days + 1)}

    assert covered == {day: name for day, name in owner.items() if name}
    assert gaps == {day for day, name in owner.items() if not name}
    for day, low, rain in zip(found.daily.days.tolist(), found.daily.air_min_c, found.daily.rain_mm, strict=True):
        assert low == pytest.approx(values[owner[day], day][0] if owner[day] else np.nan, nan_ok=True)
        order = [owner[day], *[each.source.name for each in parts]]
        rains = [values[name, day][1] for name in order if (name, day) in values]
        assert rain == pytest.approx(next((each for each in rains if not np.isnan(each)), np.nan), nan_ok=True)


def test_the_air_is_never_mixed() -> None:
    """A day whose low only is known here and high only there is known nowhere."""
    low = part("A", FIRST, [1.0, 2.0], [0.0, 0.0])
    high = part("B", FIRST, [3.0, 4.0], [0.0, 0.0])
    low.daily.air_max_c[1], high.daily.air_min_c[1] = np.nan, np.nan

    found = merged([low, high], FIRST, FIRST + timedelta(days=1))

    assert found.missing == ((FIRST + timedelta(days=1), FIRST + timedelta(days=1)),)
    assert len(found.daily.days) == 1


def test_a_mean_that_is_lacking_is_not_taken_from_another_place() -> None:
    """Only what is no air is topped up."""
    first, second = part("A", FIRST, [1.0], [np.nan]), part("B", FIRST, [3.0], [2.0])
    second = replace(second, daily=replace(second.daily, air_mean_c=np.array([5.0])))

    found = merged([first, second], FIRST, FIRST)

    assert np.isnan(found.daily.air_mean_c).all()
    assert found.daily.rain_mm.tolist() == [2.0]
    assert found.topped_up == ("rain_mm",)
