"""What goes wrong at the fake, and what it allows: settings, scripted faults, flood limits, chats that are closed."""

from __future__ import annotations

import math
import random
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from typing import Any

from tests.fakes.bot_api_http import Json, Reply, json_reply

GATEWAY_PAGE = b"<html><head><title>502 Bad Gateway</title></head><body><h1>502 Bad Gateway</h1></body></html>"


class Refusal(Exception):
    """A call is answered with an error."""

    def __init__(self, status: int, description: str, **parameters: float) -> None:
        super().__init__(description)
        self.status = status
        self.description = description
        self.parameters = parameters

    def reply(self) -> Reply:
        """The error as it is written."""
        body: Json = {"ok": False, "error_code": self.status, "description": self.description}
        if self.parameters:
            body["parameters"] = self.parameters
        return json_reply(body, self.status)


def too_many(seconds: float) -> Refusal:
    """A pause is asked for. The real one asks for whole seconds; a fraction keeps a test short."""
    asked = int(seconds) if float(seconds).is_integer() else round(seconds, 3)
    return Refusal(429, f"Too Many Requests: retry after {asked}", retry_after=asked)


# --- scripted --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """What becomes of one call: whether it is taken, and what is answered when.

    method : the call it waits for ("getUpdates"); "" for anything that sends a message, "*" for any call at all,
        "download" for the fetching of a file
    takes : the call has its effect (a message is delivered)
    breaks : no answer, the connection ends
    after_seconds : the answer comes so much later; infinity: never
    status, description : the error in place of the answer; 0 for the right answer
    retry_after : asks for a pause of the whole bot
    page : the body is a gateway's page, not JSON
    """

    method: str = ""
    takes: bool = True
    breaks: bool = False
    after_seconds: float = 0.0
    status: int = 0
    description: str = ""
    retry_after: float = 0.0
    page: bool = False

    def fits(self, method: str, *, sends: bool) -> bool:
        """Whether it waits for this call."""
        if self.method:
            return self.method in ("*", method)
        return sends


def asks_for_pause(seconds: float, method: str = "") -> Fault:
    """429 with retry_after."""
    return Fault(method=method, takes=False, status=429, retry_after=seconds)


def refuses(status: int, description: str = "", method: str = "") -> Fault:
    """An error in JSON; the message is not delivered."""
    return Fault(method=method, takes=False, status=status, description=description)


def gateway_page(status: int = 502, method: str = "") -> Fault:
    """An error of something before the server: a page, not JSON."""
    return Fault(method=method, takes=False, status=status, page=True)


def hangs_up(*, after_taking: bool, method: str = "") -> Fault:
    """The connection breaks, before or after the message is delivered."""
    return Fault(method=method, takes=after_taking, breaks=True)


def hangs(seconds: float = math.inf, method: str = "") -> Fault:
    """Delivered, but the answer comes late or never."""
    return Fault(method=method, after_seconds=seconds)


def works(method: str = "") -> Fault:
    """Nothing goes wrong: a good call between two bad ones."""
    return Fault(method=method)


AT_RANDOM = (
    refuses(500, "Internal Server Error"),
    gateway_page(),
    hangs_up(after_taking=False),
    hangs_up(after_taking=True),
    asks_for_pause(1),
)


# --- settings --------------------------------------------------------------------------------------------------------


@dataclass(slots=True, kw_only=True)
class Settings:
    """How the fake behaves; may be changed at any time.

    latency_ms : every answer but a long poll's comes so late; what a call does is done when it comes in
    limits : whether flood limits are kept; `overall_per_second`, `chat_gap_seconds`, `group_per_minute` are those,
        and `slack_seconds` is what the way may have shortened a gap by
    flood_seconds : the least pause asked for
    pauses_hold : what comes before an asked pause is over is refused again, and noted in `early`
    failing_fraction, seed : so many sends go wrong in one of the ways of `AT_RANDOM` (or those set in code)
    updates_twice, updates_shuffled : every update comes a second time; a batch comes in any order
    backoff_seconds : before an update is sent to the webhook again; doubles up to a minute
    press_seconds : how long a press may be answered
    """

    latency_ms: float = 0.0
    limits: bool = False
    overall_per_second: int = 30
    chat_gap_seconds: float = 1.0
    group_per_minute: int = 20
    slack_seconds: float = 0.02
    flood_seconds: float = 1.0
    pauses_hold: bool = True
    failing_fraction: float = 0.0
    seed: int = 1
    updates_twice: bool = False
    updates_shuffled: bool = False
    backoff_seconds: float = 1.0
    press_seconds: float = 15.0

    def change(self, wanted: Json) -> None:
        """Set what is named. Raises ValueError for a name that is none."""
        names = {each.name for each in fields(self)}
        if strange := wanted.keys() - names:
            raise ValueError(f"no settings: {', '.join(sorted(strange))}")
        for name, value in wanted.items():
            setattr(self, name, value)


@dataclass(slots=True)
class Faults:
    """Which fault the next call meets."""

    settings: Settings
    scripted: deque[Fault] = field(default_factory=deque)
    kinds: tuple[Fault, ...] = AT_RANDOM
    _chance: random.Random | None = None

    def next_for(self, method: str, *, sends: bool) -> Fault | None:
        """The first scripted fault that waits for such a call; else one by chance, for what sends."""
        for place, fault in enumerate(self.scripted):
            if fault.fits(method, sends=sends):
                del self.scripted[place]
                return fault
        if sends and self.settings.failing_fraction:
            return self._by_chance()
        return None

    def _by_chance(self) -> Fault | None:
        if self._chance is None:
            self._chance = random.Random(self.settings.seed)
        is_failing = self._chance.random() < self.settings.failing_fraction
        return self._chance.choice(self.kinds) if is_failing else None


# --- limits ----------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class FloodGate:
    """Flood limits and the pauses they lead to, of the whole bot ("") and of single chats."""

    settings: Settings
    clock: Callable[[], float]
    asked_at: float = -math.inf
    _pauses: dict[str, tuple[float, bool]] = field(default_factory=dict)
    _overall: deque[float] = field(default_factory=deque)
    _chats: dict[str, deque[float]] = field(default_factory=dict)

    def pause(self, seconds: float, chat: str = "") -> Refusal:
        """Ask for a pause from now on."""
        self.asked_at = self.clock()
        self._pauses[chat] = (self.asked_at + seconds, float(seconds).is_integer())
        return too_many(seconds)

    def held(self, chat: str) -> Refusal | None:
        """Whether a pause runs that this send should have waited for."""
        if not self._pauses or not self.settings.pauses_hold:
            return None
        now = self.clock()
        for scope in ("", chat):
            until, is_whole = self._pauses.get(scope, (0.0, True))
            if now < until - self.settings.slack_seconds:
                return too_many(math.ceil(until - now) if is_whole else until - now)
            self._pauses.pop(scope, None)
        return None

    def pass_on(self, chat: str, count: int = 1) -> None:
        """Let so many messages to a chat pass. Raises Refusal where that is too fast."""
        if not self.settings.limits:
            return
        now = self.clock()
        settings = self.settings
        mine = self._chats.setdefault(chat, deque())
        self._need_room(self._overall, now, 1.0, settings.overall_per_second - count + 1, "")
        if chat.startswith("-"):
            self._need_room(mine, now, 60.0, settings.group_per_minute - count + 1, chat)
        else:
            self._need_room(mine, now, settings.chat_gap_seconds - settings.slack_seconds, 1, chat)
        for sent in (self._overall, mine):
            sent.extend([now] * count)

    def _need_room(self, sent: deque[float], now: float, window: float, most: int, chat: str) -> None:
        while sent and sent[0] <= now - window:
            sent.popleft()
        if len(sent) >= most:
            room_in = sent[len(sent) - most] + window - now if most > 0 else window
            raise self.pause(max(self.settings.flood_seconds, math.ceil(room_in)), chat)


# --- chats -----------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Chats:
    """Chats that cannot be written to."""

    blocked: set[str] = field(default_factory=set)
    unknown: set[str] = field(default_factory=set)
    moved: dict[str, int] = field(default_factory=dict)

    def check(self, chat: str) -> None:
        """Raises Refusal for a chat that is closed, gone or elsewhere."""
        if chat in self.moved:
            text = "Bad Request: group chat was upgraded to a supergroup chat"
            raise Refusal(400, text, migrate_to_chat_id=self.moved[chat])
        if chat in self.unknown:
            raise Refusal(400, "Bad Request: chat not found")
        if chat in self.blocked:
            raise Refusal(403, "Forbidden: bot was blocked by the user")

    def change(self, wanted: dict[str, Any]) -> None:
        """Set what is named: lists of chats, and where a chat moved to."""
        self.blocked = {str(each) for each in wanted.get("blocked", self.blocked)}
        self.unknown = {str(each) for each in wanted.get("unknown", self.unknown)}
        self.moved = {str(old): int(new) for old, new in wanted.get("moved", self.moved).items()}
