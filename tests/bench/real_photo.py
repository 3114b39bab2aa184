"""Real photographs out of a Debian package: grass that is green all over, and pictures that are no lawn.

    python -m tests.bench.real_photo

Fetches mate-backgrounds (its pictures are free, and are not kept here) with `apt-get download`. The meadow's truth is
known without a mask: there is nothing but grass in it. It is told as unreadable, since only a strip of it is sharp;
its green is read all the same. Exits with 1 when a reading is off or a picture without a lawn is taken for one.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from bot.photos.opening import OpenedPhoto, Wanted, open_photo
from rules.cover_reading import CoverReading

PACKAGE = "mate-backgrounds"
MEADOW = "GreenMeadow.jpg"
MEADOW_TRUTH_PERCENT = 100
NO_LAWN = ("FreshFlower.jpg", "YellowFlower.jpg", "Wood.jpg", "RainDrops.jpg", "Aqua.jpg", "Storm.jpg", "Dune.jpg")


def pictures(folder: Path) -> Path:
    """The folder with the package's nature pictures."""
    subprocess.run(["apt-get", "download", "-qq", PACKAGE], cwd=folder, check=True)
    (package,) = folder.glob(f"{PACKAGE}_*.deb")
    subprocess.run(["dpkg-deb", "-x", str(package), str(folder / "x")], check=True)
    return folder / "x/usr/share/backgrounds/mate/nature"


def reading_of(file: Path) -> CoverReading:
    """What is read off one picture."""
    opened = open_photo(file.read_bytes(), Wanted(keep=False))
    if not isinstance(opened, OpenedPhoto):
        raise SystemExit(f"{file.name} could not be opened: {opened.reason}")
    return opened.reading


def main() -> int:
    """Read them all."""
    with tempfile.TemporaryDirectory() as folder:
        found = pictures(Path(folder))
        meadow = reading_of(found / MEADOW)
        others = {name: reading_of(found / name) for name in NO_LAWN}
    is_right = meadow.low <= MEADOW_TRUTH_PERCENT <= meadow.high
    print(f"{MEADOW}: truth {MEADOW_TRUTH_PERCENT} %, read {meadow.green_percent:.1f} "
          f"({meadow.low:.1f} to {meadow.high:.1f}); {'right' if is_right else 'WRONG'}; {meadow.reason}")  # fmt: skip
    for name, reading in others.items():
        print(f"{name}: no lawn; {reading.reason or 'TAKEN FOR ONE'}")
    return 0 if is_right and not any(each.usable for each in others.values()) else 1


if __name__ == "__main__":
    sys.exit(main())
