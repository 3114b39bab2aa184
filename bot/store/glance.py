"""A look into a data folder that may be in use by a running service: read-only, no lock, no migration."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bot.errors import StoreError
from bot.store.database import instant
from bot.store.store import DATABASE_FILE


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenQuestion:
    """A question that waits for a person."""

    id: int
    at: datetime
    lawn: int | None
    question: str


def sqlite_version_info() -> tuple[int, int, int]:
    """The version of SQLite this Python carries."""
    return sqlite3.sqlite_version_info


@contextmanager
def _look(folder: Path) -> Iterator[sqlite3.Connection]:
    file = folder / DATABASE_FILE
    if not file.is_file():
        raise StoreError(
            f"There is no database in {folder} yet. Start Afterfrost once, or name its folder with --data."
        )
    try:
        with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            yield connection
    except sqlite3.Error as error:
        raise StoreError(f"The database in {folder} cannot be read ({error}).") from error


def open_questions(folder: Path) -> list[OpenQuestion]:
    """Questions nobody has answered yet, oldest first."""
    with _look(folder) as connection:
        rows = connection.execute(
            "SELECT id, at_ms, lawn, question FROM handover WHERE closed_ms IS NULL ORDER BY at_ms, id"
        ).fetchall()
    return [OpenQuestion(id=row[0], at=instant(row[1]), lawn=row[2], question=row[3]) for row in rows]


def counts(folder: Path) -> dict[str, int]:
    """How much is in it: homeowners, messages that came in, messages still to send, reminders still to come."""
    questions = {
        "homeowners": "SELECT count(*) FROM homeowner",
        "messages_in": "SELECT count(*) FROM inbox",
        "messages_waiting": "SELECT count(*) FROM outbox WHERE state = 0",
        "reminders_waiting": "SELECT count(*) FROM reminder WHERE state = 0",
    }
    with _look(folder) as connection:
        return {name: connection.execute(sql).fetchone()[0] for name, sql in questions.items()}
