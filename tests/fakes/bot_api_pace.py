"""How fast messages came, and which came twice."""

from __future__ import annotations

import math
from collections import Counter, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tests.fakes.bot_api_methods import Taken


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Figures of what was delivered.

    most_in_1_s : the most in any window of one second
    closest_in_chat_seconds : the least time between two messages of one chat; infinity for none
    seconds : from the first to the last
    repeated : chats and texts that came more than once
    """

    most_in_1_s: int
    closest_in_chat_seconds: float
    seconds: float
    repeated: tuple[tuple[int, str], ...]


def pace_of(taken: Sequence[Taken]) -> Pace:
    """The figures of what was delivered."""
    times = [each.at_seconds for each in taken]
    counted = Counter((each.chat_id, each.text) for each in taken)
    return Pace(
        most_in_1_s=most_in_window(times, 1.0),
        closest_in_chat_seconds=_closest(taken),
        seconds=times[-1] - times[0] if times else 0.0,
        repeated=tuple(each for each, count in counted.items() if count > 1),
    )


def most_in_window(times: Iterable[float], window_seconds: float) -> int:
    """The most of rising instants in any window that takes in one of its ends."""
    inside: deque[float] = deque()
    most = 0
    for at in times:
        inside.append(at)
        while inside[0] <= at - window_seconds:
            inside.popleft()
        most = max(most, len(inside))
    return most


def _closest(taken: Sequence[Taken]) -> float:
    last: dict[int, float] = {}
    closest = math.inf
    for each in taken:
        if each.chat_id in last:
            closest = min(closest, each.at_seconds - last[each.chat_id])
        last[each.chat_id] = each.at_seconds
    return closest
