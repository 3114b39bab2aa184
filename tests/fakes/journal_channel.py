"""A channel whose far side is a file: one line for each message that arrived, forced to disk before the answer."""

from __future__ import annotations

import asyncio
import json
import os
import random
from dataclasses import dataclass
from pathlib import Path

from bot.talk.ports import Rendered


@dataclass(frozen=True, slots=True)
class Line:
    """One message as the far side got it."""

    outbox_id: int
    address: str
    text: str


class JournalChannel:
    """Appends what arrives. A send takes up to `takes_seconds` before it arrives and as long until its answer."""

    def __init__(self, file: Path, *, name: str = "journal", takes_seconds: float = 0.0) -> None:
        self.name = name
        self._takes_seconds = takes_seconds
        self._handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """One whole line in one write, so that a kill leaves it there or not there."""
        await asyncio.sleep(random.uniform(0, self._takes_seconds))
        os.write(self._handle, (json.dumps([outbox_id, address, rendered.text]) + "\n").encode())
        os.fsync(self._handle)
        await asyncio.sleep(random.uniform(0, self._takes_seconds))

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """A copy of the data is a line like any other."""
        await self.send(address, outbox_id, Rendered(text=f"a copy of {len(json.loads(document))} parts"))


def read_journal(file: Path) -> list[Line]:
    """Everything that arrived, in order."""
    if not file.exists():
        return []
    return [Line(*json.loads(line)) for line in file.read_text(encoding="utf-8").splitlines()]
