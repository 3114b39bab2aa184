"""Telegram's Bot API on this machine: what the real client sees of it, with people who write and faults on request.

Made for `telegram.Bot(token, base_url=api.base_url, base_file_url=api.base_file_url)`. It keeps what it took
(`accepted`), hands out updates until they are confirmed, and fails as the real one does when told to. Faults count for
the four methods that send; every one of them either surely did not take the message ("retry", "status", "drop") or
did and does not say so ("drop_after", "hang").

In a process of its own: `python -m tests.fakes.telegram_api --port 0`; the port is the first line it prints.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import random
import signal
import sys
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self

from tests.fakes.telegram_feed import BOT, Feed, Refusal, private_chat
from tests.fakes.telegram_wire import Form, HttpServer, Json, Request, Response, form_of

SENDS = frozenset({"sendMessage", "sendPhoto", "sendMediaGroup", "sendDocument"})
TEXT_UNITS = 4096  # of UTF-16
CAPTION_UNITS = 1024
BUTTON_BYTES = 64
DOWNLOAD_BYTES = 20 * 1024 * 1024
SENDS_A_SECOND = 30
WINDOW_SECONDS = 0.98  # a second, less what the way here may shorten a gap by


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted:
    """One message (or one album) as it was taken."""

    at: float  # of the monotonic clock, in seconds
    method: str
    chat_id: str
    text: str  # or the caption
    buttons: list[tuple[str, str]]  # (label, callback data)
    files: list[tuple[str, bytes]]  # (file name, content)
    message_id: int


class Dropped(Exception):
    """The connection ends without an answer."""


class BotApi(Feed):
    """The far side as a whole; used as `async with BotApi() as api`."""

    def __init__(
        self,
        token: str = "1:TEST",
        latency_seconds: float = 0.0,
        now: Callable[[], float] = time.time,
        journal: Path | None = None,
        port: int = 0,
    ) -> None:
        super().__init__(now)
        self.token = token
        self.latency_seconds = latency_seconds
        self.accepted: list[Accepted] = []
        self.answered: list[tuple[str, str]] = []  # (callback id, text)
        self.remade: list[tuple[str, int, list[tuple[str, str]]]] = []  # (chat, message, the buttons it has now)
        self.actions: list[tuple[str, str]] = []  # (chat, what it seems to be doing)
        self.commands: list[Json] = []
        self.refused = 0
        self.script: deque[tuple[Any, ...]] = deque()  # faults for the next sends, one each
        self.fail_share = 0.0
        self.chance = random.Random(1)
        self.blocked: set[str] = set()
        self.unknown: set[str] = set()
        self.moved: dict[str, str] = {}
        self.enforce_limits = False
        self.webhook_secret = ""
        self._asked_port = port
        self._at_work: set[asyncio.Task[object]] = set()
        self._recent: deque[float] = deque()
        self._last_of_chat: dict[str, float] = {}
        self._journal = os.open(journal, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600) if journal else None
        self._http = HttpServer(self._handle)

    async def __aenter__(self) -> Self:
        await self._http.start(self._asked_port)
        return self

    async def __aexit__(self, *failure: object) -> None:
        await self._http.stop()
        for work in self._at_work:
            work.cancel()
        await asyncio.gather(*self._at_work, return_exceptions=True)
        if self._journal is not None:
            os.close(self._journal)

    @property
    def port(self) -> int:
        return self._http.port

    @property
    def base_url(self) -> str:
        return f"http://127.0.0.1:{self.port}/bot"

    @property
    def base_file_url(self) -> str:
        return f"http://127.0.0.1:{self.port}/file/bot"

    def hang_up(self) -> None:
        """Cut every open connection, the waiting poll too."""
        self._http.hang_up()

    # From the request to the answer.

    async def _handle(self, request: Request) -> Response | None:
        _, room, *rest = request.path.split("/", 2)
        try:
            if room == "control":
                return self._control(request)
            if room == "file":
                return self._download(rest[0])
            return _ok(await self._call(room.removeprefix("bot"), rest[0] if rest else "", form_of(request)))
        except Dropped:
            return None
        except Refusal as refusal:
            return _refused(refusal)

    async def _call(self, token: str, method: str, form: Form) -> object:
        if token != self.token:
            raise Refusal(401, "Unauthorized")
        if method == "getUpdates":
            return await self.get_updates(form.fields)
        if method in SENDS:
            return await self._send_for_sure(method, form)
        if self.latency_seconds:
            await asyncio.sleep(self.latency_seconds)
        answer = _OTHERS.get(method)
        if answer is None:
            raise Refusal(404, "Not Found")
        return answer(self, form.fields)

    def _download(self, rest: str) -> Response:
        token, _, path = rest.removeprefix("bot").partition("/")
        if token != self.token:
            raise Refusal(401, "Unauthorized")
        for kept_at, content in self.files.values():
            if kept_at == path:
                return Response(body=content, media_type="application/octet-stream")
        raise Refusal(404, "Not Found")

    def _control(self, request: Request) -> Response:
        if request.path == "/control/push":
            for update in json.loads(request.body):
                self.push(update)
        counts = {"accepted": len(self.accepted), "refused": self.refused}
        return _json(200, counts | {"pending_updates": len(self.pending), "confirmed": self.confirmed})

    # Sending.

    async def _send_for_sure(self, method: str, form: Form) -> object:
        """What arrived whole is worked off, though its caller may be gone before the answer."""
        if not self.latency_seconds:
            return await self._send(method, form)
        work = asyncio.create_task(self._send(method, form))
        self._at_work.add(work)
        work.add_done_callback(self._at_work.discard)
        return await asyncio.shield(work)

    async def _send(self, method: str, form: Form) -> object:
        if self.latency_seconds:
            await asyncio.sleep(self.latency_seconds)
        fault = self.script.popleft() if self.script else ("none",)
        try:
            self._fail(fault)
            self._check_chat(chat := str(form.fields.get("chat_id", "")))
            message = self._checked(method, chat, form)
            self._check_limits(chat)
        except (Refusal, Dropped):
            self.refused += 1
            raise
        self._take(message)
        if fault[0] == "drop_after":
            raise Dropped
        if fault[0] == "hang":
            await asyncio.sleep(fault[1])
        return self._result(message)

    def _fail(self, fault: tuple[Any, ...]) -> None:
        if fault[0] == "drop":
            raise Dropped
        if fault[0] == "retry":
            raise Refusal(429, f"Too Many Requests: retry after {fault[1]}", retry_after=fault[1])
        if fault[0] == "status":
            raise Refusal(fault[1], "Something went wrong")
        if fault[0] not in ("none", "drop_after", "hang"):
            raise ValueError(f"no such fault: {fault[0]}")
        if self.fail_share and self.chance.random() < self.fail_share:
            raise Refusal(self.chance.choice((500, 502)), "Something went wrong")

    def _check_chat(self, chat: str) -> None:
        if not chat:
            raise Refusal(400, "Bad Request: chat_id is empty")
        if chat in self.blocked:
            raise Refusal(403, "Forbidden: bot was blocked by the user")
        if chat in self.unknown:
            raise Refusal(400, "Bad Request: chat not found")
        if chat in self.moved:
            new_chat = int(self.moved[chat])
            words = "Bad Request: group chat was upgraded to a supergroup chat"
            raise Refusal(400, words, migrate_to_chat_id=new_chat)

    def _check_limits(self, chat: str) -> None:
        if not self.enforce_limits:
            return
        now = time.monotonic()
        while self._recent and now - self._recent[0] >= WINDOW_SECONDS:
            self._recent.popleft()
        too_soon = now - self._last_of_chat.get(chat, now - 1) < WINDOW_SECONDS
        if too_soon or len(self._recent) >= SENDS_A_SECOND:
            raise Refusal(429, "Too Many Requests: retry after 1", retry_after=1)
        self._recent.append(now)
        self._last_of_chat[chat] = now

    def _checked(self, method: str, chat: str, form: Form) -> Accepted:
        text, is_caption = _text_of(method, form.fields), method != "sendMessage"
        units = len(text.encode("utf-16-le", "surrogatepass")) // 2
        if not text and not is_caption:
            raise Refusal(400, "Bad Request: message text is empty")
        if units > (CAPTION_UNITS if is_caption else TEXT_UNITS):
            raise Refusal(400, f"Bad Request: message {'caption ' if is_caption else ''}is too long")
        buttons, files = _buttons_of(form.fields), [(name, content) for _, name, content in form.files]
        known = self.files.get(str(form.fields.get("photo") or form.fields.get("document")))
        files += [known] if known else []
        if is_caption and not files:
            raise Refusal(400, "Bad Request: there is no file in the request")
        return Accepted(
            at=time.monotonic(),
            method=method,
            chat_id=chat,
            text=text,
            buttons=buttons,
            files=files,
            message_id=next(self._numbers),
        )

    def _take(self, message: Accepted) -> None:
        self.accepted.append(message)
        if self._journal is not None:
            line = {"chat": message.chat_id, "text": message.text, "at": message.at}
            os.write(self._journal, json.dumps(line).encode() + b"\n")

    def _result(self, message: Accepted) -> object:
        head = {"date": int(self.now()), "chat": private_chat(message.chat_id), "from": BOT}
        if message.method == "sendMessage":
            return head | {"message_id": message.message_id, "text": message.text}
        bodies: list[Json] = []
        for index, (name, content) in enumerate(message.files):
            number = message.message_id if index == 0 else next(self._numbers)
            kept = self._file(content, name.rpartition(".")[2])
            of_file: Json = {"document": kept | {"file_name": name}}
            if message.method != "sendDocument":
                of_file = {"photo": [kept | {"width": 1280, "height": 960}]}
            bodies.append(head | {"message_id": number} | of_file)
        bodies[0]["caption"] = message.text
        return bodies if message.method == "sendMediaGroup" else bodies[0]

    # Everything else.

    def _get_file(self, fields: Json) -> Json:
        kept = self.files.get(fields.get("file_id", ""))
        if kept is None:
            raise Refusal(400, "Bad Request: wrong file_id or the file is temporarily unavailable")
        path, content = kept
        if len(content) > DOWNLOAD_BYTES:
            raise Refusal(400, "Bad Request: file is too big")
        file_id = fields["file_id"]
        return {"file_id": file_id, "file_unique_id": file_id, "file_size": len(content), "file_path": path}

    def _answer_press(self, fields: Json) -> bool:
        if fields.get("callback_query_id") not in self.callbacks:
            raise Refusal(400, "Bad Request: query is too old and response timeout expired or query ID is invalid")
        self.answered.append((fields["callback_query_id"], fields.get("text", "")))
        return True

    def _set_webhook(self, fields: Json) -> bool:
        self.webhook, self.webhook_secret = fields.get("url", ""), fields.get("secret_token", "")
        if str(fields.get("drop_pending_updates", "")).lower() == "true":
            self.pending.clear()
        self._wake(False)
        return True

    def _set_commands(self, fields: Json) -> bool:
        self.commands = _loaded(fields.get("commands", "[]"))
        return True

    def _remake_buttons(self, fields: Json) -> Json:
        chat, number = str(fields["chat_id"]), int(fields["message_id"])
        self._check_chat(chat)
        self.remade.append((chat, number, _buttons_of(fields)))
        return {"message_id": number, "date": int(self.now()), "chat": private_chat(chat), "from": BOT, "text": "…"}

    def _act(self, fields: Json) -> bool:
        self._check_chat(str(fields.get("chat_id", "")))
        self.actions.append((str(fields["chat_id"]), fields["action"]))
        return True


_OTHERS: dict[str, Callable[[BotApi, Json], object]] = {
    "getMe": lambda _api, _fields: BOT,
    "getFile": BotApi._get_file,
    "answerCallbackQuery": BotApi._answer_press,
    "setWebhook": BotApi._set_webhook,
    "deleteWebhook": lambda api, fields: api._set_webhook({**fields, "url": ""}),
    "setMyCommands": BotApi._set_commands,
    "editMessageReplyMarkup": BotApi._remake_buttons,
    "sendChatAction": BotApi._act,
}


def _loaded(value: Any) -> Any:
    """A nested value: a text of JSON in a form, the thing itself in a body of JSON."""
    return json.loads(value) if isinstance(value, str) else value


def _text_of(method: str, fields: Json) -> str:
    if method == "sendMessage":
        return str(fields.get("text", ""))
    if method == "sendMediaGroup":
        return next((one["caption"] for one in _loaded(fields.get("media", "[]")) if one.get("caption")), "")
    return str(fields.get("caption", ""))


def _buttons_of(fields: Json) -> list[tuple[str, str]]:
    rows = _loaded(fields.get("reply_markup") or "{}").get("inline_keyboard", [])
    buttons = [(key["text"], key.get("callback_data", "")) for row in rows for key in row]
    if any(len(data.encode()) > BUTTON_BYTES for _, data in buttons):
        raise Refusal(400, "Bad Request: BUTTON_DATA_INVALID")
    return buttons


def _json(status: int, value: object) -> Response:
    return Response(status=status, body=json.dumps(value).encode())


def _ok(result: object) -> Response:
    return _json(200, {"ok": True, "result": result})


def _refused(refusal: Refusal) -> Response:
    answer: Json = {"ok": False, "error_code": refusal.code, "description": str(refusal)}
    return _json(refusal.code, answer | ({"parameters": refusal.parameters} if refusal.parameters else {}))


async def _serve(given: argparse.Namespace) -> None:
    over = asyncio.Event()
    for number in (signal.SIGTERM, signal.SIGINT):
        asyncio.get_running_loop().add_signal_handler(number, over.set)
    latency_seconds = given.latency_ms / 1000
    async with BotApi(given.token, latency_seconds, journal=given.journal, port=given.port) as api:
        api.fail_share, api.chance, api.enforce_limits = given.fail_share, random.Random(given.seed), given.limits
        sys.stdout.write(f"{api.port}\n")
        sys.stdout.flush()
        await over.wait()


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--port", type=int, default=0)
    options.add_argument("--token", default="1:TEST")
    options.add_argument("--latency-ms", type=float, default=0.0)
    options.add_argument("--fail-share", type=float, default=0.0)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--journal", type=Path)
    options.add_argument("--limits", action="store_true", help="30 a second and one a second per chat")
    asyncio.run(_serve(options.parse_args()))


if __name__ == "__main__":
    main()
