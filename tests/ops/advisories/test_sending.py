from __future__ import annotations

import asyncio
from collections import Counter
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from bot.arrivals import Consent
from bot.errors import Rejected, Uncertain, Unreachable
from bot.ops.advisories import settling
from bot.ops.advisories.advisory import AdvisoryRefused
from bot.ops.advisories.drafts import correction_of
from bot.ops.advisories.handing import ahead_of
from bot.ops.regions.audience import Audience
from bot.pace import Limits
from bot.service import Act
from bot.store import advisories, sends
from bot.talk.case import Standing
from bot.talk.incoming import PersonCame
from bot.terms import Terms
from tests.ops.advisories.town import NOON, TERMS, Town, lawn, open_town


async def test_everybody_selected_gets_it_once(town: Town) -> None:
    """What is approved reaches each of those it is for, on their own channel, with their own figures."""
    await town.people(5, "web")
    await town.people(3, "telegram")
    await town.people(2, "sms")
    advisory_id = await town.begin()

    await town.settle()

    found = await town.report(advisory_id)
    assert found.advisory.state == "finished"
    assert (found.progress.selected, found.progress.sent) == (10, 10)
    assert {each.channel: each.sent for each in found.channels} == {"web": 5, "telegram": 3, "sms": 2}
    assert len(town.arrived()) == len(set(town.arrived())) == 10
    assert town.far["web"].texts()[0] == (
        "A hard freeze is on its way to Glynn County, GA. Keep off the grass while it is white."
    )


async def test_only_those_who_are_meant_get_it(town: Town) -> None:
    """The audience decides, by what is known of each lawn now."""
    await town.people(2, "web")
    await town.people(3, "telegram", lawn("bermuda"))
    advisory_id = await town.begin(audience=Audience(grasses=frozenset({"bermuda"})))

    await town.settle()

    assert (await town.report(advisory_id)).progress.selected == 3
    assert Counter(address.split()[0] for address in town.arrived()) == {"telegram": 3}


async def test_nothing_leaves_while_the_approval_can_be_taken_back(town: Town) -> None:
    """For ten seconds nobody is listed and nothing is queued; after that it is too late."""
    await town.people(3)
    advisory_id = await town.draft()
    await town.approve(advisory_id)
    town.house.pass_time(seconds=9)
    await town.settle()
    assert town.house.value("SELECT count(*) FROM advisory_send") == 0

    await town.approving.undo(advisory_id, None)
    town.house.pass_time(seconds=60)
    await town.settle()
    assert (await town.advisory(advisory_id)).state == "draft"
    assert town.arrived() == []

    await town.approve(advisory_id)
    town.house.pass_time(seconds=10)
    await town.settle()
    assert len(town.arrived()) == 3
    with pytest.raises(AdvisoryRefused, match="already"):
        await town.approving.undo(advisory_id, None)


async def test_a_planned_advisory_waits_for_its_moment(town: Town) -> None:
    """Nothing is listed before its time, and who is meant is decided then."""
    await town.people(2)
    advisory_id = await town.begin(due_at=NOON + timedelta(hours=2))
    await town.settle()
    assert town.arrived() == []

    await town.people(1)
    town.house.pass_time(hours=2)
    await town.settle()

    assert (await town.report(advisory_id)).progress.sent == 3


async def test_who_is_left_out_is_told_with_the_reason(town: Town) -> None:
    """Each person who does not get it counts under one reason, and everything adds up."""
    await town.people(2, "web")
    await town.people(1, "web", standing=Standing.STOPPED)
    await town.people(1, "terminal")
    await town.people(3, "sms")
    await town.consents("sms", "sms 4", Consent.WITHDRAWN)
    await town.consents("sms", "sms 5", Consent.ASKED)
    (blocked,) = await town.people(1, "telegram")
    await town.house.change(
        "INSERT INTO reach (channel, address, unreachable_ms) SELECT channel, address, 1 FROM homeowner WHERE id = ?",
        blocked,
    )
    advisory_id = await town.begin()

    await town.settle()

    found = await town.report(advisory_id)
    assert found.left_out == {
        "no channel": 1,
        "no consent": 1,
        "opted out": 1,
        "quiet": 1,
        "unreachable": 1,
    }
    assert (found.progress.selected, found.progress.sent) == (8, 3)


