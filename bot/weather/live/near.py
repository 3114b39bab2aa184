"""Coordinates as services get them."""

from __future__ import annotations

# About a kilometre: weather is no finer, and where exactly somebody lives need not leave the house.
_SENT_DECIMALS = 2


def sent(degrees: float) -> str:
    """A coordinate as it goes out, without zeros at the end (a service answers those with a redirect)."""
    return f"{round(degrees, _SENT_DECIMALS) + 0.0:g}"
