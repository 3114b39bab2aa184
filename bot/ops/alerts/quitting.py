"""Waiting for the net, and letting go of it at once when the service stops.

What is under way then is asked again after the next start, so nothing is lost. Work on the database is not let go of:
it is short, and half of it would be worse than all or none.
"""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any, TypeVar

Result = TypeVar("Result")


class Quit(Exception):
    """The service stops, and what was waited for was let go of."""


class Quitting:
    """Whether the service stops."""

    def __init__(self) -> None:
        self._told = asyncio.Event()

    @property
    def is_told(self) -> bool:
        """Whether it does."""
        return self._told.is_set()

    def quit(self) -> None:
        """It does from now on."""
        self._told.set()

    async def unless(self, work: Coroutine[Any, Any, Result]) -> Result:
        """What work gives. Raises `Quit` when the service stops before it is done."""
        doing, told = asyncio.ensure_future(work), asyncio.ensure_future(self._told.wait())
        try:
            await asyncio.wait((doing, told), return_when=asyncio.FIRST_COMPLETED)
            if doing.done():
                return doing.result()
            raise Quit
        finally:
            for each in (doing, told):
                each.cancel()
            await asyncio.gather(doing, told, return_exceptions=True)
