"""Photo files, each named by the hash of its content. A file is on disk before its name is given out."""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path

from bot.durable import write_durably

_PHOTO_ID = re.compile(r"[0-9a-f]{64}")


class PhotoFolder:
    """The folder of photo files. What is put in must already be safe to show: decoded, and free of its metadata."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, content: bytes, at: datetime) -> str:
        """Store a photo and return its id. The same content twice is one file."""
        photo_id = hashlib.sha256(content).hexdigest()
        file = self.path(photo_id)
        if not file.exists():
            file.parent.mkdir(parents=True, exist_ok=True)
            write_durably(file, content, file.parent.parent)
        os.utime(file, (at.timestamp(), at.timestamp()))
        return photo_id

    def path(self, photo_id: str) -> Path:
        """Where a photo's file is, or would be. Raises `ValueError` for what cannot be a photo's id."""
        if not _PHOTO_ID.fullmatch(photo_id):
            raise ValueError("not the id of a photo")
        return self._folder / photo_id[:2] / photo_id

    def read(self, photo_id: str) -> bytes | None:
        """A photo's content, or None when there is no such file."""
        file = self.path(photo_id)
        return file.read_bytes() if file.exists() else None

    def remove(self, photo_ids: Iterable[str]) -> None:
        """Remove files; one that is not there is as good as removed."""
        for photo_id in photo_ids:
            self.path(photo_id).unlink(missing_ok=True)

    def older_than(self, at: datetime) -> set[str]:
        """The photos that were put in before an instant."""
        return {file.name for file in self._files() if file.stat().st_mtime < at.timestamp()}

    def _files(self) -> Iterator[Path]:
        return (file for file in self._folder.glob("??/*") if _PHOTO_ID.fullmatch(file.name))
