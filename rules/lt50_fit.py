"""How far the real LT50 of a grass lies off its published figure in a region, from what came of its lawns.

The picture, level by level:

- The grass's LT50 is off by a shift, before any outcome as wide as its published spread and what may lie between a
  laboratory and a lawn.
- A named cultivar is off by that and by a part of its own, so that few lawns of a cultivar lean on the whole grass.
  Lawns of unknown cultivar are taken as lawns of the grass, each with the doubt which cultivar it is.
- All estimated minima of the region are off together by `region_sd_dc`. Outcomes show only the difference of the two:
  an LT50 that is 1 degC too warm and minima that are all 1 degC too warm leave the same lawns dead. That part is
  never learned, whatever the number of lawns; it widens the result.
- Green at the end tells what lived only roughly, and for all lawns in the same direction: photos and eyes are each off
  by a common step, and some of what was said has nothing to do with what lives. Pot tests have neither, and where there
  are some they show both.
- Each lawn has an error of its own, and dies as `lt50_lawns.py` says.

Taken for granted, and worth telling whoever adopts a result: owners who answer are as likely to have a living lawn as
those who do not, given how cold it got (`answering` says what another habit would change); lawns that share a
street count as strangers; several winters are taken as one, with one common error.

Nothing here is drawn by chance: sums over grids that are refined where the probability lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from rules.errors import require_range
from rules.facts import lt50 as facts
from rules.grasses import GrassCode, cultivar_of_species, tolerance
from rules.lt50_evidence import Way
from rules.lt50_grids import Spread, even, log_normal, mixed_spread, narrowed, normal_spread, through
from rules.lt50_lawns import Array, LawnOutcome, LawnTable, log_likelihoods, table_of
from rules.survival import GRID_STEPS

_LEAST = 1e-300  # keeps the log of nothing finite


@dataclass(frozen=True, slots=True, kw_only=True)
class Answering:
    """How readily owners answer with everything alive, and with everything dead, in any unit. In between evenly."""

    living: float = 1.0
    dead: float = 1.0

    def __post_init__(self) -> None:
        for each in (self.living, self.dead):
            require_range("how readily owners answer", each, 0.01, 100.0, "")

    @property
    def readiness(self) -> Array:
        """At each alive fraction 0.00 ... 1.00."""
        return np.linspace(self.dead, self.living, GRID_STEPS + 1)


ALIKE = Answering()


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundShift:
    """What outcomes say of one grass (`cultivar` None) or one cultivar.

    prior, found : the shift without any outcome, and with all of them
    lawns, near : how many lawns are its own, and of how many the limit decided; a grass counts those of all cultivars
    tested : how many of those near the limit had a pot test
    """

    cultivar: str | None
    prior: Spread
    found: Spread
    lawns: float
    near: float
    tested: float

    @property
    def has_few_lawns(self) -> bool:
        """Fewer lawns near the limit than anybody should change advice for. Source: expert judgement."""
        return self.near < facts.ENOUGH_NEAR_LAWNS.value

    @property
    def is_wide(self) -> bool:
        """The interval is more than half as wide as before any outcome. Source: expert judgement."""
        return self.found.width_dc > facts.ENOUGH_WIDTH_FRACTION.value * self.prior.width_dc

    @property
    def is_enough(self) -> bool:
        """Whether it may be adopted: at least 100 lawns near the limit, and an interval at most half as wide."""
        return not (self.has_few_lawns or self.is_wide)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitFit:
    """Everything found for one grass: the grass first, then the cultivars lawns were named as, in their order."""

    code: GrassCode
    region_sd_dc: float
    grass: FoundShift
    cultivars: tuple[FoundShift, ...] = field(default=())

    def of(self, cultivar: str | None) -> FoundShift | None:
        """What was found for a cultivar, or for the grass; None for a cultivar no lawn was named as."""
        every = (self.grass, *self.cultivars)
        return next((each for each in every if each.cultivar == cultivar), None)


def fit_limit(
    code: GrassCode,
    lawns: Iterable[LawnOutcome],
    *,
    region_sd_dc: float = facts.REGION_MINIMA_SD_DC.value,
    answering: Answering = ALIKE,
) -> LimitFit:
    """How far the LT50 of a grass and its cultivars lies off the published figures.

    Parameters
    ----------
    code : GrassCode
        The grass of all these lawns.
    lawns : iterable of LawnOutcome
        In any order; may be empty.
    region_sd_dc : float
        What all minima may be off together. [degC, 0.05 to 3]
    answering : Answering
        How readily owners of living and of dead lawns answer; alike if not given.

    Returns
    -------
    LimitFit

    Raises
    ------
    NotEnoughData
        A cultivar that is none of this grass.
    OutOfRange
        A width that cannot be.

    Source
    ------
    Bayes' rule. Prior: `prior_sd_dc`; other widths: rules/facts/lt50.py.

    Checked
    -------
    tests/rules/test_lt50_fit.py: an independent integrator, known shifts; tests/bench/lt50_fit.py: invented regions.
    """
    require_range("region_sd_dc", region_sd_dc, 0.05, 3.0, "degC")
    levels = _Levels(grass_sd_dc=prior_sd_dc(code), region_sd_dc=region_sd_dc)
    groups = [
        _group(name, _tables(code, ways, levels), answering, levels) for name, ways in _grouped(code, lawns).items()
    ]
    look = _refined(groups, levels)
    return LimitFit(
        code=code,
        region_sd_dc=region_sd_dc,
        grass=_found_of_grass(groups, look, levels),
        cultivars=tuple(_found_of_cultivar(each, look, levels) for each in groups if each.name is not None),
    )


def prior_sd_dc(code: GrassCode) -> float:
    """How far a grass's LT50 may lie off its figure before any outcome, as a standard deviation. [degC]

    Source: published spread (rules/facts/grasses_*.py) and what lies between laboratory and lawn (rules/facts/lt50.py).
    """
    return math.hypot(tolerance(code).sd_dc, facts.LAB_TO_LAWN_SD_DC.value)


def _grouped(code: GrassCode, lawns: Iterable[LawnOutcome]) -> dict[str | None, dict[Way, list[LawnOutcome]]]:
    """Lawns by cultivar, the unknown ones first, and by how their end became known. Raises NotEnoughData."""
    groups: dict[str | None, dict[Way, list[LawnOutcome]]] = {}
    for lawn in lawns:
        groups.setdefault(lawn.cultivar, {}).setdefault(lawn.way, []).append(lawn)
    for name in groups:
        if name is not None:
            cultivar_of_species(code, name)
    return dict(sorted(groups.items(), key=lambda group: group[0] or ""))


def _tables(code: GrassCode, ways: Mapping[Way, Sequence[LawnOutcome]], levels: _Levels) -> dict[Way, LawnTable]:
    return {way: table_of(code, lawns, region_sd_dc=levels.region_sd_dc) for way, lawns in ways.items()}


# --- the levels ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _Levels:
    """What is known before any outcome. Of what outcomes show, `shift - common error`, `kept` is the shift's part."""

    grass_sd_dc: float
    region_sd_dc: float

    @property
    def shown_sd_dc(self) -> float:
        return math.hypot(self.grass_sd_dc, self.region_sd_dc)

    @property
    def shown_of_cultivar_sd_dc(self) -> float:
        return math.hypot(self.shown_sd_dc, facts.CULTIVAR_SD_DC.value)

    @property
    def cultivar_sd_dc(self) -> float:
        return math.hypot(self.grass_sd_dc, facts.CULTIVAR_SD_DC.value)

    @property
    def kept(self) -> float:
        return (self.grass_sd_dc / self.shown_sd_dc) ** 2

    @property
    def hidden_sd_dc(self) -> float:
        """What no number of lawns can tell."""
        return self.region_sd_dc * math.sqrt(self.kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Lawns of one name, by how their end became known: their log likelihood [misseen, grid] over what they show."""

    name: str | None
    tables: Mapping[Way, LawnTable]
    grid_dc: Array
    logs: Mapping[Way, Array]


def _group(name: str | None, tables: Mapping[Way, LawnTable], answering: Answering, levels: _Levels) -> _Group:
    reach = facts.REACH_SDS.value * (levels.shown_of_cultivar_sd_dc + facts.SEEN_SD_DC.value)
    grid = np.linspace(-reach, reach, 2 * math.ceil(reach / facts.LIKELIHOOD_STEP_DC.value) + 1)
    logs = {
        way: log_likelihoods(table, grid, np.zeros(1) if way is Way.POT_TEST else _misseen(), answering.readiness)
        for way, table in tables.items()
    }
    return _Group(name=name, tables=tables, grid_dc=grid, logs=logs)


def _misseen() -> Array:
    return np.array([each.value for each in facts.MISSEEN_PROBABILITY])


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axes:
    """Points at which everything unknown is looked at. [degC]

    shown : of what the grass shows; own : of what each named group shows
    steps : how far each way of seeing is off for all lawns; empty where every lawn was tested
    """

    shown: Array
    own: Mapping[str, Array]
    steps: Mapping[Way, Array]

    @property
    def shape(self) -> tuple[int, ...]:
        """Of what is the same for all groups: misseen, then a step for each way of seeing."""
        return (len(_misseen()) if self.steps else 1, *map(len, self.steps.values()))

    def log_prior(self, levels: _Levels) -> Array:
        """[shown, column]"""
        common = np.zeros(self.shape)
        for place, points in enumerate(self.steps.values(), start=1):
            common = common + _along(log_normal(points, facts.SEEN_SD_DC.value), place, len(self.shape))
        prior: Array = log_normal(self.shown, levels.shown_sd_dc)[:, None] + common.ravel()
        return prior


def _along(values: Array, place: int, dimensions: int) -> Array:
    return values.reshape([-1 if each == place else 1 for each in range(dimensions)])


def _log_at(group: _Group, shown_dc: Array, axes: _Axes) -> Array:
    """[shown, column] Log of how likely the lawns of a group are, where the group itself shows so much."""
    total = np.zeros((len(shown_dc), *axes.shape))
    for way, logs in group.logs.items():
        if way is Way.POT_TEST:
            total += _along(through(group.grid_dc, logs[0], shown_dc), 0, total.ndim)
            continue
        place = 2 + list(axes.steps).index(way)
        at = shown_dc[:, None] + axes.steps[way]
        seen = np.stack([through(group.grid_dc, row, at) for row in logs], axis=1)
        total += seen.reshape([size if each in (0, 1, place) else 1 for each, size in enumerate(total.shape)])
    return total.reshape(len(shown_dc), -1)


def _apart(name: str, axes: _Axes) -> Array:
    """[shown, own] How far a cultivar lies off its grass."""
    return np.exp(log_normal(axes.own[name] - axes.shown[:, None], facts.CULTIVAR_SD_DC.value))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Look:
    """Everything unknown looked at once: logs of how likely all lawns are, [shown, column].

    own : of each named group where it itself shows so much, [own, column]; by_grass : of each where its grass does
    """

    axes: _Axes
    own: Mapping[str | None, Array]
    by_grass: Mapping[str | None, Array]
    total: Array

    @classmethod
    def at(cls, axes: _Axes, groups: Sequence[_Group], levels: _Levels) -> _Look:
        own = {each.name: _log_at(each, axes.own.get(each.name or "", axes.shown), axes) for each in groups}
        by_grass = {name: logs if name is None else _by_grass(name, logs, axes) for name, logs in own.items()}
        return cls(axes=axes, own=own, by_grass=by_grass, total=sum(by_grass.values(), start=axes.log_prior(levels)))

    def pairs(self, name: str) -> Array:
        """[shown, own] How likely each pair of what the grass and a cultivar of it show is."""
        best = self.own[name].max(axis=0)
        others = self.total - self.by_grass[name] + best
        together = _exp(others - others.max()) @ _exp(self.own[name] - best).T
        pairs: Array = _apart(name, self.axes) * together
        return pairs

    def best_along(self, place: int) -> Array:
        """The best of all at each point of one axis: shown, misseen, then the steps."""
        whole = self.total.reshape(-1, *self.axes.shape)
        best: Array = whole.max(axis=tuple(each for each in range(whole.ndim) if each != place))
        return best

    def narrowed(self) -> _Axes:
        """The axes over where the probability lies."""
        own, steps = self.axes.own.items(), self.axes.steps.items()
        return _Axes(
            shown=narrowed(self.axes.shown, self.best_along(0)),
            own={name: narrowed(points, np.log(self.pairs(name).max(axis=0) + _LEAST)) for name, points in own},
            steps={way: narrowed(points, self.best_along(2 + at)) for at, (way, points) in enumerate(steps)},
        )


def _exp(logs: Array) -> Array:
    """What is next to nothing is nothing: sums of numbers at the end of a float's range take ten times as long."""
    return np.exp(np.where(logs < -100, -np.inf, logs))


def _by_grass(name: str, own: Array, axes: _Axes) -> Array:
    best = own.max(axis=0)
    by_grass: Array = np.log(_apart(name, axes) @ _exp(own - best) + _LEAST) + best
    return by_grass


def _refined(groups: Sequence[_Group], levels: _Levels) -> _Look:
    """A look where the probability lies: found coarsely, then more finely."""
    ways = [way for way in Way if way is not Way.POT_TEST and any(way in group.logs for group in groups)]
    reach, points = facts.REACH_SDS.value * facts.SEEN_SD_DC.value, int(facts.OFFSET_POINTS.value)
    axes = _Axes(
        shown=even(levels.shown_sd_dc),
        own={group.name: even(levels.shown_of_cultivar_sd_dc) for group in groups if group.name is not None},
        steps={way: np.linspace(-reach, reach, points) for way in ways},
    )
    for _ in range(int(facts.REFINEMENTS.value)):
        axes = _Look.at(axes, groups, levels).narrowed()
    return _Look.at(axes, groups, levels)


# --- what is found -------------------------------------------------------------------------------------------------


def _found_of_grass(groups: Sequence[_Group], look: _Look, levels: _Levels) -> FoundShift:
    before = found = normal_spread(levels.grass_sd_dc)
    if groups:
        weights = np.exp(look.total - look.total.max()).sum(axis=1)
        found = mixed_spread(levels.kept * look.axes.shown, weights, levels.hidden_sd_dc)
    return _found(None, before, found, [table for group in groups for table in group.tables.items()])


def _found_of_cultivar(group: _Group, look: _Look, levels: _Levels) -> FoundShift:
    """Over all pairs of what grass and cultivar show; the hidden part of the region is the grass's."""
    name = group.name or ""
    centres = look.axes.own[name] - (1 - levels.kept) * look.axes.shown[:, None]
    found = mixed_spread(centres.ravel(), look.pairs(name).ravel(), levels.hidden_sd_dc)
    return _found(name, normal_spread(levels.cultivar_sd_dc), found, list(group.tables.items()))


def _found(cultivar: str | None, before: Spread, found: Spread, tables: Sequence[tuple[Way, LawnTable]]) -> FoundShift:
    return FoundShift(
        cultivar=cultivar,
        prior=before,
        found=found,
        lawns=sum(table.lawns for _, table in tables),
        near=sum(table.near for _, table in tables),
        tested=sum(table.near for way, table in tables if way is Way.POT_TEST),
    )
