"""How long to leave alone what fails: twice as long each time, up to a limit. A service's own wish counts if longer."""

from __future__ import annotations

from datetime import timedelta

LONGEST_WISH = timedelta(hours=12)
"""A service that asks for more is asked all the same: it may have meant something else."""


def pause_after(faults: int, first: timedelta, longest: timedelta, wish_seconds: float = 0.0) -> timedelta:
    """The pause after so many faults in a row, at least one; `wish_seconds` is what the far side asked for."""
    doublings = min(faults - 1, 30)  # beyond any limit, and small enough to be a number of days
    own = longest if first * 2**doublings > longest else first * 2**doublings
    wished = min(timedelta(seconds=min(wish_seconds, LONGEST_WISH.total_seconds())), LONGEST_WISH)
    return max(own, wished)
