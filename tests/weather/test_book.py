"""The weather at hand for the conversation: the best station that has the freeze, and a book that follows its shelf."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from bot.rehearsal.play import WEATHER_FILES
from bot.rehearsal.scenario import OSPREY_FERRY, PINDERS_MILL
from bot.talk.chart import HalfDie
from bot.weather import shelf as shelf_module
from bot.weather.book import _nearest_cell, book_of
from bot.weather.living import LivingBook
from bot.weather.shelf import Kept, Shelf, kept_of
from rules.site_cold import Basis, OwnReading, SpotTraits
from rules.weather import between
from tests.fakes.coast import coast_weather

FREEZE_ON, TODAY = date(2027, 1, 17), date(2027, 1, 20)
WEATHER = Path(shelf_module.__file__).parent.parent / "rehearsal" / "weather"
PINDERS, OSPREY = (kept_of(WEATHER / name) for name in WEATHER_FILES)
NOTHING = SpotTraits()


def test_each_town_gets_its_own_station() -> None:
    for place, code in ((PINDERS_MILL, "Pinders Mill Airfield"), (OSPREY_FERRY, "Osprey Ferry Landing")):
        found = coast_weather().freeze_near(place, FREEZE_ON, 0, TODAY)
        assert found is not None
        assert (found.code, found.coldest_on) == (code, FREEZE_ON)


def test_the_next_station_speaks_where_the_nearest_does_not_have_the_freeze() -> None:
    """Its record ends before the freeze."""
    early = replace(PINDERS, daily=between(PINDERS.daily, date(2026, 11, 10), date(2027, 1, 10)))
    found = book_of([early, OSPREY]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None
    assert found.code == "Osprey Ferry Landing"
    assert found.distance_km > 25


def test_the_cold_of_a_freeze_found_is_modelled_and_found_again() -> None:
    book = coast_weather()
    found = book.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None
    cold = book.cold_here(found, None, None, NOTHING)
    colder = book.cold_here(found, None, OwnReading(air_c=-16.0, sd_dc=1.0), NOTHING)
    assert cold is not None and colder is not None
    assert cold.basis is Basis.MODELLED
    assert colder.crown.min_c < cold.crown.min_c < 0
    assert book.cold_here(replace(found, code="gone"), None, None, NOTHING) is None


def test_a_station_keeps_its_filled_days_in_what_is_found() -> None:
    found = coast_weather().freeze_near(OSPREY_FERRY, FREEZE_ON, 0, TODAY)
    assert found is not None
    assert found.days_filled == 1


def test_a_book_is_made_anew_when_its_shelf_changes(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    """Nothing known before the first look; a broken table is named in the log and left out."""
    living, shelf = LivingBook(tmp_path), Shelf(tmp_path)
    assert living.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY) is None
    assert not living.refresh(), "an empty shelf is nothing new"
    shelf.add(PINDERS.daily, PINDERS.source)
    (shelf.folder / "broken.csv").write_text("date\n", encoding="utf-8")
    assert living.refresh()
    assert "broken.csv" in caplog.text
    found = living.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None
    assert living.cold_here(found, None, None, NOTHING) is not None
    shelf.file_of(PINDERS.daily.station).unlink()
    assert living.refresh()
    assert living.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY) is None


def test_a_station_s_last_week_speaks_where_a_model_leads_up_to_it() -> None:
    """Its service keeps a week; the ground remembers more. The freeze counts as read where the station read it."""
    week = replace(PINDERS, daily=between(PINDERS.daily, date(2027, 1, 16), date(2027, 1, 20)))
    cell = replace(
        PINDERS,
        daily=replace(PINDERS.daily, station=replace(PINDERS.daily.station, code="cell", latitude=31.5, network="m")),
        source=replace(PINDERS.source, is_measured=False, credit="a model"),
    )
    assert book_of([week]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY) is None, "the ground has not settled"
    found = book_of([week, cell]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None
    assert (found.code, found.is_thermometer, found.credit) == ("Pinders Mill Airfield", True, "a model")
    assert found.days_filled == 2, "the first two days of the freeze came from the model"
    late = replace(PINDERS, daily=between(PINDERS.daily, date(2027, 1, 18), date(2027, 1, 20)))
    told = book_of([late, cell]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert told is not None
    assert (told.code, told.is_thermometer) == ("cell", False), "its coldest night was not read by the station"


def test_only_what_changed_is_worked_out_again() -> None:
    """A new table beside an old one leaves the old one's freezes as they are; a corrected reading does not."""
    first = book_of([PINDERS])
    both = book_of([PINDERS, OSPREY], old=first)
    key = ("own file", "Pinders Mill Airfield")
    assert both.pages[key].freezes is first.pages[key].freezes
    assert len(both.pages) == 2
    low = PINDERS.daily.air_min_c.copy()
    low[68] = -12.0
    corrected = book_of([replace(PINDERS, daily=replace(PINDERS.daily, air_min_c=low)), OSPREY], old=both)
    assert min(each.freeze.air_min_c for each in corrected.pages[key].freezes) == -12.0


