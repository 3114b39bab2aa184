"""What the alerts page tells of the watch: every source and every region, when it was looked at, and what ailed it."""

from __future__ import annotations

from dataclasses import dataclass

from bot.ops.alerts.feeds import key_of, shown_source
from bot.ops.alerts.notes import RegionNote, SourceNote, read_notes
from bot.ops.alerts.outlook import has_forecasts
from bot.ops.alerts.own_cold import SPREAD_TOLD_DC
from bot.ops.alerts.round import watched_sources
from bot.settings import Settings
from bot.talk.messages import TemperatureC


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceTold:
    """One source that is set. `note` None: it was not read yet."""

    name: str
    note: SourceNote | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionTold:
    """One region that was looked at. `air` None where no place in it freezes."""

    note: RegionNote
    air: TemperatureC | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchTold:
    """The whole of it. `regions` None: no forecast is fetched."""

    sources: tuple[SourceTold, ...] = ()
    regions: tuple[RegionTold, ...] | None = None


def watch_told(settings: Settings) -> WatchTold:
    """As it is noted down in the data folder."""
    notes, sources = read_notes(settings.data), watched_sources(settings)
    regions = sorted(notes.regions.values(), key=lambda each: each.name.casefold())
    return WatchTold(
        sources=tuple(SourceTold(name=shown_source(each), note=notes.sources.get(key_of(each))) for each in sources),
        regions=tuple(map(_region, regions)) if has_forecasts(settings) else None,
    )


def _region(note: RegionNote) -> RegionTold:
    air = None if note.air_min_c is None else TemperatureC(note.air_min_c, SPREAD_TOLD_DC)
    return RegionTold(note=note, air=air)
