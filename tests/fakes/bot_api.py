"""Telegram's Bot API as the real client sees it, on this machine. In a test:

    async with running() as api:
        bot = telegram.Bot(TOKEN, base_url=api.base_url, base_file_url=api.base_file_url)
        api.people.says(7, "hello")                  # an update in the queue; see bot_api_people.py for the others
        ... the code under test fetches, answers ...
        assert api.texts(7) == ["Hello!"]            # what was delivered to a chat
        api.people.presses_button(7, "q3:1")         # of the last message that has such a button
        api.next_calls(asks_for_pause(2), hangs())   # faults for the next sends; see bot_api_faults.py
        api.settings.limits = True                   # flood limits; also latency, failures by chance, doubled updates
        api.chats.blocked.add("7")                   # nobody there
        api.pace().most_in_1_s                       # how fast it came

In a process of its own (it prints its address first and ends with its standard input or a signal):

    python -m tests.fakes.bot_api --port 0 --latency-ms 50 --limits

    GET  /control/state       counts, pace, webhook, how much of the processor was used
    GET  /control/messages    what was delivered (?after=100 leaves out the first hundred)
    POST /control/settings    {"latency_ms": 0, "limits": true, "blocked": ["7"], "moved": {"-5": -1005}}
    POST /control/faults      [{"status": 429, "takes": false, "retry_after": 2}, {"after_seconds": 40}]
    POST /control/push        {"do": "says", "number": 7, "text": "hello"}
    POST /control/reset       forget what was delivered and called
"""

from __future__ import annotations

import argparse
import asyncio
import contextlib
import json
import math
import re
import signal
import sys
import time
from collections import Counter
from collections.abc import AsyncIterator, Callable, Coroutine
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from urllib.parse import unquote

from tests.fakes.bot_api_faults import GATEWAY_PAGE, Chats, Fault, Faults, FloodGate, Refusal, Settings
from tests.fakes.bot_api_files import Files
from tests.fakes.bot_api_http import Json, Reply, Request, Serving, fields_of, json_reply
from tests.fakes.bot_api_methods import METHODS, NAMES, SENDS, Call, Taken
from tests.fakes.bot_api_pace import Pace, pace_of
from tests.fakes.bot_api_people import People, from_wire
from tests.fakes.bot_api_updates import Updates

TOKEN = "5550100:made-up-for-the-tests-and-nothing-else"
ME: Json = {"id": 5550100, "is_bot": True, "first_name": "Lawn", "username": "lawn_under_test_bot"}
_PATH = re.compile(r"/(file/)?bot([^/]*)/(.+)")
_TOKEN_SHAPE = re.compile(r"\d+:[A-Za-z0-9_-]{30,}")


@dataclass(frozen=True, slots=True)
class Seen:
    """One call that came in, and what it was answered: 0 for no answer."""

    method: str
    chat: str
    at_seconds: float
    status: int