async def test_one_unasked_message_a_day(town: Town) -> None:
    """Who got something unasked today gets it the next morning, in their hours, if it is of use then."""
    await town.people(2, "web", last_unasked_on=date(2027, 2, 2))
    await town.people(1, "web")
    advisory_id = await town.begin("Leave the brown top on.")
    await town.settle()
    found = await town.report(advisory_id)
    assert (found.progress.sent, found.waiting) == (1, {"today": 2})

    town.house.clock.set(datetime(2027, 2, 3, 13, 59, tzinfo=UTC))
    await town.settle()
    assert len(town.arrived()) == 1

    town.house.clock.set(datetime(2027, 2, 3, 14, 0, tzinfo=UTC))
    await town.settle()
    found = await town.report(advisory_id)
    assert (found.progress.sent, found.advisory.state) == (3, "finished")


async def test_a_second_advisory_waits_for_another_day_unless_it_presses(town: Town) -> None:
    """Two on one day come to nobody, but a freeze warning does."""
    await town.people(2)
    await town.begin("Leave the brown top on.")
    await town.settle()
    second = await town.begin("Do not feed yet.")
    pressing = await town.begin("A hard freeze comes tonight.", is_pressing=True)
    await town.settle()

    assert (await town.report(second)).waiting == {"today": 2}
    assert (await town.report(pressing)).progress.sent == 2


async def test_what_is_no_longer_of_use_goes_to_nobody(town: Town) -> None:
    """Who waited until it was too late is left out for what they waited for."""
    await town.people(1, "web", last_unasked_on=date(2027, 2, 2))
    advisory_id = await town.begin(useful_until=NOON + timedelta(hours=10))
    await town.settle()
    town.house.pass_time(days=1)
    await town.settle()

    found = await town.report(advisory_id)
    assert (found.left_out, found.advisory.state) == ({"today": 1}, "finished")
    assert town.arrived() == []


async def test_nobody_is_written_to_at_night(town: Town) -> None:
    """In closed hours nothing is queued; it goes out when they open, each in their own zone."""
    night = datetime(2027, 2, 3, 3, 0, tzinfo=UTC)
    town.house.clock.set(night)
    await town.people(1, "web", lawn("St. Augustine", "31522"))
    await town.people(1, "telegram", lawn("St. Augustine", "70801"))
    advisory_id = await town.begin(is_pressing=True)
    await town.settle()
    assert (await town.report(advisory_id)).waiting == {"hours": 2}
    assert town.house.value("SELECT count(*) FROM outbox") == 0

    town.house.clock.set(datetime(2027, 2, 3, 14, 0, tzinfo=UTC))
    await town.settle()
    assert [address.split()[0] for address in town.arrived()] == ["web"]

    town.house.clock.set(datetime(2027, 2, 3, 15, 0, tzinfo=UTC))
    await town.settle()
    assert (await town.report(advisory_id)).progress.sent == 2


async def test_somebody_a_person_talks_with_waits_until_the_talk_is_given_back(town: Town) -> None:
    """Nothing breaks into a talk a person holds, but what presses."""
    (held,) = await town.people(1)
    await town.house.service.act([Act(homeowner_id=held, key="1", incoming=PersonCame(name="Ann"))])
    town.house.pass_time(hours=1)
    advisory_id = await town.begin()
    await town.settle()
    assert (await town.report(advisory_id)).waiting == {"held": 1}

    came_back = PersonCame(name="Ann", is_leaving=True)
    await town.house.service.act([Act(homeowner_id=held, key="2", incoming=came_back)])
    town.house.pass_time(minutes=16)
    await town.settle()

    assert (await town.report(advisory_id)).progress.sent == 1


