"""`afterfrost soil`: a file of weather in, the ground under a lawn out."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

from click.testing import CliRunner

from bot.__main__ import main

FIELDS = ("air_min_c", "crown_min_c", "soil_2in_low_c", "soil_2in_mean_c", "soil_2in_high_c", "soil_4in_mean_c")


def winter_file(folder: Path, days: int = 90) -> Path:
    """A made-up winter from 1 November with three hard nights, in our own plain form."""
    lines = ["# station: made up", "# latitude: 32.5", "# longitude: -87.0", "date,air_min_f,air_max_f,rain_in"]
    for number in range(days):
        low, high = (12, 30) if 70 <= number < 73 else (40, 58)
        lines.append(f"{date(2026, 11, 1) + timedelta(days=number)},{low},{high},0")
    file = folder / "winter.csv"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def run(*arguments: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["soil", *arguments])
    return done.exit_code, done.output


def test_json_holds_one_object_a_day(tmp_path: Path) -> None:
    """Every day once, with units in the names; the freeze is colder at the crown than two inches down."""
    code, out = run(str(winter_file(tmp_path)), "--daily", "--json")
    days = json.loads(out)

    assert code == 0
    assert [day["date"] for day in days] == [str(date(2026, 11, 1) + timedelta(days=at)) for at in range(90)]
    assert all(set(FIELDS) <= set(day) for day in days)
    assert all(day["soil_2in_low_c"] < day["soil_2in_mean_c"] < day["soil_2in_high_c"] for day in days)
    worst = min(days, key=lambda day: day["crown_min_c"])
    assert "2027-01-10" <= worst["date"] <= "2027-01-13"
    assert worst["crown_min_c"] < worst["soil_2in_mean_c"] - 3


def test_the_coldest_days_are_told_in_words(tmp_path: Path) -> None:
    """With the air, the crown, the soil at both depths, and how wide that is."""
    code, out = run(str(winter_file(tmp_path)))

    assert code == 0
    assert "coldest days for crowns" in out
    assert "air 12 °F" in out
    assert "2 in down" in out
    assert "Nobody has measured them" in out


def test_a_record_too_short_says_what_is_needed(tmp_path: Path) -> None:
    """Two weeks tell nothing of the ground: it remembers."""
    code, out = run(str(winter_file(tmp_path, days=14)))

    assert code == 2
    assert "30 days" in out


def test_a_broken_file_names_its_line(tmp_path: Path) -> None:
    """An impossible temperature ends it, and nothing is told."""
    file = winter_file(tmp_path)
    file.write_text(file.read_text(encoding="utf-8").replace("2026-11-20,40,58", "2026-11-20,400,58"), encoding="utf-8")
    code, out = run(str(file))

    assert code == 2
    assert "24" in out  # the line
    assert "coldest" not in out
