from __future__ import annotations

import shutil
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from bot.store.migrate import bring_up_to_date
from bot.store.store import DATABASE_FILE
from tests.ops.advisories.town import Town, open_town


@pytest.fixture(scope="session")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with its tables. Making them takes longer than most of these tests."""
    folder = tmp_path_factory.mktemp("made")
    bring_up_to_date(f"sqlite:///{folder / DATABASE_FILE}")
    return folder


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    """A folder of a test's own."""
    return shutil.copytree(made, tmp_path / "data")


@pytest.fixture
async def town(folder: Path) -> AsyncIterator[Town]:
    async with open_town(folder) as opened:
        yield opened
