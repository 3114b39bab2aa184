"""The transaction around the conversation.

1. All or nothing: what came in, the homeowner after it, the replies, the reminders and everything else a turn wants
   commit together. `take_in` returns when they are on disk.
2. Once: a message is known by (channel, its own id). Handing it in again returns quietly and does nothing.
3. In order: the messages of one homeowner are taken in the order they were handed in, each seeing what the one before
   left. What many chats have waiting shares one transaction.
4. Alone in failing: a turn that raises changes nothing but a note beside its message, and its homeowner is told that
   something broke. The rest of the batch is not touched by it, not even when the database itself refuses its rows.
5. A due reminder is something that comes in. Everything due for a homeowner comes in at once, in the transaction that
   marks it as brought up. A wish is a row as long as the homeowner has it: rows are made, moved and cancelled from the
   difference between what was wanted before a turn and after it.
6. Whoever asks to be forgotten is gone with the transaction of that turn. The last words to them stand in the outbox
   without an owner until they are sent; of their messages a digest stays for a week, so that a repeat does nothing.
7. Where a message belongs to another chat's homeowner (a code to move), that is found out before the conversation
   hears of it; see `moving.py`.
8. What a person of ours does to a homeowner's talk comes in the same way, once under its key.
9. The instant the conversation is told is the one written beside the message, so its stored homeowner can be worked
   out again from the inbox alone.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import Protocol, TypeVar

from bot.clock import Clock
from bot.envelope import Envelope
from bot.gather import Gatherer
from bot.logs import place_of, trace_of
from bot.mending import mend
from bot.moving import Coming, Moving
from bot.saving import save_people
from bot.store import homeowners, inbox, moves, reminders
from bot.store.database import StoreBusy, Transaction, instant, milliseconds
from bot.store.homeowners import Contact, StoredHomeowner
from bot.store.inbox import MessageKey, NewMessage
from bot.store.reminders import DueRow
from bot.store.rows import dump_incoming
from bot.store.store import Store
from bot.talk.incoming import Chose, DueReminder, FromPeople, Incoming, RemindersDue, Said
from bot.talk.ports import Talk
from bot.turns import Crowd, NewCode, Person, Turn, loaded, say_it_broke, work_out

Result = TypeVar("Result")

log = logging.getLogger(__name__)

BATCH = 64
PAUSES_SECONDS = (0.05, 0.2, 1.0)
"""Between tries of a transaction the database could not do; after the last the callers are told."""
BREATH_SECONDS = 0.003
"""How long turns are worked out before everything else in the process gets its turn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Waiting:
    """A message on its way in, with what of its row can be made before it is known whose it is."""

    envelope: Envelope
    digest: str
    sent_ms: int
    body: str

    @property
    def key(self) -> MessageKey:
        """What a repeat is known by."""
        return self.envelope.channel, self.digest

    @property
    def contact(self) -> Contact:
        """Where it came from."""
        return self.envelope.channel, self.envelope.address

    def row(self, known: Mapping[Contact, StoredHomeowner], now_ms: int) -> NewMessage:
        """Its row in the inbox."""
        owner = known.get(self.contact)
        return NewMessage(
            channel=self.envelope.channel,
            external_digest=self.digest,
            homeowner_id=owner.id if owner else None,
            at_ms=now_ms,
            sent_ms=self.sent_ms,
            body=self.body,
        )

    def turn(self, inbox_id: int) -> Turn:
        """The turn it is, once it has a row."""
        channel, address = self.contact
        return Turn(inbox_id=inbox_id, channel=channel, address=address, incoming=self.envelope.incoming)


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Something a person of ours does to one homeowner's talk. `key`: what a repeat of it is known by."""

    homeowner_id: int
    key: str
    incoming: FromPeople


class Along(Protocol):
    """What goes with acts in their transaction, so that either both happened or neither."""

    async def may_go(self, tx: Transaction) -> bool:
        """Whether they are still to be done."""
        ...

    async def note(self, tx: Transaction, rows: Mapping[int, int]) -> None:
        """Note what was done: by homeowner the row in the inbox. What was queued for them is in the outbox."""
        ...


