"""What a channel hands in as it came, before anybody has read it, and what reading it gives.

A network wants an answer at once; reading may take longer (a photo to fetch, an album to wait for). So what comes in is
stored as it came, and answered; then it is read, chat by chat in order, and what it means goes to the service.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import IntEnum
from typing import Protocol

from bot.envelope import Envelope


@dataclass(frozen=True, slots=True, kw_only=True)
class NewArrival:
    """One thing as it came in.

    external_id : the far side's own id; handing the same in again has no second effect
    address : whose turn order it belongs to (a chat, a phone number; empty where it belongs to nobody)
    group : things of one group are read together, once no more of them came for `wait` (an album)
    body : JSON text, as the far side wrote it
    """

    external_id: str
    address: str
    at: datetime
    body: str
    group: str | None = None
    wait: timedelta = timedelta(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredArrival:
    """One thing that waits to be read, or is being read for the `attempts`-th time again."""

    id: int
    external_id: str
    address: str
    at: datetime
    body: str
    attempts: int


class Consent(IntEnum):
    """What an address has said about being written to."""

    NONE = 0
    ASKED = 1  # told what this is, and asked to confirm
    GIVEN = 2
    WITHDRAWN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """What is known of an address by itself, whoever writes from it."""

    consent: Consent = Consent.NONE
    consent_at: datetime | None = None
    is_unreachable: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ConsentNote:
    """One entry of the record of consent: what an address now has said, the words it said and the words it was shown.

    source : how it came ("text", "keyword", "start button", "list of <operator>")
    """

    consent: Consent
    said: str
    shown: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryNote:
    """What the network says became of one message. A final word sticks; others only move forward."""

    far_id: str
    is_delivered: bool = False
    is_failed: bool = False  # for good


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one arrival, or one group of them, means.

    envelopes : for the conversation, in order
    replies : message keys the channel answers by itself, outside the conversation (help, the question for consent)
    consent : entries for the record; the last one is how the address stands
    is_reachable : True or False where this says so (blocked, came back); None where it says nothing
    moved_to : the address under which this chat goes on
    deliveries : receipts
    is_purging : take back everything that waits to be sent to this address, first of all
    is_held : leave it unread until the address consents
    more : send the next page of the last long message
    """

    envelopes: tuple[Envelope, ...] = ()
    replies: tuple[str, ...] = ()
    consent: tuple[ConsentNote, ...] = ()
    is_reachable: bool | None = None
    moved_to: str | None = None
    deliveries: tuple[DeliveryNote, ...] = field(default=())
    is_purging: bool = False
    is_held: bool = False
    more: bool = False


class Inlet(Protocol):
    """How a channel reads what came in on it."""

    @property
    def name(self) -> str:
        """The channel's name."""
        ...

    async def read(self, arrivals: Sequence[StoredArrival], reach: Reach) -> Reading:
        """What one arrival, or the arrivals of one group, mean. May fetch pictures from the far side.

        Raises `TryAgain` when the far side is not to be had for the moment; any other exception is a fault, tried again
        twice and then kept for a person to see.
        """
        ...


class Intake(Protocol):
    """Where a channel hands in what came."""

    async def store(self, channel: str, arrivals: Sequence[NewArrival], cursor: int | None = None) -> None:
        """Put what came on disk, with how far the channel has got; returns when it is there. Repeats are dropped."""
        ...

    async def cursor(self, channel: str) -> int | None:
        """How far a channel had got when something was last stored; None before that."""
        ...
