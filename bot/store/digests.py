"""What a week did to all lawns together: counts only. Each is one statement over indexed or narrow rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from sqlalchemy import func, select

from bot.store.accounts import counts as all_counts
from bot.store.database import Transaction, insert_into
from bot.store.desk_schema import advisory_send, glance
from bot.store.schema import (
    FAILED,
    PARKED,
    STATE_PENDING,
    handover,
    homeowner,
    inbox,
    meter,
    outbox,
    reach,
    reminder,
)

DAY_MS = 24 * 3_600_000
WEEK_MS = 7 * DAY_MS
DIGEST = "digest"
"""The name under which a digest keeps when it last went out, and what it counted then."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """Seven days up to an instant.

    stages : lawns by how far along they are, now
    newcomers, heard : homeowners who wrote for the first time, or at all, in it
    questions_open, oldest_question_days : questions that wait for a person, and the oldest
    questions_closed : questions a person answered in it
    silent : lawns with an open reminder whose owner did not write for two weeks
    failed : messages that could not be handled in it
    parked, unreachable : messages given up on, addresses that cannot be reached, now
    due : reminders of the next seven days, by kind of task
    advised : advisory messages queued in it
    """

    stages: Mapping[str, int] = field(default_factory=dict)
    newcomers: int = 0
    heard: int = 0
    questions_open: int = 0
    oldest_question_days: int = 0
    questions_closed: int = 0
    silent: int = 0
    failed: int = 0
    parked: int = 0
    unreachable: int = 0
    due: Mapping[str, int] = field(default_factory=dict)
    advised: int = 0


async def week(tx: Transaction, now_ms: int) -> Week:
    """What the seven days up to an instant did, and what the next seven bring."""
    since_ms = now_ms - WEEK_MS
    oldest_ms = (await tx.execute(select(func.min(handover.c.at_ms)).where(handover.c.closed_ms.is_(None)))).scalar()
    return Week(
        stages=await _by(tx, select(glance.c.stage, func.count()).group_by(glance.c.stage)),
        newcomers=await _count(tx, homeowner.c.created_ms > since_ms),
        heard=await _count(tx, homeowner.c.heard_ms > since_ms),
        questions_open=await _count(tx, handover.c.closed_ms.is_(None)),
        oldest_question_days=0 if oldest_ms is None else (now_ms - oldest_ms) // DAY_MS,
        questions_closed=await _count(tx, handover.c.closed_ms > since_ms),
        silent=await _silent(tx, now_ms),
        failed=await _count(tx, inbox.c.state == FAILED, inbox.c.at_ms > since_ms),
        parked=await _count(tx, outbox.c.state == PARKED),
        unreachable=await _count(tx, reach.c.unreachable_ms.is_not(None)),
        due=await _due(tx, now_ms),
        advised=await _count(tx, advisory_send.c.outbox_id.is_not(None), advisory_send.c.at_ms > since_ms),
    )


async def _count(tx: Transaction, *conditions: object) -> int:
    found = await tx.execute(select(func.count()).where(*conditions))  # type: ignore[arg-type]  # columns of one table
    return int(found.scalar() or 0)


async def _by(tx: Transaction, statement: object) -> dict[str, int]:
    return {name: int(count) for name, count in await tx.execute(statement)}  # type: ignore[call-overload]


async def _silent(tx: Transaction, now_ms: int) -> int:
    waits = select(reminder.c.homeowner_id).where(reminder.c.state == STATE_PENDING)
    quiet = glance.c.heard_ms < now_ms - 2 * WEEK_MS
    return await _count(tx, quiet, glance.c.is_quiet == 0, glance.c.homeowner_id.in_(waits))


async def _due(tx: Transaction, now_ms: int) -> dict[str, int]:
    """A task's key begins with its kind, up to a colon."""
    ahead = reminder.c.due_ms.between(now_ms, now_ms + WEEK_MS)
    statement = select(reminder.c.task, func.count()).where(reminder.c.state == STATE_PENDING, ahead)
    found: dict[str, int] = {}
    for task, count in await tx.execute(statement.group_by(reminder.c.task)):
        kind = str(task).partition(":")[0]
        found[kind] = found.get(kind, 0) + int(count)
    return found


async def commonest_zone(tx: Transaction) -> str | None:
    """The zone most lawns lie in; None while there is none."""
    statement = select(glance.c.zone).group_by(glance.c.zone).order_by(func.count().desc(), glance.c.zone).limit(1)
    found: str | None = (await tx.execute(statement)).scalar()
    return found


async def stages_before(tx: Transaction) -> dict[str, int]:
    """Lawns by stage, as the last digest counted them."""
    return (await all_counts(tx)).get(DIGEST, {})


async def keep_stages(tx: Transaction, stages: Mapping[str, int]) -> None:
    """Keep what this digest counted for the next one to compare with."""
    statement = insert_into(tx, meter)
    kept = statement.on_conflict_do_update(index_elements=["channel", "name"], set_={"value": statement.excluded.value})
    names = set(stages) | set(await stages_before(tx))
    rows = [{"channel": DIGEST, "name": name, "value": stages.get(name, 0)} for name in sorted(names)]
    if rows:
        await tx.execute(kept, rows)
