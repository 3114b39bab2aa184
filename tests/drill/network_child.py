"""The process that the network drill kills: polls, reads, answers and sends through the real Telegram client."""

from __future__ import annotations

import argparse
import asyncio
import os
from pathlib import Path

from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import TelegramClient
from bot.channels.telegram.inlet import TelegramInlet
from bot.channels.telegram.polling import poll
from bot.charts.desk import ChartDesk
from bot.clock import SystemClock
from bot.photos.intake import PhotoIntake
from bot.settings import Settings
from bot.store.store import photo_folder
from bot.terms import Terms
from bot.wiring import Ways, running, until_told_to_stop
from bot.words import Words
from tests.fakes.bot_api import TOKEN
from tests.fakes.small_talk import TALK


async def serve(data: Path, server: str, in_flight: int) -> None:
    """Run until told to stop, or killed."""
    settings, clock, words = Settings(data=data), SystemClock(), Words()
    async with TelegramClient(TOKEN, server=server, connections=in_flight + 2) as client:
        channel = TelegramChannel(client, words, ChartDesk(words), photo_folder(data))
        ways = Ways(
            terms={"telegram": Terms(in_flight=in_flight)},
            inlets_of=[lambda store: TelegramInlet(client, PhotoIntake(), store.files, clock)],
        )
        async with running(settings, clock, [channel], TALK, ways=ways) as house:
            polling = asyncio.create_task(poll(client, house.intake, clock, wait_seconds=20))
            watching = asyncio.create_task(_end_with_parent())
            stopping = asyncio.create_task(until_told_to_stop())
            await asyncio.sleep(0)  # it listens now: the parent may tell us at once
            print("ready", flush=True)  # noqa: T201 - read by the parent
            await stopping
            for task in (polling, watching):
                task.cancel()


async def _end_with_parent() -> None:
    """A drill that was itself killed must not leave this process behind."""
    parent = os.getppid()
    while os.getppid() == parent:  # noqa: ASYNC110 - there is no event for it
        await asyncio.sleep(1)
    os._exit(1)


def main() -> None:
    """Read the arguments and serve."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--server", required=True)
    parser.add_argument("--in-flight", type=int, required=True)
    asked = parser.parse_args()
    asyncio.run(serve(asked.data, asked.server, asked.in_flight))


if __name__ == "__main__":
    main()
