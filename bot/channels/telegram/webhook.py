"""Updates as calls to an address of ours: believed with the secret, stored before they are answered for.

Nothing is worked on within the call. While the database cannot take it, the answer is 503 and Telegram calls again.
Whoever does not know the secret is told nothing, and what is no update is told no more than that.
"""

from __future__ import annotations

import hashlib
import hmac
import json
import logging
from collections.abc import Awaitable, Callable, Mapping

from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response

from bot.arrivals import Intake
from bot.channels.telegram.inlet import NAME
from bot.channels.telegram.updates import arrival_of, number_of
from bot.clock import Clock
from bot.logs import trace_of

log = logging.getLogger(__name__)

SECRET_HEADER = "x-telegram-bot-api-secret-token"
MOST_BYTES = 1024 * 1024


def secret_of(token: str) -> str:
    """What Telegram shows beside each call: follows from the key, so that nobody has to choose and keep another."""
    return hmac.new(token.encode(), b"afterfrost webhook", hashlib.sha256).hexdigest()


def webhook(token: str, intake: Intake, clock: Clock) -> Callable[[Request], Awaitable[Response]]:
    """The handler of Telegram's calls."""
    secret = secret_of(token).encode()

    async def called(request: Request) -> Response:
        shown = request.headers.get(SECRET_HEADER, "").encode("utf-8", "replace")
        if not hmac.compare_digest(shown, secret):
            log.warning("A call without Telegram's secret was refused.")
            return Response(status_code=401)
        update = await _update_of(request)
        if update is None:
            log.warning("A call with Telegram's secret held no update.")
            return Response(status_code=404)
        try:
            await intake.store(NAME, [arrival_of(update, clock.now())])
        except Exception as error:  # noqa: BLE001 - the edge: whatever it was, Telegram must not think we have it
            log.error("A call of Telegram could not be stored.\n%s", trace_of(error))
            return Response(status_code=503)
        return Response(status_code=200)

    return called


async def _update_of(request: Request) -> Mapping[str, object] | None:
    """The update a call holds, if it holds one."""
    media_type = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    body = await _whole(request) if media_type == "application/json" else None
    if body is None:
        return None
    try:
        update = json.loads(body)
    except (ValueError, RecursionError):
        return None
    return update if number_of(update) is not None else None


async def _whole(request: Request) -> bytes | None:
    """What was sent; None for too much, and for a caller who went away."""
    content = bytearray()
    try:
        async for part in request.stream():
            content += part
            if len(content) > MOST_BYTES:
                return None
    except ClientDisconnect:
        return None
    return bytes(content)