async def queued_but_unsent(town: Town, channel: str, count: int) -> int:
    """An advisory whose messages all stand in the outbox; its number."""
    gate = town.far[channel].before = asyncio.Event()
    advisory_id = await town.begin()
    await town.tick()
    await town.until(lambda: town.far[channel].in_the_air == count)
    await town.stop()  # nothing is in the air any more
    town.far[channel].before = None
    gate.set()
    return advisory_id


async def test_who_opts_out_meanwhile_is_left_out(town: Town) -> None:
    """Somebody who says stop gets nothing more, even if their message stood in the outbox already."""
    await town.people(3, "telegram")
    advisory_id = await queued_but_unsent(town, "telegram", 3)
    await town.hears("telegram", "telegram 1", "stop")

    await town.kill()
    await town.settle()

    found = await town.report(advisory_id)
    assert (found.left_out, found.progress.sent) == ({"quiet": 1}, 2)
    assert not any("freeze is on its way" in text for text in town.far["telegram"].texts("telegram 1"))


async def test_who_asks_to_be_forgotten_is_counted_and_gone(town: Town) -> None:
    """The report adds up when somebody is erased, after they got it or before."""
    await town.people(3, "telegram")
    advisory_id = await queued_but_unsent(town, "telegram", 3)
    for words in ("forget me", "yes"):
        await town.hears("telegram", "telegram 0", words)
    await town.kill()
    await town.settle()
    for words in ("forget me", "yes"):
        await town.hears("telegram", "telegram 1", words)
    await town.settle()

    found = await town.report(advisory_id)
    assert (found.progress.selected, found.progress.sent, found.left_out) == (3, 2, {"gone": 1})


async def test_a_pause_takes_effect_at_once_and_is_kept_over_a_restart(town: Town) -> None:
    """Only what is in the air arrives; what is queued is held; going on sends the rest, nobody twice."""
    await town.people(30, "telegram")
    town.far["telegram"].before = asyncio.Event()
    advisory_id = await town.begin()
    await town.tick()
    await town.until(lambda: town.far["telegram"].in_the_air == 16)

    await town.steering.pause(advisory_id, None)
    town.far["telegram"].before.set()
    await town.until(lambda: town.far["telegram"].in_the_air == 0)
    await asyncio.sleep(0.05)
    assert len(town.arrived()) == 16
    await town.kill()
    await town.settle()
    assert len(town.arrived()) == 16
    assert (await town.report(advisory_id)).progress.under_way == 14

    await town.steering.resume(advisory_id, None)
    await town.settle()
    assert len(town.arrived()) == len(set(town.arrived())) == 30
    assert (await town.report(advisory_id)).progress.sent == 30


async def test_what_is_stopped_stays_stopped(town: Town) -> None:
    """What was in the air is counted as sent; nothing of the rest ever leaves, and its followers are drafts again."""
    await town.people(30, "telegram")
    town.far["telegram"].before = asyncio.Event()
    first = await town.draft()
    later = await town.draft("How is it now?", after_id=first, due_at=NOON + timedelta(days=35))
    await town.approve(first)
    town.house.pass_time(seconds=11)
    await town.tick()
    await town.until(lambda: town.far["telegram"].in_the_air == 16)

    await town.steering.cancel(first, None)
    town.far["telegram"].before.set()
    await town.until(lambda: town.far["telegram"].in_the_air == 0)
    await town.settle()
    assert (await town.report(first)).progress.under_way == 14  # as far as anybody can know yet
    town.house.pass_time(minutes=2)
    await town.settle()

    found = await town.report(first)
    assert (found.progress.sent, found.left_out) == (16, {"stopped": 14})
    assert len(town.arrived()) == 16
    assert town.house.value("SELECT count(*) FROM outbox WHERE state = 0") == 0
    assert (await town.advisory(later)).state == "draft"
    with pytest.raises(AdvisoryRefused):
        await town.steering.resume(first, None)


