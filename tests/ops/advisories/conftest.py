from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from bot.ops.advisories.office import Beside
from bot.ops.desk.advisory_pages import AdvisoryRoom
from bot.settings import Settings
from tests.fakes.desk import DeskHouse, open_desk
from tests.ops.advisories.town import KNOWN, TERMS, WORDS, Town, open_town


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder of a test's own."""
    return tmp_path / "data"


@pytest.fixture
async def town(folder: Path) -> AsyncIterator[Town]:
    async with open_town(folder) as opened:
        yield opened


@pytest.fixture
async def desk(town: Town) -> AsyncIterator[DeskHouse]:
    room = AdvisoryRoom(KNOWN, Settings(), Beside(terms=TERMS, committed=lambda: None))
    async with open_desk(town.house, WORDS, [room]) as opened:
        yield opened
