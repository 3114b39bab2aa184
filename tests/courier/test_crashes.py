from __future__ import annotations

import asyncio

import pytest

from bot.lane import Lane
from bot.store import database
from tests.courier.conftest import Post


async def test_killed_before_the_far_side_has_it_sends_it_once(post: Post) -> None:
    """Nothing arrived, so the next process sends it, and it arrives once."""
    await post.house.hear("anna", "hello")
    post.far.before = asyncio.Event()
    courier = post.start()
    await post.until(lambda: len(post.far.tried) == 1)
    await post.kill(courier)
    assert post.far.arrived == []

    post.far.before = None
    post.start()
    await post.settle()
    assert post.far.texts() == ["counted 1 hello"]


async def test_killed_before_the_answer_is_back_repeats_that_one_and_no_other(post: Post) -> None:
    """Nobody can know whether it arrived; losing it would be worse. What was marked before is not repeated."""
    await post.house.hear("anna", "two")
    await post.house.hear("anna", "three")
    courier = post.start()
    await post.house.hear("anna", "four")
    await post.settle()
    post.far.after = asyncio.Event()
    await post.house.hear("anna", "five")
    await post.until(lambda: post.far.texts()[-1].endswith("five"))
    await post.kill(courier)

    post.far.after = None
    post.start()
    await post.settle()
    expected = ["first 1", "second 1", "counted 2 three", "counted 3 four", "counted 4 five", "counted 4 five"]
    assert post.far.texts() == expected


async def test_with_many_in_the_air_exactly_those_are_repeated(post: Post) -> None:
    """Doubled at most what was in the air when it was killed; nothing lost, order within each chat kept."""
    for number in range(30):
        await post.house.hear(f"chat-{number}", "two")
    post.far.after = asyncio.Event()
    courier = post.start(in_flight=5)
    await post.until(lambda: len(post.far.arrived) == 5)
    await post.kill(courier)

    post.far.after = None
    post.start(in_flight=5)
    await post.settle()
    assert len(post.far.arrived) == 65
    assert len({one.outbox_id for one in post.far.arrived}) == 60
    for number in range(30):
        texts = post.far.texts(f"chat-{number}")
        assert list(dict.fromkeys(texts)) == ["first 1", "second 1"]


async def test_what_was_sent_but_could_not_be_marked_is_not_sent_again_by_the_same_process(
    post: Post, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A full or locked disk must not turn into the same message over and over: only the mark is tried again."""
    await post.house.hear("anna", "hello")
    post.far.after = asyncio.Event()
    courier = post.start()
    await post.until(lambda: len(post.far.arrived) == 1)
    monkeypatch.setattr(Lane, "_sleep", _soon)
    async with post.house.locked():
        await _make_writes_fail_fast(post)
        post.far.after.set()
        for _ in range(5):
            courier.wake()
            await asyncio.sleep(0.02)
        assert post.pending() == 1
    courier.wake()
    await post.settle()

    assert post.far.texts() == ["counted 1 hello"]


async def test_killed_while_marking_repeats_at_most_that_one(post: Post) -> None:
    """The mark that was under way is either made or not; both are fine, a third sending is not."""
    await post.house.hear("anna", "hello")
    await post.house.hear("bert", "hello")
    post.far.after = asyncio.Event()
    courier = post.start()
    await post.until(lambda: len(post.far.arrived) == 1)
    async with post.house.locked():
        post.far.after.set()
        await asyncio.sleep(0.02)
        killing = asyncio.create_task(post.kill(courier))
        await asyncio.sleep(0.02)
    await killing

    post.start()
    await post.settle()
    assert 2 <= len(post.far.arrived) <= 3
    assert {one.address for one in post.far.arrived} == {"anna", "bert"}


async def test_a_failed_look_at_the_queue_is_survived(post: Post, monkeypatch: pytest.MonkeyPatch) -> None:
    """A moment in which the database cannot be read costs that moment only."""
    looks = 0
    real = database.Database.read

    def read(self: database.Database) -> object:
        nonlocal looks
        looks += 1
        if looks == 2:  # the first is the count at the start
            raise database.StoreBusy("no")
        return real(self)

    monkeypatch.setattr(database.Database, "read", read)
    monkeypatch.setattr(Lane, "_sleep", _soon)
    await post.house.hear("anna", "hello")
    post.start()
    await post.settle()

    assert post.far.texts() == ["counted 1 hello"]


async def _soon(_lane: Lane, _seconds: float) -> None:
    await asyncio.sleep(0.005)


async def _make_writes_fail_fast(post: Post) -> None:
    """Wait no five seconds for a lock."""
    async with post.house.store.database.writer.connect() as connection:
        driver = (await connection.get_raw_connection()).driver_connection
        assert driver is not None
        await (await driver.execute("PRAGMA busy_timeout=5")).close()
