"""The library's requests over aiohttp. A read of this file loads the library.

Its own transport looks at every open connection for every request, and takes three times the work for a message even
with one. What went wrong is kept as the cause of the library's error: whether a message may have arrived hangs on it.
"""

from __future__ import annotations

import ssl
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlsplit
from urllib.request import getproxies, proxy_bypass

import aiohttp
from telegram import Bot
from telegram.error import NetworkError, TimedOut
from telegram.request import BaseRequest, RequestData
from telegram.request._requestparameter import RequestParameter

from bot.errors import ChannelClosed


class Request(BaseRequest):
    """One pool of connections for all methods of one bot.

    Times are in seconds: until connected (a wait for a connection in it), and from one byte of the answer to the next.
    """

    def __init__(self, server: str, *, trust: ssl.SSLContext, connect_seconds: float, answer_seconds: float) -> None:
        self._server = server
        self._trust = trust
        self._connect_seconds = connect_seconds
        self._answer_seconds = answer_seconds
        self._session: aiohttp.ClientSession | None = None

    @property
    def read_timeout(self) -> float:
        """How long an answer may take where nothing else is said."""
        return self._answer_seconds

    async def initialize(self) -> None:
        """Open the pool. The library asks for it once for each of the two uses it may have for a request."""
        if self._session is not None:
            return
        # The session would look into the environment by itself, in another thread, for each message.
        proxy = proxy_of(self._server)
        # How many are open at once is for the caller to say: a limit here would let requests wait, and then give up on
        # them, which nobody can tell from a network that is down.
        connector = aiohttp.TCPConnector(limit=0, ssl=self._trust)
        self._session = aiohttp.ClientSession(
            connector=connector,
            cookie_jar=aiohttp.DummyCookieJar(),
            headers={"User-Agent": self.USER_AGENT},
            proxy=proxy,
        )

    async def shutdown(self) -> None:
        """Close the pool."""
        if self._session is not None:
            await self._session.close()
            self._session = None

    @property
    def session(self) -> aiohttp.ClientSession:
        """The open pool, for what is not a method: files."""
        if self._session is None:
            raise RuntimeError("The request is not initialized.")
        return self._session

    async def do_request(
        self,
        url: str,
        method: str,
        request_data: RequestData | None = None,
        read_timeout: Any = BaseRequest.DEFAULT_NONE,
        *_: Any,
        **_others: Any,
    ) -> tuple[int, bytes]:
        """One request: its status and what was answered. Redirects are not followed, and nothing is sent twice.

        Of the library's times only that of the answer is listened to; the others stand in this object.
        """
        answer_seconds = self._answer_seconds if read_timeout is BaseRequest.DEFAULT_NONE else read_timeout
        timeout = aiohttp.ClientTimeout(connect=self._connect_seconds, sock_read=answer_seconds)
        try:
            async with self.session.request(
                method, url, data=_body(request_data), timeout=timeout, allow_redirects=False
            ) as response:
                return response.status, await response.read()
        except TimeoutError as error:
            raise TimedOut(f"Timed out ({type(error).__name__})") from error
        except aiohttp.ClientError as error:
            raise NetworkError(f"{type(error).__name__} in the network") from error


def proxy_of(address: str) -> str | None:
    """The proxy that the environment (`HTTPS_PROXY`, `NO_PROXY` ...) names for an address.

    Raises `ChannelClosed` for one of a kind that cannot be used.
    """
    split = urlsplit(address)
    proxies = getproxies()
    found = proxies.get(split.scheme) or proxies.get("all")
    if not found or not split.hostname or proxy_bypass(split.hostname):
        return None
    if urlsplit(found).scheme not in ("http", "https"):
        raise ChannelClosed("The environment names a proxy that is none of HTTP. Name one in HTTPS_PROXY, or none.")
    return found


def _body(data: RequestData | None) -> aiohttp.FormData | None:
    if data is None:
        return None
    form = aiohttp.FormData(data.json_parameters)
    if data.contains_files:
        for name, (file_name, content, media_type) in data.multipart_data.items():
            form.add_field(name, content, filename=file_name, content_type=media_type)
    return form


async def post_swiftly(bot: Bot, method: str, fields: Mapping[str, object]) -> Any:
    """Call a method as the client does it, with plain values.

    The client would look through every value for what has to be translated, and build the message that was answered.
    """
    parameters = [RequestParameter(name, value, None) for name, value in fields.items()]
    return await bot.request.post(f"{bot.base_url}/{method}", RequestData(parameters))