class Service:
    """Takes in what came, and brings up what is due."""

    def __init__(
        self,
        store: Store,
        talk: Talk,
        clock: Clock,
        *,
        committed: Callable[[], None],
        new_code: NewCode = moves.new_code,
    ) -> None:
        self._store = store
        self._talk = talk
        self._clock = clock
        self._committed = committed
        self._new_code = new_code
        self._breath = _Breath()
        self._messages: Gatherer[_Waiting] = Gatherer(self._take_many, BATCH)

    async def take_in(self, envelope: Envelope) -> None:
        """Take one message; returns when everything it does is on disk, or at once if it was taken before.

        Raises `StoreError` when the database could not be used; hand it in again later.
        """
        envelope = replace(envelope, incoming=_storable(envelope.incoming))
        await self._messages.submit(
            _Waiting(
                envelope=envelope,
                digest=inbox.digest(envelope.channel, envelope.external_id),
                sent_ms=milliseconds(envelope.at),
                body=dump_incoming(envelope.incoming),
            )
        )

    async def reminders_due(self, limit: int = 200) -> int:
        """Bring up what is due now, for the homeowners of at most `limit` reminders; how many homeowners.

        Call again until it says 0. Raises `StoreError` when the database could not be used.
        """
        now = self._now()
        async with self._store.database.read() as tx:
            if not await reminders.is_any_due(tx, milliseconds(now)):
                return 0
        try:
            return await self._patiently(partial(self._bring_up, now, limit))
        except StoreBusy:
            raise
        except Exception as error:  # noqa: BLE001 - the database refuses somebody's rows: find out whose
            log.error("A batch of due reminders was refused.\n%s", trace_of(error))
            return await self._bring_up_alone(now)

    async def act(self, acts: Sequence[Act], along: Along | None = None) -> dict[int, int]:
        """Do to talks what people of ours did, at most one each; returns when it is on disk.

        By homeowner, the row in the inbox of each that was done now: those whose key is known, and those of nobody,
        are not in it. `along` is asked first and told last, in the same transaction. Raises `StoreError` when the
        database could not be used.
        """
        try:
            return await self._patiently(partial(self._act, acts, along))
        except StoreBusy:
            raise
        except Exception as error:  # noqa: BLE001 - the database refuses somebody's rows: find out whose
            log.error("A batch of %d acts was refused.\n%s", len(acts), trace_of(error))
            refused = error
        if len(acts) == 1:
            return await self._patiently(partial(self._act, acts, along, spoiled=refused))
        return {of_id: row for each in acts for of_id, row in (await self.act([each], along)).items()}

    async def mend_reminders(self, after_id: int = 0, at_most: int = 200) -> int | None:
        """Compare the reminder rows of the next homeowners with what they want today, and set them right.

        For after an upgrade, or when a zone's rules have changed. Returns the id to go on after, or None at the end.
        """
        async with self._store.database.write() as tx:
            rows = await homeowners.page(tx, after_id, at_most)
            if rows:
                await mend(tx, [loaded(self._talk, row) for row in rows])
        return rows[-1].id if rows else None

    async def close(self) -> None:
        """Take nothing more; returns when what was handed in is on disk."""
        await self._messages.close()

    def _now(self) -> datetime:
        """The instant of this transaction, no finer than it is stored."""
        return instant(milliseconds(self._clock.now()))

    # --- messages ---------------------------------------------------------------------------------------------

    async def _take_many(self, batch: Sequence[_Waiting]) -> Sequence[Exception | None]:
        try:
            await self._patiently(partial(self._take, batch))
            return [None] * len(batch)
        except StoreBusy as error:
            log.error("The database could not be used; %d messages are given back.", len(batch))
            return [error] * len(batch)
        except Exception as error:  # noqa: BLE001 - the database refuses somebody's rows: find out whose
            log.error("A batch of %d messages was refused.\n%s", len(batch), trace_of(error))
            refused = error
        if len(batch) == 1:
            await self._patiently(partial(self._take, batch, spoiled=refused))
            return [None]
        return [fault for waiting in batch for fault in await self._take_many([waiting])]

    async def _take(self, batch: Sequence[_Waiting], spoiled: Exception | None = None) -> None:
        now = self._now()
        first: dict[MessageKey, _Waiting] = {}
        for waiting in batch:
            first.setdefault(waiting.key, waiting)
        async with self._store.database.write() as tx:
            known = await homeowners.by_contact(tx, [waiting.contact for waiting in first.values()])
            ids = await inbox.add(tx, [waiting.row(known, milliseconds(now)) for waiting in first.values()])
            crowd = Crowd(self._talk, known)
            moving = Moving(tx, crowd, self._talk, milliseconds(now))
            for key, waiting in first.items():
                if key in ids:
                    coming = await moving.read(waiting.turn(ids[key]), is_spoiled=spoiled is not None)
                    if await self._take_turn(coming, now, spoiled):
                        await moving.settle(coming)
            orphans = await save_people(tx, crowd.people, milliseconds(now))
        self._after_commit(orphans)

    # --- reminders --------------------------------------------------------------------------------------------

    async def _bring_up(self, now: datetime, limit: int, spoiled: Exception | None = None) -> int:
        now_ms = milliseconds(now)
        async with self._store.database.write() as tx:
            due = await reminders.take_due(tx, now_ms, limit)
            if not due:
                return 0
            stored = await homeowners.by_id(tx, due, to_change=True)
            people: dict[int, Person] = {}
            incoming = {of_id: _brought_up(rows) for of_id, rows in due.items()}
            ids = await inbox.add_own(tx, [_own_row(of_id, came, now_ms) for of_id, came in incoming.items()])
            for of_id, row in stored.items():
                person = people[of_id] = loaded(self._talk, row)
                turn = Turn(
                    inbox_id=ids[of_id], channel=person.channel, address=person.address, incoming=incoming[of_id]
                )
                await self._take_turn(Coming(person=person, sender=person, turn=turn), now, spoiled)
            failed = [row for of_id, person in people.items() if person.errors for row in due[of_id]]
            if failed:
                await reminders.postpone(tx, failed, now_ms)
            orphans = await save_people(tx, list(people.values()), now_ms)
        self._after_commit(orphans)
        return len(people)

    async def _bring_up_alone(self, now: datetime) -> int:
        """The reminders of the one homeowner who has waited longest; put off if the database refuses their rows."""
        try:
            return await self._patiently(partial(self._bring_up, now, 1))
        except StoreBusy:
            raise
        except Exception as error:  # noqa: BLE001 - theirs are the rows that are refused
            log.error("The due reminders of one homeowner were refused.\n%s", trace_of(error))
            refused = error
        return await self._patiently(partial(self._bring_up, now, 1, spoiled=refused))

    # --- people of ours ---------------------------------------------------------------------------------------

    async def _act(self, acts: Sequence[Act], along: Along | None, spoiled: Exception | None = None) -> dict[int, int]:
        now = self._now()
        now_ms = milliseconds(now)
        async with self._store.database.write() as tx:
            if along is not None and not await along.may_go(tx):
                return {}
            stored = await homeowners.by_id(tx, [each.homeowner_id for each in acts], to_change=True)
            wanted = {inbox.digest(inbox.DESK, each.key): each for each in acts if each.homeowner_id in stored}
            ids = await inbox.add(tx, [_row_of_act(digest, each, now_ms) for digest, each in wanted.items()])
            people = {}
            for (_, digest), inbox_id in ids.items():
                each = wanted[digest]
                person = people[each.homeowner_id] = loaded(self._talk, stored[each.homeowner_id])
                turn = Turn(inbox_id=inbox_id, channel=person.channel, address=person.address, incoming=each.incoming)
                await self._take_turn(Coming(person=person, sender=person, turn=turn), now, spoiled)
            orphans = await save_people(tx, list(people.values()), now_ms)
            done = {wanted[digest].homeowner_id: row for (_, digest), row in ids.items()}
            if along is not None:
                await along.note(tx, done)
        self._after_commit(orphans)
        return done

    # --- both -------------------------------------------------------------------------------------------------

    async def _take_turn(self, coming: Coming, now: datetime, spoiled: Exception | None) -> bool:
        """Let one turn count, or note that it failed. The edge for everything the conversation can raise."""
        turn = coming.turn
        try:
            if spoiled is not None:
                raise spoiled
            step = work_out(self._talk, coming.person, turn, now, self._new_code)
        except Exception as error:  # noqa: BLE001 - the edge: one turn must not break the others
            log.error("Turn %d could not be taken.\n%s", turn.inbox_id, trace_of(error))
            self._note_failure(coming.sender, turn, error)
            is_taken = False
        else:
            coming.person.note(turn)
            coming.person.accept(turn, step)
            is_taken = True
        await self._breath.take()
        return is_taken

    def _note_failure(self, person: Person, turn: Turn, error: Exception) -> None:
        person.note(turn)
        person.errors[turn.inbox_id] = place_of(error)
        if not turn.is_ours:
            self._say_it_broke(person, turn)

    def _say_it_broke(self, person: Person, turn: Turn) -> None:
        try:
            person.sayings.append(say_it_broke(self._talk, person, turn))
        except Exception as error:  # noqa: BLE001 - the edge: even these words failed; the log is all there is left
            log.error("Turn %d broke and could not be answered.\n%s", turn.inbox_id, trace_of(error))

    async def _patiently(self, work: Callable[[], Awaitable[Result]]) -> Result:
        """Do a transaction, again after a pause while the database is busy."""
        for pause in PAUSES_SECONDS:
            try:
                return await work()
            except StoreBusy as error:
                log.warning("%s Trying again.", error)
                await asyncio.sleep(pause)
        return await work()

    def _after_commit(self, orphans: set[str]) -> None:
        self._store.files.remove(orphans)
        self._committed()


