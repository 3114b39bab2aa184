"""The way out to alerts that remembers: what did not change is not sent again.

Each answer is kept with what it is known by (ETag, Last-Modified) and asked about anew at every reading, whatever it
says of its own age: how often is asked is ours to choose, and an hour-old answer would hide what came since. What is
larger than alerts may be is never kept, nor is an error.
"""

from __future__ import annotations

from datetime import timedelta
from email.utils import format_datetime
from pathlib import Path

import httpx
from hishel import AsyncSqliteStorage, CacheOptions
from hishel.httpx import AsyncCacheTransport

from bot.clock import Clock
from bot.ops.alerts.sources import Net, bounded_body, the_net

ANSWERS = Path("alert-answers") / "answers.db"
KEEP = timedelta(days=3)
MOST_KEPT_BYTES = 50_000_000
_DROPPED = (b"content-length", b"transfer-encoding", b"cache-control", b"expires", b"pragma", b"vary", b"age")


class AskedAnew(httpx.AsyncBaseTransport):
    """Stands between the memory and the net: bounds what comes, and marks what may be kept."""

    def __init__(self, net: httpx.AsyncBaseTransport, clock: Clock) -> None:
        self._net = net
        self._clock = clock

    async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
        response = await self._net.handle_async_request(request)
        headers = httpx.Headers([each for each in response.headers.raw if each[0].lower() not in _DROPPED])
        is_kept = response.status_code in (httpx.codes.OK, httpx.codes.NOT_MODIFIED)
        headers["cache-control"] = "no-cache" if is_kept else "no-store"
        headers.setdefault("date", format_datetime(self._clock.now(), usegmt=True))
        try:
            body = await bounded_body(response) if response.status_code == httpx.codes.OK else b""
        finally:
            await response.aclose()
        return httpx.Response(response.status_code, headers=headers, content=body, extensions=response.extensions)

    async def aclose(self) -> None:
        await self._net.aclose()


def remembering(data: Path, clock: Clock) -> Net:
    """A way out that keeps answers in a data folder."""

    def opened() -> httpx.AsyncBaseTransport:
        file = data / ANSWERS
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        storage = AsyncSqliteStorage(database_path=file, default_ttl=KEEP.total_seconds(), max_size=MOST_KEPT_BYTES)
        return AsyncCacheTransport(AskedAnew(the_net(), clock), storage=storage, rfc=CacheOptions(shared=False))

    return opened
