"""Place names, ZIP codes and coordinates, offline."""

from __future__ import annotations

from bot.places.finder import PlaceFinder, neighbour_zones

__all__ = ["PlaceFinder", "neighbour_zones"]
