"""How fast the ground is worked out: place-hours a second, against one banded solve after the other for each place.

    python -m tests.bench.soil_speed

The baseline is the same balance, freezing included, in a plain loop over places and hours, each pass of Newton's
iteration one scipy.linalg.solve_banded. It is given its surface: sky, snow and the day's course cost it nothing.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np
from scipy.linalg import solve_banded

from rules.lawn_soil import DailyPlaces, Surface, lawn_column, lawn_temperatures

SIZES = (100, 1000, 3000)


def invented(places: int, days: int) -> DailyPlaces:
    """A cold winter at random places."""
    chance = np.random.default_rng(1)
    shape = (days, places)
    mean_c = 6 + 6 * np.sin(np.arange(days) / 5)[:, None] + chance.normal(0, 3, shape)
    return DailyPlaces(
        days=np.repeat((np.datetime64("2026-12-01", "D") + np.arange(days))[:, None], places, axis=1),
        air_min_c=mean_c - 6,
        air_max_c=mean_c + 6,
        rain_mm=np.maximum(chance.normal(-3, 5, shape), 0),
        latitude=chance.uniform(27, 37, places),
        height_m=chance.uniform(0, 400, places),
        solar_mj_m2=np.full(shape, np.nan),
        snow_depth_m=np.full(shape, np.nan),
    )


def banded_loop_rate(places: int, hours: int) -> float:
    """Place-hours a second of the same balance for one place after the other, each pass of Newton a banded solve."""
    column = lawn_column(1)
    thick, k_wet, k_ice = (part[:, 0] for part in (column.thickness_m, column.k_unfrozen_w_mk, column.k_frozen_w_mk))
    storage = thick * column.heat_capacity_j_m3k[:, 0] / 3600
    latent = thick * column.latent_j_m3[:, 0] / 3600
    bands = np.zeros((3, len(thick)))
    began = time.perf_counter()
    for _ in range(places):
        now_c = np.full(len(thick), 8.0)
        for hour in range(hours):
            unfrozen = np.clip(now_c + 1.05, 0, 1)
            half = thick / 2 / (k_ice + unfrozen * (k_wet - k_ice))
            between = 1 / (half[:-1] + half[1:])
            top = 1 / (0.15 + half[0])
            bands[0, 1:], bands[2, :-1] = -between, -between
            known = storage * now_c + latent * unfrozen
            known[0] += top * (4 - (hour % 24) / 2)
            guess_c = now_c
            for _pass in range(4):
                share = np.clip(guess_c + 1.05, 0, 1)
                slope = np.where((share > 0) & (share < 1), latent, 0.0)
                bands[1] = storage + np.append(between, 0) + np.insert(between, 0, top) + slope
                solved_c = solve_banded((1, 1), bands, known - latent * share + slope * guess_c)
                is_settled, guess_c = np.abs(solved_c - guess_c).max() < 1e-3, solved_c
                if is_settled:
                    break
            now_c = guess_c
    return places * hours / (time.perf_counter() - began)


def main() -> int:
    """Print the rates and their ratio."""
    rates = {}
    for places in SIZES:
        weather = invented(places, 60)
        began = time.perf_counter()
        lawn_temperatures(weather, Surface())
        seconds = time.perf_counter() - began
        rates[places] = places * 60 * 24 / seconds
        print(f"{places:>6} places, 60 days hourly: {seconds:6.2f} s, {rates[places]:>10,.0f} place-hours a second")
    loop = banded_loop_rate(20, 24 * 20)
    print(f"a banded solve for each place and hour: {loop:,.0f} place-hours a second")
    print(f"ratio at 1,000 places: {rates[1000] / loop:.0f}")
    print(f"cost a place, 3,000 against 1,000: {rates[1000] / rates[3000]:.2f}")
    print(f"most memory of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
