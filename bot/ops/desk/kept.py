"""What takes long is worked out beside the pages, and kept until what it rests on has changed.

1. A page waits for it a moment at most. Then it says that it is being worked out, and shows what was there before.
2. One thing is worked out at a time: the talk goes on beside it.
3. What changed is worked out anew when somebody looks, and at the soonest after ten times as long as it took.
4. What could not be worked out is raised to the next who looks, once; whoever looks after that begins it again.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Hashable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Generic, TypeVar

from bot.clock import Clock

T = TypeVar("T")
Work = Callable[[T | None], Awaitable[T]]
"""Works something out; it is given what came out last time."""

PATIENCE_SECONDS = 2.0
TIMES_AS_LONG = 10
MOST_KEPT = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept(Generic[T]):
    """What came out, when that was begun, how long it took, and what it rests on."""

    value: T
    mark: Hashable
    at: datetime
    took: timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class Look(Generic[T]):
    """What there is to show. `kept` None: nothing yet; `is_working`: something newer is on its way."""

    kept: Kept[T] | None
    is_working: bool


class Keeping(Generic[T]):
    """Keeps what was worked out, by a key. The things looked at last stay; there is room for a dozen."""

    def __init__(self, clock: Clock, patience_seconds: float = PATIENCE_SECONDS) -> None:
        self._clock = clock
        self._patience_seconds = patience_seconds
        self._kept: dict[Hashable, Kept[T]] = {}
        self._working: dict[Hashable, asyncio.Task[Kept[T]]] = {}
        self._one_at_a_time = asyncio.Lock()

    async def look(self, key: Hashable, mark: Hashable, work: Work[T]) -> Look[T]:
        """What is kept under a key, worked out anew where it rests on something else than `mark`."""
        task = self._working.get(key)
        if task is None and self._is_due(self._kept.get(key), mark):
            task = self._working[key] = asyncio.create_task(self._work(key, mark, work))
        if task is not None:
            await asyncio.wait({task}, timeout=self._patience_seconds)
            self._take(key, task)
        return Look(kept=self._kept.get(key), is_working=key in self._working)

    async def settle(self) -> None:
        """Wait until nothing is being worked out."""
        if self._working:
            await asyncio.wait(self._working.values())

    def _is_due(self, kept: Kept[T] | None, mark: Hashable) -> bool:
        if kept is None:
            return True
        return kept.mark != mark and self._clock.now() >= kept.at + (1 + TIMES_AS_LONG) * kept.took

    def _take(self, key: Hashable, task: asyncio.Task[Kept[T]]) -> None:
        """Keep what is done, as the thing looked at last. Raises what kept it from being worked out."""
        if not task.done() or self._working.get(key) is not task:
            return
        del self._working[key]
        self._kept[key] = task.result()
        for oldest in list(self._kept)[:-MOST_KEPT]:
            del self._kept[oldest]

    async def _work(self, key: Hashable, mark: Hashable, work: Work[T]) -> Kept[T]:
        async with self._one_at_a_time:
            kept, began = self._kept.pop(key, None), self._clock.now()
            if kept is not None:
                self._kept[key] = kept  # now the newest, so that it is not given up for another
            value = await work(None if kept is None else kept.value)
            return Kept(value=value, mark=mark, at=began, took=self._clock.now() - began)
