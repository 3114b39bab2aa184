"""Serves the page in the process and the loop of everything else, until told to stop."""

from __future__ import annotations

import asyncio
import logging
import socket
from collections.abc import Awaitable, Callable, Generator
from contextlib import contextmanager

import uvicorn
from starlette.types import ASGIApp

from bot.channels.web.push import WebChannel
from bot.errors import SettingsError
from bot.settings import Settings

log = logging.getLogger(__name__)

GRACE_SECONDS = 1
"""How long answers under way may take when stopping. The rest of the house needs the other four of five seconds."""
BACKLOG = 256


class _Server(uvicorn.Server):
    """Leaves the signals alone: whoever runs the house listens to them, and stops the parts in order."""

    @contextmanager
    def capture_signals(self) -> Generator[None, None, None]:
        yield


async def serve(
    application: ASGIApp,
    settings: Settings,
    *,
    channel: WebChannel,
    until: Awaitable[None],
    listening: Callable[[str], None] | None = None,
) -> None:
    """Serve the page until `until` is over. `listening` is told the page's address once it answers.

    `channel` is the one the courier was started with. Raises `SettingsError` when the address cannot be listened on.
    """
    stopping = asyncio.ensure_future(until)
    try:
        with _listening(settings) as listener:
            if listening is not None:
                listening(address_of(settings))
            await _serve_until(stopping, _Server(_config(application, settings)), listener, channel)
    finally:
        stopping.cancel()


async def _serve_until(
    stopping: asyncio.Future[None], server: uvicorn.Server, listener: socket.socket, channel: WebChannel
) -> None:
    serving = asyncio.ensure_future(server.serve(sockets=[listener]))
    try:
        await asyncio.wait([serving, stopping], return_when=asyncio.FIRST_COMPLETED)
    finally:
        channel.close()
        server.should_exit = True
        await serving


def address_of(settings: Settings) -> str:
    """Where a browser on this machine finds the page."""
    anywhere = {"0.0.0.0": "127.0.0.1", "::": "::1"}
    host = anywhere.get(settings.host, settings.host)
    return f"http://[{host}]:{settings.port}/" if ":" in host else f"http://{host}:{settings.port}/"


def _listening(settings: Settings) -> socket.socket:
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            settings.host, settings.port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        listener = socket.socket(family, kind, protocol)
    except OSError as error:
        raise SettingsError(f"AFTERFROST_HOST: {settings.host!r} is no address of this machine ({error}).") from error
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(address)
        listener.listen(BACKLOG)
    except OSError as error:
        listener.close()
        raise SettingsError(
            f"Port {settings.port} on {settings.host} cannot be used ({error.strerror}). "
            "Stop what runs there, or choose another port in AFTERFROST_PORT."
        ) from error
    return listener


def _config(application: ASGIApp, settings: Settings) -> uvicorn.Config:
    return uvicorn.Config(
        application,
        host=settings.host,
        port=settings.port,
        lifespan="off",
        ws="none",
        log_config=None,
        access_log=False,  # a private link is an address; it must not stand in a log
        server_header=False,
        timeout_graceful_shutdown=GRACE_SECONDS,
    )
