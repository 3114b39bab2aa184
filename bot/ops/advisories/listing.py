"""Writing down whom an advisory is for when it begins: some at a time, so that replies go on, and sending begins.

1. People are chosen while the approval can still be taken back, and anew after a restart. Nothing is written before.
2. A list that a kill cut short is taken up again: whoever is on it stays, whoever is chosen now and is not, is added.
3. When everybody is listed, their number is written down. From then on it never changes.
"""

from __future__ import annotations

from dataclasses import dataclass

from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.recipients import Recipients
from bot.store import advisories, sends
from bot.store.database import Database

AT_ONCE = 4000
"""People listed in one transaction: about a tenth of a second, which is what a reply may have to wait for."""


@dataclass(slots=True, kw_only=True)
class _List:
    """The people one approval is for, and how many of them are written down."""

    rev: int
    homeowner_ids: list[int]
    done: int = 0


class Listing:
    """Lists people."""

    def __init__(self, database: Database, recipients: Recipients) -> None:
        self._database = database
        self._recipients = recipients
        self._lists: dict[int, _List] = {}

    async def choose(self, advisory: Advisory) -> None:
        """Choose the people of an advisory, unless that is done."""
        chosen = self._lists.get(advisory.id)
        if chosen is None or chosen.rev != advisory.rev:
            ids = await self._recipients.of(advisory.content)
            self._lists[advisory.id] = _List(rev=advisory.rev, homeowner_ids=ids)

    async def some(self, advisory: Advisory) -> int:
        """List some more of the chosen people while it goes out or is paused; how many."""
        await self.choose(advisory)
        chosen = self._lists[advisory.id]
        page = chosen.homeowner_ids[chosen.done : chosen.done + AT_ONCE]
        async with self._database.write() as tx:
            row = await advisories.get(tx, advisory.id)
            if row is None or row.state not in (State.GOING_OUT, State.PAUSED):
                return 0
            await sends.add(tx, advisory.id, page)
            chosen.done += len(page)
            if chosen.done == len(chosen.homeowner_ids):
                await advisories.set_selected(tx, advisory.id, await sends.count(tx, advisory.id))
        if chosen.done == len(chosen.homeowner_ids):
            del self._lists[advisory.id]
        return len(page)

    def forget_others(self, advisory_ids: set[int]) -> None:
        """Let go of the people of advisories that are no longer to begin."""
        for other in self._lists.keys() - advisory_ids:
            del self._lists[other]
