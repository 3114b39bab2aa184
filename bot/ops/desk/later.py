"""Puts the desk beside the chat page without making a start wait for it: it is read when somebody first opens it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.types import ASGIApp, Receive, Scope, Send

BASE = "/desk"


class _Later:
    """An application that is built beside the loop at the first request; those that come meanwhile wait for it."""

    def __init__(self, build: Callable[[], ASGIApp]) -> None:
        self._build = build
        self._building = asyncio.Lock()
        self._app: ASGIApp | None = None

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async with self._building:
            if self._app is None:
                self._app = await asyncio.to_thread(self._build)
        await self._app(scope, receive, send)


def desk_routes(build: Callable[[], ASGIApp]) -> list[BaseRoute]:
    """Where the desk stands beside the chat page. `build` imports and makes it, by `desk_app`."""
    return [Route(BASE, _inside, methods=["GET"]), Mount(BASE, _Later(build))]


async def _inside(request: Request) -> Response:
    return RedirectResponse(f"{BASE}/", status_code=303)
