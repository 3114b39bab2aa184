"""Moving to another chat: a code given out in one, typed into another, which joins the homeowner of the first.

1. All of it happens in the transaction of the turn in which the code is typed: the new chat is linked, the code is used
   up, every chat that was linked before is told. Kill it anywhere, and either all of it happened or nothing.
2. The old chats stay linked, as two phones of one person do. Reminders go to where somebody was last heard, so to the
   new one. Those that wait to be sent go there too, unless they were worded at length and the new chat is short: then
   they stay where their words fit, in a chat that still works.
3. Every old chat is told, and may take the move back within a week by "not me": every chat that joined after it is cut
   off, and open codes are dead. So nobody who joined can cut off the chat they came from. What waits for a chat that is
   cut off comes back where nobody asked for it, and is not sent where somebody there did.
4. A chat joins only when nothing would be lost by it. One that has told us anything keeps its own lawn, and hears how
   to go on. One that wants quiet hears what the conversation says to it, and no code is looked up.
5. What the conversation stores of it is that somebody arrived; so a homeowner still is what their inbox rows make of
   them, and no code stands there.
6. A code is not looked up for whoever had too many wrong ones.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, replace
from functools import partial

from bot.store import homeowners, moves, schema
from bot.store.database import Transaction
from bot.store.homeowners import Contact
from bot.store.rows import dump_incoming, dump_rendered
from bot.talk.case import Homeowner, Standing
from bot.talk.effects import Say
from bot.talk.incoming import Arrived, Said
from bot.talk.messages import text
from bot.talk.ports import Talk
from bot.talk.understand.move_codes import is_not_me, move_code
from bot.turns import SHORT_CHANNELS, Crowd, Person, Saying, Turn

Settle = Callable[[], Awaitable[None]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """How a message is taken: whose turn it is, who bears it if that fails, and what is written beside if not."""

    person: Person
    sender: Person
    turn: Turn
    settle: Settle | None = None


class Moving:
    """Finds out, within one transaction, which messages move a chat."""

    def __init__(self, tx: Transaction, crowd: Crowd, talk: Talk, now_ms: int) -> None:
        self._tx = tx
        self._crowd = crowd
        self._talk = talk
        self._now_ms = now_ms

    async def read(self, turn: Turn, *, is_spoiled: bool = False) -> Coming:
        """How a message is to be taken. `is_spoiled`: it fails anyway, so nothing is looked up for it."""
        sender = self._crowd.at(_contact(turn))
        as_it_is = Coming(person=sender, sender=sender, turn=turn)
        if is_spoiled or not isinstance(turn.incoming, Said):
            return as_it_is
        code = move_code(turn.incoming.text)
        if code is not None and _wants_messages(sender):
            return await self._with_code(as_it_is, code)
        if is_not_me(turn.incoming.text) and sender.id is not None:
            return await self._not_me(as_it_is)
        return as_it_is

    async def settle(self, coming: Coming) -> None:
        """Write what a turn means beside the conversation, once it counts."""
        if coming.settle is not None:
            await coming.settle()

    # --- a code ---------------------------------------------------------------------------------------------------

    async def _with_code(self, coming: Coming, code: str) -> Coming:
        contact = _contact(coming.turn)
        if not await moves.may_try(self._tx, contact, self._now_ms):
            return _refused(coming, "move-often")
        found = await moves.find(self._tx, code, self._now_ms)
        owner = await self._owner(found)
        if found is None or owner is None:
            await moves.note_wrong(self._tx, contact, self._now_ms)
            return coming
        if owner is coming.sender:
            return _refused(coming, "move-here")
        if await self._has_told(coming.sender):
            return _refused(coming, "move-taken")
        turn = replace(coming.turn, incoming=Arrived(), reworded={"welcome-back": "move-done"})
        joining = partial(self._join, owner, coming.sender, turn, found.id)
        return Coming(person=owner, sender=coming.sender, turn=turn, settle=joining)

    async def _owner(self, found: moves.Found | None) -> Person | None:
        if found is None:
            return None
        rows = await homeowners.by_id(self._tx, [found.homeowner_id], to_change=True)
        owner = self._crowd.of(rows[found.homeowner_id])
        return None if owner.is_erased else owner

    async def _has_told(self, sender: Person) -> bool:
        """Whether something would be lost if a chat's own homeowner went."""
        homeowner = sender.homeowner
        if sender.trouble is not None or sender.questions or sender.photos_sent():
            return True
        if homeowner is not None and any(case.answers for case in homeowner.lawns):
            return True
        return sender.id is not None and await moves.has_more_than_words(self._tx, sender.id)

    async def _join(self, owner: Person, guest: Person, turn: Turn, code_id: int) -> None:
        owner_id, to = _id(owner), _contact(turn)
        before = await homeowners.contacts_of(self._tx, owner_id)
        await moves.use(self._tx, code_id, to, self._now_ms)
        await moves.link(self._tx, to, owner_id)
        await moves.rewrite(self._tx, turn.inbox_id, owner_id, dump_incoming(turn.incoming))
        owner.is_joined = True
        if guest.id is not None or guest.turns:
            guest.is_erased = True
            guest.sayings.clear()
        self._crowd.put(to, owner)
        for contact in before:
            if to[0] not in SHORT_CHANNELS or contact[0] in SHORT_CHANNELS:
                await moves.redirect_reminders(self._tx, contact, to, owner_id)
            owner.sayings.append(self._told(owner, replace(turn, channel=contact[0], address=contact[1])))

    def _told(self, owner: Person, turn: Turn) -> Saying:
        say = Say(parts=(text("move-told"),))
        rendered = self._talk.render(say, owner.homeowner or Homeowner(), is_short=turn.is_short)
        return Saying(turn=turn, kind=schema.MESSAGE, urgency=schema.REPLY, body=dump_rendered(rendered))

    # --- not me ---------------------------------------------------------------------------------------------------

    async def _not_me(self, coming: Coming) -> Coming:
        contact = _contact(coming.turn)
        joined = await moves.joined_after(self._tx, contact, _id(coming.person), self._now_ms)
        if not joined:
            return coming
        turn = replace(coming.turn, incoming=Arrived(), reworded={"welcome-back": "move-undone"})
        undoing = partial(self._undo, coming.person, turn, joined)
        return Coming(person=coming.person, sender=coming.sender, turn=turn, settle=undoing)

    async def _undo(self, owner: Person, turn: Turn, joined: set[Contact]) -> None:
        owner_id, here = _id(owner), _contact(turn)
        await moves.rewrite(self._tx, turn.inbox_id, owner_id, dump_incoming(turn.incoming))
        await moves.cancel(self._tx, [owner_id])
        owner.code = None
        owner.sayings = [saying for saying in owner.sayings if _contact(saying.turn) not in joined]
        for contact in sorted(joined):
            await moves.redirect_reminders(self._tx, contact, here, owner_id)
            await moves.unlink(self._tx, contact, owner_id)
            self._crowd.put(contact, None)


def _refused(coming: Coming, why: str) -> Coming:
    """The conversation knows no code; why this one opens nothing, only the store does."""
    return replace(coming, turn=replace(coming.turn, reworded={"move-unknown": why}))


def _wants_messages(person: Person) -> bool:
    return person.homeowner is None or person.homeowner.standing is Standing.ACTIVE


def _contact(turn: Turn) -> Contact:
    return turn.channel, turn.address


def _id(person: Person) -> int:
    if person.id is None:
        raise ValueError("somebody who is not stored yet has no chats to link")
    return person.id
