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

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> str | None:
        """Hand one message to the far side; return when it has it, with its own id there if receipts name that.

        `outbox_id` is the same at every try, so a far side that can tell repeats may drop them. Raises a
        `ChannelError` (see `bot/errors.py`); any other exception is logged as a fault of ours and tried again later.
        """
        ...


@runtime_checkable
class MeteredChannel(Channel, Protocol):
    """A channel on which a message costs more or less of what its pace allows."""

    def cost(self, rendered: Rendered) -> int:
        """How many units one message costs (segments of a text message)."""
        ...


@runtime_checkable
class PagedChannel(Channel, Protocol):
    """A channel on which a long message goes out piece by piece, the next one when it is asked for."""

    async def send_page(self, address: str, outbox_id: int, rendered: Rendered, page: int) -> str | None:
        """Hand over one piece (the first is 0 and goes with `send`), under the same rules as `send`."""
        ...


@runtime_checkable
class DataChannel(Channel, Protocol):
    """A channel that can carry a copy of everything stored about a homeowner."""

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Hand over one JSON document (UTF-8), under the same rules as `send`."""
        ...
