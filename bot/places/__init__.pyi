from . import gazetteer
from .finder import PlaceFinder

__all__ = ["PlaceFinder", "gazetteer"]
