"""From an alert to a draft: kept once, drafted, changed, dropped, followed up; on a real store with real drafts."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.channels.sms.segments import gsm_text, is_gsm, segments_of
from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.approving import Approving, mark_of
from bot.ops.advisories.drafts import Advisories
from bot.ops.alerts.following import Outcome
from bot.ops.alerts.keeping import Alerts, Taken
from bot.ops.alerts.meaning import PRODUCTS
from bot.ops.regions.audience import Audience
from bot.ops.regions.shapes import Shape
from bot.store import alerts as rows
from bot.words import Words
from tests.fakes.house import House, open_house
from tests.ops.alerts.made import ENDS, NOW, Made, of_product

WORDS = Words()
FREEZE = replace(
    next(of_product(product) for product in PRODUCTS if product.name == "freeze warning"), identifier="urn:made:freeze"
)


class Desk:
    """The alerts and drafts of a house, and what an operator does there."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.drafts = Advisories(house.store.database, house.clock)
        self.alerts = Alerts(house.store.database, self.drafts, WORDS, house.clock)
        self.approving = Approving(house.store.database, house.clock)

    async def take(self, *made: Made) -> list[Taken]:
        return await self.alerts.take([each.read() for each in made], None)

    async def outcome(self, made: Made) -> tuple[Outcome, Advisory | None]:
        (taken,) = await self.take(made)
        return taken.outcome, None if taken.advisory_id is None else await self.drafts.get(taken.advisory_id)

    async def approve(self, advisory_id: int) -> None:
        advisory = await self.drafts.get(advisory_id)
        await self.approving.approve(advisory_id, mark_of(advisory, []), None)

    async def all(self) -> list[Advisory]:
        return sorted(await self.drafts.latest(), key=lambda each: each.id)


@pytest.fixture
async def desk(tmp_path: Path) -> AsyncIterator[Desk]:
    async with open_house(tmp_path) as house:
        house.clock.set(NOW)
        yield Desk(house)


async def test_a_freeze_warning_becomes_a_draft_for_its_area_and_times(desk: Desk) -> None:
    """Counties, hours, words; approved by nobody, sent to nobody."""
    outcome, drafted = await desk.outcome(FREEZE)

    assert outcome is Outcome.DRAFTED
    assert drafted is not None
    assert drafted.state is State.DRAFT
    content = drafted.content
    assert content.name == "Freeze warning, Sat, Jan 16: Tarrow; Sound"
    assert content.audience == Audience(shape=Shape(codes=frozenset({"SAME 013127", "SAME 013191"})))
    assert content.words.startswith(
        "Weather service: freeze warning for your area, Sat, Jan 16, 12 AM to 10 AM. Grass may be hurt. Don't feed,"
    )
    assert content.is_pressing
    assert content.useful_until == datetime.fromisoformat(ENDS)
    assert desk.house.value("SELECT count(*) FROM outbox") == 0
    assert desk.house.value("SELECT count(*) FROM advisory_send") == 0


@pytest.mark.parametrize("product", PRODUCTS, ids=lambda product: product.name)
async def test_the_words_for_every_product_fit_two_text_messages(desk: Desk, product) -> None:
    """In plain letters, through a night and a day."""
    _, drafted = await desk.outcome(replace(of_product(product), ends="2027-01-17T10:30:00-05:00"))

    assert drafted is not None
    words = drafted.content.words
    assert all(map(is_gsm, words))
    assert segments_of(gsm_text(words)) <= 2
    assert "{" not in words
    assert drafted.content.is_pressing is (product.cold != "snow")


async def test_an_alert_is_kept_once_however_it_comes(desk: Desk) -> None:
    """A feed shows it again every minute."""
    (first,) = await desk.take(FREEZE)
    (again,) = await desk.take(replace(FREEZE, sent="2027-01-15T18:40:00Z"))

    assert (first.is_new, again.is_new) == (True, False)
    assert (again.outcome, again.advisory_id) == (Outcome.DRAFTED, first.advisory_id)
    assert len(await desk.all()) == 1
    assert desk.house.value("SELECT count(*) FROM alert") == 1


@pytest.mark.parametrize(
    ("changes", "outcome"),
    [
        ({"status": "Test"}, Outcome.DRILL),
        ({"status": "Exercise"}, Outcome.DRILL),
        ({"scope": "Private"}, Outcome.DRILL),
        ({"msg_type": "Ack"}, Outcome.DRILL),
        ({"event": "Heat Advisory", "vtec": ""}, Outcome.OTHER_WEATHER),
        ({"onset": "2027-01-14T00:00:00-05:00", "ends": "2027-01-14T10:00:00-05:00", "vtec": ""}, Outcome.OVER),
        ({"geocodes": ()}, Outcome.NOWHERE),
        ({"msg_type": "Cancel"}, Outcome.NOTHING_NEW),
    ],
)
async def test_what_leads_to_no_draft_says_why(desk: Desk, changes: dict[str, object], outcome: Outcome) -> None:
    """Operators see it; nothing comes of it."""
    assert await desk.outcome(replace(FREEZE, **changes)) == (outcome, None)  # type: ignore[arg-type]

    assert await desk.all() == []


