"""Reads what came in, chat by chat in order, and hands what it means to the conversation.

1. What a channel hands in is on disk before it is answered for, with how far the channel has got, in one transaction.
2. In one chat one arrival is read after the other, in the order they were stored; different chats side by side.
3. Reading may be repeated: the conversation drops what it had, and everything else it leads to has the same effect
   twice. A crash anywhere loses nothing.
4. What belongs together (an album) is read together, once no more of it came for a while; what came after it waits.
5. An arrival that cannot be read is tried three times, then kept for a person to see, and whoever sent it is told.
6. What an address may not be asked yet (it has not agreed) is held, and read when it has.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from bot.arrivals import Consent, ConsentNote, DeliveryNote, Inlet, NewArrival, Reading
from bot.clock import Clock
from bot.envelope import Envelope
from bot.errors import StoreError, TryAgain
from bot.gather import Gatherer
from bot.logs import place_of, trace_of
from bot.service import Service
from bot.store import arrivals, homeowners, outbox, reaches
from bot.store.arrivals import Waiting
from bot.store.database import Transaction, milliseconds
from bot.store.rows import dump_rendered
from bot.store.schema import DELIVERED, MESSAGE, ON_THE_WAY, REPLY, UNDELIVERED
from bot.store.store import Store
from bot.talk.case import Standing
from bot.talk.incoming import Arrived, Said
from bot.talk.ports import Rendered

log = logging.getLogger(__name__)

TRIES, PATIENT_TRIES = 3, 6
"""How often an arrival is tried that is a fault to its reader, and one for which the far side is not to be had."""
PAUSE_SECONDS = 20.0
PAGE = 256
CHATS_AT_ONCE = 32
LOOK_AGAIN_SECONDS = 0.5
"""How often what waits for its moment (an album, another try) is looked at."""

LONGEST_WAIT_MS = 3_600_000
"""What is to be read later than this was put off before the clock went back: it is read at once."""

Speak = Callable[[str, str], Rendered]
"""A channel's name and a message key of its own words to final words."""


