"""Our own long polling: the place up to which updates are confirmed moves only after they are on disk.

The next request confirms everything before its offset. So what came is stored, with the new offset, in one transaction;
then the next request is made. A crash anywhere has Telegram send the same again, and the store drops what it has.
"""

from __future__ import annotations

import asyncio
import logging
import random

from bot.arrivals import Intake
from bot.channels.telegram.client import SomebodyElsePolls, TelegramClient
from bot.channels.telegram.inlet import NAME
from bot.channels.telegram.updates import arrival_of, number_of
from bot.clock import Clock
from bot.errors import ChannelClosed, ChannelError, SlowDown, StoreError
from bot.logs import trace_of

log = logging.getLogger(__name__)

WAIT_SECONDS = 30
FIRST_PAUSE_SECONDS, LONGEST_PAUSE_SECONDS = 1.0, 60.0
CONFLICT_PAUSE_SECONDS = 30.0


async def poll(
    client: TelegramClient,
    intake: Intake,
    clock: Clock,
    *,
    wait_seconds: int = WAIT_SECONDS,
    chance: random.Random | None = None,
) -> None:
    """Fetch and store, until cancelled. Ends by itself only where the key is wrong, with an error in the log."""
    chance = chance or random.Random()
    failures = 0
    while True:
        try:
            await _fetch(client, intake, clock, wait_seconds)
            failures = 0
        except ChannelClosed as error:
            log.error("Telegram is not listened to any more. %s", error)
            return
        except (ChannelError, StoreError) as error:
            failures += 1
            log.warning("Telegram could not be listened to for a moment. %s", error)
            await asyncio.sleep(_pause(error, failures) * chance.uniform(1.0, 1.3))
        except Exception as error:  # noqa: BLE001 - the edge: whatever it was, listening must go on
            failures += 1
            log.error("Listening to Telegram failed.\n%s", trace_of(error))
            await asyncio.sleep(LONGEST_PAUSE_SECONDS)


def _pause(error: Exception, failures: int) -> float:
    if isinstance(error, SomebodyElsePolls):
        return CONFLICT_PAUSE_SECONDS
    grown = FIRST_PAUSE_SECONDS * 2.0 ** min(failures - 1, 10)
    asked = error.after_seconds if isinstance(error, SlowDown) else 0.0
    return max(asked, min(grown, LONGEST_PAUSE_SECONDS))


async def _fetch(client: TelegramClient, intake: Intake, clock: Clock, wait_seconds: int) -> None:
    offset = await intake.cursor(NAME)
    updates = await client.fetch(offset, wait_seconds)
    # A batch may come in any order, and a chat is read in the order it is stored.
    numbered = sorted((number, place) for place, each in enumerate(updates) if (number := number_of(each)) is not None)
    if len(numbered) < len(updates):
        log.error("Updates without a number were left out: %d.", len(updates) - len(numbered))
    if numbered:
        now = clock.now()
        await intake.store(NAME, [arrival_of(updates[place], now) for _, place in numbered], numbered[-1][0] + 1)
    elif updates:
        await asyncio.sleep(FIRST_PAUSE_SECONDS)
