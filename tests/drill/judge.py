"""Judges a drill: what is stored and what arrived, against an uninterrupted replay of the same inputs.

Nothing here trusts the service or the courier: the replay folds the scripts through the conversation alone, at the
instants the inbox names, and what the far side got is read from its own journal.
"""

from __future__ import annotations

import sqlite3
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from typing import Any

from bot.store.database import instant
from bot.store.rows import load_homeowner, load_incoming, load_rendered
from bot.store.store import DATABASE_FILE
from bot.talk.case import Homeowner, Standing
from bot.talk.effects import OfferData, Say
from bot.talk.incoming import Incoming, RemindersDue
from bot.talk.ports import Talk
from bot.turns import BROKE
from tests.drill.drill import Played
from tests.drill.scripts import Script
from tests.fakes.journal_channel import Line


@dataclass(slots=True)
class Verdict:
    """What was found wrong, and the figures of a drill that went right."""

    faults: list[str] = field(default_factory=list)
    messages: int = 0
    sent: int = 0
    doubled: int = 0
    brought_up: int = 0

    def expect(self, expected: object, actual: object, what: str) -> None:
        """Note a fault when two things differ."""
        if expected != actual:
            self.faults.append(f"{what}: expected {expected!r}, got {actual!r}"[:400])


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of the inbox."""

    id: int
    at_ms: int
    incoming: Incoming
    is_handled: bool


def judge(played: Played, scripts: Sequence[Script], talk: Talk, *, in_flight: int = 1) -> Verdict:
    """Compare everything; an empty list of faults is a pass."""
    verdict = Verdict()
    with closing(sqlite3.connect(played.folder / DATABASE_FILE)) as database:
        database.row_factory = sqlite3.Row
        for script in scripts:
            _judge_homeowner(verdict, database, script, talk, played)
        _judge_database(verdict, database)
    _judge_journal(verdict, played, in_flight)
    verdict.expect(0, played.exit_code, "exit code after SIGTERM")
    if played.stop_seconds > 5:
        verdict.faults.append(f"it took {played.stop_seconds:.1f} s to stop")
    return verdict


def _judge_homeowner(
    verdict: Verdict, database: sqlite3.Connection, script: Script, talk: Talk, played: Played
) -> None:
    remembered = script.lines[script.forgets_after[-1] + 1 :] if script.forgets_after else script.lines
    found = database.execute(
        "SELECT h.id, h.doc, h.rev FROM contact c JOIN homeowner h ON h.id = c.homeowner_id WHERE c.address = ?",
        (script.address,),
    ).fetchone()
    verdict.expect(bool(remembered), found is not None, f"{script.address} is known")
    arrived = [line for line in played.journal if line.address == script.address]
    _judge_order(verdict, database, script, arrived)
    if found is None:
        return
    rows = _inbox(database, found["id"])
    verdict.messages += len(remembered)
    said = [row.incoming for row in rows if not isinstance(row.incoming, RemindersDue)]
    verdict.expect(list(remembered), said, f"what {script.address} said")
    verdict.expect(len(rows), found["rev"], f"turns of {script.address}")
    replayed, told, may_be_withdrawn = _replay(verdict, rows, talk, script.address)
    stored = load_homeowner(found["doc"], talk.upgrade) if found["doc"] is not None else None
    verdict.expect(replayed, stored, f"state of {script.address}")
    queued = _judge_queued(verdict, database, found["id"], arrived)
    told = {at: texts for at, texts in told.items() if texts and (at in queued or at not in may_be_withdrawn)}
    verdict.expect(told, queued, f"replies to {script.address}")
    _judge_reminders(verdict, database, found["id"], rows, played.ended_ms)


def _inbox(database: sqlite3.Connection, homeowner_id: int) -> list[_Row]:
    rows = database.execute(
        "SELECT id, at_ms, body, state FROM inbox WHERE homeowner_id = ? ORDER BY id", (homeowner_id,)
    )
    return [_Row(row["id"], row["at_ms"], load_incoming(row["body"]), row["state"] == 0) for row in rows]


def _replay(
    verdict: Verdict, rows: Iterable[_Row], talk: Talk, who: str
) -> tuple[Homeowner | None, dict[int, list[str | None]], set[int]]:
    """The homeowner after everything, what each row should have been answered (None: a copy of the data), and the
    reminders that a later wish for quiet took back if they had not been sent.
    """
    homeowner: Homeowner | None = None
    told: dict[int, list[str | None]] = {}
    reminders: set[int] = set()
    may_be_withdrawn: set[int] = set()
    for row in rows:
        try:
            outcome = talk.reduce(homeowner, row.incoming, instant(row.at_ms), talk.known)
            answers = [
                talk.render(effect, outcome.homeowner).text if isinstance(effect, Say) else None
                for effect in outcome.effects
                if isinstance(effect, Say | OfferData)
            ]
        except Exception:  # noqa: BLE001 - a replay meets whatever the conversation raised in the first place
            verdict.expect(False, row.is_handled, f"row {row.id} of {who} counts as handled")
            is_ours = isinstance(row.incoming, RemindersDue)
            told[row.id] = [] if is_ours else [talk.render(BROKE, homeowner or Homeowner()).text]
            continue
        verdict.expect(True, row.is_handled, f"row {row.id} of {who} counts as handled")
        homeowner, told[row.id] = outcome.homeowner, answers
        if homeowner.standing is not Standing.ACTIVE:
            may_be_withdrawn |= reminders
        if isinstance(row.incoming, RemindersDue):
            reminders.add(row.id)
    return homeowner, told, may_be_withdrawn


def _judge_queued(
    verdict: Verdict, database: sqlite3.Connection, homeowner_id: int, arrived: Sequence[Line]
) -> dict[int, list[str | None]]:
    """What the outbox holds, by the row it answers: all of it sent, and with the far side."""
    queued: defaultdict[int, list[str | None]] = defaultdict(list)
    ids = {line.outbox_id for line in arrived}
    for row in database.execute("SELECT * FROM outbox WHERE homeowner_id = ? ORDER BY id", (homeowner_id,)):
        queued[row["inbox_id"]].append(load_rendered(row["body"]).text if row["kind"] == 0 else None)
        verdict.expect(1, row["state"], f"state of message {row['id']}")
        verdict.expect(True, row["id"] in ids, f"message {row['id']} reached the far side")
    return dict(queued)


def _judge_reminders(
    verdict: Verdict, database: sqlite3.Connection, homeowner_id: int, rows: Iterable[_Row], ended_ms: int
) -> None:
    """Each reminder that fell due came in, and as often as it was brought up: once, unless its hour was changed."""
    brought_up: Counter[tuple[Any, ...]] = Counter()
    for row in rows:
        if isinstance(row.incoming, RemindersDue):
            brought_up.update((one.lawn, one.task, one.due_on.isoformat()) for one in row.incoming.reminders)
    stored = database.execute("SELECT * FROM reminder WHERE homeowner_id = ?", (homeowner_id,)).fetchall()
    for row in stored:
        key = (row["lawn"], row["task"], row["due_on"])
        is_settled = row["state"] in (1, 2) or (row["state"] == 0 and row["due_ms"] > ended_ms)
        verdict.expect(True, is_settled, f"reminder {key} of homeowner {homeowner_id} is settled")
        if row["state"] == 1:
            verdict.expect(True, brought_up[key] >= 1, f"reminder {key} of homeowner {homeowner_id} came in")
    verdict.brought_up += sum(brought_up.values())


def _judge_order(verdict: Verdict, database: sqlite3.Connection, script: Script, arrived: Sequence[Line]) -> None:
    """In one chat messages arrive in the order they were made, but that what nobody asked for may wait for the morning;
    one farewell for each time somebody was erased."""
    firsts = list(dict.fromkeys(line.outbox_id for line in arrived))
    waits = database.execute("SELECT id, hours FROM outbox WHERE hours IS NOT NULL")
    may_wait = {row["id"]: row["hours"] for row in waits}
    for hours in sorted(set(may_wait.values())):
        unasked = [one for one in firsts if may_wait.get(one) == hours]
        verdict.expect(sorted(unasked), unasked, f"order of the reminders that reached {script.address}")
    latest = 0
    for one in firsts:
        if one not in may_wait and one < latest:
            verdict.faults.append(f"{script.address} got {one} after {latest}")
        latest = max(latest, one)
    farewells = {line.outbox_id for line in arrived if line.text.startswith("farewell")}
    if script.forgets_after:
        verdict.expect(len(script.forgets_after), len(farewells), f"farewells to {script.address}")


def _judge_journal(verdict: Verdict, played: Played, in_flight: int) -> None:
    counts = Counter(line.outbox_id for line in played.journal)
    verdict.sent = len(counts)
    verdict.doubled = sum(count - 1 for count in counts.values())
    if verdict.doubled > played.kills * in_flight:
        verdict.faults.append(f"{verdict.doubled} messages came twice after {played.kills} kills")


def _judge_database(verdict: Verdict, database: sqlite3.Connection) -> None:
    """The file is sound, and nothing is left that nobody owns."""
    verdict.expect("ok", database.execute("PRAGMA integrity_check").fetchone()[0], "integrity of the database")
    verdict.expect([], database.execute("PRAGMA foreign_key_check").fetchall(), "foreign keys")
    left = database.execute("SELECT count(*) FROM outbox WHERE homeowner_id IS NULL").fetchone()[0]
    verdict.expect(0, left, "last words that were sent and not removed")
