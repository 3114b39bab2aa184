"""The only user of APScheduler: a few periodic jobs inside this process. Nothing durable lives in it.

1. Every second: bring up due reminders until there are none, then wake the courier.
2. Every minute: write down what the courier counted; look whether there is new weather, and fetch what was asked about,
   where that is switched on.
3. Every night: look for damage, drop what was kept only for a while, empty the log, set reminder rows right.
4. A job that fails is logged and runs again at its next time. A job never overlaps itself, and is never skipped for
   being late.

Intervals in UTC, never local hours: at a clock change those run twice or not at all.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import threading
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Protocol

from bot.clock import Clock, SystemClock
from bot.courier import Courier
from bot.logs import trace_of
from bot.service import Service
from bot.store.store import Store

if TYPE_CHECKING:
    from apscheduler.schedulers.asyncio import AsyncIOScheduler

log = logging.getLogger(__name__)

FIRST_WORDS_SECONDS = 0.3
TICK_SECONDS = 1
WEATHER_SECONDS = 60
COUNT_SECONDS = 60
REMINDERS_A_TRANSACTION = 100
NIGHT = datetime(2026, 1, 1, 8, tzinfo=UTC)
"""A moment of the nightly hour: the small hours everywhere in the warm-season states."""
MENDED_AT_ONCE = 50


async def in_a_thread_nobody_waits_for(work: Callable[[], bool]) -> bool:
    """Do long work beside the loop, in a thread that goes with the process: stopping does not wait for its end."""
    loop = asyncio.get_running_loop()
    done: asyncio.Future[bool] = loop.create_future()

    def settle(result: bool, error: Exception | None) -> None:
        if done.cancelled():
            return
        if error is None:
            done.set_result(result)
        else:
            done.set_exception(error)

    def run() -> None:
        result, problem = False, None
        try:
            result = work()
        except Exception as error:  # noqa: BLE001 - handed to whoever waits
            problem = error
        with contextlib.suppress(RuntimeError):  # the loop is closed: nobody waits any more
            loop.call_soon_threadsafe(settle, result, problem)

    threading.Thread(target=run, name="weather", daemon=True).start()
    return await done


class Refreshing(Protocol):
    """Something that looks whether it is still up to date, in a thread of its own; whether it changed."""

    def refresh(self) -> bool: ...


class Fetching(Protocol):
    """Something that fetches what was wished for; how much it got."""

    async def run(self) -> int: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherJobs:
    """What is done about weather while the service runs. `fetcher` None: nothing is fetched from anywhere."""

    book: Refreshing
    fetcher: Fetching | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Chore:
    """Something done again and again while the service runs, every so many seconds, never twice at once.

    let_go : called when the service stops, so that what waits for the net ends at once
    """

    seconds: float
    run: Callable[[], Awaitable[object]]
    let_go: Callable[[], None] = lambda: None


class Ticker:
    """Starts and stops the periodic jobs."""

    def __init__(
        self,
        service: Service,
        courier: Courier,
        store: Store,
        clock: Clock,
        weather: WeatherJobs | None = None,
        chores: Sequence[Chore] = (),
    ) -> None:
        self._service = service
        self._courier = courier
        self._store = store
        self._clock = clock
        self._weather = weather.book if weather else None
        self._fetcher = weather.fetcher if weather else None
        self._chores = chores
        self._is_stopping = False
        self._jobs: set[asyncio.Task[None]] = set()
        self._starting: asyncio.TimerHandle | None = None
        self._scheduler: AsyncIOScheduler | None = None

    def start(self) -> None:
        """Begin ticking, once the first words are out: a scheduler takes longer to read than they do to say."""
        self._starting = asyncio.get_running_loop().call_later(FIRST_WORDS_SECONDS, self._start)

    def _start(self) -> None:
        from apscheduler.schedulers.asyncio import AsyncIOScheduler

        logging.getLogger("apscheduler").setLevel(logging.ERROR)  # "still running" is ordinary when much is due
        scheduler = AsyncIOScheduler(
            timezone=UTC, job_defaults={"misfire_grace_time": None, "coalesce": True, "max_instances": 1}
        )
        scheduler.add_job(self._run, "interval", seconds=TICK_SECONDS, args=[self.tick])
        scheduler.add_job(self._run, "interval", days=1, start_date=NIGHT, args=[self.tidy])
        scheduler.add_job(self._run, "interval", seconds=COUNT_SECONDS, args=[self._courier.flush_counts])
        if self._weather is not None:
            soon = SystemClock().now()  # the scheduler goes by the machine, whatever a rehearsal says
            scheduler.add_job(
                self._run, "interval", seconds=WEATHER_SECONDS, args=[self.look_at_weather], next_run_time=soon
            )
        if self._fetcher is not None:
            scheduler.add_job(self._run, "interval", seconds=WEATHER_SECONDS, args=[self.fetch_weather])
        for chore in self._chores:
            scheduler.add_job(self._run, "interval", seconds=chore.seconds, args=[chore.run])
        scheduler.start()
        self._scheduler = scheduler

    async def stop(self, seconds: float) -> None:
        """Begin nothing more, and let what runs finish what it has in hand, for at most so many seconds."""
        self._is_stopping = True
        for chore in self._chores:
            chore.let_go()
        if self._starting is not None:
            self._starting.cancel()
        if self._scheduler is None:
            return
        self._scheduler.pause()
        if self._jobs:
            _, late = await asyncio.wait(self._jobs, timeout=seconds)
            if late:
                log.warning("%d periodic jobs were still at work when stopping.", len(late))
        self._scheduler.shutdown(wait=False)  # with wait=True it would cancel what runs
        self._scheduler = None

    async def tick(self) -> None:
        """Bring up everything that is due, then let the courier look."""
        try:
            while not self._is_stopping and await self._service.reminders_due(REMINDERS_A_TRANSACTION):
                pass
        finally:
            self._courier.wake()

    async def look_at_weather(self) -> None:
        """New weather is worked out in a thread; whoever asks meanwhile is answered from what was known before."""
        if self._weather is not None and await in_a_thread_nobody_waits_for(self._weather.refresh):
            log.info("There is new weather.")

    async def fetch_weather(self) -> None:
        """Weather that was asked about and is not at hand."""
        if self._fetcher is not None and (count := await self._fetcher.run()):
            log.info("Weather fetched for %d places.", count)

    async def tidy(self) -> None:
        """The nightly work."""
        found = await self._store.tidy(self._clock.now())
        if found.check != "ok":
            log.error("The database is damaged: %s. Stop, and put back a backup.", found.check)
        log.info(
            "Nightly work: database %s, %d kept messages dropped, %d unclaimed photos removed, log %s.",
            found.check,
            found.dropped,
            found.unclaimed_photos,
            "emptied" if found.is_log_emptied else "in use",
        )
        await self.mend()

    async def mend(self) -> None:
        """Set every reminder row right, a few homeowners at a time."""
        after: int | None = 0
        while after is not None and not self._is_stopping:
            after = await self._service.mend_reminders(after, MENDED_AT_ONCE)
            await asyncio.sleep(0)

    async def _run(self, job: Callable[[], Awaitable[object]]) -> None:
        task = asyncio.current_task()
        if self._is_stopping or task is None:
            return
        self._jobs.add(task)
        try:
            await job()
        except asyncio.CancelledError:
            if not self._is_stopping:  # at the end what runs is let go of; at any other time somebody means it
                raise
        except Exception as error:  # noqa: BLE001 - the edge: a job that fails must run again at its next time
            log.error("A periodic job failed.\n%s", trace_of(error))
        finally:
            self._jobs.discard(task)
