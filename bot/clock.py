"""The one place that asks the time. Everything else is handed a clock, so a season replays in a second."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Protocol


class Clock(Protocol):
    """Tells the current instant in UTC."""

    def now(self) -> datetime: ...


class SystemClock:
    """The machine's clock."""

    def now(self) -> datetime:
        return datetime.now(UTC)


class ShiftedClock:
    """The machine's clock moved by the number of seconds written in a file, read again at each look.

    For rehearsals and tests: moving the file's number moves a running service's time.
    """

    def __init__(self, shift_file: Path) -> None:
        self._shift_file = shift_file

    def now(self) -> datetime:
        written = self._shift_file.read_text(encoding="utf-8").strip() if self._shift_file.exists() else ""
        return datetime.now(UTC) + timedelta(seconds=float(written or 0))


class SetClock:
    """A clock that stands still until it is set: simulated seasons."""

    def __init__(self, start_at: datetime) -> None:
        self._now = start_at

    def now(self) -> datetime:
        return self._now

    def set(self, at: datetime) -> None:
        """Move to another instant, forwards or backwards."""
        self._now = at
