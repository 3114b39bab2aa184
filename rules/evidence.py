"""What each thing seen or tested says: a likelihood over the alive fraction. `combine.py` puts them together."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import comb

from rules.errors import NotEnoughData, require_range
from rules.facts import evidence as facts
from rules.survival import GRID_STEPS


def sign_codes() -> tuple[str, ...]:
    """Codes of the signs an owner may report, in the order they are asked about."""
    return tuple(facts.SIGNS)


@cache
def sign_likelihood(code: str) -> tuple[float, ...]:
    """Likelihood of a reported sign at each alive fraction 0.00 ... 1.00. Raises NotEnoughData for an unknown code."""
    if code not in facts.SIGNS:
        raise NotEnoughData(f"no sign is called {code!r}")
    sign = facts.SIGNS[code]
    dead, alive = sign.if_all_dead.value, sign.if_all_alive.value
    return tuple(dead + (alive - dead) * step / GRID_STEPS for step in range(GRID_STEPS + 1))


def pot_test_likelihood(alive: int, total: int, weeks: int) -> tuple[float, ...]:
    """Likelihood of `alive` green plugs of `total` after some weeks, at each alive fraction.

    Binomial. A living plug shows by week 2, 3, 4 with the sensitivity of rules/facts/evidence.py; weeks below 2 carry
    no news of the dead (raises OutOfRange), beyond 4 count as 4. A plug holds many growing points; one living is
    enough, so this is cautious for mixed spots.

    Source: method Fry, Kansas State 2021; sensitivities expert judgement.
    """
    require_range("total", total, 1, 1000, "plugs")
    require_range("alive", alive, 0, total, "plugs")
    require_range("weeks", weeks, 2, 60, "weeks")
    shows = facts.POT_SENSITIVITY[min(weeks, max(facts.POT_SENSITIVITY))].value
    false_alive = facts.POT_FALSE_ALIVE.value

    def at(fraction: float) -> float:
        green = fraction * shows + (1 - fraction) * false_alive
        return comb(total, alive) * green**alive * (1 - green) ** (total - alive)

    return tuple(at(step / GRID_STEPS) for step in range(GRID_STEPS + 1))


def plug_interval(alive: int, total: int) -> tuple[float, float]:
    """The share of all such plugs that may live, after `alive` of `total` did: lowest and highest fraction.

    Exact: whatever the true share is, the interval holds it 95 times in 100 or more. None of six alive still leaves
    room for nearly half. It takes the count as it is; what a plug hides in its first weeks is in `pot_test_likelihood`.

    Source: Clopper and Pearson 1934. Checked against an independent beta distribution in tests/rules/test_evidence.py.
    """
    require_range("total", total, 1, 1000, "plugs")
    require_range("alive", alive, 0, total, "plugs")
    tail = (1 - facts.PLUG_INTERVAL_PROBABILITY.value) / 2

    def at_most(count: int, fraction: float) -> float:
        return sum(comb(total, n) * fraction**n * (1 - fraction) ** (total - n) for n in range(count + 1))

    low = 0.0 if alive == 0 else _where(lambda fraction: 1 - at_most(alive - 1, fraction) >= tail)
    high = 1.0 if alive == total else _where(lambda fraction: at_most(alive, fraction) <= tail)
    return low, high


def _where(holds: Callable[[float], bool]) -> float:
    """The fraction from which on something holds, by halving."""
    low, high = 0.0, 1.0
    while high - low > 1e-9:
        middle = (low + high) / 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return (low + high) / 2


def still_bare_likelihood(warm_days: int) -> tuple[float, ...]:
    """Likelihood of a spot showing under 3 % green after some warm days, at each alive fraction.

    Certain where nothing lives; falls in a straight line to the still-bare probability at one tenth alive and stays
    there. Before two warm weeks it is no evidence at all (1 everywhere). [warm days] 0 or more.

    Source: rules/facts/evidence.py, expert judgement.
    """
    require_range("warm_days", warm_days, 0, 400, "warm days")
    reached = [fact.value for days, fact in facts.STILL_BARE_PROBABILITY if warm_days >= days]
    bare = reached[-1] if reached else 1.0
    full = facts.RETURNS_FROM_ALIVE_FRACTION.value

    def at(fraction: float) -> float:
        return 1 - (1 - bare) * min(1.0, fraction / full)

    return tuple(at(step / GRID_STEPS) for step in range(GRID_STEPS + 1))
