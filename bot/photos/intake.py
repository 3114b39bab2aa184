"""Photos from outside, opened in processes of their own: at most two at once, while the event loop only waits.

1. A process takes one photo after the other. It gets so much memory and so much time; one that takes longer, dies or
   answers nonsense is killed, and the next photo gets a new one. So no picture can take the service down.
2. It is let go after a while without photos, and after many of them, so that nothing adds up.
3. Whoever would have to wait too long is told that we are busy.

What a photo is opened to, and why one is refused, stands in `opening.py`, whose names are given here too.
"""

from __future__ import annotations

import asyncio
import logging
import os
import socket
import subprocess
import sys
import weakref
from collections.abc import Awaitable, Callable
from pathlib import Path

from bot.photos import wire
from bot.photos.opening import (
    AS_USUAL,
    LONGEST_SIDE,
    MAX_BYTES,
    SMALLEST_SIDE,
    OpenedPhoto,
    Reason,
    Refused,
    Wanted,
    open_photo,
)

log = logging.getLogger(__name__)

AT_ONCE = 2
WAIT_SECONDS = 20.0
"""How long a photo may wait for its turn before its sender is told to try again."""
OPEN_SECONDS = 8.0
START_SECONDS = 20.0
"""How long a process may take to get ready, on a machine that is busy."""
IDLE_SECONDS = 60.0
PHOTOS_A_PROCESS = 200

_WORKER = Path(__file__).with_name("worker.py")
_ENVIRONMENT = {
    "OPENBLAS_NUM_THREADS": "1",  # each thread would set aside memory, and there is nothing for them to do
    "MALLOC_ARENA_MAX": "1",
    "MALLOC_MMAP_THRESHOLD_": "262144",  # large buffers go back to the system at once
}


class PhotoIntake:
    """Opens photos in processes of their own. They end with it."""

    def __init__(
        self, *, at_once: int = AT_ONCE, wait_seconds: float = WAIT_SECONDS, open_seconds: float = OPEN_SECONDS
    ) -> None:
        self._turns = asyncio.Semaphore(at_once)
        self._wait_seconds = wait_seconds
        self._open_seconds = open_seconds
        self._idle: list[_Worker] = []
        self._all: set[_Worker] = set()
        self.close = weakref.finalize(self, _end_all, self._all)

    async def open(self, content: bytes, wanted: Wanted = AS_USUAL) -> OpenedPhoto | Refused:
        """Open and measure a picture, or say why not. Waiting too long, or taking too long, is `busy`."""

        async def read() -> bytes:
            return content

        if len(content) > MAX_BYTES:
            return Refused(reason=Reason.TOO_BIG)
        return await self.open_later(read, wanted)

    async def open_later(
        self, read: Callable[[], Awaitable[bytes]], wanted: Wanted = AS_USUAL
    ) -> OpenedPhoto | Refused:
        """The same with a picture that is only read once it is its turn, so that those that wait take no memory."""
        try:
            async with asyncio.timeout(self._wait_seconds):
                await self._turns.acquire()
        except TimeoutError:
            return Refused(reason=Reason.BUSY)
        try:
            content = await read()
            if len(content) > MAX_BYTES:
                return Refused(reason=Reason.TOO_BIG)
            return await self._open_apart(content, wanted)
        finally:
            self._turns.release()

    async def _open_apart(self, content: bytes, wanted: Wanted) -> OpenedPhoto | Refused:
        worker = self._a_worker()
        is_well = False
        try:
            async with asyncio.timeout(START_SECONDS):
                await worker.ready()
            async with asyncio.timeout(self._open_seconds):
                result = await worker.ask(content, wanted)
            is_well = result is not None
        except TimeoutError:
            log.warning("A photo took longer than %.0f s to open and was let go.", self._open_seconds)
            return Refused(reason=Reason.BUSY)
        finally:
            self._put_back(worker, is_well=is_well)
        if result is None:
            log.warning("Opening a photo ended its process with %s.", worker.exit_code)
            return Refused(reason=Reason.BROKEN)
        return result

    def _a_worker(self) -> _Worker:
        """One that waits, or else a new one. One that died while it waited is let go."""
        while self._idle:
            worker = self._idle.pop()
            if worker.is_alive():
                return worker
            self._end(worker)
        worker = _Worker()
        self._all.add(worker)
        return worker

    def _put_back(self, worker: _Worker, *, is_well: bool) -> None:
        if not is_well or worker.photos >= PHOTOS_A_PROCESS or not self.close.alive:
            self._end(worker)
            return
        self._idle.append(worker)
        asyncio.get_running_loop().call_later(IDLE_SECONDS, _let_go, weakref.ref(self), worker, worker.photos)

    def _end(self, worker: _Worker) -> None:
        self._all.discard(worker)
        worker.end()

    def _end_if_idle(self, worker: _Worker, photos: int) -> None:
        if worker in self._idle and worker.photos == photos:
            self._idle.remove(worker)
            self._end(worker)


def _let_go(intake: weakref.ref[PhotoIntake], worker: _Worker, photos: int) -> None:
    """End a process that had no photo since."""
    found = intake()
    if found is not None:
        found._end_if_idle(worker, photos)


def _end_all(workers: set[_Worker]) -> None:
    while workers:
        workers.pop().end()


class _Worker:
    """A process that opens pictures, and the line to it."""

    def __init__(self) -> None:
        self.photos = 0
        self._is_ready = False
        self._line, far = socket.socketpair()
        self._line.setblocking(False)
        with far:
            self._process = subprocess.Popen(
                [sys.executable, "-I", str(_WORKER)],
                stdin=far.fileno(),
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,  # a decoder's complaint may quote the picture
                env=os.environ | _ENVIRONMENT,
            )

    @property
    def exit_code(self) -> int | None:
        """How it ended."""
        return self._process.returncode

    def is_alive(self) -> bool:
        """Whether it can be asked."""
        return self._process.poll() is None

    async def ready(self) -> None:
        """Wait until it has loaded what it needs; its time for a photo counts from then."""
        if not self._is_ready:
            await wire.received_later(asyncio.get_running_loop().sock_recv_into, self._line)
            self._is_ready = True

    async def ask(self, content: bytes, wanted: Wanted) -> OpenedPhoto | Refused | None:
        """What it makes of a picture; None when it died over it or answers nonsense."""
        loop = asyncio.get_running_loop()
        self.photos += 1
        try:
            await loop.sock_sendall(self._line, wire.question(content, wanted))
            await loop.sock_sendall(self._line, content)
            answered = await wire.received_later(loop.sock_recv_into, self._line)
            return wire.read_answer(*answered) if answered is not None else None
        except (OSError, wire.Garbled, KeyError, TypeError, ValueError) as error:
            log.warning("The process that opens photos is let go (%s).", type(error).__name__)
            return None

    def end(self) -> None:
        """Kill it. It holds nothing that could be lost."""
        self._line.close()
        self._process.kill()
        self._process.wait()


__all__ = [
    "LONGEST_SIDE",
    "MAX_BYTES",
    "SMALLEST_SIDE",
    "OpenedPhoto",
    "PhotoIntake",
    "Reason",
    "Refused",
    "Wanted",
    "open_photo",
]
