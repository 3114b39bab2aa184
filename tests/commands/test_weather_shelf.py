"""`weather import` and `near`, and `assess` with weather: nothing kept of a bad file, the chosen station told."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from bot.commands.assess import WeatherWanted, assess_command
from bot.commands.weather_shelf import PlaceNotClear, import_files, near, near_command
from bot.lawn_file import EXAMPLE
from bot.rehearsal.play import WEATHER_FILES
from bot.weather import shelf as shelf_module
from bot.weather.faults import WeatherFileError
from bot.weather.shelf import Shelf

WEATHER = Path(shelf_module.__file__).parent.parent / "rehearsal" / "weather"
FILES = [WEATHER / name for name in WEATHER_FILES]
NOWHERE = {"station": None, "latitude": None, "longitude": None}


def test_what_is_imported_is_kept_and_told(tmp_path: Path) -> None:
    told = import_files(tmp_path, FILES, **NOWHERE)  # type: ignore[arg-type]
    assert "Kept Pinders Mill Airfield: 2026-11-10 to 2027-02-28, 2 freezes" in told
    assert len(Shelf(tmp_path).all()[0]) == 2


def test_one_bad_file_keeps_all_of_them_out(tmp_path: Path) -> None:
    """Everything is read before anything is kept."""
    bad = tmp_path / "bad.csv"
    bad.write_text(FILES[0].read_text(encoding="utf-8").replace("2027-01-17,14,", "2027-01-17,1400,"), encoding="utf-8")
    with pytest.raises(WeatherFileError, match=r"bad\.csv, line 75"):
        import_files(tmp_path / "data", [FILES[1], bad], **NOWHERE)  # type: ignore[arg-type]
    assert Shelf(tmp_path / "data").all() == ((), ())


def test_near_lists_the_station_that_speaks_for_a_place_first(tmp_path: Path) -> None:
    import_files(tmp_path, FILES, **NOWHERE)  # type: ignore[arg-type]
    found = near(tmp_path, "31.35, -81.42")
    assert [row.code for row in found.stations] == ["Osprey Ferry Landing", "Pinders Mill Airfield"]
    assert "23 miles away" in near_command(tmp_path, "31.35 -81.42", as_json=False, metric=False)
    shown = json.loads(near_command(tmp_path, "31.35,-81.42", as_json=True, metric=False))
    assert shown["stations"][0]["distance_miles"] < 2
    assert near(tmp_path, "40,-100").stations == []
    assert len(near(tmp_path, None).stations) == 2


def test_near_says_what_to_do_when_nothing_is_kept_or_the_place_is_not_clear(tmp_path: Path) -> None:
    assert "afterfrost weather import" in near_command(tmp_path, None, as_json=False, metric=False)
    with pytest.raises(PlaceNotClear, match="ZIP code"):
        near(tmp_path, "qqqqzzz")


def example(tmp_path: Path) -> Path:
    file = tmp_path / "lawn.json"
    file.write_text(EXAMPLE.model_dump_json(), encoding="utf-8")
    return file


def test_assess_takes_the_cold_from_a_weather_file(tmp_path: Path) -> None:
    """And says which station, how far, and that its temperatures are modelled."""
    wanted = WeatherWanted(files=tuple(FILES))
    told = json.loads(assess_command(example(tmp_path), as_json=True, weather=wanted))
    plain = json.loads(assess_command(example(tmp_path), as_json=True))
    assert told["weather"]["station"] == "Osprey Ferry Landing"
    assert told["weather"]["coldest_on"] == str(date(2027, 1, 17))
    assert {spot["temperatures_are"] for spot in told["spots"]} == {"modelled"}
    assert plain["weather"] is None
    assert {spot["temperatures_are"] for spot in plain["spots"]} == {"told"}
    soils = [each["spots"][0]["soil_2in_min_c"] for each in (told, plain)]
    widths = [soil["high"] - soil["low"] for soil in soils]
    assert widths[0] < widths[1]


def test_assess_finds_what_is_kept_for_the_service(tmp_path: Path) -> None:
    import_files(tmp_path / "data", FILES, **NOWHERE)  # type: ignore[arg-type]
    told = assess_command(example(tmp_path), weather=WeatherWanted(data=tmp_path / "data"))
    assert "Osprey Ferry Landing read 20 °F" in told
