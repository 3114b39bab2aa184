from __future__ import annotations

import asyncio
import itertools
import logging
import threading
from collections.abc import AsyncIterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from bot.courier import Courier
from bot.store.store import Store, Tidied
from bot.talk.case import Homeowner
from bot.talk.incoming import Incoming
from bot.talk.ports import Known, Outcome
from bot.ticker import Ticker, WeatherJobs
from tests.fakes.far_side import FarSide
from tests.fakes.house import House, open_house
from tests.fakes.small_talk import TALK


class Rig:
    """A house with a courier and a ticker that is not running yet."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.far = FarSide()
        self.courier = Courier(house.store, [self.far], house.clock)
        self.ticker = Ticker(house.service, self.courier, house.store, house.clock)


@pytest.fixture
async def rig(tmp_path: Path) -> AsyncIterator[Rig]:
    async with open_house(tmp_path) as house:
        opened = Rig(house)
        opened.courier.start()
        yield opened
        await opened.ticker.stop(5)
        await opened.courier.drain(5)


async def _until(seconds: float, is_so: object) -> None:
    async with asyncio.timeout(seconds):
        while not is_so():  # type: ignore[operator]  # noqa: ASYNC110 - what is waited for happens in another task
            await asyncio.sleep(0.005)


async def test_a_tick_brings_up_everything_due_and_wakes_the_courier(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:
    """However much is due, one tick goes on until there is none."""
    monkeypatch.setattr("bot.ticker.REMINDERS_A_TRANSACTION", 2)
    for number in range(7):
        await rig.house.hear(f"chat-{number}", "remind cut 2026-02-10 11:00")
    rig.house.pass_time(hours=2)
    await rig.ticker.tick()

    assert rig.house.value("SELECT count(*) FROM reminder WHERE state = 1") == 7
    await _until(5, lambda: len(rig.far.arrived) == 14)


async def test_the_running_ticker_brings_reminders_up_by_itself(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the real scheduler: due, then sent, without anybody calling anything."""
    monkeypatch.setattr("bot.ticker.TICK_SECONDS", 0.05)
    await rig.house.hear("anna", "remind cut 2026-02-10 11:00")
    rig.ticker.start()
    rig.house.pass_time(hours=2)

    await _until(5, lambda: rig.far.texts() == ["counted 1 remind cut 2026-02-10 11:00", "due 2 1/cut"])


