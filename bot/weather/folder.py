"""The weather folder from outside: cheap to look at, without what it takes to read it."""

from __future__ import annotations

import contextlib
from pathlib import Path

FOLDER = "weather"

Marks = tuple[tuple[str, int, int], ...]


def marks_of(data: Path) -> Marks:
    """What changes whenever a table in a data folder's weather does: names, sizes and times. Empty: no weather."""
    found = []
    for file in sorted((data / FOLDER).glob("*.csv")):
        with contextlib.suppress(FileNotFoundError):  # taken away just now: then it is not there
            seen = file.stat()
            found.append((file.name, seen.st_size, seen.st_mtime_ns))
    return tuple(found)
