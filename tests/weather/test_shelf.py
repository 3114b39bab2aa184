"""Weather kept in the data folder: nothing is lost by adding, files are whole or not there, a broken one is named."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.weather.faults import WeatherFileError
from bot.weather.folder import marks_of
from bot.weather.shelf import Shelf, last_day, merged
from bot.weather.source import Source
from rules.weather import DAY_SERIES, DailyWeather, Station

OSPREY = Station(
    code="TC 7/Osprey", name="Osprey Ferry", latitude=31.35, longitude=-81.42, elevation_m=8.5, network="county net"
)
HAND = Source(name="county net", credit="", link="", is_measured=True, fetched_at=None, note="kept by hand")
CELL = Source(
    name="a model",
    credit="Data by a model, CC BY 4.0",
    link="https://example.org/credit",
    is_measured=False,
    fetched_at=datetime(2027, 1, 20, 12, 0, 5, tzinfo=UTC),
)


def record(first_on: date, lows: list[float], *, station: Station = OSPREY, **series: list[float]) -> DailyWeather:
    count = len(lows)
    columns = {name: np.full(count, np.nan) for name in DAY_SERIES}
    columns["air_min_c"] = np.array(lows, dtype=np.float64)
    columns["air_max_c"] = columns["air_min_c"] + 9
    columns |= {name: np.array(values, dtype=np.float64) for name, values in series.items()}
    return DailyWeather(station=station, days=np.datetime64(first_on, "D") + np.arange(count), **columns)


def test_what_is_kept_comes_back_the_same(tmp_path: Path) -> None:
    daily = record(date(2027, 1, 10), [-3.25, math.nan, -10.0], rain_mm=[0, 2.5, 0], snow_depth_cm=[0, 0, 5])
    Shelf(tmp_path).add(daily, CELL)
    (kept,), broken = Shelf(tmp_path).all()
    assert broken == ()
    assert (kept.source, kept.daily.station) == (CELL, OSPREY)
    for name in DAY_SERIES:
        np.testing.assert_array_equal(getattr(kept.daily, name), getattr(daily, name), err_msg=name)
    assert last_day(kept) == date(2027, 1, 12)


def test_adding_keeps_old_days_and_old_readings_the_new_ones_lack(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    shelf.add(record(date(2027, 1, 10), [-3, -4, -5], rain_mm=[1, 2, 3]), HAND)
    kept = shelf.add(record(date(2027, 1, 12), [-6, -7, -8]), HAND)
    assert list(kept.daily.air_min_c) == [-3, -4, -6, -7, -8]
    assert list(kept.daily.rain_mm[:3]) == [1, 2, 3]
    assert len(shelf.all()[0]) == 1


def test_stations_with_like_codes_have_files_of_their_own(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    files = {
        shelf.file_of(replace(OSPREY, code=code, network=net)) for code in ("a/b", "a b", "a-b") for net in ("x", "y")
    }
    assert len(files) == 6
    assert all(file.parent == shelf.folder for file in files)
    assert shelf.file_of(replace(OSPREY, code="../../etc/passwd")).parent == shelf.folder


def test_a_table_broken_by_hand_is_named_and_stops_nobody_else(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    shelf.add(record(date(2027, 1, 10), [-3]), HAND)
    spoiled = shelf.file_of(replace(OSPREY, code="other"))
    spoiled.write_text("# station: other\nnonsense\n", encoding="utf-8")
    kept, broken = shelf.all()
    assert [each.daily.station.code for each in kept] == [OSPREY.code]
    assert [each.file for each in broken] == [spoiled] and "line 2" in broken[0].why
    with pytest.raises(WeatherFileError):
        shelf.add(record(date(2027, 1, 10), [-3], station=replace(OSPREY, code="other")), HAND)
    assert spoiled.read_text(encoding="utf-8").endswith("nonsense\n"), "what cannot be read is not written over"


def test_half_a_file_left_by_a_crash_is_not_read(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    shelf.add(record(date(2027, 1, 10), [-3]), HAND)
    shelf.file_of(OSPREY).with_suffix(".half").write_text("# station: x\ndate,air", encoding="utf-8")
    kept, broken = shelf.all()
    assert (len(kept), broken) == (1, ())


def test_the_marks_change_with_the_shelf(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path)
    assert marks_of(tmp_path) == ()
    shelf.add(record(date(2027, 1, 10), [-3]), HAND)
    before = marks_of(tmp_path)
    assert marks_of(tmp_path) == before
    shelf.add(record(date(2027, 1, 11), [-4]), HAND)
    assert marks_of(tmp_path) != before


def test_a_day_whose_halves_contradict_each_other_is_told_by_neither() -> None:
    old = record(date(2027, 1, 10), [-3.0], air_max_c=[2.0])
    new = record(date(2027, 1, 10), [5.0], air_max_c=[math.nan])
    both = merged(old, new)
    assert np.isnan(both.air_min_c[0]) and np.isnan(both.air_max_c[0])


READING = st.one_of(st.just(math.nan), st.floats(-30, 20).map(lambda value: round(value, 1)))


@settings(max_examples=50)
@given(st.lists(READING, min_size=1, max_size=8), st.lists(READING, min_size=1, max_size=8), st.integers(-12, 12))
def test_merging_loses_no_reading(old: list[float], new: list[float], shift_days: int) -> None:
    first = date(2027, 1, 15)
    one, two = record(first, old), record(date.fromordinal(first.toordinal() + shift_days), new)
    both = merged(one, two)
    for record_of, wins in ((one, False), (two, True)):
        for day, value in zip(record_of.days, record_of.air_min_c, strict=True):
            if np.isfinite(value) and (wins or day not in two.days or np.isnan(two.air_min_c[two.days == day][0])):
                assert both.air_min_c[both.days == day][0] == value