class _Breath:
    """Gives the rest of the process its turn between pieces of work, but not so often that it costs."""

    def __init__(self) -> None:
        self._since = 0.0

    async def take(self) -> None:
        """Let the others run if it has been long enough.

        Twice: what has come in meanwhile is only found by the first, and stands behind us then.
        """
        loop = asyncio.get_running_loop()
        if loop.time() - self._since > BREATH_SECONDS:
            await asyncio.sleep(0)
            await asyncio.sleep(0)
            self._since = loop.time()


def _brought_up(rows: Sequence[DueRow]) -> RemindersDue:
    return RemindersDue(reminders=tuple(DueReminder(lawn=row.lawn, task=row.task, due_on=row.due_on) for row in rows))


def _row_of_act(digest: str, act: Act, now_ms: int) -> NewMessage:
    return NewMessage(
        channel=inbox.DESK,
        external_digest=digest,
        homeowner_id=act.homeowner_id,
        at_ms=now_ms,
        sent_ms=now_ms,
        body=dump_incoming(act.incoming),
    )


def _own_row(homeowner_id: int, incoming: RemindersDue, now_ms: int) -> NewMessage:
    return NewMessage(
        channel=inbox.CLOCK,
        external_digest=None,
        homeowner_id=homeowner_id,
        at_ms=now_ms,
        sent_ms=now_ms,
        body=dump_incoming(incoming),
    )


def _storable(incoming: Incoming) -> Incoming:
    """The same without halves of characters, which a phone can send and no database takes."""
    if isinstance(incoming, Said):
        return replace(incoming, text=_whole(incoming.text))
    if isinstance(incoming, Chose):
        return replace(incoming, tokens=tuple(_whole(token) for token in incoming.tokens))
    return incoming


def _whole(words: str) -> str:
    return words.encode("utf-8", "replace").decode("utf-8")
