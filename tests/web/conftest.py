from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AsyncExitStack
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
import pytest_asyncio
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
#
# Both take seconds to start, so tests share them: each has a browser context of its own, which to the service is
# somebody it has never seen. Who moves its clock or kills it takes `own_served`.


def served_in(folder: Path) -> Iterator[Served]:
    service = Served(folder)
    service.set_clock(datetime(2026, 1, 20, 20, 0, tzinfo=UTC))
    service.start()
    try:
        yield service
    finally:
        service.stop()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The service, some days after a freeze in January."""
    yield from served_in(tmp_path_factory.mktemp("served"))


@pytest.fixture
def own_served(tmp_path: Path) -> Iterator[Served]:
    """The same for one test alone."""
    yield from served_in(tmp_path)


@pytest_asyncio.fixture(scope="session", loop_scope="session")
async def browser() -> AsyncIterator[Browser]:
    """A Chromium. Tests that use it run in the loop of the session."""
    async with a_browser() as opened:
        yield opened


@pytest_asyncio.fixture(loop_scope="session")
async def reader(browser: Browser, served: Served) -> AsyncIterator[Reader]:
    """Somebody with a phone who has just opened the page."""
    reader = await Reader.opening(browser, served.url)
    yield reader
    await reader.page.context.close()


@pytest_asyncio.fixture(loop_scope="session")
async def own_reader(browser: Browser, own_served: Served) -> AsyncIterator[Reader]:
    """The same at a service of their own."""
    reader = await Reader.opening(browser, own_served.url)
    yield reader
    await reader.page.context.close()
