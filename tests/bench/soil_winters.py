"""The soil model against measured winters: fit on some, judge on whole winters and whole stations left out.

    python -m tests.bench.soil_winters FILE [--refit]

FILE: daily values of the US Climate Reference Network (NOAA, product daily01) joined into one comma-separated file with
NOAA's column names and a column `station`, November to March; .gz is read too. Prints bias and RMSE of the daily mean
2-in soil temperature and of each winter's lowest value, beside naive baselines fitted on the same days. Then the same
with what a thermometer in the ground teaches: earlier winters of the station, or three readings a week apart, the last
one a week before the day that is judged. Days that teach are always before the days that are judged.
"""

from __future__ import annotations

import argparse
import csv
import gzip
import sys
import time
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from rules.facts import soil as facts
from rules.lawn_soil import DailyPlaces, Surface, lawn_temperatures
from rules.soil_blend import Soil2in, air_terms, blend_terms, daily_means, stated_edges, with_cold_shift
from rules.soil_learning import Taught, joined, with_readings

Array = NDArray[np.float64]
WARM_UP_DAYS = 30
LONGEST_HOLE_DAYS = 3
READ_BEFORE_DAYS = (7, 14, 21)


@dataclass(frozen=True, slots=True, kw_only=True)
class Winters:
    """Station-winters side by side: the weather, and what the soil was."""

    places: DailyPlaces
    soil_c: Array  # [day, place]
    stations: NDArray[np.str_]
    winters: NDArray[np.int64]

    def only(self, which: NDArray[np.bool_]) -> Winters:
        return Winters(
            places=self.places.only(which),
            soil_c=self.soil_c[:, which],
            stations=self.stations[which],
            winters=self.winters[which],
        )


def read_winters(file: Path, *, measured_sun: bool) -> Winters:
    """Every station-winter without long holes in the air's temperatures."""
    by_winter: defaultdict[tuple[str, int], list[dict[str, str]]] = defaultdict(list)
    opened = gzip.open(file, "rt", encoding="utf-8") if file.suffix == ".gz" else file.open(encoding="utf-8")
    with opened as lines:
        for row in csv.DictReader(lines):
            year, month = int(row["date"][:4]), int(row["date"][5:7])
            by_winter[row["station"], year + (month > 6)].append(row)
    columns, kept = defaultdict(list), []
    for (station, winter), rows in sorted(by_winter.items()):
        days = np.arange(f"{winter - 1}-11-01", f"{winter}-03-30", dtype="datetime64[D]")[:149]
        at = {row["date"]: row for row in rows}
        of = {name: _column(at, days, name) for name in _NAMES}
        air = [_filled(of[name]) for name in ("T_DAILY_MIN", "T_DAILY_MAX")]
        if any(each is None for each in air) or np.isfinite(of["SOIL_TEMP_5_DAILY"]).sum() < 60:
            continue
        columns["days"].append(days)
        columns["min"].append(np.minimum(*air))
        columns["max"].append(np.maximum(*air))
        columns["rain"].append(of["P_DAILY_CALC"])
        columns["sun"].append(of["SOLARAD_DAILY"] if measured_sun else np.full(len(days), np.nan))
        columns["soil"].append(of["SOIL_TEMP_5_DAILY"])
        kept.append((station, winter, float(rows[0]["LATITUDE"])))
    side = {name: np.stack(each, axis=1) for name, each in columns.items()}
    places = DailyPlaces(
        days=side["days"],
        air_min_c=side["min"],
        air_max_c=side["max"],
        rain_mm=side["rain"],
        latitude=np.array([each[2] for each in kept]),
        height_m=np.zeros(len(kept)),
        solar_mj_m2=side["sun"],
        snow_depth_m=np.full(side["sun"].shape, np.nan),
    )
    stations, winters = (np.array([each[index] for each in kept]) for index in (0, 1))
    return Winters(places=places, soil_c=side["soil"], stations=stations, winters=winters)


_NAMES = ("T_DAILY_MIN", "T_DAILY_MAX", "P_DAILY_CALC", "SOLARAD_DAILY", "SOIL_TEMP_5_DAILY")


