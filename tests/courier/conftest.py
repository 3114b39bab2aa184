from __future__ import annotations

import asyncio
import random
from collections.abc import AsyncIterator, Callable, Mapping
from pathlib import Path

import pytest

from bot.channels.channel import Channel
from bot.courier import Courier
from bot.terms import Terms
from tests.fakes.far_side import FarSide
from tests.fakes.house import House, open_house


class Post:
    """A house with a courier and one far side."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.far = FarSide()
        self._couriers: list[Courier] = []

    def start(self, *channels: Channel, in_flight: int = 1, terms: Mapping[str, Terms] | None = None) -> Courier:
        """Start a courier, as a new process would."""
        courier = Courier(
            self.house.store,
            channels or (self.far,),
            self.house.clock,
            terms={"web": Terms(in_flight=in_flight)} | (terms or {}),
            chance=random.Random(5),
        )
        courier.start()
        self.house.on_commit[:] = [courier.wake]
        self._couriers.append(courier)
        return courier

    async def kill(self, courier: Courier) -> None:
        """End a courier wherever it is. What it had already sent on to the database is not undone."""
        self.house.on_commit.clear()
        await courier.drain(0)

    def pending(self) -> int:
        """How many rows wait."""
        return int(self.house.value("SELECT count(*) FROM outbox WHERE state = 0"))

    async def until(self, is_so: Callable[[], bool]) -> None:
        """Wait until something is so; a test that waits in vain fails by itself."""
        async with asyncio.timeout(10):
            while not is_so():  # noqa: ASYNC110 - what is waited for happens in a database file
                await asyncio.sleep(0.002)

    async def settle(self) -> None:
        """Wait until nothing is left to send."""
        await self.until(lambda: self.pending() == 0)

    async def close(self) -> None:
        """Stop every courier."""
        self.far.before = self.far.after = None
        for courier in self._couriers:
            await courier.drain(5)


@pytest.fixture
async def post(tmp_path: Path) -> AsyncIterator[Post]:
    async with open_house(tmp_path) as house:
        opened = Post(house)
        yield opened
        await opened.close()