async def test_what_was_stopped_while_nothing_ran_is_counted_when_it_runs_again(town: Town) -> None:
    """Even weeks later: a report that never adds up to its end helps nobody."""
    await town.people(2, "web", last_unasked_on=date(2027, 2, 2))
    number = await town.begin()
    await town.settle()
    await town.steering.cancel(number, None)
    town.house.pass_time(weeks=3)
    await town.settle()

    found = await town.report(number)
    assert (found.progress.waiting, found.left_out) == (0, {"stopped": 2})


async def test_many_who_are_left_out_hold_nothing_else_up(town: Town, monkeypatch: pytest.MonkeyPatch) -> None:
    """One run leaves out only so many of what was stopped; the next ones go on, until everybody is counted."""
    monkeypatch.setattr(settling, "AT_ONCE", 2)
    monkeypatch.setattr(settling, "LEAVING_OUT_SECONDS", 0.0)
    await town.people(7, "web", last_unasked_on=date(2027, 2, 2))
    number = await town.begin()
    await town.settle()
    await town.steering.cancel(number, None)
    await town.tick()
    assert 0 < (await town.report(number)).progress.waiting < 7
    for _ in range(5):
        await town.tick()

    assert (await town.report(number)).left_out == {"stopped": 7}


async def test_what_the_far_side_will_not_take_is_failed_or_left_out(town: Town) -> None:
    """A refused message is ours to look at; a blocked address is nobody's fault."""
    await town.people(2, "web")
    await town.people(1, "telegram")
    town.far["web"].answers.extend([Rejected("bad"), None])
    town.far["telegram"].answers.append(Unreachable("blocked"))
    advisory_id = await town.begin()

    await town.settle()

    found = await town.report(advisory_id)
    assert (found.failed, found.left_out, found.progress.sent) == ({"refused": 1}, {"unreachable": 1}, 1)
    assert found.advisory.state == "finished"


async def test_a_slow_channel_holds_up_no_other_and_little_waits_in_its_outbox(folder: Path) -> None:
    """Each channel has only so much of it queued; a channel that has used up its day is left alone."""
    slow = Terms(in_flight=1, limits=Limits(units=75, window_seconds=60, day_units=2000), needs_consent=True)
    async with open_town(folder, terms=TERMS | {"sms": slow}) as town:
        await town.people(60, "sms")
        await town.people(60, "web")
        advisory_id = await town.begin()
        town.far["sms"].before = asyncio.Event()
        while len(town.arrived("web")) < 60:
            await town.tick()

        assert town.house.value("SELECT count(*) FROM outbox WHERE channel = 'sms'") == ahead_of(slow) == 8
        await town.house.change(
            "INSERT INTO spent VALUES ('sms', ?, 2000)", int(town.house.clock.now().timestamp()) // 3600
        )
        await town.house.change("DELETE FROM outbox WHERE channel = 'sms'")
        await town.tick()
        assert town.house.value("SELECT count(*) FROM outbox WHERE channel = 'sms'") == 0
        assert (await town.report(advisory_id)).progress.waiting == 52


async def test_somebody_who_moved_to_another_chat_gets_it_there_once(town: Town) -> None:
    """The chat somebody is heard on now counts, not the one they were listed on."""
    ids = await town.people(2, "telegram")
    await town.people(1, "sms")
    advisory_id = await town.draft()
    await town.approve(advisory_id)
    town.house.pass_time(seconds=11)
    town.far["telegram"].before = asyncio.Event()
    async with town.house.store.database.write() as tx:
        await advisories.move(tx, advisory_id, ["approved"], {"state": "going out"})
        await sends.add(tx, advisory_id, ids)
    await town.house.change("UPDATE homeowner SET channel = 'web', address = 'new chat' WHERE id = ?", ids[0])
    town.far["telegram"].before = None

    await town.settle()

    assert sorted(town.arrived()) == ["new chat", "sms 2", "telegram 1"]


