"""How long until the first prompt stands in the terminal, beside importing what any such program must import.

    python -m tests.bench.start_up [--repeat 15]

- Baseline: an interpreter that imports pydantic's BaseModel and SQLAlchemy's asyncio part, and ends.
- Ours: `python -m bot talk` on a data folder whose tables are up to date, until its first question is there.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

IMPORTS = "from pydantic import BaseModel\nimport sqlalchemy.ext.asyncio\nprint('there', flush=True)"
QUESTION = "Where is the lawn?"


def until(command: list[str], words: str, environment: dict[str, str]) -> float:
    """Seconds until a program has said something."""
    began = time.perf_counter()
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, env=environment
    ) as process:
        said = ""
        while words not in said:
            line = process.stdout.readline() if process.stdout else ""
            if not line:
                raise RuntimeError(f"it ended without {words!r}: {said!r}")
            said += line
        seconds = time.perf_counter() - began
        process.kill()
    return seconds


def main() -> int:
    """Both in turns, the medians and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--repeat", type=int, default=15)
    repeat = parser.parse_args().repeat
    left_out = ("AFTERFROST_", "PYTHONDONTWRITEBYTECODE")  # with the second nothing of ours would ever be compiled
    clean = {name: value for name, value in os.environ.items() if not name.startswith(left_out)}
    with tempfile.TemporaryDirectory() as folder:
        data = Path(folder) / "data"
        ours = [sys.executable, "-m", "bot", "talk"]
        environment = clean | {"AFTERFROST_DATA": str(data)}
        until(ours, QUESTION, environment)  # makes the tables
        theirs, mine = [], []
        for _ in range(repeat):
            theirs.append(until([sys.executable, "-c", IMPORTS], "there", clean))
            mine.append(until(ours, QUESTION, environment))
    baseline, first = statistics.median(theirs), statistics.median(mine)
    print(f"importing pydantic and SQLAlchemy's asyncio part: {1000 * baseline:.0f} ms")
    print(f"first prompt: {1000 * first:.0f} ms; ratio {first / baseline:.2f} (at most 1.8 wanted)")
    return 0


if __name__ == "__main__":
    sys.exit(main())
