"""When the collector of garbage looks, and at what.

It looks through everything it is told to keep an eye on, and nobody gets an answer meanwhile. Nearly all of what a
start makes stays as long as the process runs (the table of places alone is a quarter of a million objects, a tenth of
a second a look), so it is told to look seldom, and not at that.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager

LOOK_AFTER = 25_000
"""Objects made, and not given back, before it looks at the newest again."""


def look_seldom() -> None:
    """For the whole process, from its first line on."""
    gc.set_threshold(LOOK_AFTER)


def look_not_yet() -> None:
    """Until what a service is made of is there (`made_to_stay`): a look before would hold up the first words."""
    gc.disable()


@contextmanager
def made_to_stay() -> Iterator[None]:
    """What is made in the block, and everything before it, is never looked through again; from now on it looks."""
    gc.disable()
    try:
        yield
        gc.freeze()
    finally:
        gc.enable()
