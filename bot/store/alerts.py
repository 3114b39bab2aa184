"""Official alerts: each is kept once, with what became of it. Messages about one event share a thread."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from sqlalchemy import Select, select, update

from bot.store.database import Transaction, insert_into, values_of
from bot.store.desk_schema import alert


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAlertRow:
    """An alert to be kept. `digest`: of sender, identifier and sending time; `doc`: all of it as JSON text."""

    digest: str
    thread: str
    kept_ms: int
    doc: str
    state: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AlertRow:
    """A kept alert. `state`: what became of it; `advisory_id`: the draft it led to or changed."""

    id: int
    digest: str
    thread: str
    kept_ms: int
    doc: str
    state: str
    advisory_id: int | None


_COLUMNS = tuple(alert.c[name] for name in AlertRow.__slots__)


async def keep(tx: Transaction, row: NewAlertRow) -> int | None:
    """Keep an alert; its id, or None when it is kept already."""
    statement = insert_into(tx, alert).values(values_of(row)).on_conflict_do_nothing(index_elements=["digest"])
    alert_id: int | None = (await tx.execute(statement.returning(alert.c.id))).scalar_one_or_none()
    return alert_id


async def mark(tx: Transaction, alert_id: int, state: str, advisory_id: int | None) -> None:
    """Note what became of an alert."""
    await tx.execute(update(alert).where(alert.c.id == alert_id).values(state=state, advisory_id=advisory_id))


async def get(tx: Transaction, alert_id: int) -> AlertRow | None:
    """One alert."""
    found = await _rows(tx, select(*_COLUMNS).where(alert.c.id == alert_id))
    return found[0] if found else None


async def with_digests(tx: Transaction, digests: Collection[str]) -> list[AlertRow]:
    """Those among some messages that are kept, oldest first."""
    return await _rows(tx, select(*_COLUMNS).where(alert.c.digest.in_(digests)).order_by(alert.c.id))


async def in_thread(tx: Transaction, thread: str) -> list[AlertRow]:
    """All messages about one event, in the order they were kept."""
    return await _rows(tx, select(*_COLUMNS).where(alert.c.thread == thread).order_by(alert.c.id))


async def in_state(tx: Transaction, state: str) -> list[AlertRow]:
    """All in one state, in the order they were kept."""
    return await _rows(tx, select(*_COLUMNS).where(alert.c.state == state).order_by(alert.c.id))


async def kept_since(tx: Transaction, since_ms: int) -> list[AlertRow]:
    """Those kept at an instant or later, in the order they were kept."""
    return await _rows(tx, select(*_COLUMNS).where(alert.c.kept_ms >= since_ms).order_by(alert.c.id))


async def latest(tx: Transaction, at_most: int = 100) -> list[AlertRow]:
    """The newest first."""
    return await _rows(tx, select(*_COLUMNS).order_by(alert.c.id.desc()).limit(at_most))


async def _rows(tx: Transaction, statement: Select[tuple[object, ...]]) -> list[AlertRow]:
    found: Sequence[object] = (await tx.execute(statement)).all()
    return [AlertRow(**{name: getattr(row, name) for name in AlertRow.__slots__}) for row in found]
