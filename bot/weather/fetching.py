"""Fetches weather from services onto the shelf: for a place somebody names, and for places that were asked about.

1. What a service gives is kept by itself, a table for each station and each grid cell, with its credit.
2. A place that cannot be had now is tried again after some hours, not at every turn.
3. Nothing is fetched unless whoever runs this switched it on.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Callable
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path

from bot.clock import Clock
from bot.errors import AfterfrostError
from bot.settings import Settings
from bot.weather.live.http import require_contact
from bot.weather.live.port import TryLater
from bot.weather.live.reanalysis import OffsetHours
from bot.weather.live.services import LiveSettings, LiveWeather, Progress, open_services
from bot.weather.living import Cell, LivingBook, Wish
from bot.weather.shelf import Kept, Shelf

log = logging.getLogger(__name__)

CACHE = Path("weather-answers") / "answers.db"
BEFORE_FREEZE = timedelta(days=45)
"""The ground remembers more than a month."""
CELLS_AT_ONCE = 10
AGAIN_SOON, AGAIN_LATER = timedelta(hours=2), timedelta(hours=24)

Open = Callable[[], AbstractAsyncContextManager[LiveWeather]]


def live_settings(settings: Settings) -> LiveSettings:
    """The services as whoever runs this chose them."""
    chosen = LiveSettings(
        contact=settings.weather_contact,
        cache_file=settings.data / CACHE,
        with_national=settings.weather in ("national", "both"),
        with_reanalysis=settings.weather in ("reanalysis", "both"),
        reanalysis_key=settings.reanalysis_key,
    )
    return replace(chosen, reanalysis_url=settings.reanalysis_url) if settings.reanalysis_url else chosen


def require_ready(settings: Settings) -> None:
    """Raises SettingsError when the national service is chosen and nobody is named to whom it can write."""
    if settings.weather in ("national", "both"):
        require_contact(settings.weather_contact)


@asynccontextmanager
async def services(settings: Settings, clock: Clock, offset_hours: OffsetHours) -> AsyncIterator[LiveWeather]:
    """The chosen services; `offset_hours` tells a place's standard time minus UTC.

    Raises SettingsError when the national one is chosen without a contact.
    """
    async with open_services(live_settings(settings), clock, offset_hours) as live:
        yield live


async def fetch_onto(
    shelf: Shelf, live: LiveWeather, cell: Cell, days: tuple[date, date], progress: Progress = lambda step: None
) -> tuple[Kept, ...]:
    """Fetch the days (first, last) of a place and keep what came. Raises WeatherServiceError when nothing did."""
    found = await live.fetch(*cell, *days, progress)
    return tuple([await asyncio.to_thread(shelf.add, part.daily, part.source) for part in found.parts])


class Fetcher:
    """Grants the wishes of a living book, some at a time. A wish stays until its weather is there or cannot be had."""

    def __init__(self, data: Path, book: LivingBook, clock: Clock, open_: Open) -> None:
        self._shelf = Shelf(data)
        self._book = book
        self._clock = clock
        self._open = open_
        self._not_before: dict[Wish, datetime] = {}

    async def run(self) -> int:
        """Fetch for the next places that are wished for; how many were had."""
        now = self._clock.now()
        self._book.forget_granted(now.date())
        wishes = self._book.wishes
        self._not_before = {wish: at for wish, at in self._not_before.items() if wish in wishes.values()}
        ready = [cell for cell, wish in wishes.items() if self._not_before.get(wish, now) <= now][:CELLS_AT_ONCE]
        if not ready:
            return 0
        async with self._open() as live:
            return sum([await self._grant(live, cell, now) for cell in ready])

    async def _grant(self, live: LiveWeather, cell: Cell, now: datetime) -> bool:
        wish = self._book.wishes[cell]
        try:
            await fetch_onto(self._shelf, live, cell, (wish.on - BEFORE_FREEZE, now.date()))
        except (TryLater, OSError) as error:
            self._not_before[wish] = now + AGAIN_SOON
            log.warning("No weather now, tried again later: %s", error)
            return False
        except AfterfrostError as error:
            self._not_before[wish] = now + AGAIN_LATER
            log.warning("No weather: %s", error)
            return False
        self._not_before[wish] = now + AGAIN_LATER  # should it not hold what was wished for: a day may bring it
        return True
