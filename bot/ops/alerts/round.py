"""The watch as a whole: official alerts read, forecasts looked at, operators told of drafts; by itself or once by hand.

Nothing leaves this machine unless a setting says so: without `AFTERFROST_ALERTS` no alert is read, without the national
weather service no forecast is asked for. In a rehearsal, whose time is moved, only files and folders are read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bot.clock import Clock
from bot.ops.advisories.drafts import Advisories
from bot.ops.alerts.ahead import Areas, Ground, LookingAhead
from bot.ops.alerts.feeds import FeedRead, Feeds, Reading, sources_in, without_addresses
from bot.ops.alerts.keeping import Alerts
from bot.ops.alerts.notes import Notebook, RegionNote
from bot.ops.alerts.outlook import Open, forecasts, has_forecasts
from bot.ops.alerts.quitting import Quit, Quitting
from bot.ops.alerts.remembered import remembering
from bot.ops.alerts.watching import Watching
from bot.ops.regions.book import RegionBook
from bot.settings import Settings
from bot.store.database import Database
from bot.weather.live.reanalysis import OffsetHours
from bot.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What a watch works with. `open`: the way to forecasts; None: none is fetched."""

    settings: Settings
    database: Database
    clock: Clock
    words: Words
    areas: Areas
    open: Open | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What one round found. `regions` None: no forecast is fetched."""

    sources: Sequence[FeedRead]
    regions: Sequence[RegionNote] | None


class Watch:
    """Reads and looks. `quit` lets go of what waits for the net."""

    def __init__(self, around: Surroundings) -> None:
        database, clock = around.database, around.clock
        drafts, notebook = Advisories(database, clock), Notebook(around.settings.data)
        self._quitting = Quitting()
        self._feeds = Feeds(
            watched_sources(around.settings),
            Alerts(database, drafts, around.words, clock),
            Reading(contact=around.settings.weather_contact, net=remembering(around.settings.data, clock), clock=clock),
            notebook,
            self._quitting,
        )
        self._ahead = (
            LookingAhead(
                Ground(
                    regions=RegionBook(database, clock),
                    areas=around.areas,
                    watching=Watching(database, drafts, around.words, clock),
                    open=around.open,
                    clock=clock,
                ),
                notebook,
                self._quitting,
            )
            if around.open is not None
            else None
        )

    def quit(self) -> None:
        """The service stops."""
        self._quitting.quit()

    async def read(self) -> None:
        """Read the sources whose turn it is."""
        try:
            await self._feeds.run()
        except Quit:
            return  # they are read after the next start

    async def look(self) -> None:
        """Look ahead for the region whose turn it is."""
        if self._ahead is None:
            return
        try:
            await self._ahead.run()
        except Quit:
            return  # its turn comes again after the next start

    async def once(self) -> Found:
        """Read every source and look ahead for every region, now."""
        return Found(
            sources=await self._feeds.run_all(),
            regions=await self._ahead.run_all() if self._ahead is not None else None,
        )


def watched_sources(settings: Settings) -> tuple[str, ...]:
    """The sources that are read, as they are set."""
    sources = sources_in(settings.alerts)
    return sources if settings.clock_shift_file is None else without_addresses(sources)


def way_to_forecasts(settings: Settings, clock: Clock, offset_hours: OffsetHours) -> Open | None:
    """How forecasts are asked for; None where the settings say they are not."""
    return forecasts(settings, clock, offset_hours) if has_forecasts(settings) else None
