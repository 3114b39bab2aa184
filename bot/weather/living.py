"""The book of weather as the shelf changes under it. Light to import: the physics comes with the first look."""

from __future__ import annotations

import logging
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from bot.talk.case import Measured, Place
from bot.talk.chart import HalfDie, TraceChart
from bot.weather.folder import Marks, marks_of
from rules.site_cold import OwnReading, SiteCold, SpotTraits

if TYPE_CHECKING:
    from bot.weather.book import WeatherBook

log = logging.getLogger(__name__)


Cell = tuple[float, float]
"""A place as coarse as weather is: some 10 km."""
CELL_DECIMALS = 1
MOST_WISHES = 2000
SEARCHED_BACK = timedelta(days=60)
"""How far back weather is wished for where the day of the freeze is not known."""


class LivingBook:
    """The `NearWeather` of a running service: whichever book is whole. Before the first `refresh` it knows nothing."""

    def __init__(self, data: Path) -> None:
        self.wishes: dict[Cell, date] = {}
        self._data = data
        self._marks: Marks = ()
        self._book: WeatherBook | None = None

    def refresh(self) -> bool:
        """Look at the shelf, and work it out again if it changed; whether it did. Slow then: call it in a thread."""
        marks = marks_of(self._data)
        if marks == self._marks:
            return False
        from bot.weather.book import book_of
        from bot.weather.shelf import Shelf

        kept, broken = Shelf(self._data).all()
        for each in broken:
            log.warning("A table on the weather shelf is left out. %s", each.why)
        self._book, self._marks = book_of(kept, old=self._book), marks
        return True

    @property
    def now(self) -> WeatherBook | None:
        """The book as it stands."""
        return self._book

    def freeze_near(self, place: Place, on: date | None, give_or_take_days: int, asked_on: date) -> Measured | None:
        """As `WeatherBook.freeze_near`. A place without an answer is noted, so that its weather can be fetched."""
        found = self._book.freeze_near(place, on, give_or_take_days, asked_on) if self._book else None
        if found is None:
            self._wish(place, on or asked_on - SEARCHED_BACK)
        return found

    def _wish(self, place: Place, on: date) -> None:
        cell = round(place.latitude, CELL_DECIMALS), round(place.longitude, CELL_DECIMALS)
        if cell in self.wishes or len(self.wishes) < MOST_WISHES:
            self.wishes[cell] = min(on, self.wishes.get(cell, on))

    def cold_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits
    ) -> SiteCold | None:
        """As `WeatherBook.cold_here`."""
        return self._book.cold_here(measured, snow_in, own, traits) if self._book else None

    def chart_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits, half_die: HalfDie
    ) -> TraceChart | None:
        """As `WeatherBook.chart_here`."""
        return self._book.chart_here(measured, snow_in, own, traits, half_die) if self._book else None
