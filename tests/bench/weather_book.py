"""How much a book of many stations costs to make, and what a turn of the talk pays to look into it.

    python -m tests.bench.weather_book [stations]

Baseline of the same run: the ground under one place worked out when it is asked for.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from typing import TypeVar

import numpy as np

from bot.talk.case import Place
from bot.weather.book import WeatherBook, book_of
from bot.weather.shelf import Shelf
from bot.weather.source import Source
from rules.nearby_cold import freeze_grounds
from rules.site_cold import SpotTraits
from rules.weather import DAY_SERIES, DailyWeather, Station

Result = TypeVar("Result")
FIRST_ON, DAYS, LOOKS = date(2026, 9, 1), 200, 2000
SOURCE = Source(name="bench", credit="", link="", is_measured=True, fetched_at=None)


def station(number: int, chance: np.random.Generator) -> DailyWeather:
    """A made-up winter: a yearly wave, fronts, and rain."""
    latitude, longitude = 29.0 + chance.random() * 7, -98.0 + chance.random() * 20
    day = np.arange(DAYS)
    fronts = np.convolve(chance.normal(0, 4, DAYS + 6), np.ones(7) / 3, mode="valid")
    mean_c = 14 - 0.9 * (latitude - 30) - 9 * np.sin(np.pi * day / DAYS) + fronts
    swing = 4 + 4 * chance.random(DAYS)
    series = {name: np.full(DAYS, np.nan) for name in DAY_SERIES}
    series |= {"air_min_c": np.round(mean_c - swing, 1), "air_max_c": np.round(mean_c + swing, 1)}
    series["rain_mm"] = np.where(chance.random(DAYS) < 0.3, np.round(chance.gamma(1, 8, DAYS), 1), 0.0)
    return DailyWeather(
        station=Station(
            code=f"S{number}", name="", latitude=latitude, longitude=longitude, elevation_m=50.0, network="bench"
        ),
        days=np.datetime64(FIRST_ON, "D") + day,
        **series,
    )


def main() -> None:
    """Make a shelf, a book of it, look into it, and print figures and the ratio."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    chance = np.random.default_rng(7)
    with tempfile.TemporaryDirectory() as folder:
        shelf = Shelf(Path(folder))
        for number in range(count):
            shelf.add(station(number, chance), SOURCE)
        read_s, kept = timed(lambda: shelf.all()[0])
    made_s, book = timed(lambda: book_of(kept))
    freezes = sum(len(page.freezes) for page in book.pages.values())
    again_s, _ = timed(lambda: book_of([*kept[1:], kept[0]], old=WeatherBook(pages=dict(list(book.pages.items())[1:]))))
    alone_s, _ = timed(lambda: freeze_grounds([kept[0].daily]))
    places = [
        Place(name="", county="", state="", zone="UTC", latitude=29 + 7 * a, longitude=-98 + 20 * b)
        for a, b in chance.random((LOOKS, 2))
    ]
    look_s, found = timed(lambda: sum(look(book, place) for place in places))
    peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{count} stations, {DAYS} days, {freezes} freezes: read {read_s:.1f} s, worked out {made_s:.1f} s")
    print(f"one table more: {again_s:.1f} s")
    print(f"peak memory {peak_mib:.0f} MiB")
    print(f"a look: {look_s / LOOKS * 1000:.2f} ms ({found} of {LOOKS} places had a freeze)")
    print(
        f"baseline, one station worked out when asked: {alone_s:.2f} s; {alone_s / (look_s / LOOKS):.0f} times a look"
    )


def look(book: WeatherBook, place: Place) -> bool:
    """What a turn does: find the freeze and its cold."""
    on = FIRST_ON + timedelta(days=130)
    measured = book.freeze_near(place, None, 0, on + timedelta(days=30))
    return measured is not None and book.cold_here(measured, None, None, SpotTraits()) is not None


def timed(work: Callable[[], Result]) -> tuple[float, Result]:
    """Seconds and result."""
    begun = time.perf_counter()
    result = work()
    return time.perf_counter() - begun, result


if __name__ == "__main__":
    main()
