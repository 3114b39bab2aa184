"""Gathers what came of lawns, out of the stored homeowners.

1. A lawn counts once its judging day is two weeks past, whatever came of it: a lawn that came back is known sooner than
   one that did not, so whoever counts in the middle of a spring counts too many living ones.
2. Lawns of which nothing was told are counted too: owners who answer are not all owners.
3. A document that cannot be read is counted and passed over.
"""

from __future__ import annotations

import asyncio
import logging
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from bot.errors import StoreError
from bot.logs import trace_of
from bot.store import corrections
from bot.store.rows import load_homeowner
from bot.store.store import Store
from bot.talk import advice, answers
from bot.talk.case import Case, Homeowner, Place
from bot.talk.known import Known
from bot.talk.outcome import SpotOutcome, outcomes_of
from rules.grasses import GrassCode
from rules.season import spring_year

log = logging.getLogger(__name__)

IsWanted = Callable[[Place], bool]
PAGE = 500
AFTER_JUDGING = timedelta(days=14)
"""How long after its judging day a lawn is waited for: its verdict may be asked for again in two weeks."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnEnd:
    """A lawn whose season is over. `spots` is empty where nothing was told of its end."""

    homeowner_id: int
    lawn: int
    place: Place
    code: GrassCode
    winter: int  # the year of its spring
    spots: tuple[SpotOutcome, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """Lawns whose season is over. `too_early` and `unread` count lawns still to judge, and homeowners not readable."""

    lawns: tuple[LawnEnd, ...] = ()
    too_early: int = 0
    unread: int = 0

    def of(self, code: GrassCode) -> tuple[LawnEnd, ...]:
        """The lawns of one grass."""
        return tuple(each for each in self.lawns if each.code is code)

    @property
    def told(self) -> tuple[LawnEnd, ...]:
        """Those of which something was told."""
        return tuple(each for each in self.lawns if each.spots)

    @property
    def told_by_grass(self) -> Mapping[GrassCode, int]:
        """How many lawns were told of, the grass with most first."""
        return dict(Counter(each.code for each in self.told).most_common())


@dataclass(slots=True)
class _Tally:
    lawns: list[LawnEnd] = field(default_factory=list)
    too_early: int = 0
    unread: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Which:
    """Which lawns count."""

    known: Known
    today: date
    is_wanted: IsWanted


async def gather(store: Store, known: Known, today: date, is_wanted: IsWanted = lambda place: True) -> Gathered:
    """Every lawn at a wanted place whose season is over. Works in a thread, page by page."""
    which = _Which(known=known, today=today, is_wanted=is_wanted)
    tally, after_id = _Tally(), 0
    while True:
        async with store.database.read() as tx:
            page = await corrections.documents(tx, after_id, PAGE)
        if not page:
            return Gathered(lawns=tuple(tally.lawns), too_early=tally.too_early, unread=tally.unread)
        after_id = page[-1][0]
        await asyncio.to_thread(_add, tally, page, store, which)


def _add(tally: _Tally, page: Sequence[tuple[int, str]], store: Store, which: _Which) -> None:
    for of_id, doc in page:
        homeowner = read(store, of_id, doc)
        tally.unread += homeowner is None
        for case in homeowner.lawns if homeowner else ():
            place = answers.settled_place(case)
            if place is None or not which.is_wanted(place):
                continue
            end = end_of(of_id, case, which.known, which.today)
            tally.too_early += end is None and case.planned_on is not None
            tally.lawns += [] if end is None else [end]


def read(store: Store, homeowner_id: int, doc: str) -> Homeowner | None:
    """A stored homeowner; None, with a line in the log, where the document cannot be read."""
    try:
        return load_homeowner(doc, store.upgrade)
    except StoreError as error:
        log.warning("Homeowner %d cannot be read, and is passed over: %s", homeowner_id, trace_of(error))
        return None


def end_of(homeowner_id: int, case: Case, known: Known, today: date) -> LawnEnd | None:
    """A lawn at the end of its season; None where it is not planned, not known well enough, or too early to say."""
    place = answers.settled_place(case)
    if case.planned_on is None or place is None:
        return None
    code, is_guess = advice.lawn_grass(case)
    if is_guess or today < advice.season_here(case, known, code).judging_on + AFTER_JUDGING:
        return None
    return LawnEnd(
        homeowner_id=homeowner_id,
        lawn=case.number,
        place=place,
        code=code,
        winter=spring_year(advice.freeze_on(case, known)),
        spots=outcomes_of(case, known),
    )
