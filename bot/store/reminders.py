"""Reminders: which lawn and task, for which local day and hour, and the instant that is.

1. One row for (homeowner, lawn, task, day), however often a plan is made.
2. One instant is handed over once: a wish that comes back unchanged after it was handed over stays handed over; one
   whose hour or zone has changed since is due again, and the conversation decides whether it still means anything.
3. A local time that does not exist (spring) is the same distance after the change; one that exists twice (autumn) is
   the first of the two.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import lru_cache
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Row, and_, bindparam, delete, exists, or_, select, update

from bot.store.database import Transaction, insert_into, milliseconds
from bot.store.schema import CANCELLED, GIVEN_UP, HANDED_OVER, PENDING, STATE_PENDING, reminder
from bot.talk.effects import Reminder

Wish = tuple[Reminder, str]
"""A reminder a homeowner wants, and the zone its day and hour are meant in."""

Key = tuple[int, str, str]
"""What makes a reminder one and the same for a homeowner: lawn, task, day."""

TRIES = 5
FIRST_PAUSE_MS = 3_600_000


@lru_cache(maxsize=4096)
def due_ms(wanted: Reminder, zone: str) -> int:
    """The instant a wanted reminder is due."""
    wall = datetime.combine(wanted.due_on, time(wanted.hour, wanted.minute), tzinfo=ZoneInfo(zone))
    return milliseconds(wall.astimezone(UTC))


def key_of(wanted: Reminder) -> Key:
    """What a reminder is known by within its homeowner."""
    return wanted.lawn, wanted.task, wanted.due_on.isoformat()


@dataclass(frozen=True, slots=True, kw_only=True)
class DueRow:
    """One reminder whose instant has come."""

    id: int
    homeowner_id: int
    lawn: int
    task: str
    due_on: date
    due_ms: int
    attempts: int


_DUE = and_(reminder.c.state == STATE_PENDING, reminder.c.due_ms <= bindparam("now_ms"))
_ANY_DUE = select(exists(select(reminder.c.id).where(_DUE)))
_OF_WHOM = select(reminder.c.homeowner_id).where(_DUE).order_by(reminder.c.due_ms).limit(bindparam("at_most"))
_ALL_OF_THEIRS = (
    select(reminder.c.id).where(_DUE, reminder.c.homeowner_id.in_(_OF_WHOM)).with_for_update(skip_locked=True)
)
_TAKE = (
    update(reminder)
    .where(reminder.c.id.in_(_ALL_OF_THEIRS))
    .values(state=HANDED_OVER)
    .returning(
        reminder.c.id,
        reminder.c.homeowner_id,
        reminder.c.lawn,
        reminder.c.task,
        reminder.c.due_on,
        reminder.c.due_ms,
        reminder.c.attempts,
    )
)
_CANCEL = (
    update(reminder)
    .where(
        reminder.c.homeowner_id == bindparam("of_homeowner"),
        reminder.c.lawn == bindparam("of_lawn"),
        reminder.c.task == bindparam("of_task"),
        reminder.c.due_on == bindparam("of_day"),
        reminder.c.state == STATE_PENDING,
    )
    .values(state=CANCELLED)
)
_POSTPONE = (
    update(reminder)
    .where(reminder.c.id == bindparam("of_id"))
    .values(due_ms=bindparam("to_ms"), attempts=bindparam("tries"), state=bindparam("to_state"))
)


async def want(tx: Transaction, wishes: Iterable[tuple[int, Wish]]) -> None:
    """Store wishes (homeowner id, wish): new ones, ones that come back, and ones whose hour or zone has changed."""
    statement = insert_into(tx, reminder)
    new = statement.excluded
    upsert = statement.on_conflict_do_update(
        index_elements=["homeowner_id", "lawn", "task", "due_on"],
        set_={
            "hour": new.hour,
            "minute": new.minute,
            "zone": new.zone,
            "due_ms": new.due_ms,
            "state": PENDING,
            "attempts": 0,
        },
        where=or_(
            reminder.c.state == PENDING,
            reminder.c.state == CANCELLED,
            reminder.c.state == GIVEN_UP,
            reminder.c.hour != new.hour,
            reminder.c.minute != new.minute,
            reminder.c.zone != new.zone,
        ),
    )
    await tx.execute(upsert, [_row(of_homeowner, wish) for of_homeowner, wish in wishes])


def _row(of_homeowner: int, wish: Wish) -> dict[str, object]:
    wanted, zone = wish
    return {
        "homeowner_id": of_homeowner,
        "lawn": wanted.lawn,
        "task": wanted.task,
        "due_on": wanted.due_on.isoformat(),
        "hour": wanted.hour,
        "minute": wanted.minute,
        "zone": zone,
        "due_ms": due_ms(wanted, zone),
    }


async def cancel(tx: Transaction, keys: Iterable[tuple[int, Key]]) -> None:
    """Take back wishes (homeowner id, key) that are still pending."""
    rows = [
        {"of_homeowner": of_homeowner, "of_lawn": lawn, "of_task": task, "of_day": day}
        for of_homeowner, (lawn, task, day) in keys
    ]
    await tx.execute(_CANCEL, rows)


async def is_any_due(tx: Transaction, now_ms: int) -> bool:
    """Whether anything is due; a look that reads one index entry and takes no lock."""
    return bool((await tx.execute(_ANY_DUE, {"now_ms": now_ms})).scalar())


async def take_due(tx: Transaction, now_ms: int, at_most: int) -> dict[int, list[DueRow]]:
    """Everything due for the homeowners who have waited longest, from at most so many rows; in order of the day.

    A homeowner comes with all that is due for them, so that it can be said in one breath. The rows are marked as
    handed over: bring them up in this transaction, or `postpone` them in it.
    """
    found = [_due_row(row) for row in await tx.execute(_TAKE, {"now_ms": now_ms, "at_most": at_most})]
    of_homeowner: dict[int, list[DueRow]] = {}
    for row in sorted(found, key=lambda row: (row.due_ms, row.id)):
        of_homeowner.setdefault(row.homeowner_id, []).append(row)
    return of_homeowner


def _due_row(row: Row[*tuple[Any, ...]]) -> DueRow:
    row_id, homeowner_id, lawn, task, due_on, due_ms, attempts = row  # by name would take twice as long
    return DueRow(
        id=row_id,
        homeowner_id=homeowner_id,
        lawn=lawn,
        task=task,
        due_on=date.fromisoformat(due_on),
        due_ms=due_ms,
        attempts=attempts,
    )


async def postpone(tx: Transaction, rows: Sequence[DueRow], now_ms: int) -> None:
    """After a fault of ours: try again in 1, 2, 4 and 8 hours, then give up."""
    await tx.execute(
        _POSTPONE,
        [
            {
                "of_id": row.id,
                "to_ms": now_ms + FIRST_PAUSE_MS * 2**row.attempts,
                "tries": row.attempts + 1,
                "to_state": GIVEN_UP if row.attempts + 1 >= TRIES else PENDING,
            }
            for row in rows
        ],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A reminder row as it stands: what it is known by, its instant, and its state."""

    homeowner_id: int
    key: Key
    due_ms: int
    state: int
    attempts: int


async def of_homeowners(tx: Transaction, homeowner_ids: Sequence[int]) -> list[Kept]:
    """Every reminder row of these homeowners, in the order they were first wanted."""
    statement = select(reminder).where(reminder.c.homeowner_id.in_(homeowner_ids)).order_by(reminder.c.id)
    return [
        Kept(
            homeowner_id=row.homeowner_id,
            key=(row.lawn, row.task, row.due_on),
            due_ms=row.due_ms,
            state=row.state,
            attempts=row.attempts,
        )
        for row in await tx.execute(statement)
    ]


async def erase_of(tx: Transaction, homeowner_ids: Sequence[int]) -> None:
    """Remove every reminder of these homeowners."""
    await tx.execute(delete(reminder).where(reminder.c.homeowner_id.in_(homeowner_ids)))
