"""The whole service as its own process, as whoever runs it starts it, on a folder and a clock of the test's own."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from tests.fakes.house import furnish

START_SECONDS = 30.0
STOP_SECONDS = 10.0


class Served:
    """A running service. Killed and started again it is the same service on the same folder and port."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._clock = folder / "clock-shift"
        self._log = folder / "log.txt"
        self._process: subprocess.Popen[bytes] | None = None
        self.port = _free_port()
        self.url = f"http://127.0.0.1:{self.port}"

    def __enter__(self) -> Served:
        self.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.stop()

    def set_clock(self, at: datetime) -> None:
        """Move the service's clock, running or not."""
        half = self._clock.with_suffix(".half")
        half.write_text(f"{(at - datetime.now(UTC)).total_seconds():.3f}", encoding="utf-8")
        half.replace(self._clock)

    def start(self) -> None:
        """Start, and return once the page answers."""
        furnish(self._folder / "data")
        environ = {name: value for name, value in os.environ.items() if not name.startswith("AFTERFROST_")}
        environ["AFTERFROST_DATA"] = str(self._folder / "data")
        environ["AFTERFROST_PORT"] = str(self.port)
        environ["AFTERFROST_CLOCK_SHIFT_FILE"] = str(self._clock)
        with self._log.open("ab") as log:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "bot", "start"],
                cwd=Path(__file__).parents[2],
                env=environ,
                stdout=log,
                stderr=log,
            )
        self._wait_until_it_answers()

    def kill(self) -> None:
        """End it as a power cut would."""
        assert self._process is not None
        self._process.send_signal(signal.SIGKILL)
        self._process.wait(STOP_SECONDS)

    def stop(self) -> None:
        """Ask it to end, and see that it does."""
        if self._process is None or self._process.poll() is not None:
            return
        self._process.send_signal(signal.SIGTERM)
        try:
            self._process.wait(STOP_SECONDS)
        except subprocess.TimeoutExpired:
            self.kill()
            raise

    @property
    def pid(self) -> int:
        """Of the running process."""
        assert self._process is not None
        return self._process.pid

    @property
    def log(self) -> str:
        """What it wrote for whoever runs it."""
        return self._log.read_text(encoding="utf-8")

    def _wait_until_it_answers(self) -> None:
        assert self._process is not None
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            if self._process.poll() is not None:
                raise AssertionError(f"the service ended at once:\n{self.log}")
            try:
                urllib.request.urlopen(f"{self.url}/goodbye", timeout=2).close()
                return
            except OSError:  # refused, reset, or too busy to answer in time
                time.sleep(0.05)
        raise AssertionError(f"the service does not answer:\n{self.log}")


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
