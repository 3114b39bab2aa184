"""Files that are whole or not there, whatever happens while they are written."""

from __future__ import annotations

import os
from pathlib import Path


def write_durably(file: Path, content: bytes, *folders: Path) -> None:
    """Content first, then the name, each forced to disk; with the names of further folders that were just made."""
    half = file.with_suffix(".half")
    with half.open("wb") as handle:
        handle.write(content)
        handle.flush()
        os.fsync(handle.fileno())
    half.replace(file)
    for folder in (file.parent, *folders):
        handle_of_folder = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle_of_folder)
        finally:
            os.close(handle_of_folder)
