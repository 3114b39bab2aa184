"""The only file that knows the Telegram library: a thin client that speaks in our errors.

1. A pause that Telegram asks for stops the channel, half a second longer than asked.
2. A connection that was never made, and an answer that it could not do it, are tried again. No answer at all means that
   the message may be there: that is said so.
3. Updates are fetched as they are; the library's own updater would confirm them before we have them.
4. What something on the way answered in Telegram's place (a gateway's page) says nothing about a chat or a key.
5. A file is read no further than it may be long; the library would read all of it first.
6. Requests go over a transport of our own choice, see `request.py`: the library's takes three times the work.
7. What is answered to a message is not read: the library would build the whole message again, and nobody needs it.
"""

from __future__ import annotations

import asyncio
import logging
import warnings
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from http import HTTPStatus
from typing import TYPE_CHECKING, Any, Self, TypeVar

import aiohttp

from bot.errors import ChannelClosed, ChannelError, Rejected, SlowDown, TryAgain, Uncertain, Unreachable
from bot.errors import Moved as MovedAway
from bot.trust import trusted

if TYPE_CHECKING:
    from telegram import Bot, InlineKeyboardMarkup
    from telegram.error import RetryAfter

Result = TypeVar("Result")

TELEGRAM = "https://api.telegram.org"
WANTED = ("message", "edited_message", "callback_query", "my_chat_member")
PAUSE_EXTRA_SECONDS = 0.5
AGAIN_SECONDS = 2.0
MOST_BYTES = 20_000_000
UNSAID_PAUSE_SECONDS = 5.0
"""The pause where Telegram asks for one without saying how long."""
_GONE = (
    "chat not found", "user is deactivated", "bot was blocked", "peer_id_invalid", "user not found",
    "not enough rights", "have no rights to send", "need administrator rights",
)  # fmt: skip
_TOO_OLD = ("query is too old", "query id is invalid")
_NOT_SENT = (
    aiohttp.ClientConnectorError, aiohttp.ConnectionTimeoutError, aiohttp.ClientHttpProxyError, aiohttp.InvalidURL,
    aiohttp.ServerFingerprintMismatch,
)  # fmt: skip
"""What goes wrong before a word has left us."""


class SomebodyElsePolls(ChannelError):
    """Another process asks for the same bot's messages."""