def _column(at: dict[str, dict[str, str]], days: NDArray[np.datetime64], name: str) -> Array:
    found = [at[str(day)][name] if str(day) in at else "" for day in days]
    values = np.array([float(each) if each else np.nan for each in found])
    return np.where(values < -90, np.nan, values)


def _filled(values: Array) -> Array | None:
    """Short holes by straight lines; None where one is longer."""
    good = np.flatnonzero(np.isfinite(values))
    if len(good) < 2 or np.diff(good, prepend=-1, append=len(values)).max() > LONGEST_HOLE_DAYS + 1:
        return None
    return np.interp(np.arange(len(values)), good, values[good])


# --- the model, and what it is compared with -------------------------------------------------------------------------


def modelled(winters: Winters, surface: Surface) -> Array:
    """Daily mean at 2 in, from the physics alone."""
    return daily_means(lawn_temperatures(winters.places, surface).soil_2in_c)


def week_terms(winters: Winters) -> Array:
    """The mean of the air over the last seven days, and one."""
    mean_c = (winters.places.air_min_c + winters.places.air_max_c) / 2
    padded = np.concatenate([np.repeat(mean_c[:1], 6, axis=0), mean_c])
    week = np.stack([padded[day : day + 7].mean(axis=0) for day in range(len(mean_c))])
    return np.stack([week, np.ones_like(week)], axis=-1)


def fitted(terms: Array, soil_c: Array) -> Array:
    use = scored(soil_c)
    return np.linalg.lstsq(terms[use], soil_c[use], rcond=None)[0]


def scored(soil_c: Array) -> NDArray[np.bool_]:
    """Days that count: measured, and after the warm-up."""
    use = np.isfinite(soil_c)
    use[:WARM_UP_DAYS] = False
    return use


def fit_surface(winters: Winters) -> Surface:
    """Least squares of the three numbers of the surface on the daily means."""
    use = scored(winters.soil_c)

    def left(x: Sequence[float]) -> Array:
        surface = Surface(cover_m2k_w=float(np.exp(x[0])), sun_dc_per_w_m2=x[1], sky_dc_per_w_m2=x[2])
        return (modelled(winters, surface) - winters.soil_c)[use]

    found = least_squares(left, [np.log(0.15), 0.02, 0.05], diff_step=0.05, max_nfev=12).x
    return Surface(
        cover_m2k_w=float(np.exp(found[0])), sun_dc_per_w_m2=float(found[1]), sky_dc_per_w_m2=float(found[2])
    )


# --- figures ---------------------------------------------------------------------------------------------------------


def report(name: str, said_c: Array, winters: Winters) -> float:
    """Print bias and RMSE on all days, cold days, cold soil, and of each winter's lowest value; returns the first."""
    use, soil, air = scored(winters.soil_c), winters.soil_c, winters.places.air_min_c
    parts = [_score(said_c, soil, use), _score(said_c, soil, use & (air < -7)), _score(said_c, soil, use & (soil < 3))]
    low = np.array(lowest_pairs(said_c, winters))
    off = low[:, 0] - low[:, 1]
    parts.append(f"{np.sqrt((off**2).mean()):.2f} / {off.mean():+.2f} (n {len(off)})")
    print(f"{name:<34}" + "".join(f"{part:>24}" for part in parts))
    return float(np.sqrt(((said_c - soil)[use] ** 2).mean()))


def lowest_pairs(said_c: Array, winters: Winters) -> list[tuple[float, float]]:
    """The lowest daily mean said and measured, of each winter whose air fell below -9 degC."""
    use, soil, air = scored(winters.soil_c), winters.soil_c, winters.places.air_min_c
    own = ((place, use[:, place]) for place in range(soil.shape[1]))
    return [
        (float(said_c[days, place].min()), float(soil[days, place].min()))
        for place, days in own
        if days.sum() > 90 and air[days, place].min() < -9
    ]


def _score(said: Array, soil: Array, use: NDArray[np.bool_]) -> str:
    off = (said - soil)[use]
    return f"{np.sqrt((off**2).mean()):.2f} / {off.mean():+.2f} (n {len(off)})"


