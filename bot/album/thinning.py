"""Fewer of many: the first, the newest, and those in between evenly."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

Thing = TypeVar("Thing")


def thinned(things: Sequence[Thing], most: int) -> tuple[Thing, ...]:
    """At most so many of them, in their order, evenly spread. The first and the last stay; of one, the last."""
    if len(things) <= most:
        return tuple(things)
    if most < 2:
        return tuple(things[len(things) - max(most, 0) :])
    last = len(things) - 1
    return tuple(things[round(number * last / (most - 1))] for number in range(most))
