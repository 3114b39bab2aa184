"""The long network drill: 20,000 updates and as many sends, 5 % of the sends refused, killed 200 times.

    python -m tests.bench.network_drill [--chats 200] [--lines 100] [--kills 200] [--in-flight 8] [--seed 1]

The real Telegram client against a Bot API here, limits raised. Exits with 1 when anything was lost or out of order.
"""

from __future__ import annotations

import argparse
import asyncio
import sys
from pathlib import Path

from tests.drill.drill import short_folder
from tests.drill.network import Hardship, NetworkDrill


def main() -> int:
    """Run the drill that the arguments describe."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, default in (("chats", 200), ("lines", 100), ("kills", 200), ("in-flight", 8), ("seed", 1)):
        parser.add_argument(f"--{name}", type=int, default=default)
    asked = parser.parse_args()
    hardship = Hardship(
        chats=asked.chats, lines=asked.lines, kills=asked.kills, in_flight=asked.in_flight, seed=asked.seed
    )
    with short_folder() as folder:
        outcome = asyncio.run(NetworkDrill(hardship, Path(folder)).run())
    wanted = asked.chats * asked.lines
    print(f"{wanted} updates, {outcome.kills} kills, {outcome.refused} sends refused by the far side")
    print(f"sent {outcome.sent}, of these twice {outcome.doubled} (at most {outcome.kills * asked.in_flight} allowed)")
    print(f"lost or out of order: {len(outcome.faults)}; {outcome.seconds:.0f} s")
    for fault in outcome.faults[:20]:
        print(f"FAULT {fault}")
    return 1 if outcome.faults else 0


if __name__ == "__main__":
    sys.exit(main())