def judge(
    title: str, winters: Winters, folds: Sequence[NDArray[np.bool_]], surface_of: Callable[[Winters], Surface]
) -> Array:
    """Each fold is left out once and judged by what was fitted on the others; the figures are of all folds together.

    Returns what physics and regression together said of each day, fitted without it.
    """
    told: dict[str, Array] = {name: np.full(winters.soil_c.shape, np.nan) for name in _METHODS}
    for is_test in folds:
        train, test = winters.only(~is_test), winters.only(is_test)
        surface = surface_of(train)
        print(f"  {title}: {train.soil_c.shape[1]} to fit, {test.soil_c.shape[1]} to judge; {surface}")
        physics_train, physics = modelled(train, surface), modelled(test, surface)
        both = fitted(blend_terms(train.places, physics_train), train.soil_c)
        told[_WEEK][:, is_test] = week_terms(test) @ fitted(week_terms(train), train.soil_c)
        told[_AIR][:, is_test] = air_terms(test.places) @ fitted(air_terms(train.places), train.soil_c)
        told[_PHYSICS][:, is_test] = physics
        told[_BOTH][:, is_test] = with_cold_shift(blend_terms(test.places, physics) @ both)
    heads = ("all days", "air below -7", "soil below 3", "winter's lowest")
    print(f"{'RMSE / bias, degC':<34}" + "".join(f"{each:>24}" for each in heads))
    scores = {name: report(name, said_c, winters) for name, said_c in told.items()}
    print(f"physics and regression / regression alone: {scores[_BOTH] / scores[_AIR]:.3f}")
    print(f"share of winters' lowest in the stated 90 % interval: {covered(told[_BOTH], winters):.0%}\n")
    return told[_BOTH]


def covered(said_c: Array, winters: Winters) -> float:
    """How often the stated interval holds the lowest measured daily mean of a hard winter."""
    pairs = np.array(lowest_pairs(said_c, winters))
    low, high = stated_edges(pairs[:, 0])
    return float(((low <= pairs[:, 1]) & (pairs[:, 1] <= high)).mean())


# --- what a thermometer teaches --------------------------------------------------------------------------------------


def by_winters(said_c: Array, winters: Winters, most: int | None) -> tuple[Array, Array, Array]:
    """Mean, low and high with what the last `most` earlier winters of the station teach; not-a-number for the first."""
    told = _nothing(said_c)
    for place in range(said_c.shape[1]):
        is_before = (winters.stations == winters.stations[place]) & (winters.winters < winters.winters[place])
        earlier = sorted(np.flatnonzero(is_before), key=lambda each: winters.winters[each])
        if earlier:
            taught = joined([_winter(said_c, winters, each) for each in earlier[-(most or len(earlier)) :]])
            learned = with_readings(_plain(said_c[:, [place]]), winters.places.days[:, place], taught)
            for into, each in zip(told, (learned.mean_c, learned.low_c, learned.high_c), strict=True):
                into[:, place] = each[:, 0]
    return told


def by_readings(said_c: Array, winters: Winters) -> tuple[Array, Array, Array]:
    """The same with three readings of a thermometer before each day; each is off by chance as a thermometer is."""
    told, chance = _nothing(said_c), np.random.default_rng(1)
    read_c = winters.soil_c + chance.normal(0, facts.READING_SD_DC.value, said_c.shape)
    back = np.array(READ_BEFORE_DAYS)
    for place in range(said_c.shape[1]):
        for day in range(WARM_UP_DAYS + back.max(), len(said_c)):
            at = (day - back, place)
            taught = Taught(
                days=winters.places.days[at],
                modelled_c=said_c[at],
                measured_c=read_c[at],
                reading_sd_dc=np.full(len(back), facts.READING_SD_DC.value),
            )
            if np.isfinite(taught.measured_c).all():
                learned = with_readings(_plain(said_c[[[day]], place]), winters.places.days[[day], place], taught)
                for into, each in zip(told, (learned.mean_c, learned.low_c, learned.high_c), strict=True):
                    into[day, place] = each[0, 0]
    return told


def _plain(mean_c: Array) -> Soil2in:
    """What was said without any reading, [day, 1]."""
    low_c, high_c = stated_edges(mean_c)
    return Soil2in(
        mean_c=mean_c, low_c=low_c, high_c=high_c, regression_c=mean_c, is_beyond_measured=np.zeros_like(mean_c, bool)
    )


def _nothing(said_c: Array) -> tuple[Array, Array, Array]:
    return np.full(said_c.shape, np.nan), np.full(said_c.shape, np.nan), np.full(said_c.shape, np.nan)


