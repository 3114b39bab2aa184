"""`afterfrost weather show`: the file in a few lines, or as JSON with units in its names."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from bot.__main__ import main
from tests.weather import samples


def show(file: Path, content: bytes, *options: str) -> Result:
    file.write_bytes(content)
    return CliRunner().invoke(main, ["weather", "show", str(file), *options])


def test_text_tells_station_days_gaps_and_freezes(tmp_path: Path) -> None:
    """Everything a person needs to see whether it is the right file."""
    out = show(tmp_path / "garden.csv", samples.PLAIN.encode()).output

    assert out.splitlines() == [
        "Station back garden (own file), at 31.25, -83.10",
        "From 2027-01-15 to 2027-01-17: 3 days",
        "Days without the low or the high: 0",
        "Coldest: 18 °F on 2027-01-16",
        "Snow depth is in the file.",
        "Soil temperature is in the file.",
        "One freeze (28 °F or less):",
        "• 2027-01-16 to 2027-01-17: 18 °F on 2027-01-16, below freezing on 2 days, snow 2 in deep",
    ]


def test_json_tells_the_same_with_units_in_its_names(tmp_path: Path) -> None:
    """Celsius and centimetres, days as ISO dates."""
    lines = [samples.crn_day("20270115", "5.0"), samples.crn_day("20270117", "-7.4")]

    result = show(tmp_path / "CRND0103-2027-GA_Mossy_Bend.txt", samples.text_of(lines), "--json")

    assert json.loads(result.output) == {
        "station": {
            "code": "99001",
            "name": "GA_Mossy_Bend",
            "network": "USCRN",
            "latitude": 31.25,
            "longitude": -83.1,
            "elevation_m": None,
        },
        "readings": "daily",
        "first_on": "2027-01-15",
        "last_on": "2027-01-17",
        "days": 3,
        "days_missing": 1,
        "coldest_on": "2027-01-17",
        "air_min_c": -7.4,
        "freezes": [
            {
                "first_on": "2027-01-17",
                "coldest_on": "2027-01-17",
                "last_on": "2027-01-17",
                "air_min_c": -7.4,
                "days_below_freezing": 1,
                "snow_depth_cm": None,
            }
        ],
        "has_snow": False,
        "has_soil": True,
    }


def test_hours_are_told_as_days(tmp_path: Path) -> None:
    """Local standard days."""
    lines = samples.crn_hours("2027-01-15T06", ["2.0"] * 20 + ["-3.0"] * 4)

    found = json.loads(show(tmp_path / "hours.txt", samples.text_of(lines), "--json").output)

    assert (found["readings"], found["days"], found["coldest_on"]) == ("hourly", 1, "2027-01-15")


def test_many_freezes_are_counted_and_the_worst_told(tmp_path: Path) -> None:
    """A file of many winters must not scroll away; no freeze at all is said."""
    lines = [samples.crn_day(f"20{year}0115", "-5.0") for year in range(10, 25)]

    out = show(tmp_path / "days.txt", samples.text_of(lines)).output
    mild = show(tmp_path / "mild.txt", samples.text_of([samples.crn_day("20270115", "5.0")])).output

    assert "15 freezes (28 °F or less), coldest first:" in out
    assert out.count("•") == 10
    assert "And 5 milder ones" in out
    assert "No freeze (28 °F or less) is in it." in mild


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "weather.csv: the file is empty"),
        (samples.text_of(samples.crn_hours("2027-01-15T06", ["1.0"] * 3)), "no day has 18 of its hours"),
        (samples.PLAIN.replace("17.6", "x").encode(), "weather.csv, line 7: air_min_f is 'x'"),
    ],
)
def test_a_bad_file_ends_in_one_message(tmp_path: Path, content: bytes, says: str) -> None:
    """On the error stream, without a traceback, exit code 2."""
    result = show(tmp_path / "weather.csv", content)

    assert result.exit_code == 2
    assert says in result.stderr
    assert result.stdout == ""


def test_the_place_and_station_can_be_given(tmp_path: Path) -> None:
    """For files that do not hold them."""
    rows = [
        samples.ghcn_row("20270116", "TMIN", -74, code=code) for code in (samples.GHCN_CODE, samples.OTHER_GHCN_CODE)
    ]

    result = show(
        tmp_path / "ghcn.csv",
        samples.text_of(rows),
        *("--station", samples.OTHER_GHCN_CODE, "--latitude", "30", "--longitude", "-90"),
    )

    assert result.output.startswith(f"Station {samples.OTHER_GHCN_CODE} (GHCN-Daily), at 30.00, -90.00")
