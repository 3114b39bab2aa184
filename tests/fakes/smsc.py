"""A message centre in this process: the SMPP library's own server behind a relay whose line can be cut.

What goes wrong is put into `faults`: the next texts get those statuses for an answer, one each, or none at all.
"""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import struct
from collections import deque
from collections.abc import AsyncIterator, Awaitable
from dataclasses import dataclass, field
from typing import Any

import smpp34

from bot.channels.sms.alphabet import decode_gsm, decode_ucs2
from tests.fakes.weather_services import unused_address

NO_ANSWER = -1
_BIND_ANSWER, _UNBIND_ANSWER = 0x80000009, 0x80000006
_UNBIND = bytes([0, 0, 0, 6])


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One submit_sm as it was taken."""

    sender: str
    sender_ton: int
    to: str
    to_ton: int
    esm_class: int
    data_coding: int
    registered_delivery: int
    octets: bytes
    far_id: str

    @property
    def place(self) -> tuple[int, int, int] | None:
        """Reference, how many, which: from the header in the text."""
        if not self.esm_class & 0x40:
            return None
        length, element, size, reference, total, number = self.octets[:6]
        assert (length, element, size) == (5, 0, 3)
        return reference, total, number

    @property
    def words(self) -> bytes:
        """The octets after the header."""
        return self.octets[6:] if self.esm_class & 0x40 else self.octets


@dataclass(slots=True)
class Smsc:
    """What it took and how it misbehaves."""

    faults: deque[int] = field(default_factory=deque)
    taken: list[Part] = field(default_factory=list)
    asked: int = 0
    binds: int = 0
    port: int = 0
    _far_port: int = 0
    _esme: Any = None
    _held: list[Any] = field(default_factory=list)
    _changed: asyncio.Condition = field(default_factory=asyncio.Condition)
    _lines: set[asyncio.StreamWriter] = field(default_factory=set)
    _numbers: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    # --- what came ---------------------------------------------------------------------------------------------------

    def texts(self) -> list[str]:
        """What a phone would show: parts with one reference joined in their order, each once."""
        shown: dict[object, dict[int, Part]] = {}
        for part in self.taken:
            place = part.place
            key = (part.to, place[:2]) if place else part.far_id
            shown.setdefault(key, {})[place[2] if place else 1] = part
        return [_joined([parts[number] for number in sorted(parts)]) for parts in shown.values()]

    async def bound(self, times: int = 1) -> None:
        """Wait until somebody has bound so often."""
        async with self._changed:
            await self._changed.wait_for(lambda: self.binds >= times)

    async def was_asked(self, times: int) -> None:
        """Wait until so many texts were handed in, whatever became of them."""
        async with self._changed:
            await self._changed.wait_for(lambda: self.asked >= times)

    async def serve(self, server: Any) -> None:
        """Answer everything the server sees."""
        while True:
            event = await server.next()
            async with self._changed:
                if isinstance(event, smpp34.Esme):
                    self._esme = event
                    self.binds += 1
                elif isinstance(event, smpp34.SubmitSmEvent):
                    self.asked += 1
                    self._answer(event)
                self._changed.notify_all()

    def _answer(self, event: Any) -> None:
        status = self.faults.popleft() if self.faults else smpp34.ESME_ROK
        if status == NO_ANSWER:
            self._held.append(event)
            return
        if status != smpp34.ESME_ROK:
            event.reject(status)
            return
        part = Part(
            sender=event.source_addr,
            sender_ton=event.source_addr_ton,
            to=event.destination_addr,
            to_ton=event.dest_addr_ton,
            esm_class=event.esm_class,
            data_coding=event.data_coding,
            registered_delivery=event.registered_delivery,
            octets=event.short_message,
            far_id=f"far-{next(self._numbers)}",
        )
        self.taken.append(part)
        event.accept(part.far_id)

    # --- what it sends -----------------------------------------------------------------------------------------------

    def deliver(self, octets: bytes, **more: Any) -> Awaitable[Any]:
        """Deliver something of Ann's; what was answered has a `command_status`."""
        fields = {"source_addr": "12025550143", "source_addr_ton": 1, "source_addr_npi": 1} | more
        return asyncio.ensure_future(self._esme.deliver_sm("898211", octets, **fields))

    async def told(self, octets: bytes, **more: Any) -> int:
        """The status with which it was answered."""
        return int((await self.deliver(octets, **more)).command_status)

    async def unbind(self) -> None:
        """Say goodbye."""
        await self._esme.unbind()

    def cut(self) -> None:
        """The line breaks, without a word."""
        for line in self._lines:
            line.transport.abort()

    # --- the relay ---------------------------------------------------------------------------------------------------

    async def relay(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Pass octets both ways until either side ends."""
        far_reader, far_writer = await asyncio.open_connection("127.0.0.1", self._far_port)
        self._lines |= {writer, far_writer}
        pumps = [asyncio.create_task(_pump(reader, far_writer)), asyncio.create_task(_pump(far_reader, writer))]
        try:
            await asyncio.wait(pumps, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for pump in pumps:
                pump.cancel()
            await asyncio.gather(*pumps, return_exceptions=True)
            for each in (writer, far_writer):
                self._lines.discard(each)
                each.close()


async def _pump(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with contextlib.suppress(OSError):
        while octets := await reader.read(65536):
            writer.write(octets)


def _joined(parts: list[Part]) -> str:
    octets = b"".join(part.words for part in parts)
    return decode_gsm(octets) if parts[0].data_coding == 0 else decode_ucs2(octets)


@contextlib.asynccontextmanager
async def running() -> AsyncIterator[Smsc]:
    """A message centre that listens at `port`."""
    far_port = int(unused_address().rpartition(":")[2])
    server = smpp34.Server("127.0.0.1", far_port, system_id="far")
    await server.start()
    smsc = Smsc(_far_port=far_port)
    relay = await asyncio.start_server(smsc.relay, "127.0.0.1", 0)
    smsc.port = relay.sockets[0].getsockname()[1]
    serving = asyncio.create_task(smsc.serve(server))
    try:
        yield smsc
    finally:
        serving.cancel()
        await asyncio.gather(serving, return_exceptions=True)
        smsc.cut()
        relay.close()
        await relay.wait_closed()
        await server.stop()


@contextlib.asynccontextmanager
async def scripted(*answers: bytes, status: int = 0) -> AsyncIterator[tuple[int, asyncio.Queue[bytes]]]:
    """A far side that answers the bind with a status, then sends what it is given; its port and what it heard."""
    heard: asyncio.Queue[bytes] = asyncio.Queue()

    async def talk(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        with contextlib.suppress(OSError, asyncio.IncompleteReadError):
            bind = await _command(reader)
            body = b"" if status else b"far\0"
            writer.write(struct.pack(">IIII", 16 + len(body), _BIND_ANSWER, status, 1) + body)
            heard.put_nowait(bind)
            for answer in answers:
                writer.write(answer)
            while True:
                asked = await _command(reader)
                heard.put_nowait(asked)
                if asked[4:8] == _UNBIND:
                    writer.write(struct.pack(">II", 16, _UNBIND_ANSWER) + bytes(4) + asked[12:16])
        writer.close()

    server = await asyncio.start_server(talk, "127.0.0.1", 0)
    try:
        yield server.sockets[0].getsockname()[1], heard
    finally:
        server.close()
        await server.wait_closed()


async def _command(reader: asyncio.StreamReader) -> bytes:
    head = await reader.readexactly(4)
    return head + await reader.readexactly(int.from_bytes(head) - 4)
