"""`afterfrost assess`: the same answer as the chat, errors that name the field and its range."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest

from bot.commands.assess import LawnFileError, assess, assess_command, read_lawn
from bot.lawn_file import EXAMPLE, LawnFile

TODAY = date(2027, 1, 20)


def run(file: Path | None = None, **options: bool) -> str:
    flags = {"as_json": False, "schema": False, "example": False, "metric": False} | options
    return assess_command(file, **flags)


def edited(**changes: object) -> str:
    return json.dumps(json.loads(EXAMPLE.model_dump_json()) | changes)


def test_the_example_is_valid_and_complete() -> None:
    """What --example prints can be read back, and shows every field."""
    example = json.loads(run(example=True))

    assert read_lawn(json.dumps(example)) == EXAMPLE
    assert set(example) == set(LawnFile.model_fields)


def test_the_schema_carries_units_and_descriptions() -> None:
    """Names carry units, every number says what it is."""
    schema = json.loads(run(schema=True))

    freeze = schema["$defs"]["FreezeIn"]["properties"]
    assert freeze["air_min_f"]["description"]
    assert {"air_min_f", "snow_in", "days_below_freezing"} <= set(freeze)


def test_json_holds_odds_dates_amounts_and_cautions(tmp_path: Path) -> None:
    """A machine gets everything a person gets."""
    file = tmp_path / "lawn.json"
    file.write_text(run(example=True))

    result = json.loads(run(file, as_json=True))

    spot = result["spots"][0]
    assert 0 <= spot["alive_fraction"]["low"] <= spot["alive_fraction"]["middle"] <= spot["alive_fraction"]["high"] <= 1
    assert result["judging_on"] == "2027-05-07"
    cut = next(task for task in result["plan"] if task["kind"] == "cut")
    assert (cut["cut_from_in"], cut["cut_to_in"]) == (4, 3.5)
    assert "mower" in cut["cautions"]
    feed = next(task for task in result["plan"] if task["kind"] == "feed_check")
    assert feed["feed"]["product_lb"] == pytest.approx(5.6)
    assert all(each["source"] for each in result["not_now"])


def test_text_and_json_tell_the_same(tmp_path: Path) -> None:
    """The text is what the chat would say."""
    file = tmp_path / "lawn.json"
    file.write_text(run(example=True))

    assert run(file) == "\n\n".join(json.loads(run(file, as_json=True))["text"])


@pytest.mark.parametrize(
    ("changes", "field", "allowed"),
    [
        ({"mowing_height_in": 40}, "mowing_height_in", "0.5 to 8"),
        ({"area_sqft": -5}, "area_sqft", "4 to 217800"),
        ({"grass": "moss"}, "grass", "st_augustine"),
        ({"cultivar": "meyer"}, "cultivar", "raleigh"),
        ({"place": {"latitude": 80, "longitude": -81}}, "place.latitude", "18 to 45"),
        ({"freeze": {"coldest_on": "2027-01-16", "air_min_f": 70}}, "freeze.air_min_f", "-60 to 33.8"),
        ({"fertilizer": {"n_percent": 0, "p2o5_percent": 0, "k2o_percent": 0}}, "fertilizer", "more than 0"),
        ({"spots": [{"name": "", "signs": ["sad"]}]}, "spots.0", "straw_blades"),
        ({"colour": "brown"}, "colour", "Extra inputs"),
    ],
)
def test_errors_name_the_field_and_the_allowed_range(changes: dict[str, object], field: str, allowed: str) -> None:
    """What is wrong, where, and what would be right."""
    with pytest.raises(LawnFileError) as caught:
        read_lawn(edited(**changes))

    assert field in str(caught.value)
    assert allowed in str(caught.value)


@pytest.mark.parametrize("content", ["", "not json", "[]", "null", "{}", '{"place": 3}'])
def test_a_broken_file_is_told_plainly(content: str) -> None:
    """No traceback, one message."""
    with pytest.raises(LawnFileError, match="The lawn file cannot be used"):
        read_lawn(content)


def test_dates_of_the_place_win() -> None:
    """Known dates replace the table's."""
    lawn = read_lawn(edited(dates={"last_frost_on": "2027-03-28", "warm_soil_on": "2027-04-05"}))

    result = assess(lawn, TODAY)

    assert (result.cutting_from_on, result.judging_on) == (date(2027, 3, 28), date(2027, 5, 17))
    assert not result.dates_are_about


def test_metric_changes_the_text_only() -> None:
    """The numbers keep their named units, the text reads in metric."""
    us, metric = assess(EXAMPLE, TODAY), assess(EXAMPLE, TODAY, metric=True)

    assert us.spots == metric.spots
    assert "°C" in " ".join(metric.text)
    assert "°F" not in " ".join(metric.text)
