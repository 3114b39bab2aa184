"""Invented spots with a known course of their cover, and the photos somebody would have taken of them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rules.recovery import Reading, Weeds, error_sd_percent


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedSpot:
    """Nothing for `late_warm_days`, then logit cover rises by `growth_per_day` from `start_percent` to `most_percent`.

    alive_fraction : of its growing points; decides what a pot test shows
    """

    start_percent: float
    growth_per_day: float = 0.0
    late_warm_days: float = 0.0
    most_percent: float = 100.0
    alive_fraction: float = 0.0

    def cover_percent(self, warm_days: float) -> float:
        """The true cover on a day."""
        odds = self.start_percent / (100 - self.start_percent)
        odds *= math.exp(self.growth_per_day * max(0.0, warm_days - self.late_warm_days))
        return min(self.most_percent, 100 * odds / (1 + odds))

    def readings(
        self, chance: np.random.Generator, warm_days: Sequence[float], *, photos: int = 1, noise: float = 1.0
    ) -> list[Reading]:
        """One reading a visit: normal error of its cover (times `noise`), one in twenty 15 points off."""
        found = []
        for day in warm_days:
            true = self.cover_percent(day)
            plain = Reading(warm_days=day, cover_percent=true, photos=photos, weeds=Weeds.NONE)
            off = chance.normal(0.0, noise * error_sd_percent(true, plain))
            if chance.random() < 0.05:
                off += chance.choice([-15.0, 15.0])
            seen = float(np.clip(true + off, 0, 100))
            found.append(Reading(warm_days=day, cover_percent=seen, photos=photos, weeds=Weeds.NONE))
        return found

    def plugs_alive(self, chance: np.random.Generator, total: int, *, points: int, shows: float) -> int:
        """Plugs that green in a pot: one living point of the `points` in a plug is enough, if it shows in time."""
        lives = (1 - (1 - self.alive_fraction) ** points) * shows
        return int(chance.binomial(total, lives))


def weekly(last_warm_day: int) -> list[float]:
    """A photo on the first warm day and every week after it."""
    return [float(day) for day in range(0, last_warm_day + 1, 7)]
