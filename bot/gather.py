"""Group commit: what many callers have waiting is done in one go, and each caller waits for its own."""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Awaitable, Callable, Sequence
from typing import Generic, TypeVar

from bot.errors import StoreError
from bot.logs import trace_of

log = logging.getLogger(__name__)

Item = TypeVar("Item")
Work = Callable[[Sequence[Item]], Awaitable[Sequence[Exception | None]]]
"""Does a batch; for each item, in order, the exception its caller gets, or None."""


class Gatherer(Generic[Item]):
    """Collects items while a batch is being worked on, and hands them over together when it is done.

    Items are handed over in the order they were given, at most `at_most` at a time, one batch after the other. A caller
    that is cancelled gives up waiting; its item is still worked on.
    """

    def __init__(self, work: Work[Item], at_most: int) -> None:
        self._work = work
        self._at_most = at_most
        self._waiting: deque[tuple[Item, asyncio.Future[None]]] = deque()
        self._worker: asyncio.Task[None] | None = None
        self._is_closed = False

    async def submit(self, item: Item) -> None:
        """Give one item and wait until its batch is done. Raises what the work says about this item."""
        if self._is_closed:
            raise StoreError("Afterfrost is stopping; give this in again once it runs.")
        done: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._waiting.append((item, done))
        if self._worker is None or self._worker.done():
            self._worker = asyncio.create_task(self._run(), name="gatherer")
        await done

    async def close(self) -> None:
        """Take nothing more, and return when everything that was given is done."""
        self._is_closed = True
        if self._worker is not None:
            await asyncio.wait([self._worker])  # and not the worker itself: whoever gives up waiting must not stop it

    async def _run(self) -> None:
        while self._waiting:
            batch = [self._waiting.popleft() for _ in range(min(len(self._waiting), self._at_most))]
            faults = await self._faults([item for item, _ in batch])
            for (_, done), fault in zip(batch, faults, strict=True):
                _settle(done, fault)

    async def _faults(self, items: Sequence[Item]) -> Sequence[Exception | None]:
        try:
            return await self._work(items)
        except Exception as error:  # noqa: BLE001 - the edge: whoever waits must be told, whatever went wrong
            log.error("A batch of %d failed.\n%s", len(items), trace_of(error))
            return [error] * len(items)


def _settle(done: asyncio.Future[None], fault: Exception | None) -> None:
    if done.done():  # its caller was cancelled
        return
    if fault is None:
        done.set_result(None)
    else:
        done.set_exception(fault)
