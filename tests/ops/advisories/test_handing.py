from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from bot.ops.advisories.handing import FEWEST_AHEAD, MOST_AHEAD, _Noting, ahead_of
from bot.pace import Limits
from bot.service import Act
from bot.store import advisories, sends
from bot.store.database import Transaction, milliseconds
from bot.talk.incoming import Advised
from bot.terms import Terms
from tests.ops.advisories.town import Town


async def under_way(town: Town, count: int) -> tuple[int, list[int]]:
    """An advisory that goes out to so many people who all wait; its number and theirs."""
    ids = await town.people(count)
    number = await town.draft()
    async with town.house.store.database.write() as tx:
        now_ms = milliseconds(town.house.clock.now())
        await advisories.move(tx, number, ["draft"], {"state": "going out", "approved_ms": now_ms})
        await sends.add(tx, number, ids)
    return number, ids


def acts(number: int, ids: list[int]) -> list[Act]:
    """What the sending would do."""
    advised = Advised(advisory=number, words="Wait.", is_pressing=True)
    return [Act(homeowner_id=of_id, key=f"advisory/{number}/{of_id}/0", incoming=advised) for of_id in ids]


async def test_what_was_paused_or_stopped_a_moment_ago_is_not_handed_over(town: Town) -> None:
    """Whoever did that, in whichever process: it is looked at in the transaction that would queue the messages."""
    number, ids = await under_way(town, 2)
    noting = _Noting(advisory_id=number, wanted=frozenset(ids), now_ms=milliseconds(town.house.clock.now()))
    await town.steering.pause(number, None)

    assert await town.house.service.act(acts(number, ids), along=noting) == {}
    assert town.house.value("SELECT count(*) FROM outbox") == 0

    await town.steering.resume(number, None)
    assert set(await town.house.service.act(acts(number, ids), along=noting)) == set(ids)
    assert town.house.value("SELECT count(*) FROM advisory_send WHERE state = 1") == 2


async def test_who_has_got_it_is_not_handed_over_again(town: Town) -> None:
    """Not even under another key."""
    number, ids = await under_way(town, 2)
    noting = _Noting(advisory_id=number, wanted=frozenset(ids), now_ms=milliseconds(town.house.clock.now()))
    await town.house.service.act(acts(number, ids), along=noting)
    again = [
        Act(homeowner_id=each.homeowner_id, key=f"{each.key}!", incoming=each.incoming) for each in acts(number, ids)
    ]

    assert await town.house.service.act(again, along=noting) == {}
    assert town.house.value("SELECT count(*) FROM outbox WHERE urgency = 1") == 2


async def test_a_message_and_its_row_are_written_together_or_not_at_all(
    town: Town, caplog: pytest.LogCaptureFixture
) -> None:
    """When the row cannot be written, nothing of the turns happened."""

    class Broken(_Noting):
        async def note(self, tx: Transaction, rows: Mapping[int, int]) -> None:
            await super().note(tx, rows)
            raise RuntimeError("killed here")

    number, ids = await under_way(town, 2)
    broken = Broken(advisory_id=number, wanted=frozenset(ids), now_ms=0)

    with pytest.raises(RuntimeError):
        await town.house.service.act(acts(number, ids), along=broken)

    assert town.house.value("SELECT count(*) FROM outbox") == 0
    assert town.house.value("SELECT count(*) FROM inbox") == 0
    assert town.house.value("SELECT count(*) FROM advisory_send WHERE state = 0") == 2


async def test_whose_talk_declines_is_looked_at_again(town: Town) -> None:
    """Something else came first today: nothing is said, nothing is lost, and a repeat is no repeat of that."""
    number, ids = await under_way(town, 1)
    await town.house.change("UPDATE homeowner SET doc = json_set(doc, '$.last_unasked_on', '2027-02-02')")
    advised = Advised(advisory=number, words="Wait.")
    noting = _Noting(advisory_id=number, wanted=frozenset(ids), now_ms=milliseconds(town.house.clock.now()))

    await town.house.service.act([Act(homeowner_id=ids[0], key="1", incoming=advised)], along=noting)

    assert town.house.rows("SELECT state, why, tries FROM advisory_send") == [(0, "today", 1)]
    town.house.pass_time(days=1)
    await town.settle()
    assert len(town.arrived()) == 1


def test_little_is_queued_ahead_on_any_channel() -> None:
    """What it sends in a few seconds: enough to keep its pace, little enough for a pause."""
    assert ahead_of(Terms(limits=Limits(units=25, window_seconds=1))) == 125
    assert ahead_of(Terms(limits=Limits(units=75, window_seconds=60))) == FEWEST_AHEAD
    assert ahead_of(Terms()) == MOST_AHEAD
    assert math.isinf(Terms().limits.units)