@dataclass(slots=True, kw_only=True)
class BotApi:
    """What it was told, what it holds, how it behaves."""

    token: str = TOKEN
    me: Json = field(default_factory=lambda: dict(ME))
    settings: Settings = field(default_factory=Settings)
    now: Callable[[], datetime] = lambda: datetime.now(UTC)
    clock: Callable[[], float] = time.monotonic
    chats: Chats = field(default_factory=Chats)
    files: Files = field(default_factory=Files)
    taken: list[Taken] = field(default_factory=list)
    calls: list[Seen] = field(default_factory=list)
    early: list[Seen] = field(default_factory=list)  # sends that came while an asked pause was running
    edited: list[Json] = field(default_factory=list)
    answered: dict[str, str] = field(default_factory=dict)  # presses that were answered, with the words
    commands: dict[str, str] = field(default_factory=dict)
    description: str = ""
    url: str = ""
    faults: Faults = field(init=False)
    gate: FloodGate = field(init=False)
    updates: Updates = field(init=False)
    people: People = field(init=False)
    serving: Serving | None = None

    def __post_init__(self) -> None:
        self.faults = Faults(self.settings)
        self.gate = FloodGate(self.settings, self.clock)
        self.updates = Updates(self.settings, self.clock, lambda: int(self.now().timestamp()))
        self.people = People(self.updates, self.files, self.now, self.me)
        self.people.is_blocking = self._block

    @property
    def base_url(self) -> str:
        """For the client."""
        return f"{self.url}/bot"

    @property
    def base_file_url(self) -> str:
        """For the client."""
        return f"{self.url}/file/bot"

    def texts(self, chat: int | None = None) -> list[str]:
        """What was delivered, in order."""
        return [one.text for one in self.taken if chat in (None, one.chat_id)]

    def next_calls(self, *faults: Fault) -> None:
        """The next calls they wait for meet these faults, one each."""
        self.faults.scripted.extend(faults)

    def count(self, method: str) -> int:
        """How often a method was called, however it was answered."""
        return sum(each.method == method for each in self.calls)

    def pace(self) -> Pace:
        """How fast messages came."""
        return pace_of(self.taken)

    def _block(self, number: int, is_so: bool) -> None:
        (self.chats.blocked.add if is_so else self.chats.blocked.discard)(str(number))

    # --- one request -------------------------------------------------------------------------------------------------

    def handle(self, request: Request) -> Reply | Coroutine[Any, Any, Reply]:
        """Answer one request."""
        found = _PATH.fullmatch(unquote(request.path))
        if found is None:
            return self._control(request) if request.path.startswith("/control/") else _not_found()
        in_files, token, rest = found.groups()
        if token != self.token:
            return Refusal(401, "Unauthorized").reply() if _TOKEN_SHAPE.fullmatch(token) else _not_found()
        if in_files:
            return self._download(rest)
        try:
            fields, files = fields_of(request)
        except ValueError as error:
            return Refusal(400, f"Bad Request: {error}").reply()
        return self._call(Call(NAMES.get(rest.lower(), rest), fields, files, self.clock()))

    def _download(self, path: str) -> Reply:
        fault = self.faults.next_for("download", sends=False)
        if fault is not None and not fault.takes:
            return _faulty(fault, self._late(fault))
        try:
            reply = Reply(body=self.files.fetch(path), media_type=b"application/octet-stream")
        except Refusal as refusal:
            reply = refusal.reply()
        return Reply(
            status=reply.status,
            body=reply.body,
            media_type=reply.media_type,
            after_seconds=self._late(fault),
            breaks=fault is not None and fault.breaks,
        )

    def _call(self, call: Call) -> Reply | Coroutine[Any, Any, Reply]:
        sends = call.method in SENDS
        fault = self.faults.next_for(call.method, sends=sends)
        if fault is not None and not fault.takes:
            return self._meet(fault, call)
        method = METHODS.get(call.method)
        if method is None:
            return self._answer(call, Refusal(404, "Not Found: method not found"), fault)
        try:
            if call.chat:
                self.chats.check(call.chat)
            if sends:
                self._let_pass(call)
            result = method(self, call)
        except Refusal as refusal:
            return self._answer(call, refusal, fault)
        if asyncio.iscoroutine(result):
            return self._wait_for(call, result, fault)
        return self._answer(call, result, fault)

    def _let_pass(self, call: Call) -> None:
        """Raises Refusal for what comes too fast."""
        held = self.gate.held(call.chat)
        if held is not None:
            self._note_early(call)
            raise held
        self.gate.pass_on(call.chat, len(call.json("media", [0])))

    def _note_early(self, call: Call) -> None:
        """What was sent before the answer that asked for the pause could be back is not to blame."""
        if call.at_seconds >= self.gate.asked_at + self.settings.latency_ms / 1000:
            self.early.append(Seen(call.method, call.chat, call.at_seconds, 429))

    async def _wait_for(self, call: Call, result: Coroutine[Any, Any, object], fault: Fault | None) -> Reply:
        try:
            return self._answer(call, await result, fault, is_late_already=True)
        except Refusal as refusal:
            return self._answer(call, refusal, fault)

    def _answer(self, call: Call, result: object, fault: Fault | None, *, is_late_already: bool = False) -> Reply:
        """Write the answer, and note what it was."""
        late = self._late(fault) - (self.settings.latency_ms / 1000 if is_late_already else 0.0)
        if isinstance(result, Refusal):
            reply = result.reply()
        else:
            reply = json_reply({"ok": True, "result": result})
        breaks = fault is not None and fault.breaks
        is_answered = not breaks and math.isfinite(late)
        self.calls.append(Seen(call.method, call.chat, call.at_seconds, reply.status if is_answered else 0))
        return Reply(status=reply.status, body=reply.body, after_seconds=late, breaks=breaks)

    def _meet(self, fault: Fault, call: Call) -> Reply:
        """A fault before anything is done."""
        if fault.retry_after:
            held = self.gate.held(call.chat)
            if held is not None:
                self._note_early(call)
            return self._answer(call, self.gate.pause(fault.retry_after), fault)
        self.calls.append(Seen(call.method, call.chat, call.at_seconds, 0 if fault.breaks else fault.status))
        return _faulty(fault, self._late(fault))

    def _late(self, fault: Fault | None) -> float:
        return self.settings.latency_ms / 1000 + (fault.after_seconds if fault is not None else 0.0)

    # --- looking in from another process -----------------------------------------------------------------------------

    def _control(self, request: Request) -> Reply:
        wanted = request.path.removeprefix("/control/")
        try:
            if request.verb == "GET" and wanted in ("state", "messages"):
                return json_reply(self.state() if wanted == "state" else self._messages(request))
            return json_reply(self._told(wanted, json.loads(request.body or b"{}")))
        except (KeyError, ValueError, TypeError, LookupError) as error:
            return json_reply({"error": f"{type(error).__name__}: {error}"}, 400)

    def _told(self, wanted: str, body: Any) -> object:
        if wanted == "settings":
            chats = {name: body.pop(name) for name in ("blocked", "unknown", "moved") if name in body}
            self.settings.change(body)
            self.chats.change(chats)
        elif wanted == "faults":
            self.next_calls(*(Fault(**each) for each in body))
        elif wanted == "push":
            return from_wire(self.people, body)
        elif wanted == "reset":
            for each in (self.taken, self.calls, self.early, self.edited, self.faults.scripted):
                each.clear()
        else:
            raise KeyError(wanted)
        return self.state()

    def state(self) -> Json:
        """Everything that counts."""
        pace = self.pace()
        closest = pace.closest_in_chat_seconds
        return {
            "taken": len(self.taken),
            "calls": dict(Counter(each.method for each in self.calls)),
            "answers": dict(Counter(str(each.status) for each in self.calls)),
            "early": len(self.early),
            "most_in_1_s": pace.most_in_1_s,
            "closest_in_chat_seconds": closest if math.isfinite(closest) else None,
            "seconds": pace.seconds,
            "repeated": len(pace.repeated),
            "pending": len(self.updates.pending),
            "confirmed": len(self.updates.confirmed),
            "webhook": self.updates.webhook.url,
            "cpu_seconds": time.process_time(),
        }

    def _messages(self, request: Request) -> list[Json]:
        after = int(request.query.get("after", "0"))
        return [
            {
                "method": each.method,
                "chat_id": each.chat_id,
                "message_id": each.message_id,
                "text": each.text,
                "reply_markup": each.reply_markup,
                "at_seconds": each.at_seconds,
                "files": [[one.name, len(one.content)] for one in each.files],
            }
            for each in self.taken[after:]
        ]


