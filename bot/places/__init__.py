"""Place names, ZIP codes and coordinates, offline."""

from __future__ import annotations

from bot.places.finder import PlaceFinder

__all__ = ["PlaceFinder"]
