"""`afterfrost trend`: a CSV of cover readings in, the recovery of each spot out."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from bot.__main__ import main
from bot.commands.trend import PotCount, pot_of
from bot.commands.trend_file import TrendFileError, read_rows
from rules.grasses import GrassCode
from rules.season import season_of


def written(folder: Path, *lines: str) -> Path:
    file = folder / "cover.csv"
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file


def run(*arguments: object) -> tuple[int, str]:
    done = CliRunner().invoke(main, ["trend", *map(str, arguments)])
    return done.exit_code, done.output


def warm_weeks(*covers_percent: float, spot: str = "front") -> list[str]:
    return [f"{7 * at},{cover},{spot}" for at, cover in enumerate(covers_percent)]


def test_a_file_with_warm_days_needs_no_options(tmp_path: Path) -> None:
    """One line a spot in a table, what it means, and what changes are worth."""
    file = written(tmp_path, "warm_day,cover_percent,spot", *warm_weeks(4, 7, 10, 15, 22), *warm_weeks(1, 0, 2, 1, 0))
    front, back = warm_weeks(4, 7, 10, 15, 22), warm_weeks(1, 0, 2, 1, 0, spot="back")
    file = written(tmp_path, "warm_day,cover_percent,spot", *front, *back)

    code, out = run(file)

    assert code == 0
    lines = out.splitlines()
    assert lines[0].split()[:2] == ["Spot", "Visits"]
    assert lines[1].startswith("front  5")
    assert lines[1].endswith("recovering")
    assert lines[2].endswith("no regrowth seen yet")
    assert "That is not dead" in out
    assert "Since the first visit: 4 % to 22 %. A change of 9 points or more is worth a word" in out
    assert "Since the visit before: 2 %" not in out
    assert "Is any of the green a weed?" in out


def test_json_holds_everything(tmp_path: Path) -> None:
    """State, odds, ranges, changes, the pot test with its exact interval, and the readings as they were used."""
    lines = ["warm_day,cover_percent,upload,photos,weeds"]
    lines += [f"{7 * at},{cover},photo,2,none" for at, cover in enumerate((1, 0, 1, 0, 1, 0, 1))]

    code, out = run(written(tmp_path, *lines), "--json", "--grass", "centipede", "--pot", "0/6@3", "--pot", "0/6@4")
    told = json.loads(out)
    (spot,) = told["spots"]

    assert code == 0
    assert told["judging_warm_days"] == 42
    assert told["weeds_were_asked"]
    assert spot["state"] == "likely_dead"
    assert spot["judging_day_passed"]
    assert spot["pot_test"] == {
        "alive": 0, "total": 6, "weeks": 4, "low_fraction": 0.0, "high_fraction": 0.4593, "has_failed": True,
    }  # fmt: skip
    assert len(spot["visits"]) == 7
    assert spot["visits"][0]["photos"] == 2
    assert spot["cover_now_percent"]["low"] <= spot["cover_now_percent"]["middle"] <= spot["cover_now_percent"]["high"]
    assert spot["growing_probability"] < 0.85
    assert spot["half_cover_in_warm_days"]["high"] is None


def dated(folder: Path, first_on: date, *covers_percent: float) -> Path:
    rows = [f"{first_on + timedelta(days=7 * at)},{cover}" for at, cover in enumerate(covers_percent)]
    return written(folder, "date,cover_percent", *rows)


def test_dates_count_from_warm_soil(tmp_path: Path) -> None:
    """Each day from it is a warm day, none before; the judging day follows, or is the care plan's."""
    file = dated(tmp_path, date(2027, 3, 24), 1, 1, 1, 2)

    _, out = run(file, "--warm-soil", "2027-03-31", "--json")
    told = json.loads(out)
    _, planned = run(file, "--warm-soil", "2027-03-31", "--judging", "2027-04-14", "--json")

    assert [visit["warm_day"] for visit in told["spots"][0]["visits"]] == [0, 0, 7, 14]
    assert told["judging_on"] == "2027-05-26"
    assert not told["spots"][0]["judging_day_passed"]
    assert json.loads(planned)["judging_on"] == "2027-04-14"
    assert json.loads(planned)["spots"][0]["judging_day_passed"]


def test_a_place_gives_the_dates_of_its_table(tmp_path: Path) -> None:
    """And in the upper South nothing is judged before 1 June."""
    file = dated(tmp_path, date(2027, 4, 20), 1, 1)

    _, south = run(file, "--place", "31.2,-81.5", "--grass", "st_augustine", "--json")
    _, north = run(file, "--place", "35.5,-86.5", "--grass", "st_augustine", "--warm-soil", "2027-04-10", "--json")

    table = season_of(latitude=31.2, longitude=-81.5, code=GrassCode.ST_AUGUSTINE, freeze_on=date(2027, 1, 1))
    assert json.loads(south)["warm_soil_on"] == str(table.warm_soil_on)
    assert json.loads(south)["judging_on"] == str(table.judging_on)
    assert json.loads(south)["dates_are_about"]
    assert json.loads(north)["warm_soil_on"] == "2027-04-10"
    assert json.loads(north)["judging_on"] == "2027-06-01"
    assert not json.loads(north)["dates_are_about"]


