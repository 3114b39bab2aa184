"""Heat in the ground: one-dimensional conduction with the latent heat of freezing, many places at once.

Enthalpy form: d/dt [C T + L theta f(T)] = d/dz (k dT/dz), with f the unfrozen share of the water, falling in a straight
line from 1 at the freezing point to 0 a little below it. In time each flux is mostly taken at the end of a step (three
quarters; all of it would damp the day's wave, half of it would ring); Newton's method on the enthalpy, in
which no node crosses an end of the freezing range within one step of the iteration; tridiagonal elimination down the
nodes for all places together. Arrays run [node, place] and [hour, place].
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rules.errors import NotEnoughData
from rules.facts import soil as facts

Array = NDArray[np.float64]

_NODES_AT_LEAST = 2
_NEWTON_STEPS = 8
_LATE = 0.75  # the part of a flux taken at the end of a step
_FEW_PLACES = 8  # up to so many, of so few nodes, whole matrices are faster
_FEW_NODES = 32
_NEARLY_NOTHING = 1e-9
_SETTLED_DC = 1e-5  # a correction smaller than this changes nothing anybody can measure


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Column:
    """What the ground is made of, node by node from the top, for each place. All [node, place].

    thickness_m : thickness of the node's cell [m], above 0
    k_unfrozen_w_mk, k_frozen_w_mk : thermal conductivity [W/m/K], above 0
    heat_capacity_j_m3k : volumetric heat capacity [J/m3/K], above 0
    latent_j_m3 : heat set free when all its water freezes [J/m3], 0 or more
    freezing_width_dc : over how many degrees below the freezing point the water freezes [degC], above 0
    """

    thickness_m: Array
    k_unfrozen_w_mk: Array
    k_frozen_w_mk: Array
    heat_capacity_j_m3k: Array
    latent_j_m3: Array
    freezing_width_dc: float = facts.FREEZING_WIDTH_DC.value

    def __post_init__(self) -> None:
        parts = (self.k_unfrozen_w_mk, self.k_frozen_w_mk, self.heat_capacity_j_m3k, self.latent_j_m3)
        if self.thickness_m.ndim != _NODES_AT_LEAST or len(self.thickness_m) < _NODES_AT_LEAST:
            raise NotEnoughData("a column needs two nodes or more: give [node, place] arrays")
        if any(part.shape != self.thickness_m.shape for part in parts):
            raise NotEnoughData("all parts of a column need the same shape")
        if min(float(part.min()) for part in (self.thickness_m, *parts[:-1])) <= 0 or self.latent_j_m3.min() < 0:
            raise NotEnoughData("thickness, conductivity and heat capacity of a column must be above zero")

    @property
    def depth_m(self) -> Array:
        """Depth of the middle of each node under the top of the column. [m]"""
        return np.cumsum(self.thickness_m, axis=0) - self.thickness_m / 2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drive:
    """What acts on a column, step by step. `top_c` [step, place]: what draws the surface, mean of the step [degC].

    top_w_m2k : conductance between that and the top of the column [W/m2/K], above 0; [step, place]
    bottom_c : temperature at the lower end [degC], [place]; None lets no heat through there
    step_seconds : length of a step [s]
    under_snow_w_m2k : conductance between the underside of lying snow and the top of the column [W/m2/K], 0 where no
        snow lies; [step, place]. That underside melts and stays at 0 degC when the ground would warm it further.
    """

    top_c: Array
    top_w_m2k: Array
    step_seconds: float
    bottom_c: Array | None = None
    under_snow_w_m2k: Array | None = None

    def __post_init__(self) -> None:
        if self.top_c.shape != self.top_w_m2k.shape or self.top_c.ndim != _NODES_AT_LEAST:
            raise NotEnoughData("top temperature and conductance need the same [step, place] shape")
        if not np.isfinite(self.top_c).all() or not np.isfinite(self.top_w_m2k).all():
            raise NotEnoughData("the weather that drives a column has holes: fill them first")


def run_column(column: Column, drive: Drive, start_c: Array, keep_nodes: tuple[int, ...]) -> Array:
    """Temperatures of some nodes after each step.

    Parameters
    ----------
    column, drive
        The ground and what acts on it, for the same places.
    start_c : array [node, place]
        Temperatures at the start. [degC]
    keep_nodes : tuple of int
        Indices of the nodes to return.

    Returns
    -------
    array [step, kept node, place]
        Temperatures at the end of each step. [degC]

    Raises
    ------
    NotEnoughData
        Shapes that do not fit, or holes in the drive.

    Source
    ------
    The method is textbook (Patankar 1980, control volumes; Carslaw and Jaeger 1959 for its checks).

    Checked
    -------
    tests/rules/test_soil_column.py: daily wave, step change, freezing front, energy, an independent integrator.
    """
    if start_c.shape != column.thickness_m.shape or drive.top_c.shape[1] != start_c.shape[1]:
        raise NotEnoughData("start, column and drive need the same places and nodes")
    stepper = _Stepper(column, drive)
    kept = np.empty((len(drive.top_c), len(keep_nodes), start_c.shape[1]))
    now_c = start_c.copy()
    for step in range(len(drive.top_c)):
        now_c = stepper.step(now_c, step)
        kept[step] = now_c[list(keep_nodes)]
    return kept


class _Stepper:
    """One implicit step after the other. What does not change between steps is worked out once."""

    def __init__(self, column: Column, drive: Drive) -> None:
        self._drive = drive
        self._column = column
        self._high_c = facts.FREEZING_POINT_C.value
        self._low_c = self._high_c - column.freezing_width_dc
        self._high_max_c = float(np.max(self._high_c))
        self._storage = column.thickness_m * column.heat_capacity_j_m3k / drive.step_seconds
        self._latent = column.thickness_m * column.latent_j_m3 / drive.step_seconds
        self._slope = self._latent / column.freezing_width_dc
        self._half = column.thickness_m / 2
        self._is_wet = self._latent > 0

    def step(self, old_c: Array, index: int) -> Array:
        """Temperatures one step later."""
        unfrozen = self._unfrozen(old_c)
        resistance, between, bottom = self._conductances(unfrozen)
        top, top_c = self._above(old_c[0], resistance, index)
        known = self._storage * old_c + self._latent * unfrozen + (1 - _LATE) * _gained(old_c, between, top, bottom)
        known[0] += top * top_c
        if self._drive.bottom_c is not None:
            known[-1] += bottom * self._drive.bottom_c
        base = self._storage.copy()
        base[:-1] += _LATE * between
        base[1:] += _LATE * between
        base[0] += _LATE * top
        base[-1] += _LATE * bottom
        return self._solved(old_c, base, _LATE * between, known)

    def _conductances(self, unfrozen: Array) -> tuple[Array, Array, Array | float]:
        """To the top of the first cell, between neighbours, and to the ground below, by how much is frozen now."""
        column = self._column
        conductivity = column.k_frozen_w_mk + unfrozen * (column.k_unfrozen_w_mk - column.k_frozen_w_mk)
        resistance = self._half / conductivity
        between = 1 / (resistance[:-1] + resistance[1:])
        bottom: Array | float = 0.0 if self._drive.bottom_c is None else 1 / resistance[-1]
        return resistance[0], between, bottom

    def _above(self, first_c: Array, resistance: Array, index: int) -> tuple[Array, Array]:
        """Conductance from the first node to what draws it, and that temperature: the air's, or melting snow's."""
        drive = self._drive
        top_c, through = drive.top_c[index], drive.top_w_m2k[index]
        top = 1 / (1 / through + resistance)
        if drive.under_snow_w_m2k is None or not (drive.under_snow_w_m2k[index] > 0).any():
            return top, top_c
        has_snow = drive.under_snow_w_m2k[index] > 0
        under = np.where(has_snow, drive.under_snow_w_m2k[index], through)
        to_snow = 1 / (1 / under + resistance)
        beyond = 1 / np.maximum(1 / through - 1 / under, _NEARLY_NOTHING)
        snow_c = (to_snow * first_c + beyond * top_c) / (to_snow + beyond)
        is_melting = has_snow & (snow_c > 0)
        return np.where(is_melting, to_snow, top), np.where(is_melting, 0.0, top_c)

    def _unfrozen(self, temperature_c: Array) -> Array:
        return np.clip((temperature_c - self._low_c) / (self._high_c - self._low_c), 0.0, 1.0)

    def _solved(self, old_c: Array, base: Array, between: Array, known: Array) -> Array:
        """Newton on what remains of the enthalpy balance; one pass is exact where nothing is freezing or thawing."""
        new_c = old_c.copy()
        for _ in range(_NEWTON_STEPS):
            unfrozen = self._unfrozen(new_c)
            is_freezing = (unfrozen > 0) & (unfrozen < 1) & self._is_wet
            slope = np.where(is_freezing, self._slope, 0.0)
            # Linearised latent heat: latent * f(new) = latent * f(guess) + slope * (new - guess)
            wanted_c = _eliminated(base + slope, between, known - self._latent * unfrozen + slope * new_c)
            limited_c = self._within_one_stretch(new_c, wanted_c)
            change = float(np.abs(limited_c - new_c).max())
            is_limited = bool((limited_c != wanted_c).any())
            new_c = limited_c
            if not is_limited and (change < _SETTLED_DC or not self._has_moved(unfrozen, is_freezing, new_c)):
                break
        return new_c

    def _has_moved(self, unfrozen: Array, was_freezing: NDArray[np.bool_], new_c: Array) -> bool:
        """Whether any node left the stretch (frozen, freezing, thawed) it was linearised on."""
        now = self._unfrozen(new_c)
        is_freezing = (now > 0) & (now < 1) & self._is_wet
        return bool((is_freezing != was_freezing).any() or ((now != unfrozen) & self._is_wet & ~is_freezing).any())

    def _within_one_stretch(self, from_c: Array, to_c: Array) -> Array:
        """Stop at the ends of the freezing range on the way: there the slope changes."""
        if from_c.min() >= self._high_max_c and to_c.min() >= self._high_max_c:
            return to_c
        just = _SETTLED_DC
        high, low = self._high_c, self._low_c
        falls_in = (from_c >= high) & (to_c < high)
        rises_in = (from_c <= low) & (to_c > low)
        falls_out = (from_c > low) & (from_c < high) & (to_c <= low)
        rises_out = (from_c > low) & (from_c < high) & (to_c >= high)
        limited = np.where(falls_in & self._is_wet, np.maximum(to_c, high - just), to_c)
        limited = np.where(rises_in & self._is_wet, np.minimum(to_c, low + just), limited)
        limited = np.where(falls_out & self._is_wet, np.maximum(to_c, low - just), limited)
        return np.where(rises_out & self._is_wet, np.minimum(to_c, high + just), limited)


def _gained(temperature_c: Array, between: Array, top: Array, bottom: Array | float) -> Array:
    """What each node gains from its neighbours, and loses to air and ground as if those were at zero. [W/m2]"""
    gained = np.zeros_like(temperature_c)
    flow = between * np.diff(temperature_c, axis=0)
    gained[:-1] += flow
    gained[1:] -= flow
    gained[0] -= top * temperature_c[0]
    gained[-1] -= bottom * temperature_c[-1]
    return gained


def _solved_whole(diagonal: Array, between: Array, known: Array) -> Array:
    """The same by whole matrices: for few places that is faster than going down the nodes one by one."""
    nodes = np.arange(len(diagonal))
    whole = np.zeros((diagonal.shape[1], len(nodes), len(nodes)))
    whole[:, nodes, nodes] = diagonal.T
    whole[:, nodes[:-1], nodes[1:]] = whole[:, nodes[1:], nodes[:-1]] = -between.T
    return np.asarray(np.linalg.solve(whole, known.T[:, :, None])[:, :, 0].T)


def _eliminated(diagonal: Array, between: Array, known: Array) -> Array:
    """Solve the symmetric tridiagonal balance for all places: diagonal, minus `between` beside it."""
    if diagonal.shape[1] <= _FEW_PLACES and len(diagonal) <= _FEW_NODES:
        return _solved_whole(diagonal, between, known)
    last = len(diagonal) - 1
    ahead = np.empty_like(between)
    solved = np.empty_like(known)
    pivot = diagonal[0]
    solved[0] = known[0] / pivot
    for node in range(1, last + 1):
        ahead[node - 1] = between[node - 1] / pivot
        pivot = diagonal[node] - between[node - 1] * ahead[node - 1]
        solved[node] = (known[node] + between[node - 1] * solved[node - 1]) / pivot
    for node in range(last - 1, -1, -1):
        solved[node] += ahead[node] * solved[node + 1]
    return solved
