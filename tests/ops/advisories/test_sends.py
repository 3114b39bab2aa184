from __future__ import annotations

import pytest
from sqlalchemy import event, select

from bot.ops.advisories.report import progress
from bot.store import advisories, sends
from bot.store.schema import outbox
from tests.ops.advisories.town import Town


async def plans_of(town: Town, work: str) -> list[str]:
    """How SQLite would look for what a function of `sends` asks for, and nobody else meanwhile."""
    await town.stop()
    database, noted = town.house.store.database, []

    def note(_connection: object, cursor: object, statement: str, parameters: object, *_: object) -> None:
        noted.append((statement, parameters))

    engine = database._reader.sync_engine
    event.listen(engine, "before_cursor_execute", note)
    looks = {
        "waiting_channels": lambda tx: sends.waiting_channels(tx, 1),
        "next_of": lambda tx: sends.next_of(tx, 1, "web", 10**13, 5),
        "under_way": lambda tx: sends.under_way(tx, 1, "web"),
        "count_waiting": lambda tx: sends.count_waiting(tx, 1),
        "on_the_way": lambda tx: sends.on_the_way(tx, 1, only_settled=True),
        "is_any_open": lambda tx: sends.is_any_open(tx, 1),
        "tallies": lambda tx: sends.tallies(tx, 1),
        "under_way_by_channel": lambda tx: sends.under_way_by_channel(tx, 1),
        "uncounted": lambda tx: advisories.uncounted(tx, "dropped"),
        "hold": lambda tx: tx.execute(select(outbox.c.id).where(sends._of(1))),
        "in_outbox": lambda tx: sends.in_outbox(tx, "web", 10**13),
    }
    async with database.read() as tx:
        await looks[work](tx)
    event.remove(engine, "before_cursor_execute", note)
    found = []
    for statement, parameters in noted:
        if statement.startswith("SELECT"):
            found += [row[3] for row in town.house.rows(f"EXPLAIN QUERY PLAN {statement}", *parameters)]
    return found


@pytest.mark.parametrize(
    ("work", "index"),
    [
        ("waiting_channels", "ix_advisory_send_waiting"),
        ("next_of", "ix_advisory_send_waiting"),
        ("under_way", "ix_advisory_send_underway"),
        ("count_waiting", "ix_advisory_send_waiting"),
        ("on_the_way", "ix_advisory_send_underway"),
        ("is_any_open", "ix_advisory_send_underway"),
        ("tallies", "ix_advisory_send_over"),
        ("under_way_by_channel", "ix_advisory_send_underway"),
        ("uncounted", "ix_advisory_send_waiting"),
        ("hold", "ix_advisory_send_underway"),
        ("in_outbox", "ix_outbox_open"),
    ],
)
async def test_looks_of_every_second_go_through_an_index_of_what_is_open(town: Town, work: str, index: str) -> None:
    """A million rows that are over cost nothing; no look reads the whole table."""
    plans = await plans_of(town, work)

    assert any(index in plan for plan in plans), plans
    assert not any(plan.startswith(("SCAN advisory_send", "SCAN outbox")) for plan in plans), plans
    assert not any("autoindex_advisory_send" in plan for plan in plans), plans


async def test_progress_counts_who_waits_by_what_is_left(town: Town) -> None:
    """Once everybody is listed, nobody leaves the list: it is the same as counting."""
    await town.people(5)
    number = await town.begin()
    town.far["web"].before = None
    await town.stop()
    await town.tick()

    far = await progress(town.house.store.database, number)
    report = await town.report(number)

    assert far == report.progress
    assert far.under_way == 5
