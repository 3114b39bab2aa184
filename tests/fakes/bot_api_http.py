"""A small HTTP/1.1 server on a bare asyncio protocol, fast enough to be the far side of a benchmark.

1. One request after the other on a connection, kept open until the client closes it.
2. An answer can be late, never come, or be a broken connection: see `Reply`.
3. A request whose client is gone is given up; what it did before stays done.
"""

from __future__ import annotations

import asyncio
import email.parser
import email.policy
import json
import math
from collections.abc import Callable, Coroutine, Mapping
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any
from urllib.parse import parse_qsl

Json = dict[str, Any]
JSON = b"application/json"
MOST_BYTES = 60_000_000


@dataclass(frozen=True, slots=True)
class Upload:
    """One file of a multipart body."""

    name: str
    media_type: str
    content: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """One request as it came in. Names of headers are small."""

    verb: str
    path: str
    query: Mapping[str, str]
    headers: Mapping[str, str]
    body: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What is answered. `after_seconds` may be infinity; `breaks` ends the connection in place of an answer."""

    status: int = 200
    body: bytes = b""
    media_type: bytes = JSON
    after_seconds: float = 0.0
    breaks: bool = False


Handler = Callable[[Request], Reply | Coroutine[Any, Any, Reply]]


def json_reply(value: object, status: int = 200) -> Reply:
    """A value as JSON."""
    return Reply(status=status, body=json.dumps(value).encode())


def fields_of(request: Request) -> tuple[dict[str, str], dict[str, Upload]]:
    """The fields and files of a request: query, form, multipart or JSON. Raises ValueError for anything else."""
    fields = dict(request.query)
    if not request.body:
        return fields, {}
    kind = request.headers.get("content-type", "")
    if kind.startswith("application/x-www-form-urlencoded"):
        return fields | dict(parse_qsl(request.body.decode(), keep_blank_values=True)), {}
    if kind.startswith("application/json"):
        found = json.loads(request.body)
        as_words = {name: each if isinstance(each, str) else json.dumps(each) for name, each in found.items()}
        return fields | as_words, {}
    if kind.startswith("multipart/form-data"):
        more, files = _parts(kind, request.body)
        return fields | more, files
    raise ValueError(f"nobody sends {kind}")


def _parts(kind: str, body: bytes) -> tuple[dict[str, str], dict[str, Upload]]:
    """The standard library's mail parser reads multipart bodies."""
    whole = b"Content-Type: " + kind.encode() + b"\r\n\r\n" + body
    message = email.parser.BytesParser(policy=email.policy.HTTP).parsebytes(whole)
    fields: dict[str, str] = {}
    files: dict[str, Upload] = {}
    for part in message.iter_parts():  # type: ignore[attr-defined]  # the HTTP policy makes an EmailMessage
        name = str(part.get_param("name", header="content-disposition"))
        content = part.get_payload(decode=True)
        if part.get_filename() is None:
            fields[name] = content.decode()
        else:
            files[name] = Upload(part.get_filename(), part.get_content_type(), content)
    return fields, files


