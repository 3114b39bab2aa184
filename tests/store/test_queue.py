from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import event

from bot.store import outbox, reminders
from bot.store.outbox import NewRow
from bot.store.store import DATABASE_FILE
from tests.fakes.house import House

NOW_MS = 1_000_000_000


def _row(address: str, *, urgency: int = 0, due_ms: int = 0, body: str = "{}", owner: int | None = None) -> NewRow:
    return NewRow(
        homeowner_id=owner,
        inbox_id=None,
        channel="web",
        address=address,
        kind=0,
        urgency=urgency,
        made_ms=NOW_MS,
        due_ms=due_ms,
        body=body,
    )


async def _look(house: House, at_most: int = 64, now_ms: int = NOW_MS) -> list[tuple[str, list[int]]]:
    async with house.store.database.read() as tx:
        chats = await outbox.look(tx, "web", now_ms, at_most)
    return [(chat.address, [row.id for row in chat.rows]) for chat in chats]


async def _queue(house: House, *rows: NewRow) -> None:
    async with house.store.database.write() as tx:
        await outbox.add(tx, rows)


async def test_replies_come_before_reminders(house: House) -> None:
    """Between chats urgency decides first, then age."""
    await _queue(house, _row("anna", urgency=1), _row("bert", urgency=1), _row("carl"), _row("dora"))

    assert await _look(house) == [("carl", [3]), ("dora", [4]), ("anna", [1]), ("bert", [2])]


async def test_a_chat_with_a_reply_waiting_counts_as_a_reply_whole(house: House) -> None:
    """Order within the chat is kept: what stood in front of the reply goes out in front of it, and as early."""
    await _queue(house, _row("bert", urgency=1), _row("anna", urgency=1), _row("anna"))

    assert await _look(house) == [("anna", [2, 3]), ("bert", [1])]
    assert await _look(house, at_most=1) == [("anna", [2, 3])]


async def test_rows_of_a_chat_that_are_due_come_in_the_order_they_were_made(house: House) -> None:
    """One that waited for the morning goes before what was made after it. What is not due yet does not come at all."""
    await _queue(house, _row("anna", due_ms=50), _row("anna"), _row("anna", due_ms=NOW_MS + 1), _row("anna"))

    assert await _look(house) == [("anna", [1, 2, 4])]


async def test_a_chat_whose_last_try_failed_is_held_whole(house: House) -> None:
    """Later rows of the chat wait behind the failed one; other chats do not."""
    await _queue(house, _row("anna"), _row("anna"), _row("bert"))
    async with house.store.database.write() as tx:
        await outbox.postpone(tx, 1, NOW_MS + 1000)

    assert await _look(house) == [("bert", [3])]
    assert await _look(house, now_ms=NOW_MS + 1000) == [("anna", [1, 2]), ("bert", [3])]


async def test_a_try_planned_before_the_clock_went_back_is_made_at_once(house: House) -> None:
    """A clock that was days ahead must not silence a chat for days."""
    await _queue(house, _row("anna"))
    async with house.store.database.write() as tx:
        await outbox.postpone(tx, 1, NOW_MS + 3 * 86_400_000)

    assert await _look(house) == [("anna", [1])]


async def test_other_channels_are_not_looked_at(house: House) -> None:
    """Each channel has a queue of its own."""
    async with house.store.database.write() as tx:
        await outbox.add(tx, [_row("anna")])
        assert await outbox.look(tx, "sms", NOW_MS, 64) == []
        assert await outbox.waiting(tx) == {"web": 1}


@pytest.mark.parametrize(
    ("statement", "indexes"),
    [
        ("outbox", {"ix_outbox_open", "ix_outbox_open_chat", "sqlite_autoindex_reach_1"}),
        ("reminder", {"ix_reminder_due", "ix_reminder_open_of"}),
        ("any", {"ix_reminder_due"}),
    ],
)
async def test_looks_at_the_queues_use_the_indexes_of_what_is_open(
    house: House, statement: str, indexes: set[str]
) -> None:
    """Their cost must not grow with what was sent long ago: no scan, and only partial indexes and keys."""
    seen: list[tuple[str, tuple[object, ...]]] = []
    engine = house.store.database.writer.sync_engine
    event.listen(engine, "before_cursor_execute", lambda _c, _k, sql, values, *_: seen.append((sql, values)))
    async with house.store.database.write() as tx:
        if statement == "outbox":
            await outbox.look(tx, "web", NOW_MS, 64)
        elif statement == "reminder":
            await reminders.take_due(tx, NOW_MS, 200)
        else:
            await reminders.is_any_due(tx, NOW_MS)

    plan = _plan(house.folder, *seen[-1])
    assert not [step for step in plan if step.startswith("SCAN") and "CONSTANT" not in step]
    assert {step.split(" INDEX ")[1].split()[0] for step in plan if " INDEX " in step} == indexes


async def test_finding_who_writes_uses_the_key(house: House) -> None:
    """The statement of every batch looks addresses up instead of reading the table."""
    seen: list[tuple[str, tuple[object, ...]]] = []
    await house.hear("anna", "hello")
    engine = house.store.database.writer.sync_engine
    event.listen(engine, "before_cursor_execute", lambda _c, _k, sql, values, *_: seen.append((sql, values)))
    await house.hear("anna", "again")

    (contact_look,) = [one for one in seen if "FROM contact" in one[0]]
    assert not [step for step in _plan(house.folder, *contact_look) if step.startswith("SCAN")]


def _plan(folder: Path, statement: str, values: tuple[object, ...]) -> list[str]:
    with closing(sqlite3.connect(folder / DATABASE_FILE)) as connection:
        return [row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {statement}", values)]
