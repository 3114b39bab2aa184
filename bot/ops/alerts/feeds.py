"""Official alerts read by themselves, from the files, folders and addresses that are set.

1. Each source is read every few minutes, by itself: one that is broken holds up no other.
2. A source that cannot be read is left alone for a pause that grows, and longer where it asks for that. It is told in
   the log once, and once more when it is well again.
3. What a source holds that it did not hold before is taken in (`keeping.py`), where each alert is kept once in any
   case. Nothing is sent.
"""

from __future__ import annotations

import asyncio
import hashlib
import logging
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.clock import Clock
from bot.ops.alerts.alert import plain_text
from bot.ops.alerts.found import Found
from bot.ops.alerts.keeping import Alerts, Taken
from bot.ops.alerts.notes import Notebook, SourceNote
from bot.ops.alerts.pauses import pause_after
from bot.ops.alerts.quitting import Quitting
from bot.ops.alerts.refused import AlertRefused, NotNow
from bot.ops.alerts.sources import Net, is_address, read_any

log = logging.getLogger(__name__)

EVERY = timedelta(minutes=5)
LONGEST_PAUSE = timedelta(hours=2)
LONGEST_SHOWN = 200
_LOGIN = re.compile(r"(?<=://)[^/?#]*@")


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedRead:
    """What one reading of a source gave: its note, and what became of the alerts that were taken in."""

    source: str
    note: SourceNote
    taken: tuple[Taken, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """How sources are read: who asks, and the way out."""

    contact: str
    net: Net
    clock: Clock


def sources_in(setting: str) -> tuple[str, ...]:
    """The sources a setting names, with commas between them, each once. A comma of an address is written %2C."""
    return tuple(dict.fromkeys(each for part in setting.split(",") if (each := part.strip())))


def shown_source(source: str) -> str:
    """A source as it may be shown: without a name and a key to get in by."""
    return plain_text(without_login(source))[:LONGEST_SHOWN]


def key_of(source: str) -> str:
    """What a source is noted down under: sources may look alike as they are shown."""
    return hashlib.sha256(source.encode("utf-8", "replace")).hexdigest()[:16]


def without_login(written: str) -> str:
    """The same without names and keys in addresses."""
    return _LOGIN.sub("", written)


class Feeds:
    """Reads sources. `quitting` ends its waiting for the net."""

    def __init__(
        self, sources: Sequence[str], alerts: Alerts, reading: Reading, notebook: Notebook, quitting: Quitting
    ) -> None:
        self._sources = tuple(sources)
        self._alerts = alerts
        self._reading = reading
        self._notebook = notebook
        self._quitting = quitting
        self._taken: dict[str, frozenset[str]] = {}
        self._asked: dict[str, datetime] = {}

    async def run(self) -> list[FeedRead]:
        """Read the sources whose turn it is."""
        now = self._reading.clock.now()
        return [await self._read(each) for each in self._sources if self._next_at(each, now) <= now]

    async def run_all(self) -> list[FeedRead]:
        """Read every source now, whatever its turn."""
        return [await self._read(each) for each in self._sources]

    def _next_at(self, source: str, now: datetime) -> datetime:
        """When it is read next: now for one that never was, and where the clock has gone back."""
        note, asked_at = self._notebook.now.sources.get(key_of(source)), self._asked.get(source)
        next_at = now if note is None or note.looked_at > now else note.next_at
        if asked_at is not None and asked_at <= now:  # even if it was never noted down what came of it
            next_at = max(next_at, asked_at + EVERY)
        return next_at

    async def _read(self, source: str) -> FeedRead:
        key, name = key_of(source), shown_source(source)
        before = self._notebook.now.sources.get(key)
        self._asked[source] = self._reading.clock.now()
        taken: tuple[Taken, ...] = ()
        try:
            found = await self._quitting.unless(read_any(source, self._reading.contact, self._reading.net))
        except AlertRefused as error:
            note = self._failed(name, before, error)
        else:
            taken = await self._took(source, found)
            note = self._well(name, found)
        await asyncio.to_thread(self._notebook.note_source, key, note, set(map(key_of, self._sources)))
        _tell(name, before, note)
        return FeedRead(source=name, note=note, taken=taken)

    async def _took(self, source: str, found: Found) -> tuple[Taken, ...]:
        known = self._taken.get(source, frozenset())
        taken = await self._alerts.take([each for each in found.alerts if each.digest not in known], None)
        self._taken[source] = frozenset(each.digest for each in found.alerts)  # only now: who failed takes them again
        return tuple(taken)

    def _failed(self, name: str, before: SourceNote | None, error: AlertRefused) -> SourceNote:
        now, faults = self._reading.clock.now(), before.faults + 1 if before else 1
        wish = error.after_seconds if isinstance(error, NotNow) else 0.0
        return SourceNote(
            name=name,
            looked_at=now,
            well_at=before.well_at if before else None,
            fault=plain_text(str(error))[:LONGEST_SHOWN],
            faults=faults,
            next_at=now + pause_after(faults, 2 * EVERY, LONGEST_PAUSE, wish),
        )

    def _well(self, name: str, found: Found) -> SourceNote:
        now = self._reading.clock.now()
        first = found.refused[0] if found.refused else None
        return SourceNote(
            name=name,
            looked_at=now,
            well_at=now,
            next_at=now + EVERY,
            alerts=len(found.alerts),
            unread=len(found.refused),
            why_unread=plain_text(f"{first.name}: {first.sentence}")[:LONGEST_SHOWN] if first else "",
        )


def _tell(name: str, before: SourceNote | None, note: SourceNote) -> None:
    """In the log, when something changed."""
    if note.fault and not (before and before.fault):
        log.warning("Alerts cannot be read from %s, which is tried again later: %s", name, note.fault)
    if before and before.fault and not note.fault:
        log.info("Alerts can be read from %s again.", name)
    if note.unread and not (before and before.unread):
        log.warning("%d parts of %s could not be used: %s", note.unread, name, note.why_unread)


def without_addresses(sources: Sequence[str]) -> tuple[str, ...]:
    """Those that are on this machine."""
    return tuple(each for each in sources if not is_address(each))