async def test_a_drill_is_kept_for_operators_and_other_weather_is_not(desk: Desk) -> None:
    """The desk's list is of cold."""
    await desk.take(replace(FREEZE, status="Test"), Made(identifier="heat", event="Heat Advisory"))

    assert [(each.outcome, each.alert.identifier) for each in await desk.alerts.latest(9)] == [
        (Outcome.DRILL, FREEZE.identifier)
    ]


async def test_a_bare_zone_says_in_the_drafts_name_that_somebody_has_to_narrow_it(desk: Desk) -> None:
    """The whole state would be told otherwise."""
    (taken,) = await desk.take(replace(FREEZE, geocodes=(("UGC", "GAZ154"), ("UGC", "XXZ001"))))

    assert taken.notes == (
        "its forecast zones were taken as whole states: narrow the area",
        "could not be used: UGC XXZ001 (unknown_state)",
    )
    assert taken.advisory_id is not None
    drafted = await desk.drafts.get(taken.advisory_id)
    assert drafted.content.name == "Narrow the area first, it is all of GA: freeze warning, Sat, Jan 16: Tarrow; Sound"
    assert drafted.content.audience.shape == Shape(states=frozenset({"GA"}))


async def test_an_update_changes_the_draft_it_refers_to(desk: Desk) -> None:
    """New hours and counties, the same draft, its next revision."""
    _, before = await desk.outcome(FREEZE)
    longer = FREEZE.later(60, ends="2027-01-16T11:00:00-05:00", geocodes=(("SAME", "013127"),))

    outcome, after = await desk.outcome(longer)

    assert before is not None
    assert after is not None
    assert outcome is Outcome.CHANGED
    assert (after.id, after.rev, after.state) == (before.id, 2, State.DRAFT)
    assert "12 AM to 11 AM" in after.content.words
    assert after.content.audience.shape == Shape(codes=frozenset({"SAME 013127"}))
    assert len(await desk.all()) == 1


async def test_a_cancel_drops_the_draft_it_refers_to(desk: Desk) -> None:
    """Even one that says nothing but what it calls off."""
    _, drafted = await desk.outcome(FREEZE)

    outcome, dropped = await desk.outcome(FREEZE.later(60, msg_type="Cancel", has_info=False))

    assert drafted is not None
    assert dropped is not None
    assert outcome is Outcome.DROPPED
    assert (dropped.id, dropped.state) == (drafted.id, State.DROPPED)


async def test_messages_are_known_as_one_event_by_its_number_too(desk: Desk) -> None:
    """The US service gives each message a new identifier, and may refer to one we never saw."""
    await desk.take(FREEZE)
    update = replace(FREEZE.later(60, references="a,b,2027-01-15T10:00:00-05:00"), ends="2027-01-16T11:00:00-05:00")

    outcome, _ = await desk.outcome(replace(update, vtec=FREEZE.vtec.replace("NEW", "EXT")))

    assert outcome is Outcome.CHANGED


async def test_what_an_operator_changed_is_not_written_over(desk: Desk) -> None:
    """The update is drafted beside it, so that nothing of theirs is lost."""
    _, drafted = await desk.outcome(FREEZE)
    assert drafted is not None
    theirs = replace(drafted.content, words="My own words.")
    await desk.drafts.change(drafted.id, 1, theirs, None)

    outcome, beside = await desk.outcome(FREEZE.later(60, ends="2027-01-16T12:00:00-05:00"))

    assert beside is not None
    assert (outcome, beside.id) == (Outcome.BESIDE, drafted.id + 1)
    assert (await desk.drafts.get(drafted.id)).content.words == "My own words."


async def test_what_an_operator_dropped_comes_back_only_when_it_gets_graver(desk: Desk) -> None:
    """They judged it; a feed that repeats itself does not overrule them."""
    frost = replace(FREEZE, event="Frost Advisory", vtec="")
    _, drafted = await desk.outcome(frost)
    assert drafted is not None
    await desk.drafts.drop(drafted.id, None)

    same = frost.later(30, ends="2027-01-16T12:00:00-05:00")
    assert await desk.outcome(same) == (Outcome.LEFT_ALONE, None)

    outcome, again = await desk.outcome(same.later(30, event="Freeze Warning"))
    assert again is not None
    assert (outcome, again.state) == (Outcome.DRAFTED, State.DRAFT)


