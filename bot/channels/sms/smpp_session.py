"""One connection to a message centre over SMPP 3.4, bound as transceiver, for as long as it holds.

1. What the far side delivers is answered only when our side has said what to answer. The library's own client answers
   by itself before anybody has looked, which would lose texts in a crash; so only its codec is used here, and the
   session's small requests (bind, enquire, unbind: a header and short strings, SMPP 3.4 chapter 4) are written here.
2. A request whose answer does not come, because of time or because the connection broke, may have been obeyed.
3. A line that says nothing for a while is asked whether it is alive, and given up if it is not.
4. After the end nothing is left open: connection, tasks and waiting requests all end together.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
import ssl
import struct
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from enum import IntEnum
from typing import TYPE_CHECKING, Self

from bot.logs import trace_of

if TYPE_CHECKING:
    from smpp34 import DeliverSm

log = logging.getLogger(__name__)

_HEADER = struct.Struct(">IIII")
_MOST_OCTETS = 70_000  # a message_payload holds up to 65,535
_LAST_SEQUENCE = 0x7FFFFFFF
_ANSWER = 0x80000000
_VERSION_3_4 = 0x34
_DELIVERED_AT_ONCE = 64


class Command(IntEnum):
    """The commands this side sends or understands."""

    GENERIC_NACK = 0x80000000
    SUBMIT = 0x00000004
    DELIVER = 0x00000005
    UNBIND = 0x00000006
    BIND_TRANSCEIVER = 0x00000009
    ENQUIRE_LINK = 0x00000015
    ALERT = 0x00000102


class CommandStatus(IntEnum):
    """What an answer says (SMPP 3.4, 5.1.3): those with a meaning for us."""

    OK = 0x00
    INVALID_LENGTH = 0x02
    INVALID_COMMAND = 0x03
    NOT_BOUND = 0x04
    SYSTEM_ERROR = 0x08
    INVALID_DESTINATION = 0x0B
    INVALID_PASSWORD = 0x0E
    INVALID_SYSTEM_ID = 0x0F
    QUEUE_FULL = 0x14
    SUBMIT_FAILED = 0x45
    INVALID_SYSTEM_TYPE = 0x53
    THROTTLED = 0x58
    OURS_FOR_THE_MOMENT = 0x64
    UNKNOWN_ERROR = 0xFF


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Where the message centre is, and as whom we come."""

    host: str
    port: int
    system_id: str
    password: str
    system_type: str = ""
    tls: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long things may take, in seconds. After a refusal we come back late: an account can be locked by trying."""

    connect_seconds: float = 10.0
    answer_seconds: float = 30.0
    alive_seconds: float = 30.0
    first_wait_seconds: float = 1.0
    longest_wait_seconds: float = 60.0
    refused_wait_seconds: float = 900.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer to one of our requests."""

    status: int
    body: bytes


class BindRefused(Exception):
    """The far side does not let us in."""

    def __init__(self, status: int) -> None:
        super().__init__(f"bind refused with status {status:#x}")
        self.status = status


class NotSent(Exception):
    """The session had ended before the request was written."""


class NoAnswer(Exception):
    """The request was written, and nothing came back."""


Deliver = Callable[["Session", "DeliverSm"], Awaitable[int]]
"""What to answer to something delivered; runs before the answer goes out."""


