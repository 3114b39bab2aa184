"""Which homeowners want a look: held by a person, not understood, not handled, unreadable, silent; and counts.

Each list is looked up through an index and cut, so that it costs the same with a million homes. Who was heard when is
read from `glance`, whose rows are narrow and which a running service keeps up to date.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Float,
    Integer,
    Row,
    Subquery,
    and_,
    bindparam,
    case,
    cast,
    func,
    literal_column,
    or_,
    select,
)

from bot.store.database import Transaction
from bot.store.desk_schema import glance
from bot.store.schema import REPLY, SENT, STATE_PENDING, arrival, contact, homeowner, inbox, outbox, reminder
from bot.talk.followup import HELD_TASK

HEARD_LAST = 2000
"""So many homeowners, those heard last, are looked through for words that were not understood, or for silence."""
HELD_AHEAD_MS = 4 * 24 * 3_600_000
"""A held talk is taken back within a day, at an hour that suits its owner: no such reminder is due later."""

_FAILED = literal_column("1", Integer)
_UNREADABLE = literal_column("2", Integer)
"""As they must stand in a statement that is to use a partial index."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Silent:
    """Somebody who was told something unasked and has not written since. Instants in milliseconds."""

    homeowner_id: int
    heard_ms: int
    told_ms: int
    told_times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something of a homeowner's that nobody handled. `homeowner_id` None: from an address nobody is known by."""

    homeowner_id: int | None
    at_ms: int
    error: str


async def held(tx: Transaction, now_ms: int) -> list[int]:
    """Homeowners whose talk a person holds, by the reminder that ends it at last."""
    statement = (
        select(reminder.c.homeowner_id)
        .where(
            reminder.c.state == STATE_PENDING, reminder.c.due_ms <= now_ms + HELD_AHEAD_MS, reminder.c.task == HELD_TASK
        )
        .order_by(reminder.c.due_ms)
    )
    return [row.homeowner_id for row in await tx.execute(statement)]


async def not_understood(tx: Transaction, since_ms: int, at_most: int = 100) -> list[int]:
    """Homeowners whose last words were not understood twice or more, the one heard last first."""
    recent = _heard_last(since_ms, None)
    doubtful = or_(homeowner.c.doc.like('%"topic":"offer_person"%'), ~_has_few_misses())
    statement = (
        select(homeowner.c.id)
        .join_from(recent, homeowner, homeowner.c.id == recent.c.homeowner_id)
        .where(homeowner.c.doc.is_not(None), doubtful)
        .order_by(recent.c.heard_ms.desc())
        .limit(at_most)
    )
    return [row.id for row in await tx.execute(statement)]


def _has_few_misses() -> ColumnElement[bool]:
    """As `dump_homeowner` writes it: no database has to read whole documents for one number."""
    return or_(homeowner.c.doc.like('%"misses":0,%'), homeowner.c.doc.like('%"misses":1,%'))


async def failed(tx: Transaction, since_ms: int, at_most: int = 100) -> list[Trouble]:
    """What came in and the conversation could not take, the newest first."""
    statement = (
        select(inbox.c.homeowner_id, inbox.c.at_ms, inbox.c.error)
        .where(inbox.c.state == _FAILED, inbox.c.at_ms >= since_ms)
        .order_by(inbox.c.id.desc())
    )
    return _troubles(await tx.execute(statement.limit(at_most)))


async def has_failed(tx: Transaction, inbox_id: int) -> bool:
    """Whether the conversation could not take what stands in a row of the inbox."""
    statement = select(inbox.c.id).where(inbox.c.id == inbox_id, inbox.c.state == _FAILED)
    return (await tx.execute(statement)).first() is not None


async def unreadable(tx: Transaction, since_ms: int, at_most: int = 100) -> list[Trouble]:
    """What came in raw and nobody could read, the newest first."""
    is_theirs = and_(contact.c.channel == arrival.c.channel, contact.c.address == arrival.c.address)
    statement = (
        select(contact.c.homeowner_id, arrival.c.kept_ms.label("at_ms"), arrival.c.error)
        .join_from(arrival, contact, is_theirs, isouter=True)
        .where(arrival.c.state == _UNREADABLE, arrival.c.kept_ms >= since_ms)
        .order_by(arrival.c.id.desc())
    )
    return _troubles(await tx.execute(statement.limit(at_most)))


async def silent(tx: Transaction, since_ms: int, at_most: int = 100) -> list[Silent]:
    """Who was told something they had not asked for before an instant, and never wrote after it; newest first."""
    quiet = _heard_last(None, since_ms)
    told_ms = func.min(outbox.c.sent_ms)
    is_answerless = and_(
        outbox.c.homeowner_id == quiet.c.homeowner_id,
        outbox.c.state == SENT,
        outbox.c.urgency != REPLY,
        outbox.c.sent_ms > quiet.c.heard_ms,
    )
    statement = (
        select(
            quiet.c.homeowner_id,
            quiet.c.heard_ms,
            told_ms.label("told_ms"),
            func.count().label("told_times"),
        )
        .join_from(quiet, outbox, is_answerless)
        .group_by(quiet.c.homeowner_id, quiet.c.heard_ms)
        .having(told_ms <= since_ms)
        .order_by(told_ms.desc())
        .limit(at_most)
    )
    return [Silent(**row._mapping) for row in await tx.execute(statement)]


