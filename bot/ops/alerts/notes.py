"""What the watch notes down: when each source and each region was looked at last, what ailed it, and when it is next.

One small file in the data folder, so that a restart asks nobody again too soon, and so that the desk and the command
line can show it. It is nothing to rely on: a file that cannot be read is begun anew.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Collection
from datetime import date, datetime
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

log = logging.getLogger(__name__)

FILE = Path("watch.json")


class _Note(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class SourceNote(_Note):
    """One source of official alerts.

    name : as it may be shown
    looked_at, well_at : when it was read last, and last without a fault
    fault : what ailed it then; empty: nothing
    faults : in a row
    next_at : not asked before
    alerts, unread : messages it held, and parts of it that could not be used
    why_unread : of the first of those
    """

    name: str
    looked_at: datetime
    well_at: datetime | None = None
    fault: str = ""
    faults: int = Field(default=0, ge=0)
    next_at: datetime
    alerts: int = 0
    unread: int = 0
    why_unread: str = ""


class RegionNote(_Note):
    """One region, and the forecast of its coldest spot.

    near : the coldest spot; empty where none freezes
    air_min_c, coldest_on : there, on the coldest day told
    spots, answered : places asked about, and those a forecast was had for
    advisory_id : the draft that came of it
    """

    name: str
    looked_at: datetime
    fault: str = ""
    faults: int = Field(default=0, ge=0)
    next_at: datetime
    near: str = ""
    air_min_c: float | None = None
    coldest_on: date | None = None
    spots: int = 0
    answered: int = 0
    advisory_id: int | None = None


class Notes(_Note):
    """All of it: sources by their keys (`feeds.py`), regions by id."""

    sources: dict[str, SourceNote] = Field(default_factory=dict)
    regions: dict[int, RegionNote] = Field(default_factory=dict)


def read_notes(data: Path) -> Notes:
    """What is noted down in a data folder; nothing where there is no such file, or it is no good."""
    try:
        return Notes.model_validate_json((data / FILE).read_bytes())
    except FileNotFoundError:
        return Notes()
    except (OSError, ValidationError) as error:
        log.warning("%s cannot be read and is begun anew (%s).", FILE, type(error).__name__)
        return Notes()


class Notebook:
    """The notes of whoever watches. What is in memory counts; the file follows."""

    def __init__(self, data: Path) -> None:
        self._data = data
        self._notes: Notes | None = None
        self._can_write = True

    @property
    def now(self) -> Notes:
        """As it stands. Reads the file at the first look."""
        if self._notes is None:
            self._notes = read_notes(self._data)
        return self._notes

    def note_source(self, key: str, note: SourceNote, among: Collection[str]) -> None:
        """Note one down, and forget those that are set no more."""
        kept = {each: old for each, old in self.now.sources.items() if each in among}
        self._keep(self.now.model_copy(update={"sources": kept | {key: note}}))

    def note_region(self, region_id: int, note: RegionNote) -> None:
        """Note one down."""
        self._keep(self.now.model_copy(update={"regions": self.now.regions | {region_id: note}}))

    def keep_regions(self, among: Collection[int]) -> None:
        """Forget the regions that have ended."""
        kept = {each: old for each, old in self.now.regions.items() if each in among}
        if len(kept) < len(self.now.regions):
            self._keep(self.now.model_copy(update={"regions": kept}))

    def _keep(self, notes: Notes) -> None:
        """In memory first: a full disk must not make us ask again and again."""
        self._notes = notes
        half = self._data / f".{FILE}.{os.getpid()}"
        try:
            half.write_text(notes.model_dump_json(indent=1), encoding="utf-8")
            half.replace(self._data / FILE)
        except OSError as error:
            if self._can_write:
                log.warning("%s cannot be written: %s.", FILE, error.strerror)
            self._can_write = False
        else:
            self._can_write = True
