"""The one error of this room."""

from __future__ import annotations

from bot.errors import AfterfrostError


class LocalRefused(AfterfrostError):
    """What was said of a region cannot be kept; the message says what to type instead."""
