"""Listening by asking: what comes is confirmed only once it is on disk, and trouble is waited out."""

from __future__ import annotations

import asyncio
import random

import pytest

from bot.channels.telegram import polling
from bot.channels.telegram.client import SomebodyElsePolls
from bot.errors import SlowDown, StoreError, TryAgain
from tests.fakes.bot_api_faults import asks_for_pause, gateway_page, hangs_up
from tests.telegram.conftest import Line


async def stored(line: Line, count: int) -> list[str]:
    """What is on disk, in the order in which it is read; waits until so much is."""
    await line.until(lambda: line.house.value("SELECT count(*) FROM arrival") >= count)
    return [row[0] for row in line.house.rows("SELECT external_id FROM arrival ORDER BY id")]


async def test_a_batch_in_any_order_is_read_in_the_order_it_was_written(line: Line) -> None:
    """Numbers say what came first; how a batch is listed does not."""
    line.api.settings.updates_shuffled = True
    for number in range(12):
        line.api.people.says(77, f"line {number}")
    line.start()
    await line.until(lambda: len(line.told(77)) == 12)

    assert line.told(77) == [f"counted {number + 1} line {number}" for number in range(12)]


async def test_a_crash_after_storing_loses_nothing_and_repeats_nothing(line: Line) -> None:
    """Stored but not yet confirmed: the far side keeps it, the next process confirms it, and it has one effect."""
    first = line.api.people.says(77, "hello")
    line.listen()
    await stored(line, 1)
    await line.stop_listening()
    line.api.updates.push_again(first)
    line.api.people.says(77, "again")
    line.start()
    await line.until(lambda: len(line.told(77)) == 2)
    await line.until(lambda: not line.api.updates.pending)

    assert line.told(77) == ["counted 1 hello", "counted 2 again"]


async def test_killed_at_any_moment_nothing_is_lost(line: Line) -> None:
    """Listening ends again and again in the middle of whatever it is doing; every line counts once, in order."""
    line.courier.start()
    line.intake.start()
    chance = random.Random(7)
    for number in range(20):
        line.api.people.says(77, f"line {number}")
        line.listen()
        await asyncio.sleep(chance.uniform(0, 0.02))
        await line.stop_listening()
    line.listen()
    await line.until(lambda: len(line.told(77)) == 20)
    await line.until(lambda: not line.api.updates.pending)

    assert line.told(77) == [f"counted {number + 1} line {number}" for number in range(20)]


@pytest.mark.parametrize(
    "fault",
    [
        gateway_page(method="getUpdates"),
        gateway_page(401, method="getUpdates"),
        asks_for_pause(0.01, method="getUpdates"),
        hangs_up(after_taking=False, method="getUpdates"),
        hangs_up(after_taking=True, method="getUpdates"),
    ],
)
async def test_trouble_on_the_way_is_waited_out(line: Line, fault: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """Listening goes on by itself, whatever was answered in place of updates."""
    monkeypatch.setattr("bot.channels.telegram.client.PAUSE_EXTRA_SECONDS", 0.0)
    line.api.next_calls(fault, fault)  # type: ignore[arg-type]  # a fault, by its parameter list
    line.api.people.says(77, "hello")
    line.listen()

    assert len(await stored(line, 1)) == 1


async def test_an_update_without_a_number_stops_nobody(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """Nothing could confirm it; what comes with it is read."""
    line.api.updates._again.append({"message": {"chat": {"id": 77, "type": "private"}, "text": "nobody knows"}})
    sent = line.api.people.says(77, "hello")
    line.listen()

    assert await stored(line, 1) == [f"u{sent['update_id']}"]
    assert "without a number" in caplog.text
    assert "nobody knows" not in caplog.text


async def test_listening_ends_at_once(line: Line) -> None:
    """A long wait for updates holds nobody up who wants to leave."""
    line.listen()
    await line.until(lambda: line.api.updates.is_polled)
    async with asyncio.timeout(0.5):
        await line.stop_listening()


def test_pauses_grow_and_have_an_end() -> None:
    """A short trouble costs a second, a long one a call a minute; a pause that is asked for is kept."""
    trouble = TryAgain("trouble", 2.0)
    assert [polling._pause(trouble, failures) for failures in (1, 2, 3, 7, 1000)] == [1.0, 2.0, 4.0, 60.0, 60.0]
    assert polling._pause(StoreError("locked"), 1) == 1.0
    assert polling._pause(SlowDown("asked", 90.5), 1) == 90.5
    assert polling._pause(SomebodyElsePolls("other"), 1) == 30.0