class Session:
    """One bound connection. Make it with `open`, end it with `close`."""

    def __init__(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, deliver: Deliver, patience: Patience
    ) -> None:
        self._reader, self._writer = reader, writer
        self._deliver = deliver
        self._patience = patience
        self._sequence = 0
        self._waiting: dict[int, asyncio.Future[Answer]] = {}
        self._delivering: set[asyncio.Task[None]] = set()
        self._room = asyncio.Semaphore(_DELIVERED_AT_ONCE)
        self._ended = asyncio.Event()
        self._heard_at = asyncio.get_running_loop().time()
        self._tasks = [asyncio.create_task(self._read(), name="smpp-read")]

    @classmethod
    async def open(cls, account: Account, deliver: Deliver, patience: Patience) -> Self:
        """Connect and bind. Raises `BindRefused`, `NoAnswer`, `OSError` or `TimeoutError`."""
        context = ssl.create_default_context() if account.tls else None
        async with asyncio.timeout(patience.connect_seconds):
            reader, writer = await asyncio.open_connection(account.host, account.port, ssl=context)
        session = cls(reader, writer, deliver, patience)
        try:
            answer = await session.request(Command.BIND_TRANSCEIVER, _bind_body(account))
            if answer.status != CommandStatus.OK:
                raise BindRefused(answer.status)
        except BaseException:
            await session._end()
            raise
        session._tasks.append(asyncio.create_task(session._stay_alive(), name="smpp-alive"))
        return session

    @property
    def is_open(self) -> bool:
        """Whether something can be sent."""
        return not self._ended.is_set()

    async def ended(self) -> None:
        """Wait for the end, and leave nothing behind."""
        await self._ended.wait()
        await self._end()

    async def close(self) -> None:
        """Let what is being stored be answered, say goodbye, and end."""
        await self._settle()
        if self.is_open:
            with contextlib.suppress(NotSent, NoAnswer):
                await self.request(Command.UNBIND, b"", seconds=min(1.0, self._patience.answer_seconds))
        await self._end()

    async def request(self, command: int, body: bytes, *, seconds: float | None = None) -> Answer:
        """Send a request and wait for its answer. Raises `NotSent` or `NoAnswer`."""
        if self._ended.is_set():
            raise NotSent
        sequence = self._next_sequence()
        waiting: asyncio.Future[Answer] = asyncio.get_running_loop().create_future()
        self._waiting[sequence] = waiting
        try:
            self._write(command, 0, sequence, body)
            async with asyncio.timeout(self._patience.answer_seconds if seconds is None else seconds):
                return await waiting
        except TimeoutError as error:
            raise NoAnswer from error
        finally:
            self._waiting.pop(sequence, None)

    def _next_sequence(self) -> int:
        self._sequence = self._sequence % _LAST_SEQUENCE + 1
        return self._sequence

    def _write(self, command: int, status: int, sequence: int, body: bytes) -> None:
        self._writer.write(_HEADER.pack(_HEADER.size + len(body), command, status, sequence) + body)

    # --- what comes in -----------------------------------------------------------------------------------------------

    async def _read(self) -> None:
        try:
            while await self._read_one():
                pass
        except (OSError, asyncio.IncompleteReadError):
            log.info("The line to the message centre broke.")
        except Exception as error:  # noqa: BLE001 - the edge: whatever a peer sends ends this session and no more
            log.error("The line to the message centre was closed after a fault.\n%s", trace_of(error))
        finally:
            self._ended.set()
            self._fail_waiting()

    async def _read_one(self) -> bool:
        """Read one command and see to it; False where it was the last."""
        header = await self._reader.readexactly(_HEADER.size)
        length, command, status, sequence = _HEADER.unpack(header)
        if not _HEADER.size <= length <= _MOST_OCTETS:
            log.warning("The message centre sent a command of %d octets; the line is closed.", length)
            return False
        body = await self._reader.readexactly(length - _HEADER.size)
        self._heard_at = asyncio.get_running_loop().time()
        if command & _ANSWER:
            self._answered(sequence, Answer(status=status, body=body))
            return True
        return await self._obey(command, sequence, header + body)

    def _answered(self, sequence: int, answer: Answer) -> None:
        waiting = self._waiting.get(sequence)
        if waiting is not None and not waiting.done():
            waiting.set_result(answer)

    async def _obey(self, command: int, sequence: int, whole: bytes) -> bool:
        match command:
            case Command.DELIVER:
                await self._room.acquire()  # a full house is no longer read from, so the far side waits
                task = asyncio.create_task(self._take(sequence, whole), name="smpp-deliver")
                self._delivering.add(task)
                task.add_done_callback(self._delivering.discard)
            case Command.ENQUIRE_LINK:
                self._write(command | _ANSWER, CommandStatus.OK, sequence, b"")
            case Command.UNBIND:
                self._write(command | _ANSWER, CommandStatus.OK, sequence, b"")
                return False
            case Command.ALERT:  # wants no answer
                pass
            case _:
                self._write(Command.GENERIC_NACK, CommandStatus.INVALID_COMMAND, sequence, b"")
        return True

    async def _take(self, sequence: int, whole: bytes) -> None:
        """Have something delivered seen to, then answer for it."""
        import smpp34

        try:
            pdu = smpp34.decode(whole)
            status = await self._deliver(self, pdu) if isinstance(pdu, smpp34.DeliverSm) else CommandStatus.SYSTEM_ERROR
        except smpp34.SmppError:
            log.warning("The message centre delivered something that cannot be read; it was refused.")
            status = CommandStatus.INVALID_LENGTH
        finally:
            self._room.release()
        if not self._writer.is_closing():
            self._write(Command.DELIVER | _ANSWER, status, sequence, b"\0")

    # --- staying and ending ------------------------------------------------------------------------------------------

    async def _stay_alive(self) -> None:
        loop = asyncio.get_running_loop()
        while self.is_open:
            quiet_seconds = loop.time() - self._heard_at
            if quiet_seconds < self._patience.alive_seconds:
                await asyncio.sleep(self._patience.alive_seconds - quiet_seconds)
                continue
            try:
                await self.request(Command.ENQUIRE_LINK, b"")
            except (NotSent, NoAnswer):
                log.warning("The message centre does not answer any more; the line is closed.")
                self._ended.set()

    def _fail_waiting(self) -> None:
        for waiting in self._waiting.values():
            if not waiting.done():
                waiting.set_exception(NoAnswer())

    async def _settle(self) -> None:
        """Wait for what is being stored, in reason."""
        if self._delivering:
            await asyncio.wait(self._delivering, timeout=self._patience.answer_seconds)

    async def _end(self) -> None:
        self._ended.set()
        await self._settle()
        tasks = [*self._tasks, *self._delivering]
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)
        self._fail_waiting()
        self._writer.close()
        with contextlib.suppress(OSError):
            await self._writer.wait_closed()


def _bind_body(account: Account) -> bytes:
    names = (account.system_id, account.password, account.system_type)
    strings = b"".join(name.encode("latin-1", "replace") + b"\0" for name in names)
    return strings + bytes([_VERSION_3_4, 0, 0]) + b"\0"
