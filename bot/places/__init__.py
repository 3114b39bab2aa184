"""Place names, ZIP codes and coordinates, offline.

The table stands in `__init__.pyi` too: used as `places.gazetteer.load_gazetteer()` it is read when first used.
"""

from __future__ import annotations

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
