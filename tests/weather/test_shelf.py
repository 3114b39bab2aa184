"""Weather kept in the data folder: nothing is lost by adding, files are whole or not there, a broken one is named."""

from __future__ import annotations

import gzip
import math
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.weather.faults import WeatherFileError
from bot.weather.folder import marks_of
from bot.weather.shelf import Shelf, kept_of, last_day, merged
from bot.weather.source import Source
from rules.facts.weather import DAY_LIMITS
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
    old = record(date(2027, 1, 10), [-3.0, -3.0, -3.0], air_max_c=[2.0, 2.0, 2.0])
    new = record(date(2027, 1, 10), [5.0, 5.0, 5.0], air_max_c=[9.0, math.nan, 9.0])
    both = merged(old, new)
    assert np.isnan(both.air_min_c[1]) and np.isnan(both.air_max_c[1])


def test_a_day_cut_short_does_not_take_the_place_of_a_whole_one() -> None:
    """A service that keeps a week begins inside a day; the next one was whole, and there the new reading wins."""
    whole = record(date(2027, 1, 10), [-8.0, -4.0, -5.0], air_max_c=[6.0, 5.0, 4.0], rain_mm=[9.0, 1.0, 2.0])
    week = record(date(2027, 1, 10), [-1.0, -3.0, -4.0], air_max_c=[3.0, 4.0, 8.0], rain_mm=[0.5, 0.0, 3.0])
    both = merged(whole, week)
    assert list(both.air_min_c) == [-8.0, -3.0, -5.0]
    assert list(both.air_max_c) == [6.0, 4.0, 8.0]
    assert list(both.rain_mm) == [9.0, 0.0, 3.0]


READING = st.one_of(st.just(math.nan), st.floats(-30, 20).map(lambda value: round(value, 1)))


@settings(max_examples=50)
@given(st.lists(READING, min_size=1, max_size=8), st.lists(READING, min_size=1, max_size=8), st.integers(-12, 12))
def test_merging_loses_no_reading(old: list[float], new: list[float], shift_days: int) -> None:
    first = date(2027, 1, 15)
    one, two = record(first, old), record(date.fromordinal(first.toordinal() + shift_days), new)
    both = merged(one, two)
    for record_of, wins in ((one, False), (two, True)):
        for day, value in zip(record_of.days, record_of.air_min_c, strict=True):
            is_edge = day in (two.days[0], two.days[-1]) and day in one.days
            other = (one if wins else two).air_min_c[(one if wins else two).days == day]
            if np.isfinite(value) and is_edge:
                assert both.air_min_c[both.days == day][0] == np.fmin(value, other[0])
            elif np.isfinite(value) and (wins or not len(other) or np.isnan(other[0])):
                assert both.air_min_c[both.days == day][0] == value


def series(low: float, high: float, count: int) -> st.SearchStrategy[np.ndarray]:
    """Readings in three decimals, as a table holds them, with holes."""
    known = st.floats(low, high).map(lambda value: round(value, 3))
    odd = st.sampled_from([each for each in (low, high, 999.0) if low <= each <= high])
    one = st.one_of(st.just(math.nan), odd, known)
    return st.lists(one, min_size=count, max_size=count).map(lambda values: np.array(values, dtype=np.float64))


@st.composite
def records(draw: st.DrawFn) -> DailyWeather:
    """Any weather there can be, of any station there can be."""
    count = draw(st.integers(1, 12))
    columns = {name: draw(series(limit.low, limit.high, count)) for name, limit in DAY_LIMITS.items()}
    low, high = columns["air_min_c"], columns["air_max_c"]
    columns["air_min_c"], columns["air_max_c"] = np.where(low > high, high, low), np.where(low > high, low, high)
    words = st.text(st.characters(exclude_categories=("C", "Z")), max_size=20)
    station = Station(
        code=draw(words),
        name=draw(words),
        latitude=round(draw(st.floats(-90, 90)), 5),
        longitude=round(draw(st.floats(-180, 180)), 5),
        elevation_m=draw(st.none() | st.floats(-500, 9000).map(lambda metres: round(metres, 1))),
        network=draw(words),
    )
    first = draw(st.dates(date(1850, 1, 1), date(2100, 12, 1)))
    return DailyWeather(station=station, days=np.datetime64(first, "D") + np.arange(count), **columns)


@settings(max_examples=60, deadline=None)
@given(records(), st.sampled_from([HAND, CELL, replace(HAND, name="")]))
def test_whatever_is_put_on_the_shelf_comes_back_the_same(daily: DailyWeather, source: Source) -> None:
    """However odd it looks: it was judged when it was taken in."""
    with TemporaryDirectory() as folder:
        Shelf(Path(folder)).add(daily, source)
        (kept,), broken = Shelf(Path(folder)).all()
    assert broken == ()
    assert (kept.source, kept.daily.station) == (source, daily.station)
    np.testing.assert_array_equal(kept.daily.days, daily.days)
    for name in DAY_SERIES:
        np.testing.assert_array_equal(getattr(kept.daily, name), getattr(daily, name), err_msg=name)


@pytest.mark.parametrize(
    "lows",
    [[5.0] * 40, [22.0] * 40],
    ids=["a day that hardly moves", "a winter as warm as one in Fahrenheit"],
)
def test_a_table_of_another_name_is_judged_like_any_file(tmp_path: Path, lows: list[float]) -> None:
    """Ours is read as it is; a file somebody put there is not."""
    shelf = Shelf(tmp_path)
    odd = record(date(2026, 12, 5), lows, air_max_c=[low + 0.5 for low in lows])
    shelf.add(odd, HAND)
    assert len(shelf.all()[0]) == 1
    shelf.file_of(OSPREY).rename(shelf.folder / "mine.csv")
    assert [each.file.name for each in shelf.all()[1]] == ["mine.csv"]


