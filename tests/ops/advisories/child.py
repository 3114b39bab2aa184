"""The process that is killed: everything that sends advisories on a data folder, its far side a file."""

from __future__ import annotations

import asyncio
import os
import sys
from datetime import timedelta
from pathlib import Path

from bot.clock import ShiftedClock
from bot.courier import Courier
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.recipients import Recipients
from bot.ops.advisories.spreading import Means, Spreader
from bot.ops.regions.glancing import Glancing
from bot.service import Service
from bot.store.store import Store
from bot.terms import Terms
from tests.fakes.journal_channel import JournalChannel
from tests.ops.advisories.town import GEOGRAPHY, KNOWN, TALK, WORDS

IN_FLIGHT = 4


async def send(folder: Path) -> None:
    """Until killed, or until nobody is left to write to for a second."""
    clock = ShiftedClock(folder / "shift")
    channel = JournalChannel(folder / "journal", name="web", takes_seconds=0.004)
    terms = {"web": Terms(in_flight=IN_FLIGHT)}
    async with Store.open(folder / "data") as store:
        courier = Courier(store, [channel], clock, terms=terms)
        service = Service(store, TALK, clock, committed=courier.wake)
        means = Means(
            talk=TALK,
            terms=terms,
            filler=Filler(words=WORDS, known=KNOWN),
            recipients=Recipients(store.database, Glancing(store, KNOWN, GEOGRAPHY)),
            undo=timedelta(0),
        )
        spreader = Spreader(store, service, clock, means)
        courier.start()
        print("ready", flush=True)  # noqa: T201 - read by the parent
        parent = os.getppid()
        while os.getppid() == parent:
            await spreader.run()
            courier.wake()
            await asyncio.sleep(0.01)


if __name__ == "__main__":
    asyncio.run(send(Path(sys.argv[1])))
