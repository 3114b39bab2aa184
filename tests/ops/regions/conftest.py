from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from tests.fakes.house import House, open_house
from tests.ops.regions.homes import Homes


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    async with open_house(tmp_path) as opened:
        yield opened


@pytest.fixture
def homes(house: House) -> Homes:
    return Homes(house)
