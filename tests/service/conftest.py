from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from pathlib import Path

import pytest

from tests.fakes.house import House, open_house


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    async with open_house(tmp_path) as opened:
        yield opened


@pytest.fixture
def refusals() -> list[str]:
    """For tests in which the database is meant to refuse something."""
    return ["expected"]


@pytest.fixture(autouse=True)
def _no_silent_refusals(request: pytest.FixtureRequest, caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """A statement that the database refuses is taken apart and survived; only tests about that may do it."""
    yield
    if "refusals" not in request.fixturenames:
        assert "refused" not in caplog.text
