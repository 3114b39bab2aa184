"""On what terms a channel is used: how many sends at once, how fast, and whether people must have agreed first."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.pace import Limits


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The terms of one channel.

    in_flight : how many sends may be in the air
    limits : how fast it may send
    needs_consent : what nobody asked for goes only to addresses that agreed to it
    """

    in_flight: int = 1
    limits: Limits = field(default_factory=Limits)
    needs_consent: bool = False
