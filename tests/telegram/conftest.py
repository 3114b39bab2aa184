from __future__ import annotations

import asyncio
import random
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from pathlib import Path

import pytest

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import TelegramClient, Waits
from bot.channels.telegram.inlet import TelegramInlet
from bot.channels.telegram.polling import poll
from bot.charts.desk import ChartDesk
from bot.courier import Courier
from bot.intake import Intake
from bot.photos.intake import PhotoIntake
from bot.talk.ports import Rendered
from bot.terms import Terms
from bot.words import Words
from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.fakes.house import House, open_house

WORDS = Words()


class Line:
    """A house that listens and sends through the real client to a Bot API of the test's own."""

    def __init__(self, house: House, api: BotApi, client: TelegramClient) -> None:
        self.house = house
        self.api = api
        self.client = client
        self.channel = TelegramChannel(client, WORDS, ChartDesk(WORDS), house.store.files, gap_seconds=0.0)
        self.courier = Courier(
            house.store,
            [self.channel],
            house.clock,
            terms={"telegram": Terms(in_flight=4)},
            chance=random.Random(1),
        )
        inlet = TelegramInlet(client, PhotoIntake(), house.store.files, house.clock)
        self.intake = Intake(
            house.store,
            house.service,
            [inlet],
            house.clock,
            speak=lambda _channel, key: Rendered(text=key),
            committed=self.courier.wake,
        )
        house.on_commit[:] = [self.courier.wake]
        self._listening: asyncio.Task[None] | None = None

    def start(self) -> None:
        """Listen, read and send."""
        self.courier.start()
        self.intake.start()
        self.listen()

    def listen(self) -> None:
        """Begin to poll."""
        polling = poll(self.client, self.intake, self.house.clock, wait_seconds=5, chance=random.Random(1))
        self._listening = asyncio.create_task(polling)

    async def stop_listening(self) -> None:
        """Stop in the middle of whatever it is doing, as a crash would."""
        if self._listening is not None:
            self._listening.cancel()
            await asyncio.wait([self._listening])

    async def until(self, is_so: Callable[[], object]) -> None:
        """Wait until something is so."""
        async with asyncio.timeout(10):
            while not is_so():  # noqa: ASYNC110 - what is waited for happens on the far side
                await asyncio.sleep(0.002)

    def told(self, chat: int) -> list[str]:
        """What a chat got, in order."""
        return self.api.texts(chat)

    async def stop(self) -> None:
        await self.stop_listening()
        await self.intake.stop(2)
        await self.courier.drain(2)


@pytest.fixture
async def line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Line]:
    monkeypatch.setattr("bot.intake.LOOK_AGAIN_SECONDS", 0.01)
    monkeypatch.setattr("bot.channels.telegram.polling.FIRST_PAUSE_SECONDS", 0.01)
    async with AsyncExitStack() as stack:
        house = await stack.enter_async_context(open_house(tmp_path))
        api = await stack.enter_async_context(running(BotApi(now=house.clock.now)))
        waits = Waits(connect_seconds=2, answer_seconds=0.3)
        client = await stack.enter_async_context(TelegramClient(TOKEN, server=api.url, waits=waits))
        opened = Line(house, api, client)
        yield opened
        await opened.stop()
