"""On what terms a channel is used: how many sends at once, how fast, and whether people must have agreed first."""

from __future__ import annotations

from dataclasses import dataclass, field

from bot.pace import Limits


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The terms of one channel.

    in_flight : how many sends may be in the air; a quarter as many more may have their answer just being written down
    limits : how fast it may send
    needs_consent : what nobody asked for goes only to addresses that agreed to it
    """

    in_flight: int = 1
    limits: Limits = field(default_factory=Limits)
    needs_consent: bool = False

    @property
    def unmarked_at_most(self) -> int:
        """How many sends a crash can repeat: those in the air, and those whose answer is not on disk yet."""
        return self.in_flight + self.in_flight // 4
