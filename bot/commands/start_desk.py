"""What a running service does for operators: the desk's pages, and what is done again and again behind them.

All of it is read in a thread when it is first due, so that a start does not wait for it.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from starlette.routing import BaseRoute
from starlette.types import ASGIApp

from bot.clock import Clock
from bot.ops.desk.later import BASE, desk_routes
from bot.service import Service
from bot.settings import Settings
from bot.store.store import Store
from bot.talk.case import Place
from bot.talk.known import Known, LocalRules
from bot.terms import Terms
from bot.ticker import Chore
from bot.turns import SHORT_CHANNELS
from bot.words import Words
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift

if TYPE_CHECKING:
    from bot.ops.advisories.spreading import Spreader
    from bot.ops.alerts.round import Watch
    from bot.ops.alerts.telling import DraftNews
    from bot.ops.desk.desk import House
    from bot.ops.digest.weekly import WeeklyDigest
    from bot.ops.learning.adopted import AdoptedBook
    from bot.ops.local.book import LocalBook
    from bot.ops.regions.by_place import Book, KeepingUp
    from bot.ops.regions.glancing import Glancing

SENDING_SECONDS, GLANCING_SECONDS, ADOPTED_SECONDS, DIGEST_SECONDS = 1.0, 5.0, 60.0, 600.0
READING_SECONDS, AHEAD_SECONDS, TELLING_SECONDS = 30.0, 60.0, 30.0
"""How often is looked whether it is somebody's turn; how often each is asked stands in `bot/ops/alerts/`."""
GLANCES_AT_ONCE = 400
"""Homeowners whose rows are brought up to date in one go: a second of work, in a thread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeskSettings:
    """What the operators' side needs of the rest of the house."""

    settings: Settings
    clock: Clock
    words: Words
    terms: Mapping[str, Terms]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Works:
    """The parts that work by themselves."""

    glancing: Glancing
    spreader: Spreader
    keeping_up: KeepingUp
    digest: WeeklyDigest
    watch: Watch
    news: DraftNews


class OperatorsSide:
    """The desk and the chores behind it. `known` is what the talk knows, with what operators adopted."""

    def __init__(self, given: DeskSettings, known: Known) -> None:
        self.known = replace(known, shift_at=self._shift_at, local_at=self._local_at)
        self._given = given
        self._adopted: AdoptedBook | None = None
        self._local: LocalBook | None = None
        self._making = asyncio.Lock()
        self._works: _Works | None = None
        self._woken: Callable[[], None] = lambda: None

    def wake_with(self, woken: Callable[[], None]) -> None:
        """Whom to wake when something was stopped or committed: the courier, once there is one."""
        self._woken = woken

    async def prepare(self, store: Store) -> None:
        """Read what operators said of their regions: the first answer must keep to it already."""
        from bot.conversation import GAZETTEER
        from bot.ops.local.early import early_book

        self._local = await early_book(store, GAZETTEER.zip_near)

    def chores(self, store: Store, service: Service) -> Sequence[Chore]:
        """What is done again and again."""

        def by(work: Callable[[_Works], Awaitable[object]]) -> Callable[[], Awaitable[object]]:
            async def run() -> object:
                return await work(await self._made(store, service))

            return run

        return (
            Chore(seconds=SENDING_SECONDS, run=by(lambda works: works.spreader.run())),
            Chore(seconds=GLANCING_SECONDS, run=by(lambda works: works.glancing.run(GLANCES_AT_ONCE))),
            Chore(seconds=ADOPTED_SECONDS, run=by(lambda works: works.keeping_up.run())),
            Chore(seconds=DIGEST_SECONDS, run=by(lambda works: works.digest.run())),
            Chore(seconds=READING_SECONDS, run=by(lambda works: works.watch.read()), let_go=self._quit_watching),
            Chore(seconds=AHEAD_SECONDS, run=by(lambda works: works.watch.look())),
            Chore(seconds=TELLING_SECONDS, run=by(lambda works: works.news.run())),
        )

    def _quit_watching(self) -> None:
        if self._works is not None:
            self._works.watch.quit()

    def routes(self, house: House) -> list[BaseRoute]:
        """Where the desk stands beside the chat page."""
        return desk_routes(lambda: self._desk(house))

    def _shift_at(self, place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        return self._adopted.shift_at(place, code, cultivar) if self._adopted is not None else None

    def _local_at(self, place: Place | None) -> LocalRules | None:
        return self._local.at(place) if self._local is not None else None

    def _desk(self, house: House) -> ASGIApp:
        from bot.ops.advisories.office import Beside
        from bot.ops.desk.desk import desk_app
        from bot.ops.desk.rooms import rooms_of

        beside = Beside(terms=self._given.terms, committed=lambda: self._woken())
        return desk_app(house, self._given.words, rooms_of(self.known, self._given.settings, beside))

    async def _made(self, store: Store, service: Service) -> _Works:
        async with self._making:
            if self._works is None:
                self._works = await asyncio.to_thread(self._make, store, service)
                await self._works.keeping_up.run()
        return self._works

    def _make(self, store: Store, service: Service) -> _Works:
        from bot.conversation import GAZETTEER
        from bot.ops.advisories.office import Beside, office_of
        from bot.ops.alerts.telling import DraftNews
        from bot.ops.digest.weekly import WeeklyDigest
        from bot.ops.learning.adopted import AdoptedBook
        from bot.ops.local.book import LocalBook
        from bot.ops.regions.by_place import KeepingUp
        from bot.ops.regions.glancing import Glancing
        from bot.ops.regions.whereabouts import Geography

        given = self._given
        GAZETTEER.load()
        self._adopted = AdoptedBook(GAZETTEER.zip_near)
        self._local = self._local or LocalBook(GAZETTEER.zip_near)
        books: list[Book] = [self._adopted, self._local]
        glancing = Glancing(store, self.known, Geography(GAZETTEER))
        beside = Beside(terms=given.terms, committed=lambda: self._woken())
        office = office_of(_Rooms(clock=given.clock, store=store), given.words, self.known, given.settings, beside)
        public = given.settings.public_url
        desk = f"{public.rstrip('/')}{BASE}/" if public else ""
        return _Works(
            glancing=glancing,
            spreader=office.spreader(service),
            keeping_up=KeepingUp(books, store.database, glancing.look_again),
            digest=WeeklyDigest(store, given.clock, given.words, short=SHORT_CHANNELS, desk=desk),
            watch=_watch_of(given, store),
            news=DraftNews(store, given.clock, given.words, short=SHORT_CHANNELS, desk=desk),
        )


def _watch_of(given: DeskSettings, store: Store) -> Watch:
    from bot.commands.weather_jobs import standard_offset_hours
    from bot.conversation import GAZETTEER
    from bot.ops.alerts.round import Surroundings, Watch, way_to_forecasts

    return Watch(
        Surroundings(
            settings=given.settings,
            database=store.database,
            clock=given.clock,
            words=given.words,
            areas=GAZETTEER.areas,
            open=way_to_forecasts(given.settings, given.clock, standard_offset_hours),
        )
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rooms:
    clock: Clock
    store: Store
