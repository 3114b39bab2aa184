"""The one error of this room: a shape or an audience that cannot be used, with a reason to look up and a sentence."""

from __future__ import annotations

from bot.errors import AfterfrostError


class ShapeRefused(AfterfrostError):
    """What was given is no area we can use. `reason` is one short name (like "not_closed"), the message says more."""

    def __init__(self, reason: str, message: str) -> None:
        super().__init__(message)
        self.reason = reason
