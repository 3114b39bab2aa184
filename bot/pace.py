"""How fast a channel may send: so much in a window, so far apart in one chat, nothing during a pause.

1. In no window of `window_seconds` more than `units`, counted from what really went out. Within the window sends are
   spread evenly; one that comes late does not make the next ones late, so the pace is used up, not just kept.
2. Two sends to one chat stand at least its gap apart.
3. While a pause runs that the far side asked for, nothing goes out.

Goes by a clock that only moves forward (seconds); pure but for that clock.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass


def no_gap(address: str) -> float:
    """A channel without limits in one chat."""
    return 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a channel allows.

    units : how much may go out in a window; infinity where nothing is said
    window_seconds : the length of that window
    most_at_once : the largest cost of one send, kept free before a send begins
    gap_of : seconds between two sends to one chat, by address
    day_units : how much may go out in 24 hours, in units; None for any
    reply_share : the part of the day's units that is kept for replies
    """

    units: float = math.inf
    window_seconds: float = 1.0
    most_at_once: int = 1
    gap_of: Callable[[str], float] = no_gap
    day_units: int | None = None
    reply_share: float = 0.1

    @property
    def is_paced(self) -> bool:
        """Whether there is any limit on how fast."""
        return math.isfinite(self.units) or self.gap_of is not no_gap


class Pace:
    """The limits of one channel while it sends."""

    def __init__(self, limits: Limits, clock: Callable[[], float]) -> None:
        self.limits = limits
        self._clock = clock
        self._sent: deque[tuple[float, int]] = deque()
        self._in_window = 0
        self._slot = -math.inf
        self._paused_until = -math.inf
        self._rests_until: dict[str, float] = {}

    def wait_seconds(self) -> float:
        """How long until a send may begin; 0 for now."""
        now = self._clock()
        ready = max(self._paused_until, self._slot, self._window_has_room(now))
        return max(0.0, ready - now)

    def take(self, address: str, cost: int = 1) -> None:
        """Note that a send begins now."""
        now = self._clock()
        self._sent.append((now, cost))
        self._in_window += cost
        if math.isfinite(self.limits.units):
            step = cost * self.limits.window_seconds / self.limits.units
            # A slot is kept from the one before, not from when it was used: small delays do not add up. One that is
            # long gone is not made up for, or there would be a burst after every quiet spell.
            is_fresh = now - self._slot < self.limits.window_seconds / 4
            self._slot = (self._slot if is_fresh else now) + step

    def rest(self, address: str) -> None:
        """Note that a send to a chat is over: its gap counts from now, when the far side surely has it."""
        gap = self.limits.gap_of(address)
        if gap:
            self._rests_until[address] = self._clock() + gap

    def rests_seconds(self, address: str) -> float:
        """How long a chat must still be left alone; 0 for not at all."""
        until = self._rests_until.get(address)
        if until is None:
            return 0.0
        left = until - self._clock()
        if left <= 0:
            del self._rests_until[address]
        return max(0.0, left)

    def pause(self, seconds: float) -> None:
        """Let nothing out for so long. A pause that already lasts longer stays."""
        self._paused_until = max(self._paused_until, self._clock() + seconds)

    def _window_has_room(self, now: float) -> float:
        """The moment from which the largest send fits into the window."""
        if not math.isfinite(self.limits.units):
            self._sent.clear()
            return now
        while self._sent and self._sent[0][0] <= now - self.limits.window_seconds:
            self._in_window -= self._sent.popleft()[1]
        excess = self._in_window + self.limits.most_at_once - self.limits.units
        for at, cost in self._sent:
            if excess <= 0:
                break
            excess -= cost
            if excess <= 0:
                return at + self.limits.window_seconds
        return now


class Day:
    """What was spent in the last 24 hours, by hour."""

    HOURS = 24

    def __init__(self, by_hour: dict[int, int]) -> None:
        self._by_hour = dict(by_hour)

    def spend(self, hour: int, units: int) -> None:
        """Note what went out. `hour` counts hours since 1970."""
        self._by_hour[hour] = self._by_hour.get(hour, 0) + units
        for old in [each for each in self._by_hour if each <= hour - self.HOURS]:
            del self._by_hour[old]

    def spent(self, hour: int) -> int:
        """How much went out in the 24 hours that end with this one."""
        return sum(units for at, units in self._by_hour.items() if hour - self.HOURS < at <= hour)

    def has_room(self, limits: Limits, hour: int, *, planned: int, is_reply: bool) -> bool:
        """Whether one more of the largest sends fits into the day after the planned ones; part is kept for replies."""
        if limits.day_units is None:
            return True
        allowed = limits.day_units * (1 if is_reply else 1 - limits.reply_share)
        return self.spent(hour) + (planned + 1) * limits.most_at_once <= allowed

    def opens_in_hours(self, hour: int) -> int:
        """After how many hours the oldest of what was spent no longer counts."""
        counted = [at for at in self._by_hour if hour - self.HOURS < at <= hour]
        return min(counted) + self.HOURS - hour if counted else 0


def forecast_seconds(limits: Limits, units: int, spent: int) -> float:
    """How long so many units take from now, with so many of the day's already spent."""
    if not math.isfinite(limits.units):
        return 0.0
    pace = limits.window_seconds / limits.units
    if limits.day_units is None:
        return units * pace
    a_day = limits.day_units * (1 - limits.reply_share)
    today = max(0.0, a_day - spent)
    if units <= today:
        return units * pace
    days, rest = divmod(units - today, a_day)
    full_days = days + (1 if rest else 0)
    last = rest or a_day
    return full_days * 86_400 + last * pace
