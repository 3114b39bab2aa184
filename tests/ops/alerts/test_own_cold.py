"""Our own estimate of damaging cold: which grasses a forecast puts at risk, drafted once for each spell."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.channels.sms.segments import gsm_text, is_gsm, segments_of
from bot.ops.advisories.advisory import State
from bot.ops.alerts.following import Outcome
from bot.ops.alerts.keeping import Alerts
from bot.ops.alerts.own_cold import ColdAhead, cold_ahead, grasses_at_risk, own_draft
from bot.ops.alerts.watching import Watched, Watching
from bot.ops.regions.shapes import Shape
from bot.weather.live.http import Web
from bot.weather.live.national import NationalService
from bot.words import Words
from rules.grasses import GrassCode
from rules.weather import HOUR_SERIES, HourlyWeather, Station
from tests.fakes.house import open_house
from tests.fakes.weather_services import PLACE, WeatherServices, grid_body, serving
from tests.ops.alerts.made import NOW
from tests.ops.alerts.test_keeping import Desk

COAST = Watched(id=3, name="Coast", shape=Shape(states=frozenset({"GA"})), latitude=31.2)
FIRST = date(2027, 1, 15)
LATER = "2027-01-16T14:00:00+00:00/P1D"


def forecast(minima_c: list[float], first_on: date = FIRST) -> HourlyWeather:
    """Hours of local days with these minima at six in the morning, ten degrees warmer in the afternoon."""
    hours = np.arange(
        np.datetime64(f"{first_on}T06", "h"), np.datetime64(f"{first_on + timedelta(days=len(minima_c))}T06", "h")
    )
    air = np.concatenate([low + 5 - 5 * np.cos((np.arange(24) + 0.5 - 6) / 24 * 2 * np.pi) for low in minima_c])
    empty = {name: np.full(len(hours), np.nan) for name in HOUR_SERIES}
    station = Station(network="made", code="X", name="Coast", latitude=31.2, longitude=-81.5, elevation_m=5.0)
    return HourlyWeather(station=station, hours=hours, utc_offset_hours=-5.0, **(empty | {"air_c": air}))


def ahead(air_min_c: float) -> ColdAhead:
    return ColdAhead(coldest_on=date(2027, 1, 16), air_min_c=air_min_c, days_below_freezing=2, utc_offset_hours=-5.0)


def test_the_coldest_day_ahead_is_found_with_the_frosts_around_it() -> None:
    """In local days; a frost by itself later does not count to it."""
    found = cold_ahead(forecast([2.0, -1.0, -8.0, -2.0, 3.0, -1.0]), FIRST)

    assert found is not None
    assert (found.coldest_on, found.days_below_freezing) == (date(2027, 1, 17), 3)
    assert found.air_min_c == pytest.approx(-8.0, abs=0.1)


def test_what_is_over_or_does_not_freeze_is_no_cold_ahead() -> None:
    """Yesterday's night, and a mild week."""
    assert cold_ahead(forecast([-8.0, 5.0, 6.0]), FIRST + timedelta(days=1)) is None
    assert cold_ahead(forecast([4.0, 5.0, 6.0]), FIRST) is None


def test_the_tender_grasses_are_at_risk_first() -> None:
    """St. Augustine before bermuda before zoysia; buffalograss last, as their published limits stand."""
    at = {f: {each.grass for each in grasses_at_risk(ahead((f - 32) / 1.8), 31.0)} for f in (30, 25, 21, 5)}

    assert GrassCode.ST_AUGUSTINE not in at[30]
    assert GrassCode.ST_AUGUSTINE in at[25]
    assert GrassCode.BERMUDA not in at[25]
    assert GrassCode.BERMUDA in at[21]
    assert GrassCode.ZOYSIA not in at[21]
    assert at[5] == set(GrassCode)


