"""The channel as the courier sees it. The store is the page's record, so sending only wakes the pages that are open.

A message is on the page once it is committed; sending it again changes nothing.
"""

from __future__ import annotations

import asyncio
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager

from bot.talk.ports import Rendered

PAGES_OF_ONE = 8
PAGES_IN_ALL = 5000
"""More open pages than these get no news by themselves; they still show everything when loaded."""


class WebChannel:
    """Wakes open pages when something was said."""

    def __init__(self) -> None:
        self._open: defaultdict[str, set[asyncio.Event]] = defaultdict(set)
        self._count = 0
        self.is_closed = False

    @property
    def name(self) -> str:
        """The channel's name as it stands in envelopes and rows."""
        return "web"

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Let the open pages of a homeowner look at the record."""
        self._wake(address)

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """The page offers the copy itself, made fresh when it is asked for."""
        self._wake(address)

    def _wake(self, address: str) -> None:
        for news in self._open.get(address, ()):
            news.set()

    def has_room(self, address: str) -> bool:
        """Whether one more open page can be kept awake."""
        return self._count < PAGES_IN_ALL and len(self._open.get(address, ())) < PAGES_OF_ONE

    @contextmanager
    def listening(self, address: str) -> Iterator[asyncio.Event]:
        """An event that is set whenever something was said to an address."""
        news = asyncio.Event()
        self._open[address].add(news)
        self._count += 1
        try:
            yield news
        finally:
            self._count -= 1
            self._open[address].discard(news)
            if not self._open[address]:
                del self._open[address]

    def close(self) -> None:
        """End what the open pages wait for."""
        self.is_closed = True
        for listening in self._open.values():
            for news in listening:
                news.set()
