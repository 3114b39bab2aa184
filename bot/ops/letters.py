"""A letter to operators: one row of the outbox each, in the words of their channel, within hours they can bear."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.store import outbox, schema
from bot.store.database import Transaction, milliseconds
from bot.store.operators import Reached
from bot.store.rows import dump_rendered
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.words import Words


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a letter goes out. `hours`: zone, first and last local hour; None: at once."""

    now: datetime
    urgency: int
    hours: str | None


class Letters:
    """Queues letters. `short`: the channels on which few words must do."""

    def __init__(self, words: Words, short: Collection[str]) -> None:
        self._words = words
        self._short = short

    async def queue(self, tx: Transaction, letter: Say, to: Sequence[Reached], manner: Manner) -> int:
        """Queue a letter to each of these; how many."""
        rows = [
            outbox.NewRow(
                homeowner_id=None,
                inbox_id=None,
                channel=each.channel,
                address=each.address,
                kind=schema.MESSAGE,
                urgency=manner.urgency,
                made_ms=milliseconds(manner.now),
                due_ms=0,
                body=dump_rendered(self._words.render(letter, Homeowner(), is_short=each.channel in self._short)),
                hours=manner.hours,
            )
            for each in to
        ]
        if rows:
            await outbox.add(tx, rows)
        return len(rows)