def test_old_records_are_not_worked_out() -> None:
    """Of many winters only the last is; a record that ended before it gives no freeze."""
    book = book_of([PINDERS], until_on=date(2031, 1, 1))
    assert [page.freezes for page in book.pages.values()] == [()]
    assert isinstance(next(iter(book.pages.values())).kept, Kept)


def test_a_station_the_physics_refuses_is_left_out_alone(caplog: pytest.LogCaptureFixture) -> None:
    """A record from near the pole stands where the model's sun does not shine; it is named, the others speak."""
    arctic = replace(
        PINDERS,
        daily=replace(
            PINDERS.daily, station=replace(PINDERS.daily.station, code="X", name="North Camp", latitude=64.8)
        ),
    )
    book = book_of([arctic, PINDERS, OSPREY])
    assert {code for _, code in book.pages} == {"Pinders Mill Airfield", "Osprey Ferry Landing"}
    assert book.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY) is not None
    assert "North Camp" in caplog.text
    assert set(book_of([arctic, PINDERS, OSPREY], old=book).pages) == set(book.pages), "and again at the next look"


def cell(code: str, latitude: float, first_on: date, last_on: date) -> Kept:
    station = replace(PINDERS.daily.station, code=code, latitude=latitude, network="m")
    daily = replace(between(PINDERS.daily, first_on, last_on), station=station)
    return replace(PINDERS, daily=daily, source=replace(PINDERS.source, is_measured=False))


def test_of_two_cells_the_one_that_leads_up_to_the_record_is_taken() -> None:
    """The nearer one holds other weeks only; of two that lead the nearer one is taken."""
    week = replace(PINDERS, daily=between(PINDERS.daily, date(2027, 1, 16), date(2027, 1, 20)))
    far = cell("far", 31.45, date(2026, 11, 10), date(2027, 1, 14))
    early = cell("early", 31.58, date(2026, 11, 10), date(2026, 11, 30))
    late = cell("late", 31.58, date(2027, 1, 16), date(2027, 1, 20))
    short = cell("short", 31.58, date(2027, 1, 10), date(2027, 1, 20))
    near = cell("near", 31.55, date(2026, 12, 1), date(2027, 1, 20))
    for others in ((early,), (late,), (short,), (early, late, short)):
        found = book_of([week, *others, far]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
        assert found is not None
        assert found.code == "Pinders Mill Airfield"
    assert _nearest_cell(week, [early, far, near]) is near


def test_no_picture_where_snow_is_told_of_a_freeze_that_had_none() -> None:
    """Its hours were not worked out under snow; bare ground would be drawn for a crown told under snow."""
    dry = replace(PINDERS, daily=replace(PINDERS.daily, snow_depth_cm=np.zeros(len(PINDERS.daily.days))))
    book = book_of([dry])
    found = book.freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None
    half_die = HalfDie(middle_c=-5.0, sd_dc=1.0)
    assert book.chart_here(found, None, None, NOTHING, half_die) is not None
    assert book.chart_here(found, 0.0, None, NOTHING, half_die) is not None
    assert book.chart_here(found, 3.0, None, NOTHING, half_die) is None


def test_a_station_that_missed_nights_of_the_freeze_gives_way_to_one_that_has_them() -> None:
    """A dozen miles farther, with every night: the coldest may be among the missing ones. Alone it speaks."""
    low, high = PINDERS.daily.air_min_c.copy(), PINDERS.daily.air_max_c.copy()
    low[67:69], high[67:69] = np.nan, np.nan
    gap = replace(PINDERS, daily=replace(PINDERS.daily, air_min_c=low, air_max_c=high))
    moved = replace(OSPREY.daily.station, code="whole", latitude=31.5, longitude=-81.6)
    whole = replace(PINDERS, daily=replace(PINDERS.daily, station=moved))
    found = book_of([gap, whole]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert found is not None and (found.code, found.days_filled) == ("whole", 0)
    alone = book_of([gap]).freeze_near(PINDERS_MILL, FREEZE_ON, 0, TODAY)
    assert alone is not None and alone.days_filled == 2
