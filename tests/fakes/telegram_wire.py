"""The small HTTP/1.1 server under the Bot API of the tests: keep-alive, one answer at a time per connection.

Hand-made, because a broadcast of thousands of messages is measured against it. A handler that answers None closes the
connection without a word; a caller who hangs up ends what was being done for them.
"""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qsl, unquote, urlsplit

Json = dict[str, Any]
_NAME = re.compile(rb'\bname="([^"]*)"')
_FILE_NAME = re.compile(rb'\bfilename="([^"]*)"')


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """One request, whole."""

    method: str
    path: str
    query: str
    media_type: str
    body: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Response:
    """One answer."""

    status: int = 200
    body: bytes = b""
    media_type: str = "application/json"


@dataclass(slots=True)
class Form:
    """What a body holds: fields by name, and files as (field, file name, content)."""

    fields: Json = field(default_factory=dict)
    files: list[tuple[str, str, bytes]] = field(default_factory=list)


Handler = Callable[[Request], Awaitable[Response | None]]


class HttpServer:
    """Listens on the loopback address; `port` is known once it is started."""

    def __init__(self, handler: Handler) -> None:
        self.port = 0
        self._handler = handler
        self._open: set[_Connection] = set()
        self._server: asyncio.Server | None = None

    async def start(self, port: int) -> None:
        loop = asyncio.get_running_loop()
        self._server = await loop.create_server(lambda: _Connection(self._handler, self._open), "127.0.0.1", port)
        self.port = self._server.sockets[0].getsockname()[1]

    async def stop(self) -> None:
        if self._server is None:
            return
        self._server.close()
        at_work = [connection.task for connection in self._open if connection.task]
        self.hang_up()
        await asyncio.gather(*at_work, return_exceptions=True)
        await self._server.wait_closed()

    def hang_up(self) -> None:
        """Cut every open connection; new ones are taken."""
        for connection in list(self._open):
            connection.cut()


class _Connection(asyncio.Protocol):
    """One caller."""

    def __init__(self, handler: Handler, open_ones: set[_Connection]) -> None:
        self.task: asyncio.Task[None] | None = None
        self._handler = handler
        self._open = open_ones
        self._unread = bytearray()
        self._transport: asyncio.Transport | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        assert isinstance(transport, asyncio.Transport)
        self._transport = transport
        self._open.add(self)

    def connection_lost(self, exc: Exception | None) -> None:
        self._open.discard(self)
        self._transport = None
        if self.task:
            self.task.cancel()

    def cut(self) -> None:
        if self.task and self.task is not asyncio.current_task():
            self.task.cancel()
        if self._transport:
            self._transport.abort()

    def data_received(self, data: bytes) -> None:
        self._unread += data
        self._next()

    def _next(self) -> None:
        if self.task or self._transport is None:
            return
        request = take_request(self._unread)
        if request:
            self.task = asyncio.get_running_loop().create_task(self._answer(request))

    async def _answer(self, request: Request) -> None:
        try:
            response = await self._handler(request)
        except Exception:
            self.cut()  # a fault of the tests: nobody shall wait for an answer, and the loop reports it
            raise
        self.task = None
        if self._transport is None:
            return
        if response is None:
            self._transport.close()
            return
        self._transport.write(_on_the_wire(response))
        self._next()


def _on_the_wire(response: Response) -> bytes:
    head = (
        f"HTTP/1.1 {response.status} -\r\nContent-Type: {response.media_type}\r\n"
        f"Content-Length: {len(response.body)}\r\n\r\n"
    )
    return head.encode() + response.body


def take_request(unread: bytearray) -> Request | None:
    """Cut one whole request off the front; None, and nothing taken, while some of it is missing."""
    end = unread.find(b"\r\n\r\n")
    if end < 0:
        return None
    first, *lines = bytes(unread[:end]).decode("latin-1").split("\r\n")
    pairs = (line.partition(":") for line in lines)
    headers = {name.strip().lower(): value.strip() for name, _, value in pairs}
    whole = _body(unread, end + 4, headers)
    if whole is None:
        return None
    body, length = whole
    del unread[:length]
    method, target, _ = first.split(" ", 2)
    url = urlsplit(target)
    media_type = headers.get("content-type", "")
    return Request(method=method, path=unquote(url.path), query=url.query, media_type=media_type, body=body)


def _body(unread: bytearray, start: int, headers: dict[str, str]) -> tuple[bytes, int] | None:
    """The body and where it ends in what was read."""
    if headers.get("transfer-encoding", "").lower() == "chunked":
        return _chunks(unread, start)
    end = start + int(headers.get("content-length", "0"))
    return (bytes(unread[start:end]), end) if len(unread) >= end else None


def _chunks(unread: bytearray, start: int) -> tuple[bytes, int] | None:
    body = b""
    while (line_end := unread.find(b"\r\n", start)) >= 0:
        size = int(bytes(unread[start:line_end]).split(b";")[0], 16)
        after = line_end + 2 + size + 2
        if len(unread) < after:
            return None
        body += bytes(unread[line_end + 2 : after - 2])
        start = after
        if size == 0:
            return body, after
    return None


def form_of(request: Request) -> Form:
    """The fields and files of a request, in any of the three forms the Bot API takes; fields of the address too."""
    form = Form(fields=dict(parse_qsl(request.query, keep_blank_values=True)))
    kind = request.media_type.partition(";")[0].strip().lower()
    if kind == "multipart/form-data":
        _read_parts(form, request.body, request.media_type.partition("boundary=")[2].strip('"'))
    elif kind == "application/json":
        form.fields.update(json.loads(request.body or b"{}"))
    else:
        form.fields.update(parse_qsl(request.body.decode(), keep_blank_values=True))
    return form


def _read_parts(form: Form, body: bytes, boundary: str) -> None:
    for part in (b"\r\n" + body).split(b"\r\n--" + boundary.encode())[1:]:
        head, found, content = part.partition(b"\r\n\r\n")
        name = _NAME.search(head)
        if not found or not name:
            continue
        file_name = _FILE_NAME.search(head)
        if file_name:
            form.files.append((name[1].decode(), file_name[1].decode(), content))
        else:
            form.fields[name[1].decode()] = content.decode()
