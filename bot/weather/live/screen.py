"""Stands between the cache and the net: adds what the cache must not see, and lets only sound answers through to it."""

from __future__ import annotations

from email.utils import format_datetime

import httpx
from pydantic_core import from_json

from bot.clock import Clock

SECRET = "secret_params"
_DROPPED = (b"content-encoding", b"content-length", b"transfer-encoding")  # the body is handed on decoded


class TooBig(Exception):
    """The answer is longer than we read."""


class Screen(httpx.AsyncBaseTransport):
    """Reads each answer whole, up to a limit. What is an error or no JSON is marked so that no cache keeps it."""

    def __init__(self, net: httpx.AsyncBaseTransport, most_bytes: int, clock: Clock) -> None:
        self._net = net
        self._most_bytes = most_bytes
        self._clock = clock

    async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
        response = await self._net.handle_async_request(_with_secret(request))
        try:
            body = await self._read(response)
        finally:
            await response.aclose()
        headers = httpx.Headers([each for each in response.headers.raw if each[0].lower() not in _DROPPED])
        if "date" not in headers:
            headers["date"] = format_datetime(self._clock.now(), usegmt=True)
        if response.status_code >= httpx.codes.BAD_REQUEST or (response.is_success and not is_json(body)):
            headers["cache-control"] = "no-store"
        if response.status_code == httpx.codes.NOT_MODIFIED:
            return httpx.Response(response.status_code, headers=headers, extensions=response.extensions)
        return httpx.Response(response.status_code, headers=headers, content=body, extensions=response.extensions)

    async def _read(self, response: httpx.Response) -> bytes:
        announced = response.headers.get("content-length", "")
        if announced.isdigit() and int(announced) > self._most_bytes:
            raise TooBig
        parts, length = [], 0
        async for part in response.aiter_bytes():
            length += len(part)
            if length > self._most_bytes:
                raise TooBig
            parts.append(part)
        return b"".join(parts)

    async def aclose(self) -> None:
        await self._net.aclose()


def _with_secret(request: httpx.Request) -> httpx.Request:
    """The same request with its key added, but only for the host it is meant for: a redirect may lead elsewhere."""
    host, params = request.extensions.get(SECRET, ("", None))
    if not params or request.url.host != host:
        return request
    return httpx.Request(
        request.method,
        request.url.copy_merge_params(params),
        headers=request.headers,
        extensions={name: value for name, value in request.extensions.items() if name != SECRET},
    )


def is_json(body: bytes) -> bool:
    """Whether it is JSON, whole."""
    try:
        from_json(body, allow_inf_nan=False)
    except ValueError:
        return False
    return True
