from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from playwright.async_api import Browser

from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.conversation import real_talk
from bot.settings import Settings
from bot.words import Words
from tests.fakes.house import House, open_house
from tests.web.browser import Reader, a_browser
from tests.web.serving import Served
from tests.web.visitor import HOST, Visitor


@pytest.fixture(scope="session")
def words() -> Words:
    return Words()


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    """The real store and service with the real conversation."""
    async with open_house(tmp_path, talk=real_talk(Settings(data=tmp_path))) as opened:
        yield opened


@pytest.fixture
async def another(house: House, words: Words) -> AsyncIterator[Callable[[], Visitor]]:
    """Makes visitors, each with a browser of their own."""
    app = web_app(house, words, WebChannel())
    async with AsyncExitStack() as stack:
        clients: list[httpx.AsyncClient] = []

        def make() -> Visitor:
            client = httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HOST)
            clients.append(client)
            stack.push_async_callback(client.aclose)
            return Visitor(client)

        yield make


@pytest.fixture
async def visitor(another: Callable[[], Visitor]) -> Visitor:
    """Somebody who has just opened the page."""
    arrived = another()
    await arrived.look()
    return arrived


# --- the whole service in a process of its own, and a real browser ----------------------------------------------------


@pytest.fixture
async def served(tmp_path: Path) -> AsyncIterator[Served]:
    """The service, some days after a freeze in January."""
    service = Served(tmp_path)
    service.set_clock(datetime(2026, 1, 20, 20, 0, tzinfo=UTC))
    await asyncio.to_thread(service.start)
    try:
        yield service
    finally:
        await asyncio.to_thread(service.stop)


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    """A Chromium."""
    async with a_browser() as opened:
        yield opened


@pytest.fixture
async def reader(browser: Browser, served: Served) -> Reader:
    """Somebody with a phone who has just opened the page."""
    return await Reader.opening(browser, served.url)
