from __future__ import annotations

from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.arrivals import Consent
from bot.ops.advisories.counting import three_of
from bot.ops.advisories.forecast import Load, forecast
from bot.ops.regions.audience import Audience
from bot.pace import Limits
from bot.talk.case import Standing
from bot.terms import Terms
from tests.ops.advisories.town import NOON, TERMS, Town, lawn, open_town

EAST, CENTRAL = "America/New_York 9 20", "America/Chicago 9 20"
TELEGRAM = Limits(units=25, window_seconds=1)
SMS = Limits(units=75, window_seconds=60, most_at_once=3, day_units=2000)


async def mixed(town: Town) -> None:
    """People of every kind."""
    await town.people(4, "telegram")
    await town.people(3, "sms")
    await town.consents("sms", "sms 4", Consent.WITHDRAWN)
    await town.people(2, "web", lawn("bermuda", "70801"))
    await town.people(2, "web", standing=Standing.STOPPED)
    await town.people(2, "web", last_unasked_on=date(2027, 2, 2))
    await town.people(1, "web", held_by="Ann")
    await town.people(1, "terminal")


async def test_what_the_preview_tells_is_what_happens(town: Town) -> None:
    """Who gets it, who later and who not: the same numbers, before and after."""
    await mixed(town)
    number = await town.draft("Leave the brown top on.")
    preview = await town.preview(number)
    await town.approve(number)
    town.house.pass_time(seconds=11)
    await town.settle()

    report = await town.report(number)
    counted = preview.counted
    assert counted.adds_up
    assert counted.selected == report.progress.selected == 15
    assert counted.now.total() == report.progress.sent == 8
    assert dict(counted.left_out) == report.left_out == {"opted out": 1, "quiet": 2, "no channel": 1}
    assert dict(counted.later) == report.waiting == {"today": 2, "held": 1}
    assert {each.channel: each.now for each in preview.channels} == {
        each.channel: each.sent for each in report.channels if each.channel != "terminal"
    }


async def test_texts_of_the_preview_are_what_people_read(town: Town) -> None:
    """Three who differ in channel and grass, word for word."""
    await mixed(town)
    number = await town.draft("Near {place}: soil fell to {coldest_soil}. Your {grass} rests — don’t worry.")
    preview = await town.preview(number)
    await town.approve(number)
    town.house.pass_time(seconds=11)
    await town.settle()

    sent = {text for far in town.far.values() for text in far.texts()}
    assert {each.channel for each in preview.samples} == {"telegram", "sms", "web"}
    assert {each.grass for each in preview.samples} == {"st_augustine", "bermuda"}
    for sample in preview.samples:
        assert sample.channel == "sms" or sample.text in sent
    (text,) = [each for each in preview.samples if each.channel == "sms"]
    assert text.text.endswith("Your St. Augustine rests - don't worry.")
    assert text.segments == 1


async def test_texts_are_counted_in_parts_and_money_where_the_price_is_known(folder: Path) -> None:
    """Parts of each person's own text; without a price only the parts are told."""
    async with open_town(folder, terms=TERMS | {"sms": Terms(limits=SMS, needs_consent=True)}) as town:
        await town.people(10, "sms")
        await town.people(1, "web")
        number = await town.draft("a" * 160 + " {place}")
        (sms, web) = (await town.preview(number)).channels
        assert (sms.segments, sms.most_segments, sms.cents) == (20, 2, None)
        assert web.segments is None

        town.sms_cents = 0.8
        assert (await town.preview(number)).channels[0].cents == pytest.approx(16.0)


async def test_who_lacks_a_figure_is_told(town: Town) -> None:
    """For how many a sentence is left out, and who would get nothing at all."""
    ids = await town.people(3)
    number = await town.draft("Soil near you fell to {coldest_soil}.")
    await town.preview(number)  # everybody is looked at
    await town.house.change("UPDATE glance SET soil_min_dc = NULL WHERE homeowner_id <> ?", ids[0])

    nothing_left = (await town.preview(number)).counted
    some_left = (await town.preview(await town.draft("Wait. Soil fell to {coldest_soil}."))).counted

    assert (dict(nothing_left.left_out), nothing_left.reached) == ({"no figures": 2}, 1)
    assert (some_left.reached, dict(some_left.missing)) == (3, {"coldest_soil": 2})


