"""Invented lawns with a known fate. What is assumed:

- Fates as in `WEIGHTS`. A living spot shows what `_MAKERS` says of its fate; a dead one 0.01 to 2 % that is no grass.
- A dead lawn tells of a freeze that kills, a living one of a milder one, with overlap (`_AIR_F`). One dead lawn in four
  died of something else: its owner tells of a living one's freeze.
- A plug greens where one of its five growing points lives, by week 2, 3, 4 with the odds of the pot test; one dead plug
  in fifty shows a weed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from rules.facts.evidence import POT_FALSE_ALIVE, POT_SENSITIVITY
from tests.rules.invented_spots import InventedSpot


class Fate(StrEnum):
    """What becomes of a spot."""

    AT_ONCE = "alive, grows at once"
    SLOW = "alive, slow"
    LATE = "alive, starts late"
    STALLED = "alive, stalled thin"
    PARTLY = "partly dead"
    DEAD = "dead"
    DEAD_WEEDS = "dead, weeds creep in"


WEIGHTS: Mapping[Fate, float] = {
    Fate.AT_ONCE: 0.30,
    Fate.SLOW: 0.12,
    Fate.LATE: 0.18,
    Fate.STALLED: 0.08,
    Fate.PARTLY: 0.10,
    Fate.DEAD: 0.14,
    Fate.DEAD_WEEDS: 0.08,
}
DEAD = frozenset({Fate.DEAD, Fate.DEAD_WEEDS})
TWO_PARTS_SHARE = 0.2  # of the lawns have a front and a back with a fate each

PLACES = (
    ("31522", "St. Augustine"), ("70801", "St. Augustine"), ("32301", "centipede"), ("29401", "centipede"),
    ("39401", "zoysia"), ("28401", "zoysia"), ("36830", "bermuda"), ("75001", "bermuda"), ("27601", "zoysia"),
    ("38103", "bermuda"),
)  # fmt: skip

_AIR_F: Mapping[bool, Mapping[bool, tuple[float, float]]] = {
    True: {True: (12, 25), False: (2, 14)},  # St. Augustine and centipede: alive, dead
    False: {True: (0, 18), False: (-12, 4)},  # bermuda and zoysia, which return from below
}
_OTHER_CAUSE_SHARE = 0.25
_POINTS_A_PLUG = 5


def _spot(
    chance: np.random.Generator, start: tuple[float, float], alive: tuple[float, float], **more: float
) -> InventedSpot:
    return InventedSpot(
        start_percent=float(chance.uniform(*start)), alive_fraction=float(chance.uniform(*alive)), **more
    )


_MAKERS: Mapping[Fate, Callable[[np.random.Generator], InventedSpot]] = {
    Fate.AT_ONCE: lambda c: _spot(c, (3, 20), (0.4, 1), growth_per_day=float(c.uniform(0.05, 0.12))),
    Fate.SLOW: lambda c: _spot(c, (3, 15), (0.2, 0.7), growth_per_day=float(c.uniform(0.025, 0.04))),
    Fate.LATE: lambda c: _spot(
        c, (0.3, 1.5), (0.1, 1), growth_per_day=float(c.uniform(0.05, 0.09)), late_warm_days=float(c.uniform(0, 28))
    ),
    Fate.STALLED: lambda c: _spot(c, (8, 30), (0.1, 0.4)),
    Fate.PARTLY: lambda c: _spot(
        c, (2, 8), (0.15, 0.45), growth_per_day=float(c.uniform(0.04, 0.08)), most_percent=float(c.uniform(20, 60))
    ),
    Fate.DEAD: lambda c: _spot(c, (0.01, 2), (0, 0)),
    Fate.DEAD_WEEDS: lambda c: _spot(c, (0.5, 1.5), (0, 0), growth_per_day=0.05, most_percent=float(c.uniform(3, 10))),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plugs:
    """Potted plugs: the week from which each shows green; None for never."""

    shows_from_week: tuple[int | None, ...]

    def green_at(self, weeks: int) -> int:
        """How many are green after so many weeks."""
        return sum(week is not None and week <= weeks for week in self.shows_from_week)


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedPart:
    """A part of a lawn that has a fate of its own; named "" where it is the whole lawn."""

    name: str
    fate: Fate
    spot: InventedSpot
    plugs: Plugs

    @property
    def is_alive(self) -> bool:
        """Whether "likely dead" would be wrong."""
        return self.fate not in DEAD


@dataclass(frozen=True, slots=True, kw_only=True)
class InventedLawn:
    """One lawn and the freeze its owner tells of.

    is_explained : the freeze is one that leaves such a fate; False for a part that died although it was mild
    season_off_days : how much later its ground warms than the table says
    """

    place: str
    grass: str
    air_f: int
    days_cold: int
    parts: tuple[InventedPart, ...]
    is_explained: bool = True
    season_off_days: int = 0


def invented_lawn(
    chance: np.random.Generator, *, fate: Fate | None = None, season_off_sd_days: float = 0
) -> InventedLawn:
    """A lawn drawn from the weights; with a fate given, of that fate in all its parts."""
    place, grass = PLACES[chance.integers(len(PLACES))]
    names = ("front", "back") if chance.random() < TWO_PARTS_SHARE else ("",)
    parts = tuple(_part(chance, name, fate) for name in names)
    explained = bool(chance.random() >= _OTHER_CAUSE_SHARE)
    is_mild = any(part.is_alive for part in parts) or not explained
    low, high = _AIR_F[grass in ("St. Augustine", "centipede")][is_mild]
    off = float(np.clip(chance.normal(0, 1), -2, 2)) * season_off_sd_days
    return InventedLawn(
        place=place,
        grass=grass,
        air_f=round(chance.uniform(low, high)),
        days_cold=int(chance.integers(1, 7)),
        parts=parts,
        is_explained=not (is_mild and any(not part.is_alive for part in parts)),
        season_off_days=round(off),
    )


def _part(chance: np.random.Generator, name: str, fate: Fate | None) -> InventedPart:
    fates = list(WEIGHTS)
    drawn = fates[chance.choice(len(fates), p=list(WEIGHTS.values()))]
    chosen = fate or drawn
    spot = _MAKERS[chosen](chance)
    total = int(chance.choice([6, 6, 6, 8, 4]))
    living = spot.plugs_alive(chance, total, points=_POINTS_A_PLUG, shows=1.0)
    weeks = (_shows_from(chance) if n < living else _weed_in_a_pot(chance) for n in range(total))
    return InventedPart(name=name, fate=chosen, spot=spot, plugs=Plugs(shows_from_week=tuple(weeks)))


def _shows_from(chance: np.random.Generator) -> int | None:
    drawn = chance.random()
    return next((week for week, shown in sorted(POT_SENSITIVITY.items()) if drawn < shown.value), None)


def _weed_in_a_pot(chance: np.random.Generator) -> int | None:
    return min(POT_SENSITIVITY) if chance.random() < POT_FALSE_ALIVE.value else None
