"""The long kill drill: two hundred homeowners, a hundred kills. Prints figures; exits with 1 when anything was lost.

    python -m tests.bench.kill_drill [--homeowners 200] [--lines 60] [--kills 100] [--in-flight 1] [--seed 1]
        [--talk package.module:TALK] [--scripts package.module:function]

`--scripts` names a function of (homeowners, lines, seed) that returns the scripts for the talk.
"""

from __future__ import annotations

import argparse
import asyncio
import sys
from pathlib import Path

from bot.talk.ports import Talk
from tests.drill.child import named
from tests.drill.drill import Plan, Played, run_drill, short_folder
from tests.drill.judge import Verdict, judge


def main() -> int:
    """Run the drill that the arguments describe."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, default in (("homeowners", 200), ("lines", 60), ("kills", 100), ("in-flight", 1), ("seed", 1)):
        parser.add_argument(f"--{name}", type=int, default=default)
    parser.add_argument("--talk", default="tests.fakes.small_talk:TALK")
    parser.add_argument("--scripts", default="tests.drill.scripts:small_scripts")
    asked = parser.parse_args()
    talk, scripts_for = named(asked.talk), named(asked.scripts)
    if not isinstance(talk, Talk) or not callable(scripts_for):
        parser.error("--talk must name a Talk and --scripts a function")
    scripts = scripts_for(asked.homeowners, asked.lines, asked.seed)
    plan = Plan(
        kills=asked.kills,
        seed=asked.seed,
        scripts=scripts,
        talk=asked.talk,
        in_flight=asked.in_flight,
        step_seconds=0.5,
        days_after=30,
        seconds_allowed=1800,
    )
    with short_folder() as folder:
        played = asyncio.run(run_drill(plan, Path(folder)))
        verdict = judge(played, scripts, talk, in_flight=asked.in_flight)
    _print(played, verdict, asked.homeowners, asked.in_flight)
    return 1 if verdict.faults else 0


def _print(played: Played, verdict: Verdict, homeowners: int, in_flight: int) -> None:
    allowed = played.kills * in_flight
    print(f"{homeowners} homeowners, {verdict.messages} messages still stored at the end, {played.kills} kills")
    print(f"sent {verdict.sent}, of these twice {verdict.doubled} (at most {allowed} allowed)")
    print(f"lost or different from an uninterrupted replay: {len(verdict.faults)}")
    print(f"reminders brought up {verdict.brought_up}, messages handed in again {played.resent}")
    print(f"{played.seconds:.0f} s, slowest start {played.slowest_start:.2f} s, stop {played.stop_seconds:.2f} s")
    for fault in verdict.faults[:20]:
        print(f"FAULT {fault}")


if __name__ == "__main__":
    sys.exit(main())
