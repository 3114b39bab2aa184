"""The Bot API of the tests: its limits and pauses by a clock the test moves, its wire, its life as a process."""

from __future__ import annotations

import asyncio
import itertools
import math
import signal
import sys
from collections.abc import AsyncIterator
from datetime import timedelta

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from telegram import Bot
from telegram.error import Forbidden, NetworkError, RetryAfter

from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.fakes.bot_api_faults import asks_for_pause
from tests.fakes.bot_api_http import Request, fields_of, take_request
from tests.fakes.bot_api_pace import most_in_window

# --- limits ----------------------------------------------------------------------------------------------------------


class Hand:
    """A clock that the test moves."""

    def __init__(self) -> None:
        self.at = 1000.0

    def __call__(self) -> float:
        return self.at


@pytest.fixture
async def slow(monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[tuple[BotApi, Bot, Hand]]:
    monkeypatch.setenv("PTB_TIMEDELTA", "1")
    hand = Hand()
    made = BotApi(clock=hand)
    made.settings.limits = True
    async with running(made) as api, Bot(TOKEN, base_url=api.base_url) as bot:
        yield api, bot, hand


async def test_one_message_a_second_to_a_chat(slow: tuple[BotApi, Bot, Hand]) -> None:
    """The next is told to wait, and other chats are not."""
    api, bot, hand = slow
    await bot.send_message(7, "one")
    hand.at += 0.5
    with pytest.raises(RetryAfter) as told:
        await bot.send_message(7, "two")
    await bot.send_message(8, "one")
    hand.at += 1.0
    await bot.send_message(7, "two")

    assert told.value.retry_after == timedelta(seconds=1)
    assert (api.texts(7), api.pace().closest_in_chat_seconds) == (["one", "two"], 1.5)


async def test_thirty_messages_a_second_in_all(slow: tuple[BotApi, Bot, Hand]) -> None:
    """The next is told to wait and everything else with it; what comes all the same is noted as too early."""
    api, bot, hand = slow
    for chat in range(1, 31):
        await bot.send_message(chat, "one")
        hand.at += 0.01
    for chat in (31, 32):
        with pytest.raises(RetryAfter):
            await bot.send_message(chat, "one")
    assert [each.chat for each in api.early] == ["32"]
    hand.at += 1.0
    await bot.send_message(31, "one")

    assert api.pace().most_in_1_s == 30


async def test_twenty_messages_a_minute_to_a_group(slow: tuple[BotApi, Bot, Hand]) -> None:
    """Whatever the gap; the pause asked for lasts until there is room."""
    api, bot, hand = slow
    for number in range(20):
        await bot.send_message(-5, str(number))
        hand.at += 1.0
    with pytest.raises(RetryAfter) as told:
        await bot.send_message(-5, "20")
    assert told.value.retry_after == timedelta(seconds=40)
    hand.at += 40.0
    await bot.send_message(-5, "20")
    assert len(api.taken) == 21


async def test_an_asked_pause_holds(slow: tuple[BotApi, Bot, Hand]) -> None:
    """What comes before its end is refused with what is left of it."""
    api, bot, hand = slow
    api.next_calls(asks_for_pause(5))
    with pytest.raises(RetryAfter):
        await bot.send_message(7, "one")
    hand.at += 2.5
    with pytest.raises(RetryAfter) as told:
        await bot.send_message(8, "one")
    assert (told.value.retry_after, len(api.early)) == (timedelta(seconds=3), 1)
    hand.at += 2.5
    await bot.send_message(8, "one")
    assert (api.texts(), len(api.early)) == (["one"], 1)


@given(st.lists(st.floats(0, 2), max_size=30))
def test_the_busiest_second_is_found(gaps: list[float]) -> None:
    """The same as counting from every message on."""
    times = list(itertools.accumulate(gaps))
    slowly = max((sum(start <= at < start + 1.0 for at in times) for start in times), default=0)

    assert abs(most_in_window(times, 1.0) - slowly) <= _on_the_edge(times)


def _on_the_edge(times: list[float]) -> int:
    """How many pairs stand so nearly a second apart that rounding decides."""
    return sum(math.isclose(later - at, 1.0, abs_tol=1e-9) for at, later in itertools.combinations(times, 2))


# --- the wire --------------------------------------------------------------------------------------------------------


@given(st.lists(st.binary(max_size=60), min_size=1, max_size=4), st.booleans(), st.data())
def test_requests_are_read_however_they_are_cut(bodies: list[bytes], chunked: bool, data: st.DataObject) -> None:
    """Several on one connection, in pieces of any size, with a length or in chunks."""
    wire = b"".join(_chunked(body) if chunked else _plain(body) for body in bodies)
    buffer, found = bytearray(), []
    while wire:
        size = data.draw(st.integers(1, len(wire)))
        buffer += wire[:size]
        wire = wire[size:]
        while (request := take_request(buffer)) is not None:
            found.append(request.body)

    assert (found, bytes(buffer)) == (bodies, b"")


def _plain(body: bytes) -> bytes:
    return b"POST /x?a=%%20b HTTP/1.1\r\nContent-Length: %d\r\n\r\n%b" % (len(body), body)


def _chunked(body: bytes) -> bytes:
    parts = b"".join(b"%x\r\n%b\r\n" % (len(part), part) for part in (body[:7], body[7:]) if part)
    return b"POST /x HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n" + parts + b"0\r\n\r\n"


@given(st.dictionaries(st.from_regex(r"[a-z_]{1,8}", fullmatch=True), st.text(max_size=30)), st.binary(max_size=200))
def test_forms_are_read_as_the_client_writes_them(fields: dict[str, str], content: bytes) -> None:
    """Plain and with files, whatever letters and bytes."""
    plain = httpx.Request("POST", "http://x/", data=fields)
    mixed = httpx.Request("POST", "http://x/", data=fields, files={"photo": ("a.jpg", content, "image/jpeg")})

    assert fields_of(_as_taken(plain)) == (fields, {})
    read, files = fields_of(_as_taken(mixed))
    assert (read, files["photo"].content) == (fields, content)


def _as_taken(request: httpx.Request) -> Request:
    return Request(verb="POST", path="/", query={}, headers=dict(request.headers), body=request.read())


# --- in a process of its own -----------------------------------------------------------------------------------------


async def test_it_runs_in_a_process_of_its_own() -> None:
    """Its first line is its address; it is fed, told and asked over HTTP, and ends at a signal."""
    command = (sys.executable, "-m", "tests.fakes.bot_api", "--latency-ms", "1")
    process = await asyncio.create_subprocess_exec(*command, stdout=asyncio.subprocess.PIPE)
    assert process.stdout is not None
    url = (await process.stdout.readline()).decode().strip()
    async with Bot(TOKEN, base_url=f"{url}/bot") as bot, httpx.AsyncClient(base_url=url) as control:
        await control.post("/control/push", json={"do": "says", "number": 7, "text": "hello"})
        await control.post("/control/settings", json={"blocked": ["8"], "limits": True})
        await control.post("/control/faults", json=[{"status": 500, "takes": False}])
        (update,) = await bot.get_updates()
        for chat, error in ((7, NetworkError), (8, Forbidden)):
            with pytest.raises(error):
                await bot.send_message(chat, "one")
        await bot.send_message(7, "two")
        state = (await control.get("/control/state")).json()
        messages = (await control.get("/control/messages")).json()
        wrong = await control.post("/control/settings", json={"speed": 9})
    process.send_signal(signal.SIGTERM)

    assert await asyncio.wait_for(process.wait(), 10) == 0
    assert update.message is not None and update.message.text == "hello"
    assert (state["taken"], state["pending"], wrong.status_code) == (1, 1, 400)
    assert state["answers"] == {"200": 3, "500": 1, "403": 1}
    assert [(each["chat_id"], each["text"]) for each in messages] == [(7, "two")]
