"""A channel whose far side is in this process: it keeps what arrived, and can be told to refuse, hang or break."""

from __future__ import annotations

import asyncio
from collections import deque
from dataclasses import dataclass, field

from bot.talk.ports import Rendered


@dataclass(frozen=True, slots=True)
class Arrival:
    """One message as the far side got it."""

    address: str
    outbox_id: int
    text: str


@dataclass(slots=True)
class FarSide:
    """Takes messages for a channel. `answers` are raised one after the other by the next sends (None: take it)."""

    name: str = "web"
    answers: deque[Exception | None] = field(default_factory=deque)
    arrived: list[Arrival] = field(default_factory=list)
    tried: list[str] = field(default_factory=list)
    in_the_air: int = 0
    most_in_the_air: int = 0
    takes_seconds: float = 0.0
    before: asyncio.Event | None = None  # a send waits for this before the far side has the message
    after: asyncio.Event | None = None  # ... and for this before its answer is back

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Take one message, or answer as told."""
        self.tried.append(address)
        self.in_the_air += 1
        self.most_in_the_air = max(self.most_in_the_air, self.in_the_air)
        try:
            await self._travel(self.before)
            answer = self.answers.popleft() if self.answers else None
            if answer is not None:
                raise answer
            self.arrived.append(Arrival(address, outbox_id, rendered.text))
            await self._travel(self.after)
        finally:
            self.in_the_air -= 1

    def texts(self, address: str | None = None) -> list[str]:
        """What arrived, in order."""
        return [one.text for one in self.arrived if address in (None, one.address)]

    async def _travel(self, gate: asyncio.Event | None) -> None:
        if gate is not None:
            await gate.wait()
        await asyncio.sleep(self.takes_seconds)


@dataclass(slots=True)
class FarSideWithFiles(FarSide):
    """The same for a channel that can carry a copy of the data."""

    documents: list[bytes] = field(default_factory=list)

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Take a document."""
        self.documents.append(document)
        self.arrived.append(Arrival(address, outbox_id, "document"))
