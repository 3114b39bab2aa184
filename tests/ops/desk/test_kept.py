"""What takes long at the desk: nobody waits for it, it is kept while nothing changed, and a fault is told once."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta

import pytest

from bot.clock import SetClock
from bot.errors import AfterfrostError
from bot.ops.desk.kept import MOST_KEPT, TIMES_AS_LONG, Keeping

START = datetime(2027, 8, 1, 15, tzinfo=UTC)
AT_ONCE, FOR_LONG = 0.0, 30.0


class Bench:
    """Work that takes so long by the clock, and that a test lets go on. `done`: what each was given from before."""

    def __init__(self, took: timedelta = timedelta(0)) -> None:
        self.clock = SetClock(START)
        self.took = took
        self.may_end = asyncio.Event()
        self.done: list[str | None] = []
        self.at_work = 0
        self.most_at_work = 0

    async def work(self, before: str | None) -> str:
        self.at_work += 1
        self.most_at_work = max(self.most_at_work, self.at_work)
        await self.may_end.wait()
        self.clock.set(self.clock.now() + self.took)
        self.at_work -= 1
        self.done.append(before)
        return f"result {len(self.done)}"


async def test_nobody_waits_for_long_work_and_it_goes_on() -> None:
    """The first look has nothing yet, the next one joins the same work, the last one has it."""
    bench, keeping = Bench(), Keeping[str](SetClock(START), AT_ONCE)
    looks = [await keeping.look("key", 1, bench.work), await keeping.look("key", 1, bench.work)]
    bench.may_end.set()
    await keeping.settle()
    last = await keeping.look("key", 1, bench.work)

    assert [(look.kept, look.is_working) for look in looks] == [(None, True), (None, True)]
    assert last.kept is not None
    assert (last.kept.value, last.is_working) == ("result 1", False)
    assert bench.done == [None]


async def test_what_is_quick_is_there_at_once() -> None:
    """Within the patience of a page."""
    bench, keeping = Bench(), Keeping[str](SetClock(START), FOR_LONG)
    bench.may_end.set()
    look = await keeping.look("key", 1, bench.work)

    assert look.kept is not None
    assert (look.kept.value, look.kept.at, look.is_working) == ("result 1", START, False)


async def test_it_is_kept_until_what_it_rests_on_changes() -> None:
    """The same mark works nothing out; another mark does, beside what was there, which is shown meanwhile."""
    bench, keeping = Bench(), Keeping[str](SetClock(START), AT_ONCE)
    bench.may_end.set()
    await keeping.look("key", 1, bench.work)
    await keeping.settle()
    for _ in range(3):
        await keeping.look("key", 1, bench.work)
    await keeping.settle()
    assert bench.done == [None]
    bench.may_end.clear()
    meanwhile = await keeping.look("key", 2, bench.work)
    bench.may_end.set()
    await keeping.settle()
    after = await keeping.look("key", 2, bench.work)

    assert meanwhile.kept is not None and after.kept is not None
    assert (meanwhile.kept.value, meanwhile.is_working) == ("result 1", True)
    assert (after.kept.value, after.is_working) == ("result 2", False)
    assert bench.done == [None, "result 1"]


async def test_a_region_where_something_is_told_all_the_time_is_not_worked_out_all_the_time() -> None:
    """Not before ten times as long as it took has gone by since it was done."""
    bench = Bench(took=timedelta(seconds=30))
    keeping = Keeping[str](bench.clock, FOR_LONG)
    bench.may_end.set()
    await keeping.look("key", 1, bench.work)
    done_at = bench.clock.now()
    bench.clock.set(done_at + TIMES_AS_LONG * bench.took - timedelta(seconds=1))
    soon = await keeping.look("key", 2, bench.work)
    bench.clock.set(done_at + TIMES_AS_LONG * bench.took)
    late = await keeping.look("key", 2, bench.work)

    assert soon.kept is not None and late.kept is not None
    assert (soon.kept.value, late.kept.value) == ("result 1", "result 2")


async def test_one_thing_is_worked_out_at_a_time() -> None:
    """Others wait their turn, so that the talk is not slowed down by all of them."""
    bench, keeping = Bench(), Keeping[str](SetClock(START), AT_ONCE)
    for key in range(4):
        await keeping.look(key, 1, bench.work)
    bench.may_end.set()
    await keeping.settle()

    assert (bench.most_at_work, len(bench.done)) == (1, 4)


async def test_a_fault_is_told_to_the_next_who_looks_and_then_tried_again() -> None:
    """What cannot be worked out does not stay so."""
    keeping, faults = Keeping[str](SetClock(START), FOR_LONG), [AfterfrostError("Not enough.")]

    async def work(_before: str | None) -> str:
        if faults:
            raise faults.pop()
        return "enough"

    with pytest.raises(AfterfrostError, match="Not enough"):
        await keeping.look("key", 1, work)
    look = await keeping.look("key", 1, work)

    assert look.kept is not None
    assert look.kept.value == "enough"


async def test_only_what_was_looked_at_last_stays() -> None:
    """There is room for a dozen: the first of thirteen is worked out again when somebody asks."""
    bench, keeping = Bench(), Keeping[str](SetClock(START), FOR_LONG)
    bench.may_end.set()
    for key in range(MOST_KEPT + 1):
        await keeping.look(key, 1, bench.work)
    await keeping.look(MOST_KEPT, 1, bench.work)
    assert len(bench.done) == MOST_KEPT + 1
    await keeping.look(0, 1, bench.work)

    assert len(bench.done) == MOST_KEPT + 2
