"""What puts another one right while that still goes out: corrections, and updates that press."""

from __future__ import annotations

import asyncio
import random
from datetime import timedelta

import pytest

from bot.ops.advisories.approving import puts_right
from bot.ops.advisories.drafts import correction_of
from bot.store.database import milliseconds
from tests.ops.advisories.town import Town

WRONG, RIGHT = "Feed the lawn today.", "Do not feed the lawn. The last words were wrong."


def who_read(town: Town, words: str) -> list[str]:
    """The addresses at which words arrived, in order."""
    return sorted(each.address for far in town.far.values() for each in far.arrived if each.text.startswith(words[:8]))


async def correct(town: Town, wrong: int) -> int:
    """Draft the right words and approve them; their number."""
    right = await correction_of(town.drafts, wrong, RIGHT, None)
    await town.approve(right)
    return right


async def pass_by(town: Town, **how_long: float) -> None:
    """Let time pass, and everything that can happen then."""
    town.house.pass_time(**how_long)
    await town.settle()


async def test_a_correction_stops_the_wrong_words_and_follows_them_at_once(town: Town) -> None:
    """Who has not got them gets neither; who just gets them is told when that is known; nobody waits for others."""
    await town.people(10, "web")
    await town.people(30, "telegram")
    gate = town.far["telegram"].after = asyncio.Event()  # it takes them, and does not say so
    wrong = await town.begin(WRONG)
    await town.tick()
    await town.until(lambda: len(town.arrived()) == 26)
    await town.tick()
    right = await correct(town, wrong)
    town.house.pass_time(seconds=11)
    await town.tick()
    await town.until(lambda: len(who_read(town, RIGHT)) == 10)
    await town.tick()
    assert not (await town.report(right)).progress.is_listed
    town.far["telegram"].after = None
    gate.set()
    await pass_by(town, minutes=2)

    assert len(who_read(town, WRONG)) == 26
    assert who_read(town, RIGHT) == who_read(town, WRONG)
    stopped, corrected = await town.report(wrong), await town.report(right)
    assert (stopped.progress.sent, stopped.left_out) == (26, {"overtaken": 14})
    assert (stopped.advisory.state, stopped.advisory.overtaken_by) == ("dropped", right)
    assert (corrected.progress.selected, corrected.progress.sent) == (26, 26)
    assert corrected.advisory.state == "finished"


async def test_who_the_wrong_words_were_still_to_reach_gets_neither(town: Town) -> None:
    """Also those who wait for another day, and those not even listed yet."""
    await town.people(3, last_unasked_on=town.house.clock.now().date())
    await town.people(2)
    wrong = await town.begin(WRONG)
    await town.settle()
    right = await correct(town, wrong)
    await pass_by(town, minutes=3)
    await pass_by(town, days=1)

    assert len(who_read(town, WRONG)) == len(who_read(town, RIGHT)) == 2
    assert (await town.report(wrong)).left_out == {"overtaken": 3}
    assert (await town.report(right)).progress.selected == 2


async def test_a_stop_by_a_correction_is_on_record_and_stays_when_that_is_taken_back(town: Town) -> None:
    """The words were no better before; what was to follow them is a draft again."""
    await town.people(2, last_unasked_on=town.house.clock.now().date())
    wrong = await town.draft(WRONG)
    later = await town.draft("How is it?", after_id=wrong, due_at=town.house.clock.now() + timedelta(weeks=5))
    await town.approve(wrong)
    await pass_by(town, seconds=11)
    right = await correct(town, wrong)
    await town.approving.undo(right, None)
    await pass_by(town, days=1)

    assert who_read(town, WRONG) == []
    assert (await town.advisory(wrong)).state == "dropped"
    assert (await town.advisory(later)).state == "draft"
    deeds = town.house.rows("SELECT act, detail FROM audit WHERE about = ?", f"advisory {wrong}")
    assert ("stopped", f"by the approval of advisory {right}") in deeds


async def test_an_update_that_presses_overtakes_the_warning_it_follows(town: Town) -> None:
    """It reaches those who got the warning, at once; what follows later, or does not press, stops nothing."""
    now = town.house.clock.now()
    await town.people(2)
    await town.people(2, last_unasked_on=now.date())
    first = await town.begin("A hard freeze comes on Friday.")
    await town.settle()
    calm = await town.draft("How is it?", after_id=first, due_at=now + timedelta(weeks=5))
    await town.approve(calm)
    assert (await town.advisory(first)).state == "going out"
    update = await town.draft("It comes tonight.", after_id=first, due_at=now, is_pressing=True)
    await town.approve(update)
    await pass_by(town, seconds=11)

    assert len(who_read(town, "It comes tonight.")) == 2
    assert (await town.advisory(first)).overtaken_by == update
    assert puts_right(await town.advisory(calm), milliseconds(now)) is None


async def test_a_process_that_ends_between_leaves_nobody_with_the_wrong_words_alone(town: Town) -> None:
    """What was in the air then may have arrived, and counts so."""
    await town.people(30, "telegram")
    town.far["telegram"].after = asyncio.Event()
    wrong = await town.begin(WRONG)
    await town.tick()
    await town.until(lambda: len(town.far["telegram"].arrived) == 16)
    right = await correct(town, wrong)
    await town.kill()
    town.far["telegram"].after = None
    await pass_by(town, seconds=11)
    assert not (await town.report(right)).progress.is_listed
    await pass_by(town, minutes=2)

    found, corrected = await town.report(wrong), await town.report(right)
    assert len(who_read(town, WRONG)) == 16
    assert set(who_read(town, WRONG)) <= set(who_read(town, RIGHT))
    assert found.progress.sent == found.unanswered == corrected.progress.selected == corrected.progress.sent
    assert len(who_read(town, RIGHT)) == len(set(who_read(town, RIGHT)))


@pytest.mark.parametrize("seed", range(4))
async def test_corrections_under_every_order_of_ends_and_answers(town: Town, seed: int) -> None:
    """Whenever the service ends and begins anew: who read the wrong words reads the right ones; the sums add up."""
    chance = random.Random(seed)
    await town.people(chance.randrange(5, 40), "telegram")
    await town.people(chance.randrange(1, 20), "web")
    wrong = await town.begin(WRONG)
    await disturb(town, chance)
    right = await correct(town, wrong)
    town.house.pass_time(seconds=11)
    for _ in range(3):
        await disturb(town, chance)
    answer(town)
    for minutes in (2, 2):
        await pass_by(town, minutes=minutes)

    assert set(who_read(town, WRONG)) <= set(who_read(town, RIGHT))
    found, corrected = await town.report(wrong), await town.report(right)
    surely = found.progress.sent - found.unanswered
    assert surely <= len(set(who_read(town, WRONG))) <= found.progress.sent == corrected.progress.selected
    assert found.progress.selected == found.progress.over
    assert corrected.progress.sent == corrected.progress.over == corrected.progress.selected
    assert set(who_read(town, RIGHT)) <= set(town.far["telegram"].tried + town.far["web"].tried)


async def disturb(town: Town, chance: random.Random) -> None:
    """A few moments of the service, with answers that do not come, and perhaps an end and a new beginning."""
    for far in town.far.values():
        if chance.random() < 0.5 and far.after is None:
            far.after = asyncio.Event()
    for _ in range(chance.randrange(1, 6)):
        await town.tick()
        await asyncio.sleep(0.003)
    if chance.random() < 0.6:
        await town.kill()
    if chance.random() < 0.5:
        answer(town)


def answer(town: Town) -> None:
    """From now on every far side answers."""
    for far in town.far.values():
        if far.after is not None:
            far.after.set()
            far.after = None
