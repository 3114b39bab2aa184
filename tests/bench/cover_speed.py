"""How long a 12-megapixel photo takes, against OpenCV decoding all of it; memory; and fifty uploads at once.

    python -m tests.bench.cover_speed

OpenCV's job: decode whole, hue, saturation and value, the same limits of green, variance of the Laplacian. Both run in
this process by turns, median of some rounds. What they add to memory is looked at in a fresh process for each. Then
fifty photos come at once through `PhotoIntake`, while a task on the event loop wants to wake each 5 ms.
"""

from __future__ import annotations

import asyncio
import io
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bot.photos.intake import OpenedPhoto, PhotoIntake, Wanted, open_photo

ROUNDS = 15
UPLOADS = 50
PING_SECONDS = 0.005
MIB = 1024 * 1024
WAYS = ("measured", "measured and kept", "opencv", "opencv, kept too")


def large_photo() -> bytes:
    """A rendered lawn of 4000 x 3000 pixels, with noise, as a phone packs it: 3 to 4 MB."""
    import numpy as np
    from PIL import Image

    from tests.fakes.turf import Look, Scene, developed, lawn

    pixels = developed(lawn(Scene(truth_percent=35, blade_px=6, size=(2000, 1500))), Look())
    whole = np.asarray(Image.fromarray(pixels).resize((4000, 3000), Image.Resampling.BICUBIC), np.int16)
    noisy = whole + np.random.default_rng(1).normal(0, 5, whole.shape[:2]).astype(np.int16)[:, :, None]
    out = io.BytesIO()
    Image.fromarray(np.clip(noisy, 0, 255).astype(np.uint8)).save(out, "JPEG", quality=90)
    return out.getvalue()


def measured(content: bytes) -> float:
    """Ours, as the command line has it."""
    opened = open_photo(content, Wanted(keep=False))
    if not isinstance(opened, OpenedPhoto):
        raise SystemExit(f"The photo was refused: {opened.reason}")
    return opened.reading.green_percent


def measured_and_kept(content: bytes) -> float:
    """Ours, as the service has it: a fresh JPEG besides."""
    opened = open_photo(content)
    if not isinstance(opened, OpenedPhoto):
        raise SystemExit(f"The photo was refused: {opened.reason}")
    return opened.reading.green_percent


def by_opencv(content: bytes) -> float:
    """The same limits at full size."""
    import cv2
    import numpy as np

    return _green_by_opencv(cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR))


def by_opencv_kept(content: bytes) -> float:
    """The same, and a JPEG of 2000 pixels."""
    import cv2
    import numpy as np

    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR)
    cv2.imencode(".jpg", cv2.resize(picture, (2000, 1500), interpolation=cv2.INTER_AREA))
    return _green_by_opencv(picture)


def _green_by_opencv(picture: Any) -> float:
    import cv2

    cv2.Laplacian(cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY), cv2.CV_16S).var()
    hsv = cv2.cvtColor(picture, cv2.COLOR_BGR2HSV_FULL)  # hue as 256 steps: 65 and 180 degrees are 46.2 and 128
    mask = cv2.inRange(hsv, (46, 38, 20), (128, 255, 255))
    return 100 * cv2.countNonZero(mask) / mask.size


JOBS: dict[str, Callable[[bytes], float]] = dict(
    zip(WAYS, (measured, measured_and_kept, by_opencv, by_opencv_kept), strict=True)
)


def times_ms(content: bytes) -> dict[str, float]:
    """Median time of each way, taken by turns."""
    taken: dict[str, list[float]] = {way: [] for way in WAYS}
    for _ in range(ROUNDS):
        for way in WAYS:
            began = time.perf_counter()
            JOBS[way](content)
            taken[way].append(1000 * (time.perf_counter() - began))
    return {way: statistics.median(values) for way, values in taken.items()}


def growth_mib(way: str, file: Path) -> float:
    """What one photo adds to the peak memory of a fresh process that has everything loaded."""
    program = f"import tests.bench.cover_speed as b; b.print_growth({way!r}, {str(file)!r})"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    return float(done.stdout)


def print_growth(way: str, file: str) -> None:
    """In the fresh process: warm up with a small photo, then look at the peak before and after the large one."""
    from PIL import Image

    content = Path(file).read_bytes()
    small = io.BytesIO()
    Image.open(io.BytesIO(content)).resize((800, 600)).save(small, "JPEG")
    JOBS[way](small.getvalue())
    _forget_peak()
    before = _peak_kib()
    JOBS[way](content)
    print((_peak_kib() - before) / 1024)


