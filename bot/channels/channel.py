"""What every channel can do for the courier. Errors say what to do next: see `bot/errors.py`."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from bot.talk.ports import Rendered


class Channel(Protocol):
    """One way to reach people."""

    @property
    def name(self) -> str:
        """The channel's name as it stands in envelopes and rows."""
        ...

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Hand one message to the far side; return when it has it.

        `outbox_id` is the same at every try, so a far side that can tell repeats may drop them. Raises `TryAgain`,
        `Unreachable` or `Rejected`; any other exception is logged as a fault of ours and tried again later.
        """
        ...


@runtime_checkable
class DataChannel(Channel, Protocol):
    """A channel that can carry a copy of everything stored about a homeowner."""

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Hand over one JSON document (UTF-8), under the same rules as `send`."""
        ...
