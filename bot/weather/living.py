"""The book of weather as the shelf changes under it. Light to import: the physics comes with the first look."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from bot.talk.case import Measured, Place
from bot.weather.folder import Marks, marks_of

if TYPE_CHECKING:
    from bot.talk.chart import HalfDie, TraceChart
    from bot.weather.book import WeatherBook
    from bot.weather.shelf import Shelf
    from rules.site_cold import OwnReading, SiteCold, SpotTraits

log = logging.getLogger(__name__)


Cell = tuple[float, float]
"""A place as coarse as weather is: some 10 km."""
CELL_DECIMALS = 1
MOST_WISHES = 2000
SEARCHED_BACK = timedelta(days=150)
"""How far back weather is wished for where the day of the freeze is not known."""
KEPT_FOR = timedelta(days=30)
"""How long a wish stands when nothing comes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """Weather that was asked about: the place, the day meant (None: any of the winter), and when it was asked."""

    place: Place
    day: date | None
    give_or_take_days: int
    asked_on: date

    @property
    def on(self) -> date:
        """The first day that matters."""
        return (self.day or self.asked_on - SEARCHED_BACK) - timedelta(days=self.give_or_take_days)


class LivingBook:
    """The `NearWeather` of a running service: whichever book is whole. Before the first `refresh` it knows nothing."""

    def __init__(self, data: Path) -> None:
        self.wishes: dict[Cell, Wish] = {}
        self._data = data
        self._marks: Marks = ()
        self._shelf: Shelf | None = None
        self._book: WeatherBook | None = None

    def refresh(self) -> bool:
        """Look at the shelf, and work it out again if it changed; whether it did. Slow then: call it in a thread."""
        marks = marks_of(self._data)
        if marks == self._marks:
            return False
        from bot.weather.book import book_of
        from bot.weather.shelf import Shelf

        self._shelf = self._shelf or Shelf(self._data)
        kept, broken = self._shelf.all()
        for each in broken:
            log.warning("A table on the weather shelf is left out. %s", each.why)
        self._book, self._marks = book_of(kept, old=self._book), marks
        return True

    @property
    def now(self) -> WeatherBook | None:
        """The book as it stands."""
        return self._book

    def freeze_near(self, place: Place, on: date | None, give_or_take_days: int, asked_on: date) -> Measured | None:
        """As `WeatherBook.freeze_near`. What is not at hand, or may go on, is noted, so that it can be fetched."""
        found = self._book.freeze_near(place, on, give_or_take_days, asked_on) if self._book else None
        if found is None or self._may_go_on(found):
            self._wish(Wish(place=place, day=on, give_or_take_days=give_or_take_days, asked_on=asked_on))
        return found

    def forget_granted(self, today: date) -> None:
        """Drop the wishes whose weather is at hand, and those that stood for long."""
        for cell, wish in list(self.wishes.items()):
            found = self._book and self._book.freeze_near(wish.place, wish.day, wish.give_or_take_days, wish.asked_on)
            if (found and not self._may_go_on(found)) or wish.asked_on < today - KEPT_FOR:
                del self.wishes[cell]

    def _may_go_on(self, found: Measured) -> bool:
        return self._book is not None and self._book.may_go_on(found)

    def _wish(self, wish: Wish) -> None:
        cell = round(wish.place.latitude, CELL_DECIMALS), round(wish.place.longitude, CELL_DECIMALS)
        old = self.wishes.get(cell)
        if (old is None and len(self.wishes) < MOST_WISHES) or (old is not None and wish.on < old.on):
            self.wishes[cell] = wish

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
