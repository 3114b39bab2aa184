from __future__ import annotations

import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from bot.errors import StoreError
from bot.store.lock import FolderLock
from bot.store.store import Store

HOLD = """
import sys, time
from pathlib import Path
from bot.store.lock import FolderLock
with FolderLock(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


@pytest.fixture
def holder(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that uses the folder."""
    process = subprocess.Popen([sys.executable, "-c", HOLD, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    with process:
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


async def test_a_second_process_is_told_what_to_do(tmp_path: Path, holder: subprocess.Popen[str]) -> None:
    """The message names the folder, the process that holds it, and the way out."""
    with pytest.raises(StoreError, match=rf"in use by another Afterfrost \(process {holder.pid}\).*AFTERFROST_DATA"):
        async with Store.open(tmp_path):
            pass


def test_a_killed_process_leaves_no_lock(tmp_path: Path, holder: subprocess.Popen[str]) -> None:
    """However a process ended, the folder is free."""
    holder.send_signal(signal.SIGKILL)
    holder.wait()

    with FolderLock(tmp_path) as lock:
        assert lock is not None


def test_the_folder_is_free_after_the_block(tmp_path: Path) -> None:
    """The same process can open it again."""
    for _ in range(2):
        with FolderLock(tmp_path), pytest.raises(StoreError, match="in use"), FolderLock(tmp_path):
            pass


async def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    """A file where the folder should be is an error with a way out."""
    (tmp_path / "file").write_text("in the way")

    with pytest.raises(StoreError, match="AFTERFROST_DATA"):
        async with Store.open(tmp_path / "file" / "data"):
            pass
