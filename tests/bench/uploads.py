"""Fifty photos uploaded at once, and how long somebody who types waits meanwhile.

    python -m tests.bench.uploads [--photos 50] [--idle-turns 100]

The service runs as it is started, in its own process; every photo is a 12-megapixel JPEG by another visitor. Told are
the p95 of a text turn before (the baseline) and during it, how the uploads ended, and the most memory the service and
the processes that open its photos took together (shared pages counted for each of them).
"""

from __future__ import annotations

import argparse
import asyncio
import re
import statistics
import sys
import tempfile
import time
import uuid
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import httpx

from tests.bench.cover_speed import large_photo
from tests.web.serving import Served

_HIDDEN = re.compile(r'name="mark" value="([^"]+)"')


class Visitor:
    """A browser as far as this needs one."""

    def __init__(self, url: str) -> None:
        self._url = url
        self._client = httpx.AsyncClient(base_url=url, timeout=120, headers={"origin": url})
        self._mark = ""

    async def arrive(self) -> None:
        """Open the page."""
        answer = await self._client.get("/", follow_redirects=True)
        found = _HIDDEN.search(answer.text)
        if found is None:
            raise RuntimeError("the page has no form")
        self._mark = found[1]

    async def say(self, words: str) -> float:
        """Type something; how long until it was taken [s]."""
        began = time.perf_counter()
        answer = await self._client.post("/say", data={"mark": self._mark, "id": uuid.uuid4().hex, "text": words})
        if answer.status_code not in (200, 303):
            raise RuntimeError(f"a line was answered with {answer.status_code}")
        return time.perf_counter() - began

    async def upload(self, content: bytes) -> str:
        """Upload a photo; how it ended."""
        file = {"photo": ("lawn.jpg", content, "image/jpeg")}
        await self._client.post("/photo", data={"mark": self._mark, "id": uuid.uuid4().hex}, files=file)
        page = (await self._client.get("/", follow_redirects=True)).text
        return "too busy" if "lot of pictures to open" in page else "kept" if 'class="small"' in page else "refused"

    async def close(self) -> None:
        """Leave."""
        await self._client.aclose()


def memory_mib(pid: int) -> float:
    """What a process and its children hold now [MiB]."""
    total_kb = 0
    for each in [pid, *_children(pid)]:
        status = Path(f"/proc/{each}/status")
        if status.exists():
            found = re.search(r"VmRSS:\s+(\d+)", status.read_text())
            total_kb += int(found[1]) if found else 0
    return total_kb / 1024


def _children(pid: int) -> list[int]:
    listed = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(each) for each in listed.read_text().split()] if listed.exists() else []


async def run(served: Served, asked: argparse.Namespace) -> None:
    """Idle turns, then turns while the uploads run."""
    talker, senders = Visitor(served.url), [Visitor(served.url) for _ in range(asked.photos)]
    for each in (talker, *senders):
        await each.arrive()
    photo = large_photo()
    idle = [await talker.say("help") for _ in range(asked.idle_turns)]
    most, before = memory_mib(served.pid), memory_mib(served.pid)
    began = time.perf_counter()
    uploading = asyncio.gather(*(each.upload(photo) for each in senders))
    busy = []
    while not uploading.done():
        busy.append(await talker.say("help"))
        most = max(most, memory_mib(served.pid))
        await asyncio.sleep(0.05)
    seconds, ended = time.perf_counter() - began, Counter(await uploading)
    for each in (talker, *senders):
        await each.close()
    print(f"{asked.photos} photos of {len(photo) / 1e6:.1f} MB at once: {dict(ended)} in {seconds:.1f} s")
    print(f"a text turn, p95: idle {_p95_ms(idle):.0f} ms, during it {_p95_ms(busy):.0f} ms (at most 100 wanted)")
    print(f"memory: {before:.0f} MiB before, at most {most:.0f} MiB (under 400 wanted)")


def _p95_ms(seconds: list[float]) -> float:
    return 1000 * statistics.quantiles(seconds, n=20)[-1]


def main() -> int:
    """Run as the arguments say."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--photos", type=int, default=50)
    parser.add_argument("--idle-turns", type=int, default=100)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        served = Served(Path(folder))
        served.set_clock(datetime.now(UTC))
        with served:
            asyncio.run(run(served, asked))
    return 0


if __name__ == "__main__":
    sys.exit(main())
