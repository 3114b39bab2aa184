"""One homeowner's day-book: what is stored of them, as the page shows it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bot.channels.web.lines import Line, Live, OwnLine, ToldLine, lines_of, live_of
from bot.store import photos
from bot.store.store import Store
from bot.talk import flow
from bot.talk.case import Homeowner
from bot.talk.followup import open_tasks, zone_of

BACK_AFTER = timedelta(hours=24)
"""Somebody who comes after so long without a word is greeted and told where we were."""
_ABOUT_THE_PLACE = frozenset({"place", "place_which", "state"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A photo on the page: where it belongs and the local day it shows, once it is filed."""

    id: str
    spot: str = ""
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """Everything a page shows of one homeowner. `turn` is the last one that is on it."""

    homeowner_id: int
    language: str
    turn: int
    last_at: datetime | None
    lines: tuple[Line, ...]
    live: Live | None
    shown: dict[str, Shown]
    asks_place: bool
    has_dates: bool

    def after(self, turn: int) -> tuple[Line, ...]:
        """The lines of later turns."""
        return tuple(line for line in self.lines if line.turn > turn)


async def open_book(store: Store, address: str) -> Book | None:
    """The day-book of who writes from an address; None when nobody does."""
    homeowner_id = await store.find_homeowner("web", address)
    if homeowner_id is None:
        return None
    entries = await store.entries(homeowner_id)
    homeowner = await store.homeowner(homeowner_id)
    lines = tuple(lines_of(entries, zone_of(homeowner or Homeowner())))
    return Book(
        homeowner_id=homeowner_id,
        language=homeowner.language if homeowner else "en",
        turn=max((entry.turn for entry in entries), default=0),
        last_at=max((entry.at for entry in entries), default=None),
        lines=lines,
        live=live_of(entries, homeowner),
        shown=await _shown(store, homeowner_id, lines),
        asks_place=homeowner is not None and asks_place(homeowner),
        has_dates=homeowner is not None and has_dates(homeowner),
    )


def is_a_return(book: Book, now: datetime) -> bool:
    """Whether so much time has passed that this is a new visit."""
    return book.last_at is None or now - book.last_at > BACK_AFTER


def asks_place(homeowner: Homeowner) -> bool:
    """Whether the open question is where the lawn is, so that a position would answer it."""
    case = homeowner.lawn
    if case is None:
        return False
    if homeowner.side is not None:
        return homeowner.side.topic == "changing" and homeowner.side.about[0] in _ABOUT_THE_PLACE
    instance = flow.next_instance(case)
    return instance is not None and instance.question.id in _ABOUT_THE_PLACE


def has_dates(homeowner: Homeowner) -> bool:
    """Whether any confirmed plan has something still to come."""
    return any(case.planned_on is not None and open_tasks(case) for case in homeowner.lawns)


async def _shown(store: Store, homeowner_id: int, lines: Sequence[Line]) -> dict[str, Shown]:
    """The photos these lines show that are this homeowner's own."""
    if not any(line.photos if isinstance(line, ToldLine) else _photo_of(line) for line in lines):
        return {}
    async with store.database.read() as tx:
        rows = await photos.of_homeowner(tx, homeowner_id)
    return {
        row.photo_id: Shown(
            id=row.photo_id, spot=row.spot or "", on=date.fromisoformat(row.shown_on) if row.shown_on else None
        )
        for row in rows
    }


def _photo_of(line: Line) -> str:
    return line.photo if isinstance(line, OwnLine) else ""
