"""A gateway for text messages in this process: takes texts over HTTP, serves pictures, and calls back, signed.

It speaks the plain dialect (JSON, signed after Standard Webhooks). Its signatures come from the standard's own library.
What goes wrong is put into `faults`: the next texts get those answers, one each.
"""

from __future__ import annotations

import asyncio
import base64
import contextlib
import itertools
import json
import socket
import time
from collections import deque
from collections.abc import AsyncIterator, Awaitable, Callable, Generator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

import httpx
import uvicorn
from standardwebhooks import Webhook
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

Json = dict[str, Any]
Fault = Callable[["SmsGateway", Request], Awaitable[Response]]
KEY = "key-of-the-tests"
SECRET = "whsec_" + base64.b64encode(b"a secret that only the tests know").decode()


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """One text as the gateway took it."""

    key: str
    sender: str
    to: str
    text: str
    callback: str
    far_id: str
    at_seconds: float  # of the monotonic clock


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One attachment it serves."""

    content: bytes = b""
    status: int = 200
    media_type: str = "image/jpeg"
    headers: dict[str, str] = field(default_factory=dict)
    until: asyncio.Event | None = None  # it is not answered before


@dataclass(slots=True)
class SmsGateway:
    """What it took, what it serves, how it misbehaves."""

    now: Callable[[], datetime] = lambda: datetime.now(UTC)
    faults: deque[Fault] = field(default_factory=deque)
    taken: list[Taken] = field(default_factory=list)
    tries: list[tuple[str, float]] = field(default_factory=list)
    pictures: dict[str, Picture] = field(default_factory=dict)
    fetched: list[str] = field(default_factory=list)
    url: str = ""
    _numbers: itertools.count[int] = field(default_factory=lambda: itertools.count(1))

    def fail(self, *faults: Fault) -> None:
        """The next texts get these answers, one each."""
        self.faults.extend(faults)

    def app(self) -> Starlette:
        """Where texts are handed in, and where pictures lie."""
        return Starlette(
            routes=[
                Route("/send", self._send, methods=["POST"]),
                Route("/media/{name:path}", self._serve),
            ]
        )

    async def _send(self, request: Request) -> Response:
        body = await request.body()
        self.tries.append((request.headers.get("idempotency-key", ""), time.monotonic()))
        if request.headers.get("authorization") != f"Bearer {KEY}" or not _is_signed(request, body):
            return JSONResponse({"reason": "no_key"}, 401)
        if self.faults:
            return await self.faults.popleft()(self, request)
        return self.take(json.loads(body), request)

    def take(self, message: Json, request: Request) -> Response:
        """Take a text; a repeat gets the first answer again."""
        key = request.headers["idempotency-key"]
        known = next((one for one in self.taken if one.key == key), None)
        if known is None:
            known = Taken(
                key=key,
                sender=message["from"],
                to=message["to"],
                text=message["text"],
                callback=message["callback"],
                far_id=f"far-{next(self._numbers)}",
                at_seconds=time.monotonic(),
            )
            self.taken.append(known)
        return JSONResponse({"id": known.far_id}, 202)

    def texts(self, to: str | None = None) -> list[str]:
        """What it took, in order."""
        return [one.text for one in self.taken if to in (None, one.to)]

    async def _serve(self, request: Request) -> Response:
        name = request.path_params["name"]
        self.fetched.append(name)
        if name not in self.pictures:
            return Response(status_code=404)
        picture = self.pictures[name]
        if picture.until is not None:
            await picture.until.wait()
        return Response(picture.content, picture.status, picture.headers, picture.media_type)

    # --- calling back ------------------------------------------------------------------------------------------------

    def text_in(self, text: str, *, from_: str = "+12025550143", **more: Any) -> Json:
        """A text that came in at the gateway."""
        number = next(self._numbers)
        return {"kind": "text", "id": f"in-{number}", "from": from_, "to": "+12025550100", "text": text, **more}

    def receipt(self, far_id: str, status: str) -> Json:
        """What became of a text."""
        return {"kind": "receipt", "id": far_id, "status": status}

    def serve(self, name: str, content: bytes, **more: Any) -> str:
        """Serve an attachment; its address."""
        self.pictures[name] = Picture(content=content, **more)
        return f"{self.url}/media/{name}"

    async def call(self, client: httpx.AsyncClient, url: str, event: object, **changes: str) -> int:
        """Call back with one event or a list of them, signed; what was answered. `changes` are of the headers."""
        body = json.dumps(event)
        headers = self.signed(f"call-{next(self._numbers)}", body)
        named = {name.replace("_", "-"): value for name, value in changes.items()}
        return (await client.post(url, content=body, headers=headers | named)).status_code

    def signed(self, call_id: str, body: str) -> dict[str, str]:
        """The headers of a call."""
        at = self.now()
        return {
            "content-type": "application/json",
            "webhook-id": call_id,
            "webhook-timestamp": str(int(at.timestamp())),
            "webhook-signature": Webhook(SECRET).sign(call_id, at, body),
        }


def _is_signed(request: Request, body: bytes) -> bool:
    at = datetime.fromtimestamp(int(request.headers.get("webhook-timestamp", "0")), UTC)
    wanted = Webhook(SECRET).sign(request.headers.get("webhook-id", ""), at, body.decode())
    return wanted in request.headers.get("webhook-signature", "").split(" ")


# --- faults ----------------------------------------------------------------------------------------------------------


def answers(status: int, reason: str = "", **headers: str) -> Fault:
    """An error instead of taking the text. Headers with _ for -."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}

    async def fault(gateway: SmsGateway, request: Request) -> Response:
        return JSONResponse({"reason": reason} if reason else {}, status, named)

    return fault


def speaks(body: bytes, status: int = 200) -> Fault:
    """Any bytes for an answer."""

    async def fault(gateway: SmsGateway, request: Request) -> Response:
        return Response(body, status)

    return fault


def hangs_up(*, after_taking: bool) -> Fault:
    """The connection breaks before an answer."""

    async def fault(gateway: SmsGateway, request: Request) -> Response:
        if after_taking:
            gateway.take(await request.json(), request)
        cycle: Any = request.receive.__self__  # type: ignore[attr-defined]  # the server's own side of the connection
        cycle.transport.abort()
        return Response()

    return fault


def hangs(until: asyncio.Event) -> Fault:
    """Takes the text, and does not answer until told."""

    async def fault(gateway: SmsGateway, request: Request) -> Response:
        response = gateway.take(await request.json(), request)
        await until.wait()
        return response

    return fault


# --- on a socket -----------------------------------------------------------------------------------------------------


class _Server(uvicorn.Server):
    """Leaves the signals to the test run."""

    @contextlib.contextmanager
    def capture_signals(self) -> Generator[None, None, None]:
        yield


@contextlib.asynccontextmanager
async def serving(app: Starlette) -> AsyncIterator[str]:
    """An application on a real socket; yields its address."""
    listener = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(app, log_level="critical", lifespan="off", date_header=False, timeout_graceful_shutdown=1)
    server = _Server(config)
    task = asyncio.create_task(server.serve(sockets=[listener]))
    try:
        while not server.started:  # noqa: ASYNC110 - uvicorn has no event for it
            await asyncio.sleep(0.001)
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True
        await task
        listener.close()


@contextlib.asynccontextmanager
async def running(now: Callable[[], datetime] | None = None) -> AsyncIterator[SmsGateway]:
    """A gateway that answers at `url`."""
    gateway = SmsGateway() if now is None else SmsGateway(now=now)
    async with serving(gateway.app()) as gateway.url:
        yield gateway
