"""News for open pages: what was said reaches them, once, and nobody holds more than a fair number of them open."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from contextlib import ExitStack, asynccontextmanager
from typing import Any

import httpx
import pytest

from bot.channels.web.app import web_app
from bot.channels.web.keys import COOKIE, address_of
from bot.channels.web.push import PAGES_OF_ONE, WebChannel
from bot.talk.ports import Rendered
from bot.words import Words
from tests.fakes.house import House
from tests.web.visitor import HOST, Visitor, plain


class Page:
    """One page in front of the application, and what its stream has brought so far."""

    def __init__(self, app: Any, channel: WebChannel, visitor: Visitor) -> None:
        self.app = app
        self.channel = channel
        self.visitor = visitor

    @property
    def key(self) -> str:
        """The visitor's key."""
        return self.visitor.client.cookies[COOKIE]

    async def wake(self) -> None:
        """What the courier does when something was said."""
        await self.channel.send(address_of(self.key), 1, Rendered(text="not looked at"))

    @asynccontextmanager
    async def stream(self, *, after: int = 0, last_id: str = "") -> AsyncIterator[asyncio.Queue[Any]]:
        """An open stream: what comes out of it, event by event, and None at its end."""
        events: asyncio.Queue[Any] = asyncio.Queue()
        gone = asyncio.Event()
        headers = [(b"cookie", f"{COOKIE}={self.key}".encode()), (b"host", b"afterfrost.test")]
        if last_id:
            headers.append((b"last-event-id", last_id.encode()))
        scope = {
            "type": "http",
            "method": "GET",
            "path": "/stream",
            "query_string": f"after={after}".encode(),
            "headers": headers,
        }

        async def receive() -> dict[str, Any]:
            await gone.wait()
            return {"type": "http.disconnect"}

        async def send(message: dict[str, Any]) -> None:
            if message["type"] == "http.response.start":
                events.put_nowait(message["status"])
            for line in message.get("body", b"").decode().splitlines():
                if line.startswith("data: "):
                    events.put_nowait(json.loads(line.removeprefix("data: ")))
            if message["type"] == "http.response.body" and not message.get("more_body"):
                events.put_nowait(None)

        async with asyncio.TaskGroup() as group:
            group.create_task(self.app(scope, receive, send))
            try:
                yield events
            finally:
                gone.set()


@pytest.fixture
async def page(house: House, words: Words) -> AsyncIterator[Page]:
    channel = WebChannel()
    app = web_app(house, words, channel)
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HOST) as client:
        visitor = Visitor(client)
        await visitor.look()
        yield Page(app, channel, visitor)


async def next_of(events: asyncio.Queue[Any]) -> Any:
    async with asyncio.timeout(5):
        return await events.get()


async def test_what_is_said_reaches_an_open_page(page: Page) -> None:
    """As finished HTML of the new lines, with the turn to go on after."""
    async with page.stream() as events:
        assert await next_of(events) == 200
        assert "Where is the lawn?" in plain((await next_of(events))["html"])
        await page.visitor.say("31522")
        await page.wake()
        news = await next_of(events)

        assert "Glynn County" in plain(news["html"])
        assert "Where is the lawn?" not in plain(news["html"])
        assert news["live"]["of"] in news["html"]


async def test_a_page_that_comes_back_gets_what_it_missed_and_no_more(page: Page) -> None:
    """The browser says what it saw last."""
    async with page.stream() as events:
        await next_of(events)
        last = (await next_of(events))["turn"]
    await page.visitor.say("31522")
    async with page.stream(after=0, last_id=str(last)) as events:
        await next_of(events)
        news = await next_of(events)

        assert "Glynn County" in plain(news["html"])
        assert "Where is the lawn?" not in plain(news["html"])


async def test_being_woken_for_nothing_says_nothing(page: Page) -> None:
    """A message that is sent twice is on the page once."""
    async with page.stream() as events:
        await next_of(events)
        await next_of(events)
        for _ in range(5):
            await page.wake()
            await asyncio.sleep(0.01)

        assert events.empty()


async def test_an_erased_homeowner_is_led_away(page: Page) -> None:
    """The stream says where to go, and ends."""
    async with page.stream() as events:
        await next_of(events)
        await next_of(events)
        await page.visitor.say("forget me")
        key = page.key
        form = {**page.visitor.fields("say"), "text": "yes"}
        await page.visitor.client.post("/say", data=form, headers={"origin": HOST})
        await page.channel.send(address_of(key), 1, Rendered(text="farewell"))
        heard = [await next_of(events) for _ in range(2)]

        assert {"go": "/goodbye"} in heard


async def test_stopping_ends_every_stream(page: Page) -> None:
    """At once, so that a stop takes no longer than it must."""
    async with page.stream() as events:
        await next_of(events)
        await next_of(events)
        page.channel.close()

        assert await next_of(events) is None


async def test_one_homeowner_keeps_so_many_pages_awake_and_no_more(page: Page) -> None:
    """One more is turned away in words, and a place that comes free is given again."""
    address = address_of(page.key)
    with ExitStack() as others:
        for _ in range(PAGES_OF_ONE):
            others.enter_context(page.channel.listening(address))
        answer = await page.visitor.client.get("/stream")

        assert answer.status_code == 503
        assert "<h2>" in answer.text
        assert page.channel.has_room("somebody else")
    assert page.channel.has_room(address)


async def test_nobody_without_a_key_listens(page: Page) -> None:
    """A stranger gets no stream."""
    page.visitor.client.cookies.clear()

    assert (await page.visitor.client.get("/stream")).status_code == 503
