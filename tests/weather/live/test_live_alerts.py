"""Official warnings asked of the national service: where, page by page, handed on as they are written."""

from __future__ import annotations

import pytest

from bot.ops.alerts.national import read_features
from bot.weather.live.http import Web
from bot.weather.live.national import NationalService
from tests.fakes.weather_services import PLACE, WeatherServices, alert


@pytest.fixture
def national(web: Web, address: str) -> NationalService:
    return NationalService(web, address)


async def test_the_warnings_at_a_place_come_as_they_are(services: WeatherServices, national: NationalService) -> None:
    """With whom to thank for them; reading them is another room's work."""
    services.alerts = [alert("urn:1"), {"type": "Feature"}]

    found = await national.alerts_at(*PLACE)

    assert services.asked == ["/alerts/active?point=31.62%2C-81.75"]
    assert found.features == tuple(services.alerts)
    assert found.source.credit == "US National Weather Service"
    read = read_features(found.features)
    assert [each.identifier for each in read.alerts] == ["urn:1"]
    assert [each.reason for each in read.refused] == ["missing:properties"]


async def test_zones_and_counties_are_asked_by_their_codes(
    services: WeatherServices, national: NationalService
) -> None:
    """All in one question, page after page."""
    services.alerts = [alert(f"urn:{n}") for n in range(5)]
    services.page_size = 2

    found = await national.alerts_in(["TCZ001", "TCC003"])

    assert services.asked[0] == "/alerts/active?zone=TCZ001%2CTCC003"
    assert [each.identifier for each in read_features(found.features).alerts] == [f"urn:{n}" for n in range(5)]


async def test_no_warnings_is_a_good_answer(services: WeatherServices, national: NationalService) -> None:
    """Most days."""
    assert (await national.alerts_at(*PLACE)).features == ()
