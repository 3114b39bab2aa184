"""The one place where odds and evidence meet: a prior over the alive fraction times the likelihood of each piece.

Order does not matter, and what each piece did can be told: the odds with everything against the odds without it. That
comparison does not depend on order either, unlike adding pieces one by one. Two pieces that say the same share their
effect, so each looks smaller beside the other than it would alone.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import Protocol

from rules.errors import require_range
from rules.evidence import pot_test_likelihood, sign_likelihood, still_bare_likelihood
from rules.facts import evidence as facts
from rules.recovery import Reading, photos_likelihood
from rules.survival import GRID_STEPS, AliveOdds


class Evidence(Protocol):
    """Anything seen, measured or tested of one spot."""

    def likelihood(self) -> tuple[float, ...]:
        """How likely this would be reported at each alive fraction 0.00 ... 1.00; all alike says nothing."""
        ...


@dataclass(frozen=True, slots=True)
class Sign:
    """Something an owner sees, or a look at the runners, by its code in `evidence.sign_codes`."""

    code: str

    def likelihood(self) -> tuple[float, ...]:
        """Straight line between all dead and all alive. Source: rules/facts/evidence.py, expert judgement."""
        return sign_likelihood(self.code)


@dataclass(frozen=True, slots=True, kw_only=True)
class PotTest:
    """So many plugs alive of all, some weeks after they were potted."""

    alive: int
    total: int
    weeks: int

    def likelihood(self) -> tuple[float, ...]:
        """Binomial with the sensitivity of its week. Source: `pot_test_likelihood`."""
        return pot_test_likelihood(self.alive, self.total, self.weeks)


@dataclass(frozen=True, slots=True)
class StillBare:
    """Under 3 % green after so many warm days."""

    warm_days: int

    def likelihood(self) -> tuple[float, ...]:
        """Source: `still_bare_likelihood`, expert judgement."""
        return still_bare_likelihood(self.warm_days)


@dataclass(frozen=True, slots=True)
class Cover:
    """All photos of one spot together, as one piece. It takes the place of `StillBare`: both would count the same green
    twice.
    """

    readings: tuple[Reading, ...]

    def likelihood(self) -> tuple[float, ...]:
        """Late starters counted in, so four silent warm weeks say little. Source: `photos_likelihood`."""
        return photos_likelihood(self.readings)


@dataclass(frozen=True, slots=True)
class PullTest:
    """Grass that was pulled on. Never proof of life or death: frozen turf holds, and easy lifting has other causes."""

    lifts_easily: bool

    def likelihood(self) -> tuple[float, ...]:
        """The same everywhere. Source: common practice among turf scientists; see rules/facts/evidence.py."""
        return (1.0,) * (GRID_STEPS + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class OperatorFinding:
    """What somebody who knows found on the spot: the alive fraction and how sure they are, as a standard deviation."""

    alive_fraction: float
    sd_fraction: float = facts.OPERATOR_SD_FRACTION.value

    def likelihood(self) -> tuple[float, ...]:
        """A bell around the finding. Raises OutOfRange outside 0..1, or for a spread under 0.02 or over 0.5."""
        found = require_range("alive_fraction", self.alive_fraction, 0.0, 1.0, "")
        spread = require_range("sd_fraction", self.sd_fraction, 0.02, 0.5, "")
        off = ((step / GRID_STEPS - found) / spread for step in range(GRID_STEPS + 1))
        return tuple(math.exp(-each * each / 2) for each in off)


class Direction(StrEnum):
    """Which way a piece moved the odds."""

    MORE_ALIVE = "more_alive"
    LESS_ALIVE = "less_alive"
    HARDLY = "hardly"  # too little to tell


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one piece did: the odds without it, and with it and everything else."""

    piece: Evidence
    before: AliveOdds
    after: AliveOdds

    @property
    def moved_fraction(self) -> float:
        """How far it moved the expected alive fraction, -1 to 1."""
        return self.after.mean_fraction - self.before.mean_fraction

    @property
    def direction(self) -> Direction:
        """Which way, or hardly where it is less than anybody would tell."""
        if abs(self.moved_fraction) < facts.TOLD_FROM_FRACTION.value:
            return Direction.HARDLY
        return Direction.MORE_ALIVE if self.moved_fraction > 0 else Direction.LESS_ALIVE


@dataclass(frozen=True, slots=True, kw_only=True)
class Combined:
    """The odds after everything, and what each piece did to them, strongest first."""

    odds: AliveOdds
    effects: tuple[Effect, ...]


def combine(prior: AliveOdds, pieces: Iterable[Evidence]) -> Combined:
    """The odds after every piece of evidence.

    Parameters
    ----------
    prior : AliveOdds
        From the cold alone.
    pieces : iterable of Evidence
        In any order. The same piece given twice counts once.

    Returns
    -------
    Combined

    Raises
    ------
    NotEnoughData
        The pieces exclude each other, or a sign is unknown.
    OutOfRange
        A count or fraction that cannot be.

    Source
    ------
    Bayes' rule on a grid of 101 alive fractions. Pieces are taken as independent given the alive fraction.

    Checked
    -------
    tests/rules/test_combine.py: closed beta-binomial form; order; what says nothing changes nothing.
    """
    return _combined(prior, tuple(dict.fromkeys(pieces)))


@lru_cache  # one turn asks several times
def _combined(prior: AliveOdds, kept: tuple[Evidence, ...]) -> Combined:
    odds = _after(prior, kept)
    effects = (Effect(piece=piece, before=_after(prior, _without(kept, piece)), after=odds) for piece in kept)
    return Combined(odds=odds, effects=tuple(sorted(effects, key=_strongest_first)))


def _strongest_first(effect: Effect) -> tuple[int, str]:
    """By size, and by what it is where two are alike, so that order of telling never depends on order of asking."""
    return -round(abs(effect.moved_fraction) / 1e-9), repr(effect.piece)


def _after(prior: AliveOdds, pieces: Iterable[Evidence]) -> AliveOdds:
    """All likelihoods multiplied first, smallest factor by smallest, so that order cannot show in the last digit."""
    columns = [piece.likelihood() for piece in pieces]
    if not columns:
        return prior
    return prior.updated(tuple(math.prod(sorted(at)) for at in zip(*columns, strict=True)))


def _without(pieces: tuple[Evidence, ...], left_out: Evidence) -> tuple[Evidence, ...]:
    return tuple(piece for piece in pieces if piece is not left_out)