Chat = tuple[str, str]
"""A channel's name and an address on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stored:
    """Arrivals of one channel on their way to disk."""

    channel: str
    arrivals: tuple[NewArrival, ...]
    cursor: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Done:
    """What was read, and what it means beside the conversation."""

    channel: str
    address: str
    ids: tuple[int, ...]
    reading: Reading


_Note = _Stored | _Done


class Intake:
    """Stores what comes in and has it read."""

    def __init__(
        self,
        store: Store,
        service: Service,
        inlets: Sequence[Inlet],
        clock: Clock,
        *,
        speak: Speak,
        committed: Callable[[], None],
    ) -> None:
        self._store = store
        self._service = service
        self._inlets: Mapping[str, Inlet] = {inlet.name: inlet for inlet in inlets}
        self._clock = clock
        self._speak = speak
        self._committed = committed
        self._notes: Gatherer[_Note] = Gatherer(self._write, at_most=256)
        self._busy: set[Chat] = set()
        self._news = asyncio.Event()
        self._stop = asyncio.Event()
        self._room = asyncio.Semaphore(CHATS_AT_ONCE)
        self._readers: set[asyncio.Task[None]] = set()
        self._read_since_look: set[int] = set()
        self._running: asyncio.Task[None] | None = None

    # --- from outside ------------------------------------------------------------------------------------------------

    async def store(self, channel: str, new: Sequence[NewArrival], cursor: int | None = None) -> None:
        """Put what came on disk; returns when it is there. Raises `StoreError`: hand it in again later."""
        await self._notes.submit(_Stored(channel=channel, arrivals=tuple(new), cursor=cursor))
        self._news.set()

    async def cursor(self, channel: str) -> int | None:
        """How far a channel had got."""
        async with self._store.database.read() as tx:
            return await arrivals.cursor_of(tx, channel)

    def start(self) -> None:
        """Begin to read. Where nothing comes in raw there is nothing to read, and nothing is looked for."""
        if not self._inlets:
            return
        self._running = asyncio.create_task(self._run(), name="intake")

    async def stop(self, seconds: float) -> None:
        """Begin to read nothing more, and let what is being read end, for at most so many seconds."""
        self._stop.set()
        self._news.set()
        waiting = [task for task in (self._running, *self._readers) if task is not None]
        if waiting:
            _, late = await asyncio.wait(waiting, timeout=seconds)
            for task in late:
                task.cancel()
            if late:
                log.warning("Stopped while reading; it will be read again.")
                await asyncio.wait(late)
        await self._notes.close()

    # --- choosing ----------------------------------------------------------------------------------------------------

    async def _run(self) -> None:
        while not self._stop.is_set():
            try:
                self._news.clear()
                is_more_later = await self._hand_out()
                await self._wait(LOOK_AGAIN_SECONDS if is_more_later else None)
            except Exception as error:  # noqa: BLE001 - the edge: reading must go on after a bad moment
                log.error("Looking for what came in failed.\n%s", trace_of(error))
                await self._wait(1.0)

    async def _wait(self, seconds: float | None) -> None:
        try:
            async with asyncio.timeout(seconds):
                await self._news.wait()
        except TimeoutError:
            return

    async def _hand_out(self) -> bool:
        """Give every chat that has something to read to a reader. Whether some of it must wait for its moment."""
        now_ms = milliseconds(self._clock.now())
        is_later, after = False, 0
        passed: set[Chat] = set()  # once passed over, for the rest of this round: or later rows would be read first
        while not self._stop.is_set():
            self._read_since_look.clear()
            async with self._store.database.read() as tx:
                page = await arrivals.waiting(tx, after, PAGE)
            for (channel, address), rows in _by_chat(page).items():
                chat = (channel, address)
                if channel not in self._inlets or chat in passed:
                    continue
                if chat in self._busy:
                    passed.add(chat)
                    continue
                await self._room.acquire()
                unread = [row for row in rows if row.arrival.id not in self._read_since_look]
                due = _due(unread, now_ms)
                is_later = is_later or len(due) < len(unread)
                if len(due) < len(unread):
                    passed.add(chat)
                if due:
                    self._begin(channel, address, due)
                else:
                    self._room.release()
            if len(page) < PAGE:
                return is_later
            after = page[-1].arrival.id
        return False

    def _begin(self, channel: str, address: str, rows: Sequence[Waiting]) -> None:
        self._busy.add((channel, address))
        task = asyncio.create_task(self._read_chat(channel, address, rows))
        self._readers.add(task)
        task.add_done_callback(self._readers.discard)

    async def _read_chat(self, channel: str, address: str, rows: Sequence[Waiting]) -> None:
        try:
            for group in _groups(rows):
                if self._stop.is_set() or not await self._read(channel, address, group):
                    return
        except Exception as error:  # noqa: BLE001 - the edge: one chat's trouble must not stop the others
            log.error("Reading a chat of %r failed.\n%s", channel, trace_of(error))
            await asyncio.sleep(1)
        finally:
            self._busy.discard((channel, address))
            self._room.release()
            self._news.set()

    # --- reading -----------------------------------------------------------------------------------------------------

    async def _read(self, channel: str, address: str, group: Sequence[Waiting]) -> bool:
        """Read one arrival, or those of one group. Whether the chat goes on behind it."""
        ids = tuple(each.arrival.id for each in group)
        try:
            async with self._store.database.read() as tx:
                reach = await reaches.of(tx, channel, address)
            reading = await self._inlets[channel].read([each.arrival for each in group], reach)
        except (TryAgain, StoreError) as error:
            after_seconds = error.after_seconds if isinstance(error, TryAgain) else PAUSE_SECONDS
            return await self._again((channel, address), group, place_of(error), after_seconds, PATIENT_TRIES)
        except Exception as error:  # noqa: BLE001 - the edge: whatever an arrival does to its reader, others go on
            log.error("Arrival %d of %r could not be read.\n%s", ids[0], channel, trace_of(error))
            return await self._again((channel, address), group, place_of(error), PAUSE_SECONDS, TRIES)
        reading = await self._begin_with(channel, address, group, reading)
        await asyncio.gather(*(self._service.take_in(envelope) for envelope in _in_order(reading.envelopes)))
        if reach.consent is Consent.GIVEN and reading.envelopes and not reading.consent:
            reading = await self._as_the_talk_left_it(channel, address, reading)
        await self._notes.submit(_Done(channel=channel, address=address, ids=ids, reading=reading))
        self._read_since_look.update(ids)
        self._committed()
        return not reading.is_held

    async def _begin_with(self, channel: str, address: str, group: Sequence[Waiting], reading: Reading) -> Reading:
        """What must be done before the conversation answers; what is left to do after it.

        A wish to stop takes back what waits, so that the answer to it is what goes out. Whoever agrees is welcomed
        first; where nothing of theirs was held, they arrive.
        """
        is_given = bool(reading.consent) and reading.consent[-1].consent is Consent.GIVEN
        if not (reading.is_purging or is_given):
            return reading
        async with self._store.database.write() as tx:
            if reading.is_purging:
                await reaches.take_back(tx, channel, address)
            if not is_given:
                return reading
            await self._say(tx, channel, address, reading.replies)
            is_held = await arrivals.is_held(tx, channel, address)
        if reading.envelopes or is_held:
            return replace(reading, replies=())
        first = group[0].arrival
        arrived = Envelope(
            channel=channel,
            address=address,
            external_id=f"{first.external_id}:agreed",
            at=first.at,
            incoming=Arrived(),
        )
        return replace(reading, replies=(), envelopes=(arrived,))

    async def _as_the_talk_left_it(self, channel: str, address: str, reading: Reading) -> Reading:
        """A conversation that ended in a stop takes the address's consent with it."""
        homeowner_id = await self._store.find_homeowner(channel, address)
        homeowner = await self._store.homeowner(homeowner_id) if homeowner_id is not None else None
        if homeowner is None or homeowner.standing is not Standing.STOPPED:
            return reading
        said = reading.envelopes[-1].incoming
        words = said.text if isinstance(said, Said) else ""
        note = ConsentNote(consent=Consent.WITHDRAWN, said=words[:200], shown="stopped", source="conversation")
        return replace(reading, consent=(note,))

    async def _again(self, chat: Chat, group: Sequence[Waiting], error: str, after_seconds: float, tries: int) -> bool:
        """Read it again later; after the last try keep it for a person, and tell whoever sent it."""
        ids = [each.arrival.id for each in group]
        channel, address = chat
        if group[0].arrival.attempts + 1 < tries:
            next_try = self._clock.now() + timedelta(seconds=max(after_seconds, 1.0))
            async with self._store.database.write() as tx:
                await arrivals.postpone(tx, ids, milliseconds(next_try), error)
            return False
        log.error("Arrival %d of %r is kept unread for a person to look at.", ids[0], channel)
        async with self._store.database.write() as tx:
            await arrivals.give_up(tx, ids, error)
            if address:
                await self._say(tx, channel, address, ["broke"])
        self._committed()
        return True

    # --- writing -----------------------------------------------------------------------------------------------------

    async def _write(self, batch: Sequence[_Note]) -> Sequence[None]:
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            for channel, new in _stored(batch).items():
                await arrivals.add(tx, channel, new, now_ms)
            for note in batch:
                if isinstance(note, _Stored) and note.cursor is not None:
                    await arrivals.set_cursor(tx, note.channel, note.cursor)
            read = [
                of_id for note in batch if isinstance(note, _Done) and not note.reading.is_held for of_id in note.ids
            ]
            if read:
                await arrivals.mark_read(tx, read)
            for note in batch:
                if isinstance(note, _Done) and note.reading != _plain(note.reading):
                    await self._settle(tx, note, now_ms)
        return [None] * len(batch)

    async def _settle(self, tx: Transaction, done: _Done, now_ms: int) -> None:
        """What a reading means beside the conversation."""
        channel, address, reading = done.channel, done.address, done.reading
        if reading.is_held:
            await arrivals.hold(tx, done.ids)
        if reading.moved_to is not None:
            await outbox.readdress(tx, channel, address, reading.moved_to)
            await reaches.move(tx, channel, address, reading.moved_to)
            await homeowners.move_contact(tx, channel, address, reading.moved_to)
        if reading.consent:
            await reaches.note_consent(tx, channel, address, reading.consent, now_ms)
            match reading.consent[-1].consent:
                case Consent.GIVEN:
                    await arrivals.release(tx, channel, address)
                case Consent.WITHDRAWN:
                    await arrivals.drop_held(tx, channel, address)
        if reading.is_reachable is False:
            await reaches.close(tx, channel, address, now_ms)
            await outbox.park_chat(tx, channel, address)
            log.warning("Somebody on %r has closed the chat.", channel)
        elif reading.is_reachable:
            await reaches.reopen(tx, channel, [address])
        for delivery in reading.deliveries:
            await self._note_delivery(tx, channel, delivery, now_ms)
        await self._say(tx, channel, address, reading.replies)
        if reading.more:
            await outbox.next_page(tx, channel, address, now_ms)

    async def _note_delivery(self, tx: Transaction, channel: str, note: DeliveryNote, now_ms: int) -> None:
        word = UNDELIVERED if note.is_failed else DELIVERED if note.is_delivered else ON_THE_WAY
        address = await outbox.note_delivery(tx, channel, note.far_id, word)
        if address is None or word == ON_THE_WAY:
            return
        if await reaches.count_delivery(tx, channel, address, now_ms, failed=note.is_failed):
            log.error("Somebody on %r could not be reached twice; nothing more is sent there by ourselves.", channel)

    async def _say(self, tx: Transaction, channel: str, address: str, keys: Iterable[str]) -> None:
        """Queue a channel's own words. They belong to nobody's case, so their rows go when they are sent."""
        rows = [
            outbox.NewRow(
                homeowner_id=None,
                inbox_id=None,
                channel=channel,
                address=address,
                kind=MESSAGE,
                urgency=REPLY,
                made_ms=milliseconds(self._clock.now()),
                due_ms=0,
                body=dump_rendered(self._speak(channel, key)),
            )
            for key in keys
        ]
        if rows:
            await outbox.add(tx, rows)


