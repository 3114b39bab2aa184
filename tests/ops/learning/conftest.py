from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from tests.fakes.house import House, open_house
from tests.ops.learning.town import AFTER


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    async with open_house(tmp_path, at=AFTER) as opened:
        yield opened
