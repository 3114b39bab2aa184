"""What a channel adapter hands to the service: one thing that came in, and where it came from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from bot.talk.incoming import Incoming


@dataclass(frozen=True, slots=True, kw_only=True)
class Envelope:
    """One message as it arrived.

    `address` is where an answer goes (a chat number, a phone number, a browser's secret). `external_id` is the
    channel's own id of this message: handing the same one in again has no second effect. `at` is when the far side
    says it was sent; the conversation goes by our own clock.
    """

    channel: str
    address: str
    external_id: str
    at: datetime
    incoming: Incoming
