"""The ground against exact solutions: daily wave, step change, freezing front, energy, an independent integrator."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.special import erf, erfc

from rules.errors import NotEnoughData
from rules.soil_column import Array, Column, Drive, _eliminated, _solved_whole, run_column

FIRM_W_M2K = 1e6  # so well joined to the air that the surface has its temperature


def ground(
    cells: int, cell_m: float, k: float = 1.0, capacity: float = 2e6, latent: float = 0.0, width: float = 1.0
) -> Column:
    """The same stuff all the way down, at one place."""

    def all_of(value: float) -> Array:
        return np.full((cells, 1), value)

    return Column(
        thickness_m=all_of(cell_m),
        k_unfrozen_w_mk=all_of(k),
        k_frozen_w_mk=all_of(k),
        heat_capacity_j_m3k=all_of(capacity),
        latent_j_m3=all_of(latent),
        freezing_width_dc=width,
    )


def firmly(top_c: Array, step_seconds: float, bottom_c: float | None = None) -> Drive:
    return Drive(
        top_c=top_c[:, None],
        top_w_m2k=np.full((len(top_c), 1), FIRM_W_M2K),
        step_seconds=step_seconds,
        bottom_c=None if bottom_c is None else np.array([bottom_c]),
    )


@cache
def daily_wave(step_seconds: float, cell_m: float) -> dict[int, tuple[float, float]]:
    """Amplitude and lag in hours at 5, 10 and 20 cm under a surface that swings by 1 degC a day, after ten days."""
    steps = round(12 * 86400 / step_seconds)
    seconds = np.arange(1, steps + 1) * step_seconds
    omega = 2 * math.pi / 86400
    column = ground(round(1.5 / cell_m), cell_m)
    nodes = {cm: round((cm / 100 - cell_m / 2) / cell_m) for cm in (5, 10, 20)}
    surface = firmly(10 + np.sin(omega * (seconds - step_seconds / 2)), step_seconds)
    start = np.full((len(column.depth_m), 1), 10.0)
    kept = run_column(column, surface, start, tuple(range(nodes[20] + 2)))[:, :, 0]
    found = {}
    for cm in nodes:
        depth = column.depth_m[: kept.shape[1], 0]
        at = np.array([np.interp(cm / 100, depth, row) for row in kept[-round(86400 / step_seconds) * 2 :]])
        angle = omega * seconds[-len(at) :]
        sine, cosine = 2 * np.mean(at * np.sin(angle)), 2 * np.mean(at * np.cos(angle))
        found[cm] = (math.hypot(sine, cosine), -math.atan2(cosine, sine) % (2 * math.pi) / omega / 3600)
    return found


DAMPING_M = math.sqrt(2 * (1.0 / 2e6) / (2 * math.pi / 86400))


@pytest.mark.parametrize(("step_seconds", "within"), [(3600, 0.03), (1800, 0.02), (900, 0.01)])
def test_a_daily_wave_fades_and_lags_as_it_should(step_seconds: float, within: float) -> None:
    """exp(-z/d) and z/d radians (Carslaw and Jaeger 1959, section 2.6); closer the finer the step."""
    for cm, (amplitude, lag_hours) in daily_wave(step_seconds, 0.005).items():
        depths = cm / 100 / DAMPING_M

        assert amplitude == pytest.approx(math.exp(-depths), rel=within if cm < 20 else 3 * within)
        assert lag_hours == pytest.approx(depths * 24 / (2 * math.pi), abs=0.3)


def test_the_wave_converges_under_refinement() -> None:
    """Half the step, about half the error; and finer cells are better too."""
    exact = math.exp(-0.05 / DAMPING_M)
    errors = [abs(daily_wave(step, 0.005)[5][0] - exact) for step in (3600, 1800, 900)]
    coarse, fine = (abs(daily_wave(900, cell)[20][0] - math.exp(-0.2 / DAMPING_M)) for cell in (0.04, 0.01))

    assert errors[0] > 1.4 * errors[1] > 1.4 * 1.4 * errors[2]
    assert fine < coarse


def test_a_step_change_follows_the_error_function() -> None:
    """+8 to -6 degC at the surface for 48 h without water (Carslaw and Jaeger 1959, section 2.4): within 0.02 degC."""
    column = ground(600, 0.005)
    kept = run_column(column, firmly(np.full(48 * 12, -6.0), 300), np.full((600, 1), 8.0), tuple(range(600)))
    for metres in (0.02, 0.05, 0.1, 0.2, 0.5):
        exact = -6 + 14 * (1 - erfc(metres / (2 * math.sqrt(0.5e-6 * 48 * 3600))))

        assert np.interp(metres, column.depth_m[:, 0], kept[-1, :, 0]) == pytest.approx(exact, abs=0.02)


def neumann_front_m(hours: float) -> float:
    """Depth of freezing into ground at +4 under -6, equal properties either side (Carslaw and Jaeger 1959, 11.2)."""
    k, capacity, latent = 1.0, 2e6, 0.3 * 1000 * 334e3
    kappa = k / capacity

    def balance(x: float) -> float:
        cold = 6 * k * math.exp(-x * x) / erf(x)
        warm = 4 * k * math.exp(-x * x) / erfc(x)
        return float(cold - warm - latent * kappa * math.sqrt(math.pi) * x)

    return float(2 * brentq(balance, 1e-3, 2) * math.sqrt(kappa * hours * 3600))


@pytest.mark.parametrize("width", [0.2, 0.05])
def test_the_freezing_front_goes_as_deep_as_it_should(width: float) -> None:
    """Neumann's solution, within 2 % after one day and after four; Stefan's is an upper bound."""
    column = ground(500, 0.004, latent=0.3 * 1000 * 334e3, width=width)
    kept = run_column(column, firmly(np.full(96 * 6, -6.0), 600), np.full((500, 1), 4.0), tuple(range(500)))
    for hours in (24, 96):
        front = np.interp(-0.05 - width / 2, kept[hours * 6 - 1, :, 0], column.depth_m[:, 0])
        stefan = math.sqrt(2 * 1.0 * 6 * hours * 3600 / (0.3 * 1000 * 334e3))

        assert front == pytest.approx(neumann_front_m(hours), rel=0.02)
        assert front < stefan


def test_no_energy_is_lost_or_made() -> None:
    """What ten days of freezing and thawing bring in at the top is what the ground holds: within 0.01 % of the flux."""
    hours = np.arange(1, 241)
    column = ground(60, 0.02, latent=0.3 * 1000 * 334e3)
    drive = Drive(
        top_c=(6 * np.sin(2 * math.pi * hours / 24) - 1)[:, None],
        top_w_m2k=np.full((240, 1), 8.0),
        step_seconds=3600,
    )
    start = np.full((60, 1), 3.0)
    kept = run_column(column, drive, start, tuple(range(60)))[:, :, 0]

    def held(temperature_c: Array) -> float:
        unfrozen = np.clip((temperature_c + 1.05) / 1.0, 0, 1)
        return float((0.02 * (2e6 * temperature_c + 0.3 * 1000 * 334e3 * unfrozen)).sum())

    conductance = 1 / (1 / 8.0 + 0.01 / 1.0)
    earlier = np.concatenate((start[:1, 0], kept[:-1, 0]))
    flux = 3600 * conductance * (drive.top_c[:, 0] - 0.75 * kept[:, 0] - 0.25 * earlier)

    assert held(kept[-1]) - held(start[:, 0]) == pytest.approx(flux.sum(), abs=1e-4 * np.abs(flux).sum())


def test_an_independent_integrator_agrees() -> None:
    """scipy's LSODA on the same cells through ten days of frost and thaw: RMS 0.08 degC, daily minima 0.1 degC."""
    cells, cell_m, latent, k, capacity = 25, 0.02, 0.3 * 1000 * 334e3, 1.2, 2.4e6
    column = ground(cells, cell_m, k=k, capacity=capacity, latent=latent)
    step = 600
    seconds = np.arange(1, 240 * 6 + 1) * step

    def air(at: np.ndarray | float) -> np.ndarray | float:
        day = np.asarray(at) / 86400
        return -3 + 7 * np.sin(2 * math.pi * day) - 4 * np.exp(-((day - 5) ** 2))

    drive = Drive(
        top_c=np.asarray(air(seconds - step / 2))[:, None], top_w_m2k=np.full((len(seconds), 1), 5.0), step_seconds=step
    )
    ours = run_column(column, drive, np.full((cells, 1), 6.0), (0, 2, 5, 10))[:, :, 0]

    def rates(at: float, temperature_c: np.ndarray) -> np.ndarray:
        top = (float(air(at)) - temperature_c[0]) / (1 / 5.0 + cell_m / 2 / k)
        flux = np.concatenate(([top], (temperature_c[:-1] - temperature_c[1:]) * k / cell_m, [0.0]))
        is_freezing = (temperature_c > -1.05) & (temperature_c < -0.05)
        return (flux[:-1] - flux[1:]) / (cell_m * (capacity + latent * is_freezing))

    theirs = solve_ivp(
        rates, (0, seconds[-1]), np.full(cells, 6.0), method="LSODA", t_eval=seconds, rtol=1e-5, atol=1e-5, max_step=600
    ).y[[0, 2, 5, 10]].T  # fmt: skip

    assert np.sqrt(np.mean((ours - theirs) ** 2)) < 0.08
    coldest = [rows.reshape(10, 144, -1).min(axis=1) for rows in (ours, theirs)]
    assert np.abs(coldest[0] - coldest[1]).max() < 0.1


