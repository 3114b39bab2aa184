"""Verdicts on invented spots: a short run of what tests/bench/recovery_lawns.py prints in full.

Seeds are fixed. Each bound is the promise plus what chance alone may add to it one time in a thousand.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom

from rules.recovery_state import RecoveryState, Standing, recovery_of
from tests.rules.invented_spots import InventedSpot, weekly

SPOTS = 120
ONLY_PHOTOS = Standing()
ALIVE = (RecoveryState.RECOVERED, RecoveryState.RECOVERING)


def drawn(seed: int, **limits: tuple[float, float]) -> list[InventedSpot]:
    chance = np.random.default_rng(seed)
    return [InventedSpot(**{name: chance.uniform(*limit) for name, limit in limits.items()}) for _ in range(SPOTS)]


def states(spots: list[InventedSpot], weeks: int, seed: int, standing: Standing = ONLY_PHOTOS) -> list[RecoveryState]:
    chance = np.random.default_rng(seed)
    return [recovery_of(spot.readings(chance, weekly(7 * weeks)), standing).state for spot in spots]


def at_most(promised: float) -> float:
    """As many of the spots as a rate this high shows by chance 999 times in 1,000."""
    return float(binom.ppf(0.999, SPOTS, promised))


def test_growing_spots_are_called_after_four_warm_weeks() -> None:
    """Growth of 0.05 a day or more from the first warm day, 3 to 20 % green at first: nine in ten."""
    told = states(drawn(1, start_percent=(3, 20), growth_per_day=(0.05, 0.12)), weeks=4, seed=2)

    assert sum(state not in ALIVE for state in told) <= at_most(0.10)
    assert RecoveryState.LIKELY_DEAD not in told


@pytest.mark.parametrize("weeks", [10, 12])
@pytest.mark.parametrize("late_days", [(0, 14), (28, 28)])
def test_living_spots_that_start_late_are_seldom_called_dead(weeks: int, late_days: tuple[float, float]) -> None:
    """On photos alone, 0.3 to 1.5 % at first and up to 28 warm days late: one in twenty."""
    spots = drawn(3, start_percent=(0.3, 1.5), growth_per_day=(0.05, 0.09), late_warm_days=late_days)
    told = states(spots, weeks, seed=4, standing=Standing(judging_day_passed=True))

    assert told.count(RecoveryState.LIKELY_DEAD) <= at_most(0.05)


def test_with_tests_of_life_it_happens_more_seldom_still() -> None:
    """Six plugs read after four weeks beside the photos, at six warm weeks: one in fifty."""
    chance = np.random.default_rng(5)
    spots = drawn(
        6, start_percent=(0.3, 1.5), growth_per_day=(0.05, 0.09), late_warm_days=(28, 28), alive_fraction=(0.1, 1)
    )
    told = []
    for spot in spots:
        alive = spot.plugs_alive(chance, 6, points=5, shows=0.95)
        known = Standing(judging_day_passed=True, pot_test_failed=alive == 0, plug_alive=alive > 0)
        told.append(recovery_of(spot.readings(chance, weekly(42)), known).state)

    assert told.count(RecoveryState.LIKELY_DEAD) <= at_most(0.02)


def test_dead_ground_is_told_in_the_end() -> None:
    """With a failed pot test at six warm weeks most of it, on photos alone at fourteen; and hardly ever as growing."""
    dead = drawn(7, start_percent=(0.01, 2))
    tested = states(dead, 6, seed=8, standing=Standing(judging_day_passed=True, pot_test_failed=True))
    alone = states(dead, 14, seed=9, standing=Standing(judging_day_passed=True))

    assert tested.count(RecoveryState.LIKELY_DEAD) >= SPOTS / 2
    assert alone.count(RecoveryState.LIKELY_DEAD) >= SPOTS / 2
    assert sum(state in ALIVE for state in (*tested, *alone)) <= 2 * at_most(0.03)


def test_green_that_stands_still_is_told_so() -> None:
    """8 to 30 % for six warm weeks: stalled, seldom growing."""
    told = states(drawn(10, start_percent=(8, 30)), weeks=6, seed=11)

    assert told.count(RecoveryState.STALLED) >= 0.6 * SPOTS
    assert sum(state in ALIVE for state in told) <= at_most(0.05)
