"""One process at a time on a data folder. The kernel lets go of the lock when the process ends, however it ends."""

from __future__ import annotations

import fcntl
import os
from pathlib import Path
from types import TracebackType

from bot.errors import StoreError

LOCK_FILE = "in-use.lock"


class FolderLock:
    """Holds a data folder from `with` to the end of it. Raises `StoreError` when another process holds it."""

    def __init__(self, folder: Path) -> None:
        self._file = folder / LOCK_FILE
        self._handle: int | None = None

    def __enter__(self) -> FolderLock:
        try:
            handle = os.open(self._file, os.O_RDWR | os.O_CREAT, 0o600)
        except OSError as error:
            raise StoreError(
                f"The data folder {self._file.parent} cannot be written ({error.strerror}). "
                "Make it writable, or name another folder in AFTERFROST_DATA."
            ) from error
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError as error:
            holder = os.read(handle, 32).decode(errors="replace").strip() or "unknown"
            os.close(handle)
            raise StoreError(
                f"The data folder {self._file.parent} is in use by another Afterfrost (process {holder}). "
                "Stop that one first, or name another folder in AFTERFROST_DATA."
            ) from error
        os.ftruncate(handle, 0)
        os.write(handle, str(os.getpid()).encode())
        self._handle = handle
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._handle is not None:
            os.close(self._handle)
            self._handle = None