def test_many_places_are_each_as_if_alone() -> None:
    """Places share the work and nothing else."""
    chance = np.random.default_rng(3)
    column = Column(
        thickness_m=np.full((12, 5), 0.02),
        k_unfrozen_w_mk=chance.uniform(0.5, 2, (12, 5)),
        k_frozen_w_mk=chance.uniform(1, 3, (12, 5)),
        heat_capacity_j_m3k=chance.uniform(1.5e6, 3e6, (12, 5)),
        latent_j_m3=chance.uniform(0, 1e8, (12, 5)),
    )
    drive = Drive(
        top_c=chance.normal(-1, 4, (72, 5)), top_w_m2k=chance.uniform(2, 20, (72, 5)), step_seconds=3600,
        bottom_c=np.full(5, 8.0),
    )  # fmt: skip
    start = chance.uniform(-1, 5, (12, 5))
    together = run_column(column, drive, start, tuple(range(12)))
    for place in range(5):
        one = slice(place, place + 1)
        alone = run_column(
            Column(
                thickness_m=column.thickness_m[:, one],
                k_unfrozen_w_mk=column.k_unfrozen_w_mk[:, one],
                k_frozen_w_mk=column.k_frozen_w_mk[:, one],
                heat_capacity_j_m3k=column.heat_capacity_j_m3k[:, one],
                latent_j_m3=column.latent_j_m3[:, one],
            ),
            Drive(
                top_c=drive.top_c[:, one], top_w_m2k=drive.top_w_m2k[:, one], step_seconds=3600,
                bottom_c=np.full(1, 8.0),
            ),
            start[:, one],
            tuple(range(12)),
        )  # fmt: skip

        np.testing.assert_allclose(together[:, :, one], alone, atol=1e-4)


