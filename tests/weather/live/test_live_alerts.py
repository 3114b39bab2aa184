"""Official warnings: which are of frost, which are called off, and that drills and broken ones do no harm."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from bot.weather.live.alerts import AlertKind, read_alerts, still_standing
from bot.weather.live.http import Web
from bot.weather.live.national import NationalService
from bot.weather.live.port import NotUnderstood
from tests.fakes.weather_services import PLACE, WeatherServices, alert


@pytest.fixture
def national(web: Web, address: str) -> NationalService:
    return NationalService(web, address)


async def test_a_warning_comes_with_all_that_is_told(services: WeatherServices, national: NationalService) -> None:
    """Times as instants, places as codes, the words as they are."""
    services.alerts = [alert("urn:1")]

    found = await national.alerts_at(*PLACE)

    (freeze,) = found.alerts
    assert services.asked == ["/alerts/active?point=31.62%2C-81.75"]
    assert (freeze.id, freeze.kind, freeze.event, freeze.severity) == (
        "urn:1",
        AlertKind.ALERT,
        "Freeze Warning",
        "Moderate",
    )
    assert freeze.onset_at == datetime(2027, 1, 16, 5, tzinfo=UTC)
    assert freeze.ends_at == datetime(2027, 1, 16, 15, tzinfo=UTC)
    assert (freeze.area, freeze.counties, freeze.zones) == ("Tarrow; Sound", ("099001", "099003"), ("TCZ001",))
    assert freeze.instruction.startswith("Take steps now")
    assert freeze.is_freeze
    assert found.source.credit == "US National Weather Service"
    assert found.unread == 0


async def test_zones_and_counties_are_asked_by_their_codes(
    services: WeatherServices, national: NationalService
) -> None:
    """All in one question."""
    services.alerts = [alert(f"urn:{n}") for n in range(5)]
    services.page_size = 2

    found = await national.alerts_in(["TCZ001", "TCC003"])

    assert services.asked[0] == "/alerts/active?zone=TCZ001%2CTCC003"
    assert [each.id for each in found.alerts] == [f"urn:{n}" for n in range(5)]


@pytest.mark.parametrize(
    ("event", "is_freeze"),
    [
        ("Freeze Warning", True),
        ("Freeze Watch", True),
        ("Frost Advisory", True),
        ("Hard Freeze Warning", True),
        ("Extreme Cold Warning", True),
        ("Extreme Cold Watch", True),
        ("Cold Weather Advisory", True),
        ("FROST ADVISORY", True),
        ("Freezing Fog Advisory", False),
        ("Heavy Freezing Spray Warning", False),
        ("Winter Weather Advisory", False),
        ("Ice Storm Warning", False),
        ("Heat Advisory", False),
        ("Cold Water Advisory", False),
    ],
)
def test_warnings_of_frost_are_known_by_their_words(event: str, is_freeze: bool) -> None:
    """Loosely, since names change; freezing rain, fog and spray are another matter."""
    alerts, _ = read_alerts([alert("urn:1", event)])

    assert alerts[0].is_freeze is is_freeze


def test_missing_times_are_none_and_the_onset_falls_back() -> None:
    """An end that is not told is not made up from when the message expires."""
    (found,) = read_alerts([alert("urn:1", onset=None, ends=None, headline=None, instruction=None)])[0]

    assert found.onset_at == datetime(2027, 1, 15, 18, 40, tzinfo=UTC)
    assert found.ends_at is None
    assert found.expires_at == datetime(2027, 1, 16, 9, tzinfo=UTC)
    assert (found.headline, found.instruction) == ("", "")


@pytest.mark.parametrize("status", ["Test", "Exercise", "Draft", "System"])
def test_drills_are_no_warnings(status: str) -> None:
    """A homeowner must never be sent out by an exercise."""
    assert read_alerts([alert("urn:1", status=status), alert("urn:2", messageType="Ack")]) == ((), 0)


def test_what_was_replaced_or_called_off_stands_no_more() -> None:
    """An update takes its forerunner's place; a cancel takes the warning away and is none itself."""
    first = alert("urn:1", sent="2027-01-15T10:00:00-05:00")
    update = alert(
        "urn:2", messageType="Update", references=[{"identifier": "urn:1"}], sent="2027-01-15T12:00:00-05:00"
    )
    other = alert("urn:3", "Frost Advisory", sent="2027-01-15T11:00:00-05:00")
    cancel = alert(
        "urn:4",
        "Frost Advisory",
        messageType="Cancel",
        references=[{"identifier": "urn:3"}],
        sent="2027-01-15T13:00:00Z",
    )

    alerts, _ = read_alerts([cancel, update, other, first, first])

    assert [each.id for each in alerts] == ["urn:4", "urn:1", "urn:3", "urn:2"]
    assert alerts[-1].replaces == ("urn:1",)
    assert [each.id for each in still_standing(alerts)] == ["urn:2"]


async def test_one_broken_warning_hides_no_other(services: WeatherServices, national: NationalService) -> None:
    """It is counted; when none can be read the form has changed, and that is told."""
    services.alerts = [alert("urn:1", sent="soon"), {"type": "Feature"}, alert("urn:2")]
    found = await national.alerts_at(*PLACE)

    assert [each.id for each in found.alerts] == ["urn:2"]
    assert found.unread == 2

    services.alerts = services.alerts[:2]
    with pytest.raises(NotUnderstood, match="no warning is in the form we know"):
        await national.alerts_at(*PLACE)


async def test_no_warnings_is_a_good_answer(services: WeatherServices, national: NationalService) -> None:
    """Most days."""
    assert (await national.alerts_at(*PLACE)).alerts == ()
