"""Stands around the whole page: what may come in, and what every answer carries.

1. A form is only taken from a page of our own (Origin, or what browsers say instead).
2. A body longer than its address allows is read away and refused; it is never held whole.
3. Every answer forbids scripts, styles and frames from elsewhere, and is not kept by anybody on the way.
4. Whatever breaks inside ends in a page with words. The log gets where it broke, never what was written.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from bot.logs import trace_of
from bot.photos.intake import MAX_BYTES as PHOTO_BYTES

log = logging.getLogger(__name__)

FORM_EXTRA_BYTES = 64 * 1024
TEXT_BYTES = 11 * 1024 * 1024  # ten megabytes of text and what stands around it
READ_AWAY_BYTES = 64 * 1024 * 1024
"""How much of a body that is too long is read, so that a browser gets to see the answer at all."""

_PAGE_RULES = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
_DRAWING_RULES = "default-src 'none'; style-src 'unsafe-inline'"  # a drawing has its colours for the dark inside
_ALWAYS = {
    "x-content-type-options": "nosniff",
    # Not "no-referrer": a browser would then call the origin of our own forms "null". No other site gets one anyway.
    "referrer-policy": "same-origin",
    "permissions-policy": "geolocation=(self), camera=(), microphone=()",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
_FOR_EVER = "public, max-age=31536000, immutable"


class TooLong(Exception):
    """A body is longer than its address allows."""


class ForeignForm(Exception):
    """A form was sent from another site."""


class Guard:
    """The outermost part of the page, and of the operators' pages. `limit_of`: how many bytes a path may be sent."""

    def __init__(self, app: ASGIApp, limit_of: Callable[[str], int] | None = None) -> None:
        self._app = app
        self._limit_of = limit_of or limit_at

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass a request on, with the rules around it."""
        if scope["type"] != "http":
            return

        path = _path_of(scope)  # now: whoever answers writes their own part of it into the scope

        async def send_guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                _add_headers(MutableHeaders(scope=message), path, scope["query_string"])
            await send(message)

        try:
            await self._app(scope, limited(receive, self._limit_of(path)), send_guarded)
        except Exception as error:  # noqa: BLE001 - the edge: the answer has been sent by the page's own handler
            log.error("A request could not be answered.\n%s", trace_of(error))


def limit_at(path: str) -> int:
    """How many bytes a body may have at an address of the chat page."""
    match path:
        case "/photo":
            return PHOTO_BYTES + FORM_EXTRA_BYTES
        case "/say":
            return TEXT_BYTES
        case _:
            return FORM_EXTRA_BYTES


def check_origin(headers: Headers) -> None:
    """Raise `ForeignForm` unless a form was sent from our own page."""
    origin = headers.get("origin")
    if origin is not None:
        is_own = urlsplit(origin).netloc == headers.get("host") != ""
    else:  # an old browser, or a program: the mark in the form has to do
        is_own = headers.get("sec-fetch-site", "same-origin") in ("same-origin", "none")
    if not is_own:
        raise ForeignForm


def limited(receive: Receive, limit: int) -> Receive:
    """The same body, up to a limit. Raises `TooLong` after reading the rest away."""
    taken = 0

    async def receive_limited() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken <= limit:
            return message
        while message.get("more_body") and taken < READ_AWAY_BYTES:
            message = await receive()
            taken += len(message.get("body", b""))
        raise TooLong

    return receive_limited


def _path_of(scope: Scope) -> str:
    """The path below where the pages are mounted."""
    path: str = scope["path"]
    return path.removeprefix(scope.get("root_path", ""))


def _add_headers(headers: MutableHeaders, path: str, query: bytes) -> None:
    for name, value in _ALWAYS.items():
        headers[name] = value
    is_static = path.startswith("/static/")
    is_drawing = is_static and path.endswith(".svg")
    headers["content-security-policy"] = _DRAWING_RULES if is_drawing else _PAGE_RULES
    if is_static and query.startswith(b"v="):
        headers["cache-control"] = _FOR_EVER
    elif "cache-control" not in headers:
        headers["cache-control"] = "no-store"
