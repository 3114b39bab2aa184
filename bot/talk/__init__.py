"""The conversation as data: (homeowner, what came in, now, what is known) -> (homeowner, what to say).

Pure: no clock, no storage, no channel, no words. See `reducer.py` for the rules it keeps.

The rooms that the first question does not need stand in `__init__.pyi` too: used as `talk.tasks.act(...)` they are read
when something in them is first used, with the agronomy behind them.
"""

from __future__ import annotations

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
