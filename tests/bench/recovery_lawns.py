"""Invented spots and lawns through a spring of weekly photos: what is told, how soon, and how often it is wrong.

    python -m tests.bench.recovery_lawns [--spots 300] [--lawns 1000] [--seed 1]

Photos err as rules/facts/recovery.py says (one in twenty by 15 points), clipped to 0 and 100; one part errs half as
much again. Prints: what is told of spots of known fate by week; detection by growth and first green; false "likely
dead" by late start, growth and week, on photos alone, ever so far, and with a pot test; the error of the days to half
cover; how often the ranges hold; and 1,000 lawns of three spots with a table of truth against what was told.

Tests of life: six plugs read at four weeks, each alive where one of its growing points is (5, and 1 as the worst case)
and shows with 95 %; the share alive of living spots is even from 0.1 to 1.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence

import numpy as np
from scipy.stats import binomtest

from rules.recovery import Reading, trend_of
from rules.recovery_state import RecoveryState, Standing, lawn_recovery, recovery_of
from tests.rules.invented_spots import InventedSpot, weekly

JUDGING_WEEK = 6
WEEKS = (3, 4, 6, 8, 10, 12, 14)
ALIVE = (RecoveryState.RECOVERED, RecoveryState.RECOVERING)
Maker = Callable[[np.random.Generator], InventedSpot]


def standing_at(week: int, **known: bool) -> Standing:
    return Standing(judging_day_passed=week >= JUDGING_WEEK, **known)


def until(readings: Sequence[Reading], week: int) -> list[Reading]:
    return [each for each in readings if each.warm_days <= 7 * week]


def spread(low: float, high: float, **fixed: float) -> Maker:
    """A spot with an even first green, and everything else fixed."""
    return lambda chance: InventedSpot(start_percent=float(chance.uniform(low, high)), **fixed)


def late(days: float, growth: float, most_days: float | None = None) -> Maker:
    """A living spot that shows 0.3 to 1.5 % and then nothing for so many warm days."""

    def made(chance: np.random.Generator) -> InventedSpot:
        return InventedSpot(
            start_percent=float(np.exp(chance.uniform(np.log(0.3), np.log(1.5)))),
            growth_per_day=growth,
            late_warm_days=days if most_days is None else float(chance.uniform(days, most_days)),
            alive_fraction=float(chance.uniform(0.1, 1.0)),
        )

    return made


def told_at(
    make: Maker, weeks: Iterable[int], spots: int, chance: np.random.Generator, noise: float = 1.0
) -> dict[int, Counter[RecoveryState]]:
    found: dict[int, Counter[RecoveryState]] = {week: Counter() for week in weeks}
    for _ in range(spots):
        readings = make(chance).readings(chance, weekly(7 * max(found)), noise=noise)
        for week in found:
            found[week][recovery_of(until(readings, week), standing_at(week)).state] += 1
    return found


def share(count: int, spots: int) -> str:
    """Percent with its exact 95 % interval."""
    held = binomtest(count, spots).proportion_ci(0.95, method="exact")
    return f"{100 * count / spots:5.1f} % ({100 * held.low:.1f} to {100 * held.high:.1f})"


def fates(spots: int, chance: np.random.Generator) -> None:
    kinds: dict[str, Maker] = {
        "dead, 0 to 2 %": spread(0.01, 2),
        "dead, weeds creep to 6 %": spread(0.5, 1.5, growth_per_day=0.05, most_percent=6),
        "stalled at 8 to 30 %": spread(8, 30),
        "slow, 0.03 a day from 3 to 15 %": spread(3, 15, growth_per_day=0.03),
        "typical, 0.07 a day from 3 to 15 %": spread(3, 15, growth_per_day=0.07),
        "fast, 0.12 a day from 3 to 15 %": spread(3, 15, growth_per_day=0.12),
    }
    for noise in (1.0, 1.5):
        print(f"\n## What is told by week, percent of {spots} spots, error x {noise:g}")
        for name, make in kinds.items():
            print(name)
            for week, counts in told_at(make, WEEKS, spots, chance, noise).items():
                shown = ", ".join(f"{state} {100 * n / spots:.0f}" for state, n in counts.most_common())
                print(f"  week {week:2}: {shown}")


def detection(spots: int, chance: np.random.Generator) -> None:
    print(f"\n## Called recovering or recovered, percent of {spots} spots")
    starts = ((1, 2), (2, 3), (3, 5), (5, 10), (10, 20), (3, 20))
    print("growth a day, first green:" + "".join(f"{low:>6}-{high} %" for low, high in starts))
    for growth in (0.025, 0.04, 0.05, 0.06, 0.07, 0.09, 0.12):
        for week in (3, 4, 6):
            cells = []
            for low, high in starts:
                counts = told_at(spread(low, high, growth_per_day=growth), (week,), spots, chance)[week]
                cells.append(f"{100 * sum(counts[state] for state in ALIVE) / spots:8.0f} ")
            print(f"  {growth:5.3f}  week {week}          " + " ".join(cells))
    counts = Counter[bool]()
    for _ in range(10 * spots):
        spot = InventedSpot(
            start_percent=float(chance.uniform(3, 20)), growth_per_day=float(chance.uniform(0.05, 0.12))
        )
        counts[recovery_of(spot.readings(chance, weekly(28))).state in ALIVE] += 1
    print(f"  0.05 to 0.12 a day from 3 to 20 %, week 4: {share(counts[True], 10 * spots)}")


def false_dead(spots: int, chance: np.random.Generator) -> None:
    print(
        f'\n## "Likely dead" of living spots that start late, percent of {spots} spots (never before week 10 on photos)'
    )
    weeks = (6, 8, 10, 11, 12, 14)
    print("late, growth a day:     " + "".join(f"week {week:2}  " for week in weeks) + "ever so far")
    for days in (0, 14, 28, 42):
        for growth in (0.03, 0.05, 0.06, 0.09):
            hits, ever = Counter[int](), 0
            for _ in range(spots):
                readings = late(days, growth)(chance).readings(chance, weekly(7 * max(weeks)))
                dead = {
                    week
                    for week in weeks
                    if recovery_of(until(readings, week), standing_at(week)).state is RecoveryState.LIKELY_DEAD
                }
                hits.update(dead)
                ever += bool(dead)
            cells = "".join(f"{100 * hits[week] / spots:7.1f}  " for week in weeks)
            print(f"  {days:2} days, {growth:5.3f}       {cells}{100 * ever / spots:7.1f}")
    for week in (10, 12):
        dead = 0
        for _ in range(10 * spots):
            spot = late(0, float(chance.uniform(0.05, 0.09)), most_days=28)(chance)
            readings = spot.readings(chance, weekly(7 * week))
            dead += recovery_of(readings, standing_at(week)).state is RecoveryState.LIKELY_DEAD
        print(f"  0 to 28 days late, 0.05 to 0.09 a day, week {week}: {share(dead, 10 * spots)}")


def with_tests_of_life(spots: int, chance: np.random.Generator) -> None:
    print(f"\n## The same with a pot test of six plugs read at four weeks, {4 * spots} spots")
    for points in (5, 1):
        for week in (6, 8, 10, 12):
            for name, make in (("28 days late, 0.06", late(28, 0.06)), ("dead, 0 to 2 %", spread(0.01, 2))):
                dead = 0
                for _ in range(4 * spots):
                    spot = make(chance)
                    alive = spot.plugs_alive(chance, 6, points=points, shows=0.95)
                    standing = standing_at(week, pot_test_failed=alive == 0, plug_alive=alive > 0)
                    readings = spot.readings(chance, weekly(7 * week))
                    dead += recovery_of(readings, standing).state is RecoveryState.LIKELY_DEAD
                told = share(dead, 4 * spots)
                print(f"  {points} growing points a plug, week {week:2}, {name}: likely dead {told}")


def half_cover(spots: int, chance: np.random.Generator) -> None:
    print(f"\n## Days to half cover and ranges, {spots} spots from 3 to 15 %")
    for growth in (0.03, 0.05, 0.07, 0.09):
        for week in (4, 6):
            errors, held, cover_held, later_held = [], 0, 0, 0
            for _ in range(spots):
                spot = spread(3, 15, growth_per_day=growth)(chance)
                trend = trend_of(spot.readings(chance, weekly(7 * week)))
                true = max(0.0, np.log((100 - spot.start_percent) / spot.start_percent) / growth - 7 * week)
                days = trend.half_cover_in_warm_days
                errors.append((days.middle if days.middle is not None else 365.0) - true)
                held += (
                    (days.low if days.low is not None else 365.0)
                    <= true
                    <= (days.high if days.high is not None else 366.0)
                )
                now, later = spot.cover_percent(7 * week), spot.cover_percent(7 * week + 28)
                cover_held += trend.cover_now.low_percent <= now <= trend.cover_now.high_percent
                later_held += trend.cover_later.low_percent <= later <= trend.cover_later.high_percent
            low, middle, high = np.quantile(errors, [0.25, 0.5, 0.75])
            print(
                f"  {growth:5.3f} a day, week {week}: middle off by {middle:+5.1f} days (half of them {low:+.1f} to "
                f"{high:+.1f}); ranges hold: days {100 * held / spots:.0f} of 80, cover now "
                f"{100 * cover_held / spots:.0f} of 90, cover later {100 * later_held / spots:.0f} of 90"
            )


def lawns(count: int, chance: np.random.Generator) -> None:
    kinds: dict[str, tuple[float, Maker]] = {
        "dead": (0.25, spread(0.01, 2)),
        "stalled": (0.10, spread(8, 30)),
        "late": (0.20, late(0, 0.06, most_days=28)),
        "slow": (0.15, spread(3, 15, growth_per_day=0.03)),
        "typical": (0.30, spread(3, 15, growth_per_day=0.07)),
    }
    names = list(kinds)
    chances = [kinds[name][0] for name in names]
    for week in (4, 6, 10, 12, 14):
        table = {name: Counter[RecoveryState]() for name in names}
        for _ in range(count):
            fate = {str(at): names[chance.choice(len(names), p=chances)] for at in range(3)}
            readings = {spot: kinds[name][1](chance).readings(chance, weekly(7 * week)) for spot, name in fate.items()}
            told = lawn_recovery(readings, {spot: standing_at(week) for spot in fate})
            for spot, name in fate.items():
                table[name][told[spot].state] += 1
        print(
            f"\n## {count} lawns of three spots, photos alone, week {week}: truth against told, percent of each truth"
        )
        print("          " + "".join(f"{state:>18}" for state in RecoveryState))
        for name in names:
            whole = table[name].total()
            print(f"  {name:8}" + "".join(f"{100 * table[name][state] / whole:18.1f}" for state in RecoveryState))


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--spots", type=int, default=300)
    options.add_argument("--lawns", type=int, default=1000)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    chance = np.random.default_rng(given.seed)
    began = time.perf_counter()
    for part in (fates, detection, false_dead, with_tests_of_life, half_cover):
        part(given.spots, chance)
    lawns(given.lawns, chance)
    print(f"\n{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