class TooBig(Exception):
    """A file is larger than it may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """How long things may take: to be connected, to be answered, to fetch a whole file."""

    connect_seconds: float = 10.0
    answer_seconds: float = 30.0
    file_seconds: float = 120.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Button:
    """One button under a message, and what comes back when it is pressed."""

    label: str
    data: str


Rows = Sequence[Sequence[Button]]


class TelegramClient:
    """One bot. Use it as `async with TelegramClient(token) as client`."""

    def __init__(self, token: str, *, server: str = "", connections: int = 8, waits: Waits | None = None) -> None:
        self._token = token
        self._server = server.rstrip("/")
        self._waits = waits or Waits()
        self._room = asyncio.Semaphore(connections)
        self._bot: Bot | None = None

    async def __aenter__(self) -> Self:
        from telegram import Bot
        from telegram.error import InvalidToken

        from bot.channels.telegram.request import Request

        logging.getLogger("telegram").setLevel(logging.CRITICAL)  # its lines quote what was answered
        self._request = Request(
            self._server or TELEGRAM,
            trust=trusted(),
            connect_seconds=self._waits.connect_seconds,
            answer_seconds=self._waits.answer_seconds,
        )
        addresses = {"base_url": f"{self._server}/bot", "base_file_url": f"{self._server}/file/bot"}
        try:
            bot = Bot(
                self._token,
                **(addresses if self._server else {}),  # type: ignore[arg-type]
                request=self._request,
                get_updates_request=self._request,
            )
        except InvalidToken as error:
            raise ChannelClosed("AFTERFROST_TELEGRAM_TOKEN is no key of a Telegram bot.") from error
        await self._request.initialize()  # not `Bot.initialize`: that asks who we are; a start needs no network
        self._bot = bot
        return self

    async def __aexit__(self, *_: object) -> None:
        self._bot = None
        await self._request.shutdown()

    # --- out ---------------------------------------------------------------------------------------------------------

    async def send_text(self, chat: str, words: str, buttons: Rows = ()) -> None:
        """Send one message."""
        from bot.channels.telegram.request import post_swiftly

        fields: dict[str, object] = {"chat_id": int(chat), "text": words, "link_preview_options": {"is_disabled": True}}
        if (keyboard := _keyboard(buttons)) is not None:
            fields["reply_markup"] = keyboard.to_dict()
        await self._do(lambda bot: post_swiftly(bot, "sendMessage", fields))

    async def send_photo(self, chat: str, picture: bytes, caption: str = "", buttons: Rows = ()) -> None:
        """Send one picture."""
        await self._do(
            lambda bot: bot.send_photo(int(chat), picture, caption=caption or None, reply_markup=_keyboard(buttons))
        )

    async def send_album(self, chat: str, pictures: Sequence[bytes]) -> None:
        """Send two to ten pictures together."""
        from telegram import InputMediaPhoto

        await self._do(lambda bot: bot.send_media_group(int(chat), [InputMediaPhoto(each) for each in pictures]))

    async def send_document(self, chat: str, content: bytes, name: str) -> None:
        """Send a file."""
        await self._do(lambda bot: bot.send_document(int(chat), content, filename=name))

    async def answer_button(self, press_id: str, words: str = "") -> None:
        """End the waiting of a button that was pressed. One that has waited too long has ended by itself."""
        try:
            await self._do(lambda bot: bot.answer_callback_query(press_id, text=words or None))
        except Rejected as error:
            if not any(each in str(error).lower() for each in _TOO_OLD):
                raise

    async def set_commands(self, commands: Sequence[tuple[str, str]]) -> None:
        """What the menu offers: names with what they do."""
        await self._do(lambda bot: bot.set_my_commands(list(commands)))

    # --- in ----------------------------------------------------------------------------------------------------------

    async def fetch(self, offset: int | None, wait_seconds: int) -> list[dict[str, Any]]:
        """The updates from an offset on, as Telegram wrote them; waits for some. Asking confirms all before."""
        from telegram.error import Conflict

        fields: dict[str, Any] = {"timeout": wait_seconds, "allowed_updates": list(WANTED)}
        if offset is not None:
            fields["offset"] = offset
        try:
            found = await self._do(
                lambda bot: bot._post("getUpdates", fields, read_timeout=wait_seconds + self._waits.answer_seconds)
            )
        except Rejected as error:
            if isinstance(error.__cause__, Conflict):
                raise SomebodyElsePolls(
                    "Another process asks for this bot's messages with the same key, or has them sent to an address."
                ) from error
            raise
        return list(found)

    async def download(self, file_id: str, at_most_bytes: int = MOST_BYTES) -> bytes:
        """A file that somebody sent. Raises `TooBig` before more than `at_most_bytes` are read."""
        try:
            file = await self._do(lambda bot: bot.get_file(file_id))
        except Rejected as error:
            if "too big" in str(error).lower():
                raise TooBig from error
            raise
        if (file.file_size or 0) > at_most_bytes:
            raise TooBig
        try:
            async with asyncio.timeout(self._waits.file_seconds):
                return await self._read_file(file.file_path or "", at_most_bytes)
        except aiohttp.InvalidURL as error:  # a server of one's own that gives out paths
            raise Rejected("The Bot API server gives no address for a file; run it without --local.") from error
        except (TimeoutError, aiohttp.ClientError) as error:
            raise TryAgain(f"A file could not be fetched ({type(error).__name__}).", AGAIN_SECONDS) from error

    async def _read_file(self, address: str, at_most_bytes: int) -> bytes:
        content = bytearray()
        waits = self._waits
        timeout = aiohttp.ClientTimeout(connect=waits.connect_seconds, sock_read=waits.answer_seconds)
        async with self._request.session.get(address, timeout=timeout, allow_redirects=False) as response:
            if response.status in (HTTPStatus.BAD_REQUEST, HTTPStatus.NOT_FOUND):
                raise Rejected("The file is not there.")
            if response.status != HTTPStatus.OK:
                raise TryAgain(f"A file could not be fetched ({response.status}).", AGAIN_SECONDS)
            async for part in response.content.iter_any():
                content += part
                if len(content) > at_most_bytes:
                    raise TooBig
        return bytes(content)

    async def set_webhook(self, url: str, secret: str) -> None:
        """Have updates sent to an address, with a secret beside each."""
        await self._do(
            lambda bot: bot.set_webhook(url, secret_token=secret, allowed_updates=list(WANTED), max_connections=40)
        )

    async def delete_webhook(self) -> None:
        """Have updates kept until they are fetched. What waits is kept."""
        await self._do(lambda bot: bot.delete_webhook(drop_pending_updates=False))

    # --- both --------------------------------------------------------------------------------------------------------

    async def _do(self, ask: Callable[[Bot], Awaitable[Result]]) -> Result:
        """One request, with the library's errors turned into ours."""
        from telegram.error import TelegramError

        if (bot := self._bot) is None:
            raise TryAgain("Telegram is not open.", AGAIN_SECONDS)
        async with self._room:
            try:
                return await ask(bot)
            except TelegramError as error:
                raise _ours(error) from error


