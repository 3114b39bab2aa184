from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from playwright.async_api import Browser

from bot.words import Words
from tests.fakes.desk import DeskHouse, open_desk
from tests.fakes.house import House, open_house
from tests.web.browser import a_browser


@pytest.fixture(scope="session")
def words() -> Words:
    return Words()


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    """The real store and service."""
    async with open_house(tmp_path / "data") as opened:
        yield opened


@pytest.fixture
async def at(house: House, words: Words) -> AsyncIterator[DeskHouse]:
    """The desk in front of the house, with its own rooms."""
    async with open_desk(house, words) as opened:
        yield opened


@pytest_asyncio.fixture(scope="session", loop_scope="session")
async def browser() -> AsyncIterator[Browser]:
    """A Chromium. Tests that use it run in the loop of the session."""
    async with a_browser() as opened:
        yield opened