def test_an_odd_file_in_the_folder_is_named_and_stops_nobody_else(tmp_path: Path) -> None:
    """No text, cut off while packed, a folder, a time that is none; a packed table is read as it was."""
    shelf = Shelf(tmp_path)
    shelf.add(record(date(2027, 1, 10), [-3]), CELL)
    table = shelf.file_of(OSPREY).read_bytes()
    odd = {
        "binary.csv": bytes(range(256)),
        "latin.csv": table.replace(b"Osprey Ferry", b"Osprey F\xe9rry"),
        "cut.csv": gzip.compress(table)[:-20],
        "zone.csv": table.replace(b"+00:00", b""),
        "zip.csv": b"PK\x03\x04" + table,
    }
    for name, content in odd.items():
        (shelf.folder / name).write_bytes(content)
    (shelf.folder / "folder.csv").mkdir()
    kept, broken = shelf.all()
    assert [each.daily.station for each in kept] == [OSPREY]
    assert sorted(each.file.name for each in broken) == sorted([*odd, "folder.csv"])
    shelf.file_of(OSPREY).write_bytes(gzip.compress(table))
    assert [each.source for each in shelf.all()[0]] == [CELL]


def test_only_what_changed_is_read_again(tmp_path: Path) -> None:
    """The same object for a table left alone; another one for a table that grew; none for one taken away."""
    shelf, other = Shelf(tmp_path), replace(OSPREY, code="other")
    shelf.add(record(date(2027, 1, 10), [-3]), HAND)
    shelf.add(record(date(2027, 1, 10), [-4], station=other), HAND)
    before = {each.daily.station.code: each for each in shelf.all()[0]}
    shelf.add(record(date(2027, 1, 11), [-5], station=other), HAND)
    after = {each.daily.station.code: each for each in shelf.all()[0]}
    assert after[OSPREY.code] is before[OSPREY.code]
    assert len(after["other"].daily.days) == 2
    shelf.file_of(other).unlink()
    assert [each.daily.station for each in shelf.all()[0]] == [OSPREY]


# --- files somebody gives ---------------------------------------------------------------------------------------------


PLAIN = "# latitude: {latitude}\n# longitude: -81.5\ndate,air_min_c,air_max_c\n2027-01-16,-8,1\n"


def given_file(folder: Path, latitude: float, name: str = "weather.csv") -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / name
    file.write_text(PLAIN.format(latitude=latitude), encoding="utf-8")
    return file


def test_files_of_one_name_from_two_places_are_two_stations(tmp_path: Path) -> None:
    shelf = Shelf(tmp_path / "data")
    for latitude in (31.2, 33.9):
        kept = kept_of(given_file(tmp_path / str(latitude), latitude))
        shelf.add(kept.daily, kept.source)
    found = [each.daily.station for each in shelf.all()[0]]
    assert sorted(each.code for each in found) == ["weather at 31.20,-81.50", "weather at 33.90,-81.50"]
    assert {each.name for each in found} == {"weather"}


def test_a_code_kept_of_another_place_is_refused(tmp_path: Path) -> None:
    """A corrected coordinate is taken; another town is not, and nothing is written over."""
    shelf = Shelf(tmp_path)
    shelf.add(record(date(2027, 1, 10), [-3]), HAND)
    corrected = replace(OSPREY, latitude=OSPREY.latitude + 0.04)
    shelf.add(record(date(2027, 1, 11), [-4], station=corrected), HAND)
    with pytest.raises(WeatherFileError, match="a code of its own"):
        shelf.add(record(date(2027, 1, 12), [-5], station=replace(OSPREY, latitude=33.0)), HAND)
    assert len(shelf.all()[0][0].daily.days) == 2


@pytest.mark.parametrize(("latitude", "is_taken"), [(17.9, False), (18.0, True), (50.0, True), (64.8, False)])
def test_only_weather_of_the_south_is_taken_in(tmp_path: Path, latitude: float, is_taken: bool) -> None:
    file = given_file(tmp_path, latitude)
    if is_taken:
        assert kept_of(file).daily.station.latitude == latitude
        return
    with pytest.raises(WeatherFileError, match="from 18 to 50 degrees north"):
        kept_of(file)


@pytest.mark.parametrize("is_packed", [False, True])
def test_a_copy_of_a_kept_table_keeps_its_credit(tmp_path: Path, is_packed: bool) -> None:
    """It stays a model's cell, whatever the copy is called."""
    shelf = Shelf(tmp_path / "data")
    shelf.add(record(date(2027, 1, 10), [-3, -4]), CELL)
    table = shelf.file_of(OSPREY).read_bytes()
    copy = tmp_path / "copy.csv"
    copy.write_bytes(gzip.compress(table) if is_packed else table)
    assert kept_of(copy).source == CELL
    assert kept_of(copy).daily.station == OSPREY
    assert kept_of(given_file(tmp_path, 31.2)).source.note == "from weather.csv"


def test_a_credit_is_shown_with_its_address_once() -> None:
    assert CELL.credit_line == f"{CELL.credit} {CELL.link}"
    assert replace(CELL, credit=f"By {CELL.link}").credit_line == f"By {CELL.link}"
    assert HAND.credit_line == ""
