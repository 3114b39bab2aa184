"""Services to ask, a client with no waiting in it, and a clock that stands on an afternoon after a freeze."""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import UTC, datetime

import pytest

from bot.clock import SetClock
from bot.weather.live.http import Patience, Web
from tests.fakes.weather_services import WeatherServices, serving

NOW = datetime(2027, 1, 20, 20, 30, tzinfo=UTC)  # 15:30 on the Tarrow coast
QUICK = Patience(first_wait_seconds=0.0, longest_wait_seconds=0.0, jitter_seconds=0.0, answer_seconds=2.0)


@pytest.fixture
def clock() -> SetClock:
    return SetClock(NOW)


@pytest.fixture
def services() -> WeatherServices:
    return WeatherServices()


@pytest.fixture
async def address(services: WeatherServices) -> AsyncIterator[str]:
    async with serving(services) as address:
        yield address


@pytest.fixture
async def web(clock: SetClock) -> AsyncIterator[Web]:
    async with Web(contact="lawns@tarrow.invalid", cache_file=None, clock=clock, patience=QUICK) as web:
        yield web