def _not_found() -> Reply:
    return Refusal(404, "Not Found").reply()


def _faulty(fault: Fault, late: float) -> Reply:
    if fault.page:
        body, media_type = GATEWAY_PAGE, b"text/html"
    else:
        plain = Refusal(fault.status or 500, fault.description or "Internal Server Error").reply()
        body, media_type = plain.body, plain.media_type
    return Reply(
        status=fault.status or 500, body=body, media_type=media_type, after_seconds=late, breaks=fault.breaks
    )  # fmt: skip


# --- running ---------------------------------------------------------------------------------------------------------


@contextlib.asynccontextmanager
async def running(api: BotApi | None = None, port: int = 0) -> AsyncIterator[BotApi]:
    """A fake that answers at `base_url`. A port of before lets a client find it again."""
    api = api or BotApi()
    api.serving = await Serving.open(api.handle, port)
    api.url = api.serving.url
    try:
        yield api
    finally:
        await api.updates.close()
        await api.serving.close()


def main() -> int:
    """Run until told to stop."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--port", type=int, default=0)
    parser.add_argument("--latency-ms", type=float, default=0.0)
    parser.add_argument("--limits", action="store_true")
    parser.add_argument("--failing-fraction", type=float, default=0.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--token", default=TOKEN)
    asked = vars(parser.parse_args())
    port, token = asked.pop("port"), asked.pop("token")
    asyncio.run(_serve(BotApi(token=token, settings=Settings(**asked)), port))
    return 0


async def _serve(api: BotApi, port: int) -> None:
    async with running(api, port):
        sys.stdout.write(f"{api.url}\n")
        sys.stdout.flush()
        stop = asyncio.Event()
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, signal.SIGINT):
            loop.add_signal_handler(number, stop.set)
        await stop.wait()


if __name__ == "__main__":
    sys.exit(main())