async def test_who_has_no_such_estimate_is_told_beside(town: Town) -> None:
    """They are not selected, so they count nowhere else."""
    ids = await town.people(4)
    number = await town.draft("Wait.", audience=Audience(soil_min_below_c=20.0))
    await town.preview(number)
    await town.house.change("UPDATE glance SET soil_min_dc = NULL WHERE homeowner_id = ?", ids[0])

    preview = await town.preview(number)

    assert (preview.counted.selected, preview.without_estimate) == (3, 1)


def test_three_examples_differ_as_far_as_they_can() -> None:
    """First in channel, then in grass."""
    examples = {("web", "bermuda"): 1, ("web", "zoysia"): 2, ("sms", "bermuda"): 3, ("web", "centipede"): 4}

    assert set(three_of(examples)) >= {3}
    assert len(three_of(examples)) == 3
    assert three_of({("web", ""): 9}) == [9]
    assert three_of({}) == []


def test_a_channel_is_done_when_its_pace_says() -> None:
    """3,900 at 25 a second take 2 min 36 s; 755 texts at 75 a minute about ten minutes."""
    until = NOON + timedelta(days=7)

    told = forecast(Load(people={EAST: 3900}), TELEGRAM, NOON, until)
    assert told.done_at == NOON + timedelta(seconds=156)
    told = forecast(Load(people={EAST: 755}), SMS, NOON, until)
    assert told.done_at is not None
    assert timedelta(minutes=10) <= told.done_at - NOON <= timedelta(minutes=10.5)


def test_a_day_that_is_used_up_goes_on_the_next() -> None:
    """1,800 of 2,000 parts a day, the rest is kept for replies; what was spent counts."""
    until = NOON + timedelta(days=7)

    told = forecast(Load(people={EAST: 2000}, spent=0), SMS, NOON, until)
    assert told.done_at is not None
    assert told.done_at - NOON > timedelta(days=1)
    assert forecast(Load(people={EAST: 100}, spent=1800), SMS, NOON, until).done_at == NOON + timedelta(
        days=1, seconds=80
    )


def test_who_sleeps_gets_it_when_their_hours_open() -> None:
    """And who would get it too late is told."""
    night = datetime(2027, 2, 3, 4, 0, tzinfo=UTC)
    opens = datetime(2027, 2, 3, 15, 0, tzinfo=UTC)

    told = forecast(Load(people={EAST: 5, CENTRAL: 50}), TELEGRAM, night, night + timedelta(days=1))
    assert told.done_at == opens + timedelta(seconds=2)
    early = forecast(Load(people={EAST: 5, CENTRAL: 50}), TELEGRAM, night, opens)
    assert early.too_late == 50
    assert forecast(Load(people={CENTRAL: 1}), TELEGRAM, night, opens) == forecast(
        Load(people={CENTRAL: 1}), Limits(), night, opens
    )


@given(
    people=st.dictionaries(st.sampled_from([EAST, CENTRAL, "America/Denver 12 14"]), st.integers(0, 5000)),
    pace=st.floats(0.05, 50),
    hours=st.integers(1, 100),
)
def test_nobody_is_lost_in_a_forecast(people: dict[str, int], pace: float, hours: int) -> None:
    """Everybody is done by the end, or counted as too late; no channel is faster than its pace."""
    until = NOON + timedelta(hours=hours)
    told = forecast(Load(people=people), Limits(units=pace, window_seconds=1), NOON, until)
    total = Counter(people).total()

    assert 0 <= told.too_late <= total
    if told.done_at is not None:
        assert NOON <= told.done_at <= until
        served = total - told.too_late
        assert (told.done_at - NOON).total_seconds() * pace >= served - 1 - pace
    else:
        assert told.too_late == total
