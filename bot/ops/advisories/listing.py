"""Writing down whom an advisory is for when it begins: some at a time, so that replies go on, and sending begins.

1. People are chosen while the approval can still be taken back, and anew after a restart. Nothing is written before.
2. A list that a kill cut short is taken up again: whoever is on it stays, whoever is chosen now and is not, is added.
3. When everybody is listed, their number is written down. From then on it never changes.
4. Of what puts another one right the list stays open as long as a message of that one is under way: whoever turns out
   to have got it is added. Nobody else can get it any more.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from bot.ops.advisories.advisory import Advisory, State
from bot.ops.advisories.recipients import Recipients
from bot.store import advisories, sends
from bot.store.columns import Wholes
from bot.store.database import Database
from bot.store.sends import SendState

AT_ONCE = 4000
"""People listed in one transaction: about a tenth of a second, which is what a reply may have to wait for."""


@dataclass(slots=True, kw_only=True)
class _List:
    """The people one approval is for, and how many of them are written down.

    open_ids : of whom it does not show yet whether they get what is put right
    """

    rev: int
    homeowner_ids: Wholes
    open_ids: list[int]
    done: int = 0

    @property
    def is_written(self) -> bool:
        """Whether everybody on it is written down."""
        return self.done == len(self.homeowner_ids)


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
            open_ids = await self._under_way(advisory)  # first: whoever is counted meanwhile is in both
            ids = await self._recipients.of(advisory.content)
            self._lists[advisory.id] = _List(rev=advisory.rev, homeowner_ids=ids, open_ids=open_ids)

    async def some(self, advisory: Advisory) -> int:
        """List some more of the chosen people while it goes out or is paused; how many."""
        await self.choose(advisory)
        chosen = self._lists[advisory.id]
        if chosen.is_written and chosen.open_ids and not await self._found_more(advisory, chosen):
            return 0
        page = chosen.homeowner_ids[chosen.done : chosen.done + AT_ONCE]
        async with self._database.write() as tx:
            row = await advisories.get(tx, advisory.id)
            if row is None or row.state not in (State.GOING_OUT, State.PAUSED):
                return 0
            await sends.add(tx, advisory.id, page.tolist())
            chosen.done += len(page)
            is_all = chosen.is_written and not chosen.open_ids
            if is_all:
                await advisories.set_selected(tx, advisory.id, await sends.count(tx, advisory.id))
        if is_all:
            del self._lists[advisory.id]
        return len(page)

    async def _under_way(self, advisory: Advisory) -> list[int]:
        """Whose message of the advisory it puts right, or follows, is under way."""
        found = list[int]()
        async with self._database.read() as tx:
            for first_id in filter(None, (advisory.content.corrects, advisory.content.after_id)):
                found += await sends.ids_under_way(tx, first_id)
        return found

    async def _found_more(self, advisory: Advisory, chosen: _List) -> bool:
        """Put those on the list who turned out to have got what is put right; whether there is something to write."""
        content = advisory.content
        async with self._database.read() as tx:
            states = await sends.states_of(tx, content.corrects or content.after_id or 0, chosen.open_ids)
        got = sorted(of_id for of_id, state in states.items() if state is SendState.SENT)
        still = [of_id for of_id, state in states.items() if state is SendState.UNDER_WAY]
        if len(still) == len(chosen.open_ids):
            return False
        more = await self._recipients.as_seen(content, np.array(got, dtype=np.int64))
        chosen.homeowner_ids, chosen.done, chosen.open_ids = more, 0, still
        return bool(len(more)) or not still

    def forget_others(self, advisory_ids: set[int]) -> None:
        """Let go of the people of advisories that are no longer to begin."""
        for other in self._lists.keys() - advisory_ids:
            del self._lists[other]
