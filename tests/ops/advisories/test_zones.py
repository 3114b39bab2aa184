from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.advisories.advisory import AdvisoryRefused, NewAdvisory
from bot.ops.advisories.drafts import correction_of
from bot.ops.advisories.zones import COMMON, moment, most_live_in, on_clock, told, zone_named
from bot.ops.regions.audience import Audience
from bot.ops.regions.shapes import Shape
from bot.ops.roles import Role
from tests.fakes.desk import DeskHouse
from tests.ops.advisories.town import NOON, Town, lawn

EASTERN, CENTRAL = "America/New_York", "America/Chicago"
shown = datetime.fromisoformat  # as a clock shows it, wherever
LOUISIANA, GEORGIA = ("bermuda", "70801"), ("St. Augustine", "31522")


@pytest.mark.parametrize(
    ("typed", "zone", "utc"),
    [
        (shown("2027-01-15 18:00"), EASTERN, datetime(2027, 1, 15, 23, tzinfo=UTC)),
        (shown("2027-07-15 18:00"), EASTERN, datetime(2027, 7, 15, 22, tzinfo=UTC)),
        (shown("2027-07-15 18:00"), "America/Phoenix", datetime(2027, 7, 16, 1, tzinfo=UTC)),
        (shown("2027-03-14 01:59"), EASTERN, datetime(2027, 3, 14, 6, 59, tzinfo=UTC)),
        (shown("2027-03-14 03:00"), EASTERN, datetime(2027, 3, 14, 7, 0, tzinfo=UTC)),
        (shown("2027-11-07 01:30"), CENTRAL, datetime(2027, 11, 7, 6, 30, tzinfo=UTC)),  # of two the first
        (shown("2027-11-07 02:00"), CENTRAL, datetime(2027, 11, 7, 8, 0, tzinfo=UTC)),
    ],
)
def test_a_time_is_meant_as_a_clock_there_shows_it(typed: datetime, zone: str, utc: datetime) -> None:
    """In winter and summer, before and after clocks change."""
    assert moment(typed, zone) == utc


@pytest.mark.parametrize("typed", [shown("2027-03-14 02:00"), shown("2027-03-14 02:59")])
def test_an_hour_that_clocks_skip_is_refused(typed: datetime) -> None:
    """Nobody can mean it; the next time to take is told."""
    with pytest.raises(AdvisoryRefused, match=r"clocks skip that hour\. Take a later one"):
        moment(typed, EASTERN)
    assert moment(typed, "America/Phoenix")  # where clocks stay as they are


@given(st.datetimes(shown("2026-01-01 00:00"), shown("2029-01-01 00:00")), st.sampled_from(COMMON))
def test_what_is_told_is_read_as_the_same_moment(typed: datetime, zone: str) -> None:
    """Whatever is shown in a form means the same when it is sent back, but for the second of two hours."""
    typed = typed.replace(second=0, microsecond=0)
    try:
        at = moment(typed, zone)
    except AdvisoryRefused:
        assert typed.month == 3 and 8 <= typed.day <= 14
        return
    assert on_clock(at, zone).replace(tzinfo=None) == typed
    assert at.astimezone(ZoneInfo(zone)).fold == 0


def test_a_time_is_told_with_its_zone() -> None:
    """The name of its time and the place: nobody has to guess."""
    assert told(NOON, CENTRAL) == "2027-02-02 11:00 CST (America/Chicago)"
    assert told(NOON + timedelta(days=180), CENTRAL) == "2027-08-01 12:00 CDT (America/Chicago)"
    assert zone_named(CENTRAL) == CENTRAL
    with pytest.raises(AdvisoryRefused, match="no time zone"):
        zone_named("../etc/passwd")


def test_most_live_where_most_hours_are() -> None:
    """Over all channels; of two as many the first by name; nobody lives nowhere."""
    assert most_live_in({"web": {f"{EASTERN} 9 20": 2, f"{EASTERN} 8 20": 2}, "sms": {f"{CENTRAL} 9 20": 3}}) == EASTERN
    assert most_live_in({"web": {f"{EASTERN} 9 20": 2}, "sms": {f"{CENTRAL} 9 20": 2}}) == CENTRAL
    assert most_live_in({}) is None


async def test_the_zone_is_that_of_most_of_those_who_are_meant(town: Town, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of the area and the lawns asked for, few or many; None where there is nobody."""
    await town.people(3, "web", lawn(*LOUISIANA))
    await town.people(2, "web", lawn(*GEORGIA))
    for few in (20_000, 1):
        monkeypatch.setattr("bot.store.stances.FEW", few)
        zones = {}
        for state in ("LA", "GA", "TX", ""):
            audience = Audience(shape=Shape(states=frozenset({state}))) if state else Audience()
            content = NewAdvisory(name="", words="", audience=audience)
            await town.recipients.of(content)
            zones[state] = await town.recipients.zone(content)
        assert zones == {"LA": CENTRAL, "GA": EASTERN, "TX": None, "": CENTRAL}


async def test_the_desk_reads_and_tells_times_by_the_clock_there(town: Town, desk: DeskHouse) -> None:
    """Typed in Louisiana's time, told in it with its name, in the form again as it was typed; another zone on wish."""
    await town.people(3, "web", lawn(*LOUISIANA))
    await town.people(1, "web", lawn(*GEORGIA))
    await town.recipients.of(NewAdvisory(name="", words=""))
    ann = await desk.sits(Role.APPROVER)
    form = {"name": "Freeze", "words": "A freeze comes.", "where": "everywhere", "due": "2027-02-03T18:00"}
    await ann.send("/advisories", form)
    assert "6:00 PM CST" in ann.text
    assert (await town.advisory(1)).content.due_at == datetime(2027, 2, 4, 0, tzinfo=UTC)
    page = await ann.look("/advisories/1/change")
    assert 'value="2027-02-03T18:00"' in page.text
    assert f'value="{CENTRAL}" selected' in page.text

    await ann.send("/advisories", form | {"zone": EASTERN})
    assert "6:00 PM EST" in ann.text
    assert (await town.advisory(2)).content.due_at == datetime(2027, 2, 3, 23, tzinfo=UTC)
    answer = await ann.send("/advisories", form | {"due": "2027-03-14T02:30"})
    assert (answer.status_code, "clocks skip that hour" in ann.text) == (422, True)
    assert (await ann.send("/advisories", form | {"zone": "Mars"})).status_code == 422


async def test_times_of_what_follows_or_corrects_are_told_as_those_of_the_first(town: Town, desk: DeskHouse) -> None:
    """Also before anybody got it."""
    await town.people(2, "web", lawn(*LOUISIANA))
    first = await town.begin("Feed it.", zone=CENTRAL)
    await town.settle()
    right = await correction_of(town.drafts, first, "Do not feed it.", None)
    ann = await desk.sits(Role.APPROVER)

    await ann.look(f"/advisories/{right}")

    assert "CST" in ann.text