def _winter(said_c: Array, winters: Winters, place: int) -> Taught:
    use = scored(winters.soil_c)[:, place]
    return Taught(
        days=winters.places.days[use, place],
        modelled_c=said_c[use, place],
        measured_c=winters.soil_c[use, place],
        reading_sd_dc=np.zeros(use.sum()),
    )


def judge_learning(title: str, said_c: Array, winters: Winters) -> None:
    """Print what was learned beside what was said without, on the same days."""
    print(f"{title}: what a thermometer teaches")
    heads = ("all days", "air below -7", "soil below 3", "winter's lowest")
    print(f"{'RMSE / bias, degC; in the interval':<34}" + "".join(f"{each:>30}" for each in heads))
    for name, told in (
        ("one earlier winter", by_winters(said_c, winters, 1)),
        ("all earlier winters", by_winters(said_c, winters, None)),
        ("three readings, last a week before", by_readings(said_c, winters)),
    ):
        is_told = np.isfinite(told[0])
        without = tuple(np.where(is_told, each, np.nan) for each in (said_c, *stated_edges(said_c)))
        print(name)
        for label, (mean_c, low_c, high_c) in (("  without it", without), ("  with it", told)):
            _report_learning(label, mean_c, low_c, high_c, winters)
    print()


def _report_learning(label: str, mean_c: Array, low_c: Array, high_c: Array, winters: Winters) -> None:
    soil, air = winters.soil_c, winters.places.air_min_c
    use = scored(soil) & np.isfinite(mean_c)
    is_in = (low_c <= soil) & (soil <= high_c)
    parts = [
        f"{_score(mean_c, soil, days)} {is_in[days].mean():.0%}" for days in (use, use & (air < -7), use & (soil < 3))
    ]
    rows = np.array(
        [
            (mean_c[days, at].min(), soil[days, at].min(), *_at_lowest(mean_c, low_c, high_c, days, at))
            for at, days in enumerate(use.T)
            if days.sum() > 90 and air[days, at].min() < -9
        ]
    )
    off = rows[:, 0] - rows[:, 1]
    is_held = (rows[:, 2] <= rows[:, 1]) & (rows[:, 1] <= rows[:, 3])
    parts.append(f"{np.sqrt((off**2).mean()):.2f} / {off.mean():+.2f} (n {len(off)}) {is_held.mean():.0%}")
    print(f"{label:<34}" + "".join(f"{part:>30}" for part in parts))


def _at_lowest(mean_c: Array, low_c: Array, high_c: Array, days: NDArray[np.bool_], at: int) -> tuple[float, float]:
    """The edges of the interval on the day that is said to be the coldest."""
    lowest = int(np.flatnonzero(days)[mean_c[days, at].argmin()])
    return float(low_c[lowest, at]), float(high_c[lowest, at])


_WEEK, _AIR, _PHYSICS, _BOTH = _METHODS = (
    "7-day mean of the air, fitted",
    "regression on smoothed air",
    "physics",
    "physics and regression",
)


def main() -> int:
    """Read, fit, judge, print."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("file", type=Path)
    parser.add_argument(
        "--refit", action="store_true", help="fit the surface on the training part instead of the facts"
    )
    parser.add_argument("--measured-sun", action="store_true")
    asked = parser.parse_args()
    winters = read_winters(asked.file, measured_sun=asked.measured_sun)
    print(f"{winters.soil_c.shape[1]} station-winters of {len(set(winters.stations))} stations")
    began = time.perf_counter()
    modelled(winters, Surface())
    hours = winters.soil_c.size * 24
    print(f"one run of all: {hours / (time.perf_counter() - began):,.0f} place-hours a second")
    surface_of = fit_surface if asked.refit else lambda _: Surface()
    years, names = sorted(set(winters.winters)), sorted(set(winters.stations))
    for title, folds in (
        ("Winters left out, a third at a time", [np.isin(winters.winters, years[i::3]) for i in range(3)]),
        ("Stations left out, a quarter at a time", [np.isin(winters.stations, names[i::4]) for i in range(4)]),
    ):
        judge_learning(title, judge(title, winters, folds, surface_of), winters)
    return 0


if __name__ == "__main__":
    sys.exit(main())
