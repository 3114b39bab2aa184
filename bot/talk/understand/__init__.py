"""Typed words to values. What is unclear is a value (`Unclear`), never an exception; nothing here asks the time.

What is here stands in `__init__.pyi`. Each part is read when it is first used: together they hold most of the patterns
of the house, and the first question is asked before anything has to be understood.
"""

from __future__ import annotations

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