def test_photos_of_one_visit_are_one_reading(tmp_path: Path) -> None:
    """Three rows of a day are a mean of three photos: the light of a visit is shared, so they are no three visits."""
    rows = ["2027-05-03,10", "2027-05-03,14", "2027-05-03,12", "2027-05-10,16"]

    _, out = run(written(tmp_path, "date,cover_percent", *rows), "--warm-soil", "2027-05-01", "--json")
    visits = json.loads(out)["spots"][0]["visits"]

    assert [(visit["cover_percent"], visit["photos"]) for visit in visits] == [(12, 3), (16, 1)]


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["warm_day,cover_percent", "0,5", "7,abc"], 'line 3: cover_percent is "abc": give a number from 0 to 100'),
        (["warm_day,cover_percent", "0,105"], 'line 2: cover_percent is "105"'),
        (["warm_day,cover_percent", "0,nan"], 'line 2: cover_percent is "nan"'),
        (["warm_day,cover_percent", "-3,5"], 'line 2: warm_day is "-3": give a number from 0 to 400'),
        (["warm_day,cover_percent", ",5"], "line 2: it needs a date or a warm_day"),
        (["date,cover_percent", "3/5/2027,5"], 'line 2: date is "3/5/2027": give year, month and day'),
        (["date,cover_percent", "2027-05-03,5"], "line 2: it has a date and no warm_day. Give --warm-soil"),
        (["warm_day,cover_percent,weeds", "0,5,lots"], 'line 2: weeds is "lots": give none, some, most, not_sure'),
        (["warm_day,cover_percent,photos", "0,5,1.5"], 'line 2: photos is "1.5": give a whole number from 1 to 50'),
        (["# mine", "", "warm_day,green", "0,5"], 'line 3: no column is called "green". Columns: date, warm_day'),
        (["warm_day,cover_percent,warm_day", "0,5,0"], 'line 1: the column "warm_day" stands there twice'),
        (["warm_day,spot", "0,front"], "line 1: the header needs cover_percent, and date or warm_day"),
        (["warm_day,cover_percent", "0,5,6"], "line 2: it has 3 values, the header 2 columns"),
        (["warm_day,cover_percent"], "holds no readings"),
    ],
)
def test_errors_name_the_line_and_what_to_do(tmp_path: Path, lines: list[str], told: str) -> None:
    """No traceback, one sentence."""
    code, out = run(written(tmp_path, *lines))

    assert code == 2
    assert told in out
    assert "Traceback" not in out


def test_wrong_options_are_told(tmp_path: Path) -> None:
    """A pot test that cannot be, of a spot that is not there; a grass nobody knows; a day too far."""
    file = dated(tmp_path, date(2027, 5, 1), 1)

    for wrong, told in (
        (("--pot", "7/6@4"), "7 of 6 plugs cannot live"),
        (("--pot", "six"), "is no pot test"),
        (("--warm-soil", "2027-04-01", "--pot", "side=0/6@4"), 'The pot test is of "side"'),
        (("--grass", "fescue"), "is none of: st_augustine"),
        (("--warm-soil", "2025-01-01"), "more than 400 days after 2025-01-01"),
    ):
        code, out = run(file, *wrong)
        assert code == 2
        assert told in out


def test_files_from_spreadsheets_are_read(tmp_path: Path) -> None:
    """A byte order mark, capitals in the header, spaces, percent signs, empty cells and lines."""
    file = tmp_path / "cover.csv"
    file.write_bytes("﻿Warm_Day, Cover_Percent, Weeds, Photos\r\n\r\n0, 5%, Not sure, \r\n".encode())

    (row,) = read_rows(file)

    assert (row.warm_day, row.cover_percent, row.weeds, row.photos) == (0, 5, "not_sure", 1)


@given(st.binary(max_size=200))
def test_no_file_breaks_it(tmp_path_factory: pytest.TempPathFactory, held: bytes) -> None:
    """Any bytes are readings or an error that says what is wrong."""
    file = tmp_path_factory.mktemp("any") / "any.csv"
    file.write_bytes(b"warm_day,cover_percent\n" + held)

    try:
        assert read_rows(file)
    except TrendFileError as error:
        assert "any.csv" in str(error)


def test_a_pot_test_is_typed_with_or_without_its_spot() -> None:
    """The spot's name may hold anything, also a sign of equality."""
    assert pot_of("0/6@4") == PotCount(spot="", alive=0, total=6, weeks=4)
    assert pot_of("by the gate=b=3/8@2") == PotCount(spot="by the gate=b", alive=3, total=8, weeks=2)