class Connection(asyncio.Protocol):
    """One client's connection."""

    def __init__(self, handle: Handler, open_ones: set[Connection]) -> None:
        self._handle = handle
        self._open_ones = open_ones
        self._buffer = bytearray()
        self._is_busy = False
        self._task: asyncio.Task[None] | None = None
        self._later: asyncio.TimerHandle | None = None
        self._transport: asyncio.Transport | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Keep where to write to."""
        if not isinstance(transport, asyncio.Transport):
            raise TypeError("This is no stream.")
        self._transport = transport
        self._open_ones.add(self)

    def abort(self) -> None:
        """Break it."""
        if self._transport is not None:
            self._transport.abort()

    def connection_lost(self, _error: Exception | None) -> None:
        """Nobody waits for an answer any more."""
        self._transport = None
        self._open_ones.discard(self)
        if self._task is not None:
            self._task.cancel()
        if self._later is not None:
            self._later.cancel()

    def data_received(self, data: bytes) -> None:
        """Answer what is complete."""
        self._buffer += data
        self._go_on()

    def _go_on(self) -> None:
        while not self._is_busy and self._transport is not None:
            try:
                taken = take_request(self._buffer)
            except ValueError:
                self._transport.abort()
                return
            if taken is None:
                return
            self._is_busy = True
            answer = self._handle(taken)
            if isinstance(answer, Reply):
                self._reply(answer)
            else:
                self._task = asyncio.create_task(self._wait(answer))

    async def _wait(self, answer: Coroutine[Any, Any, Reply]) -> None:
        reply = await answer
        self._task = None
        self._reply(reply)
        self._go_on()

    def _reply(self, reply: Reply) -> None:
        """Answer now or later; infinity is never."""
        if reply.after_seconds <= 0:
            self._write(reply)
        elif math.isfinite(reply.after_seconds):
            self._later = asyncio.get_running_loop().call_later(reply.after_seconds, self._write_late, reply)

    def _write_late(self, reply: Reply) -> None:
        self._write(reply)
        self._go_on()

    def _write(self, reply: Reply) -> None:
        if self._transport is None:
            return
        if reply.breaks:
            self._transport.abort()
            return
        self._is_busy = False
        phrase = HTTPStatus(reply.status).phrase.encode()
        head = b"HTTP/1.1 %d %b\r\nContent-Type: %b\r\nContent-Length: %d\r\n\r\n"
        self._transport.write(head % (reply.status, phrase, reply.media_type, len(reply.body)) + reply.body)


def take_request(buffer: bytearray) -> Request | None:
    """Take one whole request from the front of what came in; None while it is not whole. Raises ValueError."""
    end = buffer.find(b"\r\n\r\n")
    if end < 0:
        if len(buffer) > 65_536:
            raise ValueError("a head without an end")
        return None
    first, *lines = buffer[:end].decode("latin-1").split("\r\n")
    verb, target, version = first.split(" ")
    if not version.startswith("HTTP/1."):
        raise ValueError("not the protocol that is spoken here")
    headers = {name.strip().lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
    found = _body(buffer, end + 4, headers)
    if found is None:
        return None
    body, used = found
    del buffer[:used]
    path, _, query = target.partition("?")
    return Request(verb=verb, path=path, query=dict(parse_qsl(query)), headers=headers, body=body)


def _body(buffer: bytearray, start: int, headers: Mapping[str, str]) -> tuple[bytes, int] | None:
    """The body and where the next request begins."""
    if headers.get("transfer-encoding", "").lower() == "chunked":
        return _chunks(buffer, start)
    length = int(headers.get("content-length", "0"))
    if not 0 <= length <= MOST_BYTES:
        raise ValueError("a length that cannot be")
    end = start + length
    return (bytes(buffer[start:end]), end) if len(buffer) >= end else None


def _chunks(buffer: bytearray, start: int) -> tuple[bytes, int] | None:
    """A chunked body without trailers."""
    found = bytearray()
    while True:
        line_end = buffer.find(b"\r\n", start)
        if line_end < 0:
            return None
        length = int(bytes(buffer[start:line_end]).partition(b";")[0], 16)
        if not 0 <= length <= MOST_BYTES:
            raise ValueError("a length that cannot be")
        start = line_end + 2 + length + 2
        if len(buffer) < start:
            return None
        if length == 0:
            return bytes(found), start
        found += buffer[line_end + 2 : start - 2]


@dataclass(slots=True)
class Serving:
    """A server that runs; its address without a slash at the end."""

    url: str
    _server: asyncio.Server
    _connections: set[Connection] = field(default_factory=set)

    @classmethod
    async def open(cls, handle: Handler, port: int = 0) -> Serving:
        """Begin to listen; port 0 takes any that is free."""
        connections: set[Connection] = set()

        def connect() -> Connection:
            return Connection(handle, connections)

        server = await asyncio.get_running_loop().create_server(connect, "127.0.0.1", port)
        number = server.sockets[0].getsockname()[1]
        return cls(f"http://127.0.0.1:{number}", server, connections)

    def break_all(self) -> None:
        """Break every connection that is open."""
        for connection in tuple(self._connections):
            connection.abort()

    async def close(self) -> None:
        """Stop listening, break what is open."""
        self._server.close()
        self.break_all()
        await self._server.wait_closed()