def _plain(reading: Reading) -> Reading:
    """The same reading if it only had something for the conversation."""
    return Reading(envelopes=reading.envelopes, is_purging=reading.is_purging)


def _stored(batch: Sequence[_Note]) -> dict[str, list[NewArrival]]:
    new: dict[str, list[NewArrival]] = {}
    for note in batch:
        if isinstance(note, _Stored) and note.arrivals:
            new.setdefault(note.channel, []).extend(note.arrivals)
    return new


def _by_chat(rows: Iterable[Waiting]) -> dict[Chat, list[Waiting]]:
    chats: dict[Chat, list[Waiting]] = {}
    for row in rows:
        chats.setdefault((row.channel, row.arrival.address), []).append(row)
    return chats


def _due(rows: Sequence[Waiting], now_ms: int) -> list[Waiting]:
    """The rows of a chat that may be read now: none behind one that must still wait."""
    due: list[Waiting] = []
    for group in _groups(rows):
        if any(now_ms < row.due_ms <= now_ms + LONGEST_WAIT_MS for row in group):
            break
        due += group
    return due


def _groups(rows: Sequence[Waiting]) -> list[list[Waiting]]:
    """Rows one by one, those of one bundle together at the place of its first."""
    groups: list[list[Waiting]] = []
    of_bundle: dict[str, list[Waiting]] = {}
    for row in rows:
        if row.bundle is None:
            groups.append([row])
        elif row.bundle in of_bundle:
            of_bundle[row.bundle].append(row)
        else:
            of_bundle[row.bundle] = [row]
            groups.append(of_bundle[row.bundle])
    return groups


def _in_order(envelopes: Sequence[Envelope]) -> Sequence[Envelope]:
    """Each under an id of its own, however many came of one arrival."""
    if len({each.external_id for each in envelopes}) == len(envelopes):
        return envelopes
    return [replace(each, external_id=f"{each.external_id}#{number}") for number, each in enumerate(envelopes)]