def _keyboard(rows: Rows) -> InlineKeyboardMarkup | None:
    from telegram import InlineKeyboardButton, InlineKeyboardMarkup

    if not rows:
        return None
    return InlineKeyboardMarkup(
        [[InlineKeyboardButton(each.label, callback_data=each.data) for each in row] for row in rows]
    )


def _ours(error: Exception) -> ChannelError:
    from telegram import error as theirs

    if isinstance(error.__cause__, (theirs.TelegramError, ValueError)):  # no JSON: whoever answered is not Telegram
        return TryAgain("Something on the way to Telegram answered in its place.", AGAIN_SECONDS)
    words = str(error)
    match error:
        case theirs.RetryAfter():
            return SlowDown("Telegram asks for a pause.", _seconds_asked(error) + PAUSE_EXTRA_SECONDS)
        case theirs.ChatMigrated():
            return MovedAway("The chat has another number now.", str(error.new_chat_id))
        case theirs.InvalidToken():
            return ChannelClosed("Telegram does not know AFTERFROST_TELEGRAM_TOKEN. Put the right one in and restart.")
        case theirs.Forbidden():
            return Unreachable("The chat is closed to us.")
        case theirs.BadRequest():
            is_gone = any(each in words.lower() for each in _GONE)
            return Unreachable("The chat is gone.") if is_gone else Rejected(words)
        case theirs.NetworkError():
            return _of_the_network(error)
        case _:
            return Rejected(words)


def _seconds_asked(error: RetryAfter) -> float:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # the library announces another type for a later version: both are read
        after = error.retry_after
    return after / timedelta(seconds=1) if isinstance(after, timedelta) else float(after)


def _of_the_network(error: Exception) -> ChannelError:
    """Whether Telegram may have the message: not where no connection was made or it answered; else it may."""
    cause = error.__cause__
    if isinstance(cause, aiohttp.ClientError | TimeoutError) and not isinstance(cause, _NOT_SENT):
        return Uncertain(f"Telegram gave no answer ({type(cause).__name__}).")
    words = str(error).lower()
    if "too many requests" in words:
        return SlowDown("Telegram asks for a pause.", UNSAID_PAUSE_SECONDS)
    if "entity too large" in words:
        return Rejected("The message is larger than Telegram takes.")
    return TryAgain(f"Telegram cannot do it now ({type(cause or error).__name__}).", AGAIN_SECONDS)