@settings(max_examples=30)
@given(st.floats(-20, 1), st.floats(0, 8), st.floats(25, 37))
def test_colder_air_never_lowers_the_risk(air_min_c: float, colder_dc: float, latitude: float) -> None:
    """For any grass, anywhere in the South; and all odds are odds."""
    before = {each.grass: each for each in grasses_at_risk(ahead(air_min_c), latitude)}
    after = {each.grass: each for each in grasses_at_risk(ahead(air_min_c - colder_dc), latitude)}

    for grass, risk in before.items():
        assert 0 <= risk.nearly_all_lost_probability <= risk.some_lost_probability <= 1
        assert after[grass].some_lost_probability >= risk.some_lost_probability - 1e-9


def test_the_draft_is_for_the_grasses_at_risk_and_says_whose_estimate_it_is() -> None:
    """Odds for the operator, a range and no certainty for the owner, in plain letters."""
    cold = ahead(-6.0)
    content = own_draft(Words(), COAST.name, COAST.shape, cold, grasses_at_risk(cold, COAST.latitude))

    assert content.name.startswith("Own estimate, Sat, Jan 16, Coast: odds that some carpetgrass is lost: ")
    assert content.words.startswith(
        "Our own estimate, no official alert: air near you may fall to 18 to 25 F around Sat, Jan 16. Don't feed,"
    )
    assert all(map(is_gsm, content.words))
    assert segments_of(gsm_text(content.words)) <= 2
    assert content.audience.shape == COAST.shape
    assert content.audience.grasses >= {"st_augustine", "bermuda"}
    assert "buffalo" not in content.audience.grasses
    assert content.useful_until is not None
    assert content.useful_until.isoformat() == "2027-01-17T12:00:00-05:00"


@pytest.fixture
async def desk(tmp_path: Path) -> AsyncIterator[Desk]:
    async with open_house(tmp_path) as house:
        house.clock.set(NOW)
        yield Desk(house)


async def test_a_spell_of_cold_is_drafted_for_once(desk: Desk) -> None:
    """Though the forecast shifts its coldest night; the next spell and another region are drafted for again."""
    watching = Watching(desk.house.store.database, desk.drafts, Words(), desk.house.clock)
    first = await watching.look(COAST, forecast([4.0, -8.0, 3.0]), None)
    shifted = await watching.look(COAST, forecast([4.0, 0.5, -9.0]), None)
    inland = Watched(id=4, name="Inland", shape=COAST.shape, latitude=32.5)

    assert first is not None
    assert first.outcome is Outcome.DRAFTED
    assert shifted is None
    assert await watching.look(COAST, forecast([4.0, 3.0, 5.0]), None) is None
    assert await watching.look(inland, forecast([4.0, -8.0, 3.0]), None) is not None
    desk.house.clock.set(NOW + timedelta(days=9))
    assert await watching.look(COAST, forecast([4.0, -8.0, 3.0], FIRST + timedelta(days=9)), None) is not None
    assert [each.state for each in await desk.all()] == [State.DRAFT] * 3
    assert desk.house.value("SELECT count(*) FROM outbox") == 0


async def test_an_estimate_stands_in_the_list_and_is_no_alert_to_others(desk: Desk) -> None:
    """It never keeps an official one from being called off."""
    await Watching(desk.house.store.database, desk.drafts, Words(), desk.house.clock).look(
        COAST, forecast([4.0, -8.0, 3.0]), None
    )
    listed = await Alerts(desk.house.store.database, desk.drafts, Words(), desk.house.clock).latest(9)

    assert [(each.outcome, each.advisory_id, each.alert.scope) for each in listed] == [(Outcome.DRAFTED, 1, "Private")]


async def test_the_forecast_of_the_national_service_is_enough(desk: Desk) -> None:
    """As it comes from there, hour by hour."""
    services = WeatherServices()
    services.grid = grid_body(
        [("2027-01-15T20:00:00+00:00/PT12H", 4.0), ("2027-01-16T08:00:00+00:00/PT6H", -8.0), (LATER, 3.0)]
    )
    async with (
        serving(services) as address,
        Web(contact="lawns@tarrow.invalid", cache_file=None, clock=desk.house.clock) as web,
    ):
        found = await NationalService(web, address).forecast(*PLACE)

    taken = await Watching(desk.house.store.database, desk.drafts, Words(), desk.house.clock).look(
        COAST, found.hourly, None
    )

    assert taken is not None
    assert taken.alert.identifier == "3/2027-01-16"