def _forget_peak() -> None:
    Path("/proc/self/clear_refs").write_text("5")


def _peak_kib() -> int:
    for line in Path("/proc/self/status").read_text().splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1])
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


# --- fifty at once ---------------------------------------------------------------------------------------------------


async def fifty_at_once(content: bytes) -> None:
    """Print the peak memory of the service and its processes, and how late the event loop woke."""
    intake = PhotoIntake(wait_seconds=120)
    uploads = [bytes(bytearray(content)) for _ in range(UPLOADS)]  # each its own, as real ones are
    late_ms: list[float] = []
    peaks = {"Rss": 0, "Pss": 0}
    pinging = asyncio.create_task(_ping(late_ms))
    watching = asyncio.create_task(asyncio.to_thread(_watch, peaks, stop := [False]))
    began = time.perf_counter()

    async def one(content: bytes) -> bool:
        return isinstance(await intake.open(content), OpenedPhoto)  # the service puts it on disk and forgets it

    opened = await asyncio.gather(*(one(each) for each in uploads))
    took = time.perf_counter() - began
    stop[0] = True
    await watching
    pinging.cancel()
    late_ms.sort()
    good = sum(opened)
    print(f"{UPLOADS} uploads of {len(content) / 1e6:.1f} MB at once: {good} opened in {took:.1f} s")
    print(
        f"  peak of all processes: {peaks['Rss']:.0f} MiB RSS added up, {peaks['Pss']:.0f} MiB with shared pages once"
    )
    print(f"  of which the uploads themselves: {UPLOADS * len(content) / MIB:.0f} MiB")
    print(
        f"  event loop late by {late_ms[len(late_ms) // 2]:.1f} ms (median), "
        f"{late_ms[int(0.95 * len(late_ms))]:.1f} (p95), {late_ms[-1]:.1f} (most)"
    )
    intake.close()


async def _ping(late_ms: list[float]) -> None:
    while True:
        began = time.perf_counter()
        await asyncio.sleep(PING_SECONDS)
        late_ms.append(1000 * (time.perf_counter() - began - PING_SECONDS))


def _watch(peaks: dict[str, int], stop: list[bool]) -> None:
    while not stop[0]:
        for kind, now in _memory_mib().items():
            peaks[kind] = max(peaks[kind], now)
        time.sleep(0.02)


def _memory_mib() -> dict[str, int]:
    """RSS and PSS of this process and its children."""
    found = {"Rss": 0, "Pss": 0}
    children = Path(f"/proc/self/task/{os.getpid()}/children").read_text().split()
    for process in (str(os.getpid()), *children):
        try:
            lines = Path(f"/proc/{process}/smaps_rollup").read_text().splitlines()
        except OSError:  # it has just ended
            continue
        for line in lines:
            name = line.partition(":")[0]
            if name in found:
                found[name] += int(line.split()[1]) // 1024
    return found


def main() -> None:
    """Everything, in one run."""
    content = large_photo()
    print(f"photo: 4000 x 3000, {len(content) / 1e6:.2f} MB")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "photo.jpg"
        file.write_bytes(content)
        growths = {way: growth_mib(way, file) for way in WAYS}
        subprocess.run([sys.executable, "-m", "tests.bench.cover_speed", "uploads", str(file)], check=True)
    medians = times_ms(content)
    import cv2

    print(f"OpenCV {cv2.__version__}, {cv2.getNumThreads()} threads")
    for way in WAYS:
        print(f"  {way:18} {medians[way]:6.0f} ms, +{growths[way]:.0f} MiB, {JOBS[way](content):.2f} % green")
    ours, kept, theirs, theirs_kept = (medians[way] for way in WAYS)
    print(f"ratio, measured to OpenCV:                    {ours / theirs:.2f} (goal 0.60)")
    print(f"ratio, measured and kept to OpenCV measured:  {kept / theirs:.2f}")
    print(f"ratio, both kept:                             {kept / theirs_kept:.2f}")


if __name__ == "__main__":
    if sys.argv[1:2] == ["uploads"]:
        asyncio.run(fifty_at_once(Path(sys.argv[2]).read_bytes()))
    else:
        main()