async def test_a_cancel_of_what_went_out_offers_a_follow_up_to_those_who_got_it(desk: Desk) -> None:
    """A draft, for a person to approve; and a word that the warning itself has to be stopped."""
    _, first = await desk.outcome(FREEZE)
    assert first is not None
    await desk.approve(first.id)

    (taken,) = await desk.take(FREEZE.later(60, msg_type="Cancel", has_info=False))

    assert taken.outcome is Outcome.FOLLOWED
    assert taken.notes == (f"advisory {first.id} warns of what was called off, and is approved: stop it",)
    assert taken.advisory_id is not None
    follow_up = await desk.drafts.get(taken.advisory_id)
    assert (follow_up.state, follow_up.content.after_id) == (State.DRAFT, first.id)
    assert follow_up.content.audience == Audience()
    assert follow_up.content.words.startswith("The freeze warning for your area (Sat, Jan 16) was called off.")
    assert (await desk.drafts.get(first.id)).state is State.APPROVED
    await desk.approve(follow_up.id)  # nothing stands in its way


async def test_an_update_of_what_went_out_is_offered_only_when_it_is_news(desk: Desk) -> None:
    """A feed that repeats itself is not passed on; new hours are, and graver cold."""
    frost = replace(FREEZE, event="Frost Advisory", vtec="")
    _, first = await desk.outcome(frost)
    assert first is not None
    await desk.approve(first.id)

    assert await desk.outcome(frost.later(10)) == (Outcome.NOTHING_NEW, None)
    outcome, changed = await desk.outcome(frost.later(20, ends="2027-01-16T13:00:00-05:00"))
    assert changed is not None
    assert (outcome, changed.content.after_id) == (Outcome.FOLLOWED, first.id)
    assert changed.content.words.startswith("Changed: the frost advisory for your area is now Sat, Jan 16, 12 AM to 1")

    graver = frost.later(20).later(10, event="Freeze Warning", identifier="graver")
    outcome, again = await desk.outcome(graver)
    assert again is not None
    assert (outcome, again.id, again.rev) == (Outcome.CHANGED, changed.id, 2)
    assert again.content.words.startswith("It may get worse than first told. Weather service: freeze warning")
    assert again.content.after_id == first.id


async def test_a_follow_up_nobody_approved_turns_into_the_calling_off(desk: Desk) -> None:
    """Those who got the warning still have to hear of it."""
    _, first = await desk.outcome(FREEZE)
    assert first is not None
    await desk.approve(first.id)
    update = FREEZE.later(20, ends="2027-01-16T13:00:00-05:00")
    _, follow_up = await desk.outcome(update)
    assert follow_up is not None

    outcome, changed = await desk.outcome(update.later(20, msg_type="Cancel", has_info=False))

    assert changed is not None
    assert (outcome, changed.id, changed.rev) == (Outcome.CHANGED, follow_up.id, 2)
    assert "was called off" in changed.content.words


async def test_a_second_follow_up_goes_to_those_who_got_the_first_warning(desk: Desk) -> None:
    """Not only to those whom the first follow-up reached."""
    _, first = await desk.outcome(FREEZE)
    assert first is not None
    await desk.approve(first.id)
    update = FREEZE.later(20, ends="2027-01-16T13:00:00-05:00")
    _, changed = await desk.outcome(update)
    assert changed is not None
    await desk.approve(changed.id)

    outcome, called_off = await desk.outcome(update.later(20, msg_type="Cancel", has_info=False))

    assert called_off is not None
    assert (outcome, called_off.id) == (Outcome.FOLLOWED, changed.id + 1)
    assert called_off.content.after_id == first.id


async def test_ground_that_is_new_is_told_with_all_of_it(desk: Desk) -> None:
    """Those there got nothing yet, so the follow-up goes to the whole area, not to those who got the first."""
    _, first = await desk.outcome(FREEZE)
    assert first is not None
    await desk.approve(first.id)

    outcome, grown = await desk.outcome(FREEZE.later(20, geocodes=(("SAME", "013127"), ("SAME", "013025"))))

    assert grown is not None
    assert (outcome, grown.content.after_id) == (Outcome.FOLLOWED, None)
    assert grown.content.audience.shape == Shape(codes=frozenset({"SAME 013127", "SAME 013025"}))
    assert "Don't feed" in grown.content.words


EAST, WEST = (("SAME", "013127"),), (("SAME", "013191"),)


@pytest.mark.parametrize("is_cancel_first", [True, False])
async def test_an_event_called_off_for_a_part_of_its_area_stands_for_the_rest(
    desk: Desk, is_cancel_first: bool
) -> None:
    """The service sends a message for each part, in any order."""
    await desk.take(FREEZE)
    cancel = FREEZE.later(60, identifier="cancel", msg_type="Cancel", geocodes=EAST)
    rest = FREEZE.later(60, identifier="rest", geocodes=WEST)

    for each in (cancel, rest) if is_cancel_first else (rest, cancel):
        await desk.take(each)

    standing = [each for each in await desk.all() if each.state is State.DRAFT]
    assert [each.content.audience.shape for each in standing] == [Shape(codes=frozenset({"SAME 013191"}))]


