"""A look into a data folder that may be in use by a running service: read-only, no lock, no migration."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from bot.errors import StoreError
from bot.store.database import milliseconds
from bot.store.store import DATABASE_FILE


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelGlance:
    """One channel: what waits to be sent, what may go out now and since when, what was given up on, what came in and
    was not read, and what was counted since the beginning.
    """

    channel: str
    waiting: int = 0
    due: int = 0
    oldest_seconds: int = 0
    parked: int = 0
    unread: int = 0
    unreadable: int = 0
    unreachable: int = 0
    units: int = 0
    counts: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class QueueGlance:
    """Every channel that has something to tell."""

    channels: tuple[ChannelGlance, ...]

    def needs_a_look(self, old: timedelta) -> bool:
        """Whether a person should look: something was given up on, or has been ready for long."""
        return any(
            each.parked or each.unreadable or each.oldest_seconds > old.total_seconds() for each in self.channels
        )


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


_OF_CHANNELS = {
    "waiting": "SELECT channel, count(*) FROM outbox WHERE state = 0 GROUP BY channel",
    "due": "SELECT channel, count(*) FROM outbox WHERE state = 0 AND due_ms <= :now_ms GROUP BY channel",
    "oldest_seconds": "SELECT channel, (:now_ms - min(max(due_ms, made_ms))) / 1000 FROM outbox "
    "WHERE state = 0 AND due_ms <= :now_ms GROUP BY channel",
    "parked": "SELECT channel, count(*) FROM outbox WHERE state = 2 GROUP BY channel",
    "unread": "SELECT channel, count(*) FROM arrival WHERE state = 0 GROUP BY channel",
    "unreadable": "SELECT channel, count(*) FROM arrival WHERE state = 2 GROUP BY channel",
    "unreachable": "SELECT channel, count(*) FROM reach WHERE unreachable_ms IS NOT NULL GROUP BY channel",
    "units": "SELECT channel, sum(units) FROM spent WHERE hour > :now_ms / 3600000 - 24 GROUP BY channel",
}


def queue_of(folder: Path, now: datetime) -> QueueGlance:
    """The queues of every channel at an instant."""
    found: dict[str, dict[str, int]] = {}
    counted: dict[str, dict[str, int]] = {}
    with _look(folder) as connection:
        for name, sql in _OF_CHANNELS.items():
            for channel, value in connection.execute(sql, {"now_ms": milliseconds(now)}):
                found.setdefault(channel, {})[name] = max(0, int(value))
        for channel, name, value in connection.execute("SELECT channel, name, value FROM meter ORDER BY name"):
            found.setdefault(channel, {})
            counted.setdefault(channel, {})[name] = value
    channels = sorted(found)
    return QueueGlance(
        channels=tuple(
            ChannelGlance(channel=channel, counts=counted.get(channel, {}), **found[channel]) for channel in channels
        )
    )


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
