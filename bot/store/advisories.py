"""What operators send to many: the drafts, who approved them, and how far they got. Whom they reach: `sends.py`.

Every change names the state (and the revision) it starts from and says whether it found that, so that of two people
who decide at the same time one decides.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Integer, exists, insert, literal_column, or_, select, update

from bot.store.database import Transaction, values_of
from bot.store.desk_schema import advisory, advisory_send


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAdvisoryRow:
    """A draft. `doc` holds name, words and who gets it; `made_by` None: whoever runs this, or an alert."""

    doc: str
    state: str
    made_by: int | None
    made_ms: int
    due_ms: int | None
    after_id: int | None
    rev: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class AdvisoryRow:
    """An advisory as it stands. `selected`: how many it is for, once all of them are listed. `overtaken_by`: the one
    that puts it right, whose approval stopped it.
    """

    id: int
    doc: str
    rev: int
    state: str
    made_by: int | None
    made_ms: int
    approved_by: int | None
    approved_ms: int | None
    due_ms: int | None
    ended_ms: int | None
    selected: int | None
    after_id: int | None
    overtaken_by: int | None


_COLUMNS = tuple(advisory.c[name] for name in AdvisoryRow.__slots__)


async def add(tx: Transaction, row: NewAdvisoryRow) -> int:
    """Keep a draft; its id."""
    return int((await tx.execute(insert(advisory).returning(advisory.c.id), values_of(row))).scalar_one())


async def get(tx: Transaction, advisory_id: int) -> AdvisoryRow | None:
    """One advisory."""
    found = await _rows(tx, select(*_COLUMNS).where(advisory.c.id == advisory_id))
    return found[0] if found else None


async def latest(tx: Transaction, at_most: int = 100) -> list[AdvisoryRow]:
    """The newest first."""
    return await _rows(tx, select(*_COLUMNS).order_by(advisory.c.id.desc()).limit(at_most))


async def in_states(tx: Transaction, states: Collection[str]) -> list[AdvisoryRow]:
    """Those in one of these states, oldest first."""
    return await _rows(tx, select(*_COLUMNS).where(advisory.c.state.in_(states)).order_by(advisory.c.id))


async def uncounted(tx: Transaction, state: str) -> list[AdvisoryRow]:
    """Those in a state in which nothing more goes out, and not everybody is counted yet; however long ago that was,
    since nobody may have been there to count.
    """
    is_open = [
        exists().where(
            advisory_send.c.advisory_id == advisory.c.id, advisory_send.c.state == literal_column(each, Integer)
        )
        for each in ("0", "1")  # as the indexes of what is open have it
    ]
    found = select(*_COLUMNS).where(
        advisory.c.state == state, advisory.c.approved_ms.is_not(None), or_(advisory.c.selected.is_(None), *is_open)
    )
    return await _rows(tx, found.order_by(advisory.c.id))


async def after(tx: Transaction, advisory_id: int) -> list[AdvisoryRow]:
    """Those that follow another one, oldest first."""
    return await _rows(tx, select(*_COLUMNS).where(advisory.c.after_id == advisory_id).order_by(advisory.c.id))


async def move(
    tx: Transaction, advisory_id: int, states: Collection[str], values: Mapping[str, Any], of_rev: int | None = None
) -> bool:
    """Change columns of an advisory that is in one of these states (and of a revision); False when it is not."""
    found = update(advisory).where(advisory.c.id == advisory_id, advisory.c.state.in_(states))
    if of_rev is not None:
        found = found.where(advisory.c.rev == of_rev)
    return bool((await tx.execute(found.values(values))).rowcount)


async def set_selected(tx: Transaction, advisory_id: int, selected: int) -> None:
    """Note that everybody it is for is listed."""
    await tx.execute(update(advisory).where(advisory.c.id == advisory_id).values(selected=selected))


async def is_in(tx: Transaction, advisory_id: int, state: str) -> bool:
    """Whether it is in a state, as this transaction sees it."""
    found = select(advisory.c.id).where(advisory.c.id == advisory_id, advisory.c.state == state)
    return (await tx.execute(found)).first() is not None


async def _rows(tx: Transaction, statement: Any) -> list[AdvisoryRow]:
    return [AdvisoryRow(**row._mapping) for row in await tx.execute(statement)]
