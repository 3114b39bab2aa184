"""How very many people stand towards an advisory: rows of `glance` with the address each is heard at, and no document.

People fall into few kinds, so what comes back is two arrays (who, and of which kind) and the kinds, each once. A
million take three seconds and a few dozen megabytes.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import IntFlag
from itertools import count
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from sqlalchemy import ColumnElement, Select, TableClause, Text, and_, case, column, func, select
from sqlalchemy.ext.compiler import compiles

from bot.store.columns import Wholes, each_page, wholes
from bot.store.database import Transaction
from bot.store.desk_schema import advisory_send, glance
from bot.store.schema import Whole, reach
from bot.store.sends import OVER, SendState

IDS_AT_ONCE = 5000
FEW = 20_000
"""So few people are looked up by their ids; of more, everybody between the first and the last is read."""


_CONSENT = 3  # the lowest two of the flags


class Flag(IntFlag):
    """What is so of an owner (the first three) or of a lawn: the rest, from `STATE` on what is known of it."""

    UNREACHABLE = 4
    HELD = 8
    QUIET = 16
    ACTIVE_LAWN = 32
    STATE = 64
    CROWN_MIN = 128
    SOIL_MIN = 256
    ALIVE = 512


class Stance(NamedTuple):
    """What many people have in common, with one lawn of theirs. `hours` None: their documents tell.

    A row of five values is read in half the time of one with a value for each flag.
    """

    channel: str
    hours: str | None
    unasked_on: str | None
    grass: str | None
    flags: int

    @property
    def consent(self) -> int:
        """Of the address they are heard at."""
        return self.flags & _CONSENT

    def has(self, flag: Flag) -> bool:
        """Whether something is so."""
        return bool(self.flags & flag)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stances:
    """One line a lawn, in the order of owners and of their lawns: the owner, and the number of the stance."""

    homeowner_ids: Wholes
    numbers: Wholes
    kinds: tuple[Stance, ...]


async def of(tx: Transaction, homeowner_ids: Wholes) -> Stances:
    """How the owners of lawns stand, among them all of these (sorted); whoever has no row is not in it."""
    if not len(homeowner_ids):
        return Stances(homeowner_ids=homeowner_ids, numbers=homeowner_ids, kinds=())
    reading = _Reading()
    if len(homeowner_ids) <= FEW:
        for start in range(0, len(homeowner_ids), IDS_AT_ONCE):
            ids = homeowner_ids[start : start + IDS_AT_ONCE].tolist()
            await each_page(tx, _LAWNS.where(glance.c.homeowner_id.in_(ids)), reading.take)
    else:
        between = glance.c.homeowner_id.between(int(homeowner_ids[0]), int(homeowner_ids[-1]))
        await each_page(tx, _LAWNS.where(between), reading.take)
    return reading.done()


class _Reading:
    """Turns rows into arrays, in the thread that reads them."""

    def __init__(self) -> None:
        self._kinds: defaultdict[tuple[Any, ...], int] = defaultdict(count().__next__)
        self._ids: list[NDArray[np.int64]] = []
        self._numbers: list[NDArray[np.int64]] = []

    def take(self, rows: Any) -> None:
        kinds = self._kinds
        self._ids.append(np.array([row[0] for row in rows], dtype=np.int64))
        self._numbers.append(np.array([kinds[row[1:]] for row in rows], dtype=np.int64))

    def done(self) -> Stances:
        empty = np.empty(0, dtype=np.int64)
        return Stances(
            homeowner_ids=np.concatenate(self._ids) if self._ids else empty,
            numbers=np.concatenate(self._numbers) if self._numbers else empty,
            kinds=tuple(Stance(*kind) for kind in self._kinds),
        )


class _WhereHeard(TableClause):
    """`homeowner`, read through the index of where everybody is heard: the table itself lies behind long documents."""

    inherit_cache = True


@compiles(_WhereHeard)
def _as_it_is(element: _WhereHeard, compiler: Any, **how: Any) -> str:
    return str(compiler.visit_table(element, **how))


@compiles(_WhereHeard, "sqlite")
def _by_the_index(element: _WhereHeard, compiler: Any, **how: Any) -> str:
    told = str(compiler.visit_table(element, **how))
    return f"{told} INDEXED BY ix_homeowner_id_channel_address" if how.get("asfrom") else told


def _if(flag: Flag, condition: ColumnElement[bool]) -> ColumnElement[int]:
    return case((condition, int(flag)), else_=0)


_homeowner = _WhereHeard("homeowner", column("id", Whole), column("channel", Text), column("address", Text))
_g, _h, _r = glance.c, _homeowner.c, reach.c
_FLAGS: ColumnElement[int] = (
    func.coalesce(_r.consent, 0)
    + _if(Flag.UNREACHABLE, _r.unreachable_ms.is_not(None))
    + _if(Flag.HELD, _g.is_held == 1)
    + _if(Flag.QUIET, _g.is_quiet == 1)
    + _if(Flag.ACTIVE_LAWN, _g.is_active_lawn == 1)
    + _if(Flag.STATE, _g.state.is_not(None))
    + _if(Flag.CROWN_MIN, _g.crown_min_dc.is_not(None))
    + _if(Flag.SOIL_MIN, _g.soil_min_dc.is_not(None))
    + _if(Flag.ALIVE, _g.alive_percent.is_not(None))
)
_LAWNS: Select[*tuple[Any, ...]] = (
    select(_g.homeowner_id, _h.channel, _g.hours, _g.unasked_on, _g.grass, _FLAGS)
    .join_from(glance, _homeowner, _h.id == _g.homeowner_id)
    .join(reach, and_(_r.channel == _h.channel, _r.address == _h.address), isouter=True)
    .order_by(_g.homeowner_id, _g.lawn)
)


# --- who got another advisory ----------------------------------------------------------------------------------------


async def who_got(tx: Transaction, advisory_id: int) -> Wholes:
    """Everybody to whom it was sent, surely or not, in order."""
    s = advisory_send.c
    got = case((s.state == int(SendState.SENT), 1), else_=0)  # so that the index of what is over is not left
    found = select(s.homeowner_id).where(s.advisory_id == advisory_id, OVER, got == 1)
    ids: Wholes = np.sort((await wholes(tx, found))[:, 0])
    return ids


async def zones(tx: Transaction, homeowner_ids: Wholes) -> dict[str, int]:
    """How many of these (sorted) live by the clock of each zone, their first lawn's."""
    kinds: defaultdict[str, int] = defaultdict(count().__next__)
    pages: list[Wholes] = []

    def take(rows: Any) -> None:
        flat = (value for row in rows for value in (row[0], kinds[row[1]]))
        pages.append(np.fromiter(flat, dtype=np.int64, count=2 * len(rows)).reshape(-1, 2))

    lawns = select(_g.homeowner_id, _g.zone).order_by(_g.homeowner_id, _g.lawn)
    for start in range(0, len(homeowner_ids), IDS_AT_ONCE) if len(homeowner_ids) <= FEW else ():
        await each_page(tx, lawns.where(_g.homeowner_id.in_(homeowner_ids[start : start + IDS_AT_ONCE].tolist())), take)
    if len(homeowner_ids) > FEW:
        await each_page(tx, lawns.where(_g.homeowner_id.between(int(homeowner_ids[0]), int(homeowner_ids[-1]))), take)
    if not pages:
        return {}
    rows = np.concatenate(pages)
    owners, first = np.unique(rows[:, 0], return_index=True)
    mine = first[np.isin(owners, homeowner_ids, assume_unique=True)]
    counts = np.bincount(rows[mine, 1], minlength=len(kinds))
    return {zone: int(counts[number]) for zone, number in kinds.items() if counts[number]}