async def test_an_update_in_parts_keeps_all_of_them_in_the_draft(desk: Desk) -> None:
    """From the first beginning to the last end."""
    await desk.take(FREEZE)
    east = FREEZE.later(60, identifier="east", geocodes=EAST, ends="2027-01-16T09:00:00-05:00")
    west = FREEZE.later(60, identifier="west", geocodes=WEST, ends="2027-01-16T11:00:00-05:00")

    await desk.take(east, west)

    (draft,) = await desk.all()
    assert draft.content.audience.shape == Shape(codes=frozenset({"SAME 013127", "SAME 013191"}))
    assert "12 AM to 11 AM" in draft.content.words


async def test_a_watch_that_became_a_warning_was_not_called_off(desk: Desk) -> None:
    """Nobody hears "called off" on the eve of the freeze."""
    watch = of_product(next(each for each in PRODUCTS if each.name == "freeze watch"))
    _, first = await desk.outcome(watch)
    assert first is not None
    await desk.approve(first.id)
    replaced = watch.later(60, msg_type="Cancel", vtec=watch.vtec.replace("NEW", "UPG"))

    assert await desk.outcome(replaced) == (Outcome.STILL_STANDS, None)


async def test_nothing_is_called_off_while_another_alert_of_cold_stands_there(desk: Desk) -> None:
    """The same where the codes of events are missing."""
    watch = replace(Made(), identifier="watch", event="Freeze Watch")
    _, first = await desk.outcome(watch)
    assert first is not None
    await desk.approve(first.id)
    warning = Made(identifier="warning")

    taken = await desk.take(warning, watch.later(60, msg_type="Cancel"))

    assert [each.outcome for each in taken] == [Outcome.DRAFTED, Outcome.STILL_STANDS]


async def test_old_news_changes_nothing(desk: Desk) -> None:
    """A message that comes after its own update, or after it was called off."""
    update = FREEZE.later(60, ends="2027-01-16T12:00:00-05:00")
    await desk.take(update)

    assert await desk.outcome(FREEZE) == (Outcome.OLD_NEWS, None)

    other = Made(identifier="other")
    assert await desk.outcome(other.later(30, msg_type="Cancel", has_info=False)) == (Outcome.NOTHING_NEW, None)
    assert await desk.outcome(other) == (Outcome.OLD_NEWS, None)
    assert len(await desk.all()) == 1


async def test_a_calling_off_counts_until_the_weather_would_have_ended(desk: Desk) -> None:
    """Its own message ends when it is sent; the freeze it calls off does not."""
    _, first = await desk.outcome(FREEZE)
    assert first is not None
    await desk.approve(first.id)
    cancel = FREEZE.later(60, msg_type="Cancel", ends="2027-01-15T14:40:00-05:00", expires="2027-01-15T14:55:00-05:00")
    desk.house.clock.set(NOW + timedelta(hours=3))

    outcome, follow_up = await desk.outcome(replace(cancel, onset="2027-01-15T14:40:00-05:00"))

    assert follow_up is not None
    assert outcome is Outcome.FOLLOWED
    assert "(Sat, Jan 16) was called off" in follow_up.content.words

    desk.house.clock.set(datetime(2027, 1, 16, 15, tzinfo=UTC))
    assert await desk.outcome(replace(cancel, identifier="late")) == (Outcome.OVER, None)


async def test_an_alert_left_undecided_by_a_crash_is_decided_when_it_comes_again(desk: Desk) -> None:
    """Not at once: whoever keeps it may be about to."""
    alert = FREEZE.read()
    async with desk.house.store.database.write() as tx:
        kept_ms = int(NOW.timestamp() * 1000)
        new = rows.NewAlertRow(
            digest=alert.digest, thread="KTAR.FZ.W.0001.2027", kept_ms=kept_ms, doc="", state=Outcome.WAITING
        )
        await rows.keep(tx, new)

    assert await desk.outcome(FREEZE) == (Outcome.WAITING, None)
    desk.house.clock.set(NOW + timedelta(minutes=2))
    outcome, drafted = await desk.outcome(FREEZE)

    assert outcome is Outcome.DRAFTED
    assert drafted is not None


async def test_who_brought_an_alert_is_in_the_record(desk: Desk) -> None:
    """With what came of it, and without its words."""
    await desk.take(FREEZE)

    assert desk.house.rows("SELECT operator_id, act, about, detail FROM audit ORDER BY id") == [
        (None, "drafted", "advisory 1", ""),
        (None, "took in", "alert 1", "drafted"),
    ]
