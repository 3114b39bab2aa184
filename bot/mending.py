"""Sets reminder rows right against what homeowners want today.

Rows follow wishes turn by turn. They can only fall apart when the code that wishes changes (an upgrade) or a zone's
rules do. What was brought up is left alone: mending never makes anything be said again. What was given up on after a
fault of ours gets new tries, since the fault may be mended now.
"""

from __future__ import annotations

import logging
from collections.abc import Sequence

from bot.logs import trace_of
from bot.store import reminders
from bot.store.database import Transaction
from bot.store.reminders import Kept, Key, Wish
from bot.store.schema import CANCELLED, GIVEN_UP, PENDING
from bot.turns import Person

log = logging.getLogger(__name__)


async def mend(tx: Transaction, people: Sequence[Person]) -> None:
    """Add what is missing, move what is at the wrong instant, cancel what nobody wants any more."""
    readable = [person for person in people if person.trouble is None and person.id is not None]
    for person in people:
        if person.trouble is not None:
            log.error("Homeowner %s cannot be loaded.\n%s", person.id, trace_of(person.trouble))
    rows: dict[int, dict[Key, Kept]] = {}
    for row in await reminders.of_homeowners(tx, [person.id for person in readable if person.id is not None]):
        rows.setdefault(row.homeowner_id, {})[row.key] = row
    wanted: list[tuple[int, Wish]] = []
    dropped: list[tuple[int, Key]] = []
    for person in readable:
        if person.id is not None:
            kept = rows.get(person.id, {})
            wanted += [(person.id, wish) for wish in person.wishes if _is_off(wish, kept)]
            dropped += [(person.id, key) for key in _unwanted(person, kept)]
    if wanted:
        await reminders.want(tx, wanted)
    if dropped:
        await reminders.cancel(tx, dropped)


def _is_off(wish: Wish, kept: dict[Key, Kept]) -> bool:
    row = kept.get(reminders.key_of(wish[0]))
    if row is None or row.state in (CANCELLED, GIVEN_UP):
        return True
    return row.state == PENDING and row.attempts == 0 and row.due_ms != reminders.due_ms(*wish)


def _unwanted(person: Person, kept: dict[Key, Kept]) -> list[Key]:
    keys = {reminders.key_of(reminder) for reminder, _ in person.wishes}
    return [key for key, row in kept.items() if row.state == PENDING and key not in keys]