async def test_follow_up_goes_to_those_who_got_the_first(town: Town) -> None:
    """Five weeks later the same people are asked again, approved together with the first."""
    await town.people(2, "web")
    await town.people(1, "web", standing=Standing.STOPPED)
    first = await town.draft()
    later = await town.draft("How green is it?", after_id=first, due_at=NOON + timedelta(weeks=5))
    await town.approve(first)
    assert (await town.advisory(later)).state == "approved"
    town.house.pass_time(seconds=11)
    await town.settle()
    await town.people(5, "web")

    town.house.pass_time(weeks=5)
    await town.settle()

    found = await town.report(later)
    assert (found.progress.selected, found.progress.sent) == (2, 2)
    assert town.far["web"].texts("web 0")[-1] == "How green is it?"


async def test_correction_goes_to_exactly_those_who_got_the_wrong_words(town: Town) -> None:
    """Also to those of whom nobody can say whether they got it, on the same day, and to nobody else."""
    await town.people(4, "telegram")
    wrong = await town.begin("Feed the lawn today.")
    town.far["telegram"].answers.append(Rejected("bad"))
    await town.settle()
    await town.people(3, "telegram")
    await town.house.change("UPDATE advisory_send SET why = 'unsure' WHERE homeowner_id = 2")

    right = await correction_of(town.drafts, wrong, "Do not feed the lawn. The last words were wrong.", None)
    await town.approve(right)
    town.house.pass_time(seconds=11)
    await town.settle()

    found = await town.report(right)
    assert (found.progress.selected, found.progress.sent) == (3, 3)
    corrected = [each.address for each in town.far["telegram"].arrived if "Do not feed" in each.text]
    wronged = [each.address for each in town.far["telegram"].arrived if each.text.startswith("Feed")]
    assert sorted(corrected) == sorted(wronged)


async def test_what_has_not_begun_cannot_be_corrected(town: Town) -> None:
    """It is taken back and changed."""
    await town.people(1)
    wrong = await town.draft()
    await town.approve(wrong)

    with pytest.raises(AdvisoryRefused, match="Take it back"):
        await correction_of(town.drafts, wrong, "Sorry.", None)


async def test_a_restart_while_people_are_listed_lists_everybody_once(
    town: Town, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A list that a kill cut short is taken up again."""
    monkeypatch.setattr("bot.ops.advisories.listing.AT_ONCE", 4)
    monkeypatch.setattr("bot.ops.advisories.spreading.RUN_SECONDS", 0.0)
    await town.people(10)
    advisory_id = await town.begin()
    await town.tick()
    await town.tick()
    assert not (await town.report(advisory_id)).progress.is_listed

    await town.kill()
    await town.settle()

    found = await town.report(advisory_id)
    assert (found.progress.selected, found.progress.sent) == (10, 10)
    assert len(set(town.arrived())) == 10


@pytest.mark.parametrize("pressing", [False, True])
async def test_what_got_no_answer_is_not_sent_again(town: Town, pressing: bool) -> None:
    """It may have arrived, so it counts as sent, at once and for good, and is told as a number of its own."""
    await town.people(3)
    town.far["web"].answers.extend([None, Uncertain("no answer"), None])
    number = await town.begin(is_pressing=pressing)
    await town.settle()
    town.house.pass_time(minutes=5)
    await town.settle()

    found = await town.report(number)
    assert (found.advisory.state, found.progress.sent, found.unanswered) == ("finished", 3, 1)
    assert len(town.far["web"].tried) == len(set(town.far["web"].tried)) == 3


async def test_one_who_cannot_be_read_holds_up_nobody(town: Town) -> None:
    """A damaged homeowner is counted as failed."""
    ids = await town.people(3)
    advisory_id = await town.begin()
    await town.recipients.of((await town.advisory(advisory_id)).content)  # they were looked at before it broke
    await town.house.change("UPDATE homeowner SET doc = '{}x' WHERE id = ?", ids[1])
    await town.settle()

    found = await town.report(advisory_id)
    assert (found.progress.sent, found.failed) == (2, {"broken": 1})
