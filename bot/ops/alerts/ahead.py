"""Our own look ahead, by itself: every region's forecast a few times a day, and a draft where it gets cold enough.

1. At most one region in a run, the one that waits longest, so that the questions are spread over the hours.
2. A region that cannot be had is tried again after a pause that grows; one that lies where there is no forecast, once a
   day. Either is told in the log once, and once more when it is well again.
3. What comes of it is a draft at most, once for each spell of cold (`watching.py`).
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.errors import AfterfrostError
from bot.ops.alerts.keeping import Taken
from bot.ops.alerts.notes import Notebook, RegionNote
from bot.ops.alerts.outlook import Open, Outlook, outlook
from bot.ops.alerts.pauses import pause_after
from bot.ops.alerts.quitting import Quitting
from bot.ops.alerts.spots import Spot, spots_of
from bot.ops.alerts.watching import Watched, Watching
from bot.ops.regions.book import Region, RegionBook
from bot.places.gazetteer import ZipArea
from bot.weather.live.port import TryLater, WillNotWork
from bot.weather.live.services import LiveWeather
from rules.errors import OutOfRange

log = logging.getLogger(__name__)

EVERY = timedelta(hours=6)
"""A forecast of days ahead is worked out anew about that often."""
FIRST_PAUSE, LONGEST_PAUSE = timedelta(minutes=30), timedelta(hours=6)
NOWHERE_PAUSE = timedelta(days=1)

Areas = Callable[[], Iterable[ZipArea]]


class Nowhere(AfterfrostError):
    """A region holds no place that is known."""

    def __init__(self) -> None:
        super().__init__("No ZIP code lies in it and nothing is drawn, so there is no place to ask about.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What looking ahead needs: the regions, the places in them, how to draft, and the way to forecasts."""

    regions: RegionBook
    areas: Areas
    watching: Watching
    open: Open
    clock: Clock


class LookingAhead:
    """Looks at regions' forecasts. `quitting` ends its waiting for the net."""

    def __init__(self, ground: Ground, notebook: Notebook, quitting: Quitting) -> None:
        self._ground = ground
        self._notebook = notebook
        self._quitting = quitting
        self._spots: dict[int, tuple[Spot, ...]] = {}
        self._asked: dict[int, datetime] = {}

    async def run(self) -> int | None:
        """Look at the region whose turn it is; its id, None when it is nobody's turn."""
        now = self._ground.clock.now()
        known = await self._known()
        due = [(self._next_at(each, now), each.id, each) for each in known if self._next_at(each, now) <= now]
        if not due:
            return None
        region = min(due, key=lambda each: each[:2])[2]
        async with self._ground.open() as live:
            await self._look(live, region)
        return region.id

    async def run_all(self) -> list[RegionNote]:
        """Look at every region now, whatever its turn."""
        known = await self._known()
        if not known:
            return []
        async with self._ground.open() as live:
            return [await self._look(live, region) for region in known]

    async def _known(self) -> list[Region]:
        known = await self._ground.regions.all()
        await asyncio.to_thread(self._notebook.keep_regions, {each.id for each in known})
        return known

    def _next_at(self, region: Region, now: datetime) -> datetime:
        """When it is looked at next: now for one that never was, and where the clock has gone back."""
        note, asked_at = self._notebook.now.regions.get(region.id), self._asked.get(region.id)
        next_at = now if note is None or note.looked_at > now else note.next_at
        if asked_at is not None and asked_at <= now:  # even if it was never noted down what came of it
            next_at = max(next_at, asked_at + FIRST_PAUSE)
        return next_at

    async def _look(self, live: LiveWeather, region: Region) -> RegionNote:
        before = self._notebook.now.regions.get(region.id)
        self._asked[region.id] = self._ground.clock.now()
        note = await self._looked(live, region, before)
        await asyncio.to_thread(self._notebook.note_region, region.id, note)
        if note.fault and not (before and before.faults):
            log.warning("Region %d cannot be looked ahead for, and is tried again later: %s", region.id, note.fault)
        if before and before.faults and not note.fault:
            log.info("Region %d can be looked ahead for again.", region.id)
        if note.advisory_id is not None:
            log.info("Region %d has damaging cold ahead: advisory %d was drafted.", region.id, note.advisory_id)
        return note

    async def _looked(self, live: LiveWeather, region: Region, before: RegionNote | None) -> RegionNote:
        faults = before.faults + 1 if before else 1
        now = self._ground.clock.now()
        try:
            spots = await self._spots_in(region)
            may_lack = before is not None and before.faults > 0
            found = await self._quitting.unless(outlook(live, spots, self._ground.clock, may_lack=may_lack))
            taken = await self._ground.watching.look(_watched(region, found), found.forecast, None)
        except (WillNotWork, OutOfRange, Nowhere) as error:
            pause, fault = NOWHERE_PAUSE, str(error)
        except (AfterfrostError, OSError) as error:
            wish = (error.after_seconds or 0.0) if isinstance(error, TryLater) else 0.0
            pause, fault = pause_after(faults, FIRST_PAUSE, LONGEST_PAUSE, wish), str(error)
        else:
            return _well(region, found, taken, now)
        return RegionNote(name=region.name, looked_at=now, fault=fault, faults=faults, next_at=now + pause)

    async def _spots_in(self, region: Region) -> tuple[Spot, ...]:
        if region.id not in self._spots:
            self._spots[region.id] = await asyncio.to_thread(lambda: spots_of(region.shape, self._ground.areas()))
        if not self._spots[region.id]:
            raise Nowhere
        return self._spots[region.id]


def _watched(region: Region, found: Outlook) -> Watched:
    near = found.spot.name if found.answered > 1 else ""
    return Watched(id=region.id, name=region.name, shape=region.shape, latitude=found.spot.latitude, near=near)


def _well(region: Region, found: Outlook, taken: Taken | None, now: datetime) -> RegionNote:
    return RegionNote(
        name=region.name,
        looked_at=now,
        next_at=now + EVERY,
        near=found.spot.name if found.ahead else "",
        air_min_c=round(found.ahead.air_min_c, 1) if found.ahead else None,
        coldest_on=found.ahead.coldest_on if found.ahead else None,
        spots=found.spots,
        answered=found.answered,
        advisory_id=taken.advisory_id if taken else None,
    )
