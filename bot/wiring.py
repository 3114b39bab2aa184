"""The one place that builds real parts, in order, and takes them down in the opposite order.

Nothing heavy is imported before it is needed: a command that only prints does not wait for a scheduler or a web server.
"""

from __future__ import annotations

import asyncio
import logging
import signal
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from bot.arrivals import Inlet
from bot.channels.channel import Channel
from bot.clock import Clock, ShiftedClock, SystemClock
from bot.courier import Courier
from bot.intake import Intake, Speak
from bot.service import Service
from bot.settings import Settings
from bot.store.store import Store
from bot.talk.ports import Rendered, Talk
from bot.terms import Terms
from bot.ticker import Chore, Ticker, WeatherJobs

log = logging.getLogger(__name__)

TICKER_SECONDS, INTAKE_SECONDS, SERVICE_SECONDS, COURIER_SECONDS = 0.8, 0.8, 1.2, 1.2
"""How long each part may take to finish what it has in hand. Together below the five seconds a stop may take."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Application:
    """The running parts. Adapters hand envelopes to `service` and read conversations from `store`."""

    settings: Settings
    clock: Clock
    store: Store
    service: Service
    courier: Courier
    ticker: Ticker
    intake: Intake


def _wordless(channel: str, key: str) -> Rendered:
    """A house without raw ways in says nothing outside the conversation."""
    raise KeyError(key)


async def _as_it_is(_store: Store) -> None:
    """Nothing to read beforehand."""


ChoresOf = Callable[[Store, Service], Sequence[Chore]]
"""Makes what is done again and again, once store and service are there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """The ways to and from people.

    terms : by channel name how it may be used
    inlets_of : how what comes in raw is read, one reader a channel
    speak : the words channels say by themselves
    chores : what is done again and again for operators
    prepare : reads what must be known before the first message is answered for
    """

    terms: Mapping[str, Terms] = field(default_factory=dict)
    inlets_of: Sequence[Callable[[Store], Inlet]] = ()
    speak: Speak = _wordless
    chores: ChoresOf = lambda _store, _service: ()
    prepare: Callable[[Store], Awaitable[None]] = _as_it_is


def clock_for(settings: Settings) -> Clock:
    """The machine's clock, or the one a rehearsal moves."""
    return ShiftedClock(settings.clock_shift_file) if settings.clock_shift_file else SystemClock()


@asynccontextmanager
async def running(
    settings: Settings,
    clock: Clock,
    channels: Sequence[Channel],
    talk: Talk,
    *,
    ways: Ways | None = None,
    weather: WeatherJobs | None = None,
) -> AsyncIterator[Application]:
    """Everything built and started, until the end of the block; then stopped in order, within five seconds.

    `ways` says how channels may be used and how what comes in raw is read; `weather` is looked at again and again while
    it runs. Raises `StoreError` when the data folder is in use or its database cannot be used.
    """
    async with Store.open(settings.data, talk.upgrade) as store:
        ways = ways or Ways()
        await ways.prepare(store)
        courier = Courier(store, channels, clock, terms=ways.terms)
        service = Service(store, talk, clock, committed=courier.wake)
        ticker = Ticker(service, courier, store, clock, weather, ways.chores(store, service))
        inlets = [inlet_of(store) for inlet_of in ways.inlets_of]
        intake = Intake(store, service, inlets, clock, speak=ways.speak, committed=courier.wake)
        courier.start()
        intake.start()
        ticker.start()
        try:
            yield Application(
                settings=settings,
                clock=clock,
                store=store,
                service=service,
                courier=courier,
                ticker=ticker,
                intake=intake,
            )
        finally:
            await ticker.stop(TICKER_SECONDS)
            await intake.stop(INTAKE_SECONDS)
            await _at_most(SERVICE_SECONDS, service.close(), "Messages were still being taken in when stopping.")
            await courier.drain(COURIER_SECONDS)


async def until_told_to_stop() -> None:
    """Return when the process is asked to end (SIGTERM, or Ctrl-C)."""
    stop = asyncio.Event()
    loop = asyncio.get_running_loop()
    for told in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(told, stop.set)
    await stop.wait()


async def _at_most(seconds: float, work: Awaitable[None], otherwise: str) -> None:
    try:
        async with asyncio.timeout(seconds):
            await work
    except TimeoutError:
        log.warning(otherwise)
