"""What the page needs of the rest of the house. `bot/wiring.py` brings it; tests bring the same real parts."""

from __future__ import annotations

from typing import Protocol

from bot.clock import Clock
from bot.envelope import Envelope
from bot.store.store import Store


class Intake(Protocol):
    """Takes messages in."""

    async def take_in(self, envelope: Envelope) -> None:
        """Take one message; returns when everything it does is on disk. Raises `StoreError` when it could not be."""
        ...


class House(Protocol):
    """The running parts the page talks to."""

    @property
    def clock(self) -> Clock:
        """What time it is."""
        ...

    @property
    def store(self) -> Store:
        """The record."""
        ...

    @property
    def service(self) -> Intake:
        """The way in."""
        ...