def _heard_last(from_ms: int | None, until_ms: int | None) -> Subquery:
    """Those heard last between two instants, with when that was."""
    newest = select(glance.c.homeowner_id, glance.c.heard_ms)
    if from_ms is not None:
        newest = newest.where(glance.c.heard_ms >= from_ms)
    if until_ms is not None:
        newest = newest.where(glance.c.heard_ms <= until_ms)
    return newest.order_by(glance.c.heard_ms.desc()).limit(HEARD_LAST).distinct().subquery("heard_last")


def _troubles(rows: Iterable[Row[Any]]) -> list[Trouble]:
    return [Trouble(homeowner_id=row.homeowner_id, at_ms=row.at_ms, error=row.error or "") for row in rows]


# --- counts ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """Lawns of one square of the map: its south-west corner in hundredths of a degree, how many homeowners and lawns,
    and the middle of the estimated soil minima in tenths of a degree C (None where none is known).
    """

    south_e2: int
    west_e2: int
    homes: int
    lawns: int
    soil_min_dc: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class County:
    """Lawns of one county."""

    state: str
    county: str
    homes: int
    lawns: int
    soil_min_dc: float | None


async def stages(tx: Transaction) -> dict[str, int]:
    """How many lawns are at each stage."""
    rows = await tx.execute(select(glance.c.stage, func.count()).group_by(glance.c.stage))
    return {row[0]: row[1] for row in rows}


async def extent(tx: Transaction) -> tuple[int, int, int, int] | None:
    """South, west, north and east of all lawns, in hundredths of a degree; None where no place is known."""
    low_high = [f(each) for each in (glance.c.latitude_e2, glance.c.longitude_e2) for f in (func.min, func.max)]
    south, north, west, east = tuple((await tx.execute(select(*low_high))).one())
    return None if south is None or west is None else (south, west, north, east)


async def cells(tx: Transaction, step_e2: int) -> list[Cell]:
    """Lawns by squares of so many hundredths of a degree, from the south-west."""
    south = (glance.c.latitude_e2 + _SHIFT_E2) / literal_column(str(int(step_e2)), Integer)
    west = (glance.c.longitude_e2 + _SHIFT_E2) / literal_column(str(int(step_e2)), Integer)
    row, column = cast(south, Integer).label("row"), cast(west, Integer).label("column")
    statement = (
        select(row, column, *_COUNTED)
        .where(glance.c.latitude_e2.is_not(None), glance.c.longitude_e2.is_not(None))
        .group_by(row, column)
        .order_by(row, column)
    )
    return [
        Cell(
            south_e2=found.row * step_e2 - _SHIFT_E2,
            west_e2=found.column * step_e2 - _SHIFT_E2,
            homes=found.homes,
            lawns=found.lawns,
            soil_min_dc=found.soil_min_dc,
        )
        for found in await tx.execute(statement)
    ]


async def counties(tx: Transaction) -> list[County]:
    """Lawns by county."""
    statement = (
        select(glance.c.state, glance.c.county, *_COUNTED)
        .group_by(glance.c.state, glance.c.county)
        .order_by(glance.c.state, glance.c.county)
    )
    return [
        County(
            state=row.state or "",
            county=row.county or "",
            homes=row.homes,
            lawns=row.lawns,
            soil_min_dc=row.soil_min_dc,
        )
        for row in await tx.execute(statement)
    ]


FIRST_LAWN = 1
"""Homes are counted where their first lawn lies: never too many, and at a third of the cost of telling them apart."""
_SHIFT_E2 = 36_000
"""Makes every coordinate positive, so that division rounds down on every database."""
_COUNTED = (
    func.sum(case((glance.c.lawn == FIRST_LAWN, 1), else_=0)).label("homes"),
    func.count().label("lawns"),
    cast(func.avg(glance.c.soil_min_dc), Float).label("soil_min_dc"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtStage:
    """A lawn at a stage: whose, and when its owner was heard."""

    homeowner_id: int
    lawn: int
    heard_ms: int


async def at_stage(tx: Transaction, stage: str, at_most: int = 100) -> list[AtStage]:
    """Lawns at a stage, those whose owners were heard last first."""
    statement = (
        select(glance.c.homeowner_id, glance.c.lawn, glance.c.heard_ms)
        .where(glance.c.stage == stage)
        .order_by(glance.c.heard_ms.desc())
        .limit(at_most)
    )
    return [AtStage(**row._mapping) for row in await tx.execute(statement)]


@dataclass(frozen=True, slots=True, kw_only=True)
class Glimpse:
    """What a homeowner's first lawn is, in codes."""

    grass: str | None
    county: str
    state: str


async def glimpses(tx: Transaction, ids: Collection[int]) -> dict[int, Glimpse]:
    """What the first lawns of these homeowners are, as far as it is known."""
    statement = (
        select(glance.c.homeowner_id, glance.c.grass, glance.c.county, glance.c.state)
        .where(glance.c.homeowner_id.in_(bindparam("ids", expanding=True)), glance.c.state.is_not(None))
        .order_by(glance.c.homeowner_id, glance.c.lawn.desc())
    )
    rows = await tx.execute(statement, {"ids": sorted(ids)})
    return {row.homeowner_id: Glimpse(grass=row.grass, county=row.county or "", state=row.state) for row in rows}
