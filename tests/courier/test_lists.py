"""Long queues: one list of what comes next after the other, each begun while the one before is used up."""

from __future__ import annotations

import asyncio
import random
from collections import Counter

import pytest

from bot import lookout
from bot.errors import StoreError
from bot.lookout import PAGE
from bot.pace import Limits
from bot.store import outbox
from bot.talk.ports import Rendered
from bot.terms import Terms
from tests.courier.conftest import Post
from tests.fakes.far_side import FarSide

CHATS, ROWS_EACH = 2 * PAGE + 5, 2


class UnevenFarSide(FarSide):
    """Some messages take much longer than others, so that senders come back in any order."""

    def __init__(self, seed: int) -> None:
        super().__init__()
        self._chance = random.Random(seed)

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Take one message after some time of its own."""
        await asyncio.sleep(self._chance.choice((0, 0, 0.0005, 0.005)))
        await super().send(address, outbox_id, rendered)


async def _fill(post: Post, chats: int = CHATS) -> None:
    """Queue the same number of messages to each of many chats, from one homeowner's row."""
    await post.house.hear("home", "quiet")
    await post.house.change("DELETE FROM outbox")
    numbers = ", ".join(f"({chat}, {row})" for row in range(ROWS_EACH) for chat in range(chats))
    await post.house.change(
        "INSERT INTO outbox (homeowner_id, channel, address, kind, urgency, made_ms, due_ms, body, state) "
        "SELECT 1, 'web', 'chat-' || column1, 0, 1, 0, 0, json_object('text', column2 || ' of ' || column1), 0 "
        f"FROM (VALUES {numbers})"
    )


def _came_once_and_in_order(far: FarSide) -> bool:
    expected = {f"chat-{chat}": [f"{row} of {chat}" for row in range(ROWS_EACH)] for chat in range(CHATS)}
    return {address: far.texts(address) for address in expected} == expected


@pytest.mark.parametrize("in_flight", [1, 3, 8])
@pytest.mark.parametrize("limits", [Limits(), Limits(units=50, window_seconds=0.01)], ids=["unpaced", "paced"])
async def test_nothing_is_sent_twice_or_forgotten_between_two_lists(post: Post, in_flight: int, limits: Limits) -> None:
    """Whoever was served while the next list was made stands on it and must be passed by."""
    await _fill(post)
    far = UnevenFarSide(seed=in_flight)
    post.start(far, terms={"web": Terms(in_flight=in_flight, limits=limits)})
    for number in range(3):  # and news in between throws lists away
        await asyncio.sleep(0.02)
        await post.house.hear(f"writer-{number}", "hello")
    await post.settle()

    assert _came_once_and_in_order(far)
    assert not [each for each, count in Counter(one.outbox_id for one in far.arrived).items() if count > 1]


async def test_a_look_that_fails_ahead_loses_nothing(post: Post, monkeypatch: pytest.MonkeyPatch) -> None:
    """The database was busy just then: the senders stumble once and go on."""
    await _fill(post)
    calls = 0

    async def look(*given: object) -> list[outbox.Chat]:
        nonlocal calls
        calls += 1
        if calls == 2:
            raise StoreError("The database is busy.")
        return await real(*given)  # type: ignore[arg-type]

    real = outbox.look
    monkeypatch.setattr(lookout.outbox, "look", look)
    far = UnevenFarSide(seed=1)
    post.start(far, in_flight=4)
    await post.settle()

    assert calls > 2
    assert _came_once_and_in_order(far)


class HeldLooks:
    """Looks at the queue that are held up once something was sent, until they may end."""

    def __init__(self, post: Post, monkeypatch: pytest.MonkeyPatch) -> None:
        self._post = post
        self._look = outbox.look
        self.begun, self.may_end = asyncio.Event(), asyncio.Event()
        monkeypatch.setattr(lookout.outbox, "look", self.look)

    async def look(self, *given: object) -> list[outbox.Chat]:
        """One look."""
        found = await self._look(*given)  # type: ignore[arg-type]
        if self._post.far.arrived:
            self.begun.set()
            await self.may_end.wait()
        return found


async def test_stopping_while_the_next_list_is_made(post: Post, monkeypatch: pytest.MonkeyPatch) -> None:
    """It comes to its end before the courier says that it has stopped, and another start sends the rest."""
    await _fill(post)
    looks = HeldLooks(post, monkeypatch)
    courier = post.start(in_flight=2)
    await looks.begun.wait()
    stopping = asyncio.create_task(courier.drain(5))
    await asyncio.sleep(0.05)
    assert not stopping.done()
    looks.may_end.set()
    await stopping
    assert post.pending() > 0

    post.start(in_flight=2)
    await post.settle()
    assert _came_once_and_in_order(post.far)


async def test_stopping_while_a_sender_waits_for_a_list_that_will_be_empty(
    post: Post, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Everything is sent meanwhile; the news that it is to stop must not be lost with the list it waited for."""
    await _fill(post, chats=PAGE // ROWS_EACH)
    looks = HeldLooks(post, monkeypatch)
    courier = post.start(in_flight=2)
    await looks.begun.wait()
    await post.settle()
    stopping = asyncio.create_task(courier.drain(2))
    await asyncio.sleep(0.05)
    looks.may_end.set()
    await stopping

    assert "Stopped with sends in the air" not in caplog.text
