"""What came of a lawn: how it became known, and what its green at the end says about what was alive."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from rules.facts import lt50 as facts
from rules.facts.fact import Fact
from rules.survival import GRID_STEPS


class CameOf(StrEnum):
    """What came of a spot."""

    BACK = "back"
    PARTLY = "partly"
    DEAD = "dead"


class Way(StrEnum):
    """How what came of a spot became known, the surest first. Each may be off in its own way for all lawns together."""

    POT_TEST = "pot test"
    PHOTOS = "photos"
    BY_EYE = "by eye"


@dataclass(frozen=True, slots=True)
class Judged:
    """How green a spot was once its judging day had come. For learning; a spot's own odds do not use it."""

    came_of: CameOf

    def likelihood(self) -> tuple[float, ...]:
        """How often it is said at each alive fraction 0.00 ... 1.00; the three kinds add up to 1 at each.

        Source: rules/facts/lt50.py, expert judgement.
        """
        return _likelihood(self.came_of)


_SAID: dict[CameOf, tuple[Fact, ...]] = {
    CameOf.BACK: facts.JUDGED_BACK,
    CameOf.PARTLY: facts.JUDGED_PARTLY,
    CameOf.DEAD: facts.JUDGED_DEAD,
}


@cache
def _likelihood(came_of: CameOf) -> tuple[float, ...]:
    at = [fact.value for fact in facts.JUDGED_AT_FRACTION]
    said = [fact.value for fact in _SAID[came_of]]

    def between(fraction: float) -> float:
        upper = next(index for index in range(1, len(at)) if fraction <= at[index])
        share = (fraction - at[upper - 1]) / (at[upper] - at[upper - 1])
        return said[upper - 1] + share * (said[upper] - said[upper - 1])

    return tuple(between(step / GRID_STEPS) for step in range(GRID_STEPS + 1))