def test_holes_and_misfits_are_refused() -> None:
    """Missing weather, shapes that do not fit and ground that cannot be."""
    column = ground(5, 0.02)
    with pytest.raises(NotEnoughData):
        firmly(np.array([1.0, np.nan]), 3600)
    with pytest.raises(NotEnoughData):
        run_column(column, firmly(np.zeros(3), 3600), np.zeros((4, 1)), (0,))
    with pytest.raises(NotEnoughData):
        ground(5, 0.02, k=0.0)


@settings(max_examples=30)
@given(st.integers(1, 20), st.integers(0, 2**32 - 1))
def test_few_places_are_solved_as_many_are(places: int, seed: int) -> None:
    """Whole matrices and elimination down the nodes give the same temperatures."""
    chance = np.random.default_rng(seed)
    between = chance.random((17, places)) * 5
    diagonal = np.zeros((18, places)) + chance.random((18, places)) + 0.1
    diagonal[:-1] += between
    diagonal[1:] += between
    known = chance.normal(0, 10, (18, places))
    ninefold = (np.repeat(each, 9, axis=1) for each in (diagonal, between, known))  # so many that nodes are eliminated
    np.testing.assert_allclose(_solved_whole(diagonal, between, known), _eliminated(*ninefold)[:, ::9], atol=1e-9)