async def test_a_tick_that_fails_is_logged_and_comes_again(
    rig: Rig, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A database that cannot be used for a while costs that while, no more."""
    monkeypatch.setattr("bot.ticker.TICK_SECONDS", 0.05)
    await rig.house.hear("anna", "remind cut 2026-02-10 11:00")
    rig.courier.wake()
    await _until(5, lambda: rig.house.value("SELECT count(*) FROM outbox WHERE state = 0") == 0)
    rig.house.pass_time(hours=2)
    await rig.house.change("ALTER TABLE reminder RENAME TO mislaid")
    rig.ticker.start()
    await _until(5, lambda: "A periodic job failed" in caplog.text)
    await rig.house.change("ALTER TABLE mislaid RENAME TO reminder")

    await _until(5, lambda: "due 2 1/cut" in rig.far.texts())


async def test_stopping_lets_the_transaction_in_hand_finish(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stop in the middle of a mountain of reminders ends after the batch in hand, with nothing half done."""
    monkeypatch.setattr("bot.ticker.REMINDERS_A_TRANSACTION", 1)
    monkeypatch.setattr("bot.ticker.TICK_SECONDS", 0.05)
    async with open_house(tmp_path) as house:
        rig = Rig(house)
        for number in range(20):
            await house.hear(f"chat-{number}", "remind cut 2026-02-10 11:00")
        house.pass_time(hours=2)
        rig.ticker.start()
        await _until(5, lambda: house.value("SELECT count(*) FROM reminder WHERE state = 1") >= 2)
        await rig.ticker.stop(5)

        brought_up = house.value("SELECT count(*) FROM reminder WHERE state = 1")
        assert brought_up < 20
        assert house.value("SELECT count(*) FROM outbox WHERE urgency = 2") == brought_up
        await asyncio.sleep(0.2)
        assert house.value("SELECT count(*) FROM reminder WHERE state = 1") == brought_up


async def until_it_ticks(rig: Rig) -> None:
    """It begins a moment after it was started."""
    async with asyncio.timeout(10):
        while rig.ticker._scheduler is None:  # noqa: ASYNC110 - the ticker tells nobody
            await asyncio.sleep(0.02)


async def test_stopping_does_not_wait_longer_than_it_may(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """Something that does not end is left behind, aloud."""
    async with open_house(tmp_path) as house:
        rig = Rig(house)
        rig.ticker.start()
        await until_it_ticks(rig)
        never = asyncio.create_task(asyncio.Event().wait())
        rig.ticker._jobs.add(never)  # type: ignore[arg-type]
        await rig.ticker.stop(0.05)
        never.cancel()

    assert "still at work" in caplog.text


async def test_the_night_finds_nothing_wrong_and_says_so(rig: Rig, caplog: pytest.LogCaptureFixture) -> None:
    """One line tells what the nightly work did."""
    caplog.set_level(logging.INFO, logger="bot")
    await rig.house.hear("anna", "forget me")
    rig.house.pass_time(days=9)
    await rig.ticker.tidy()

    assert "database ok, 1 kept messages dropped, 0 unclaimed photos removed, log emptied" in caplog.text


async def test_damage_is_an_error_with_a_way_out(
    rig: Rig, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """What SQLite's own look finds is said aloud, every night."""

    async def damaged(_store: Store, _now: datetime) -> Tidied:
        return Tidied(check="row 7 missing", dropped=0, unclaimed_photos=0, is_log_emptied=True)

    monkeypatch.setattr(Store, "tidy", damaged)
    await rig.ticker.tidy()

    assert "The database is damaged: row 7 missing" in caplog.text


async def test_the_night_sets_reminders_right_for_everybody(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:
    """Homeowner by homeowner, to the last."""
    monkeypatch.setattr("bot.ticker.MENDED_AT_ONCE", 2)
    for number in range(5):
        await rig.house.hear(f"chat-{number}", "remind cut 2026-03-01 09:00")
    await rig.house.change("DELETE FROM reminder")
    await rig.ticker.tidy()

    assert rig.house.value("SELECT count(*) FROM reminder WHERE state = 0") == 5


async def test_the_jobs_are_as_the_scheduler_must_have_them(rig: Rig) -> None:
    """Never skipped for being late, never doubled, in UTC; the nightly one in the small hours of the lawns."""
    rig.ticker.start()
    await until_it_ticks(rig)
    scheduler = rig.ticker._scheduler
    assert scheduler is not None
    every_second, every_minute, nightly = sorted(scheduler.get_jobs(), key=lambda job: job.trigger.interval)

    for job in (every_second, every_minute, nightly):
        assert (job.misfire_grace_time, job.coalesce, job.max_instances) == (None, True, 1)
    assert every_second.trigger.interval == timedelta(seconds=1)
    assert every_minute.trigger.interval == timedelta(minutes=1)
    assert nightly.trigger.interval == timedelta(days=1)
    assert nightly.next_run_time.astimezone(UTC).hour == 8
    assert nightly.next_run_time - datetime.now(UTC) <= timedelta(days=1)


async def test_a_long_batch_gives_the_rest_of_the_process_its_turn(tmp_path: Path) -> None:
    """While sixty slow turns are worked out, other tasks run in between: never after more than a few of them."""
    turns: list[int] = []

    def slow(homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: Known) -> Outcome:
        turns.append(1)
        started = asyncio.get_running_loop().time()
        while asyncio.get_running_loop().time() < started + 0.002:
            pass
        return TALK.reduce(homeowner, incoming, now, known)

    async with open_house(tmp_path, talk=replace(TALK, reduce=slow)) as house:
        rig = Rig(house)
        for number in range(60):
            await house.hear(f"chat-{number}", "remind cut 2026-02-10 11:00")
        house.pass_time(hours=2)
        turns.clear()
        done: list[int] = []

        async def watch() -> None:
            while True:
                done.append(len(turns))
                await asyncio.sleep(0)

        watching = asyncio.create_task(watch())
        await rig.ticker.tick()
        watching.cancel()

    assert len(turns) == 60
    assert max(later - earlier for earlier, later in itertools.pairwise(done)) <= 10


class _Weather:
    """Counts how often it is looked at; the first look fails."""

    def __init__(self) -> None:
        self.looks = 0

    def refresh(self) -> bool:
        self.looks += 1
        if self.looks == 1:
            raise OSError("the shelf is gone")
        return True


async def test_weather_is_looked_at_at_once_and_again_after_a_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A shelf that cannot be read now is looked at again, and stops nothing else."""
    monkeypatch.setattr("bot.ticker.WEATHER_SECONDS", 0.05)
    weather = _Weather()
    async with open_house(tmp_path) as house:
        courier = Courier(house.store, [FarSide()], house.clock)
        ticker = Ticker(house.service, courier, house.store, house.clock, WeatherJobs(book=weather))
        ticker.start()
        await _until(5, lambda: weather.looks >= 3)
        await ticker.stop(5)


class _SlowWeather:
    """A look that takes longer than anybody waits at the end."""

    def __init__(self) -> None:
        self.begun, self.may_end = threading.Event(), threading.Event()

    def refresh(self) -> bool:
        self.begun.set()
        self.may_end.wait(30)
        return True


def test_stopping_does_not_wait_for_a_long_look_at_the_weather(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    """The thread goes with the process; the end of the loop neither waits for it nor logs an error."""
    weather = _SlowWeather()

    async def life() -> None:
        async with open_house(tmp_path) as house:
            courier = Courier(house.store, [FarSide()], house.clock)
            ticker = Ticker(house.service, courier, house.store, house.clock, WeatherJobs(book=weather))
            ticker.start()
            await asyncio.to_thread(weather.begun.wait, 5)
            await ticker.stop(0.05)

    try:
        asyncio.run(life())
        assert not weather.may_end.is_set(), "the loop ended while the look was still at work"
        assert [record for record in caplog.records if record.levelno >= logging.ERROR] == []
    finally:
        weather.may_end.set()
