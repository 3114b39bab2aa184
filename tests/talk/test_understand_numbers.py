"""Counts, shares, heights and hours, as owners write them."""

from __future__ import annotations

import pytest

from bot.talk.case import NumberTold
from bot.talk.understand import (
    Unclear,
    count_of,
    days_count,
    first_number,
    hours_of_day,
    inches_height,
    notch_step,
    share,
)


def _number(told: NumberTold | Unclear) -> float:
    assert isinstance(told, NumberTold), told
    return told.value


@pytest.mark.parametrize(
    ("said", "days"),
    [
        ("3", 3),
        ("three nights", 3),
        ("3 days", 3),
        ("a week", 7),
        ("all week", 7),
        ("two weeks", 14),
        ("a month", 30),
        ("about 10 days", 10),
        ("overnight", 1),
        ("one night", 1),
        ("just one", 1),
        ("once", 1),
        ("twice", 2),
        ("a couple of nights", 2),
        ("a few days", 3),
        ("several nights", 4),
        ("2-3", 2.5),
        ("2 or 3 nights", 2.5),
        ("a day or two", 1.5),
        ("the weekend", 2),
        ("half a day", 0.5),
        ("6 hours", 0.25),
        ("none", 0),
        ("not any", 0),
        ("0", 0),
        ("sixty", 60),
    ],
)
def test_days_are_counted_in_any_wording(said: str, days: float) -> None:
    """Nights, days, weeks and hours, spelled or in figures."""
    assert days == _number(days_count(said))


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("a while", "no_number"),
        ("-3", "negative"),
        ("minus 2", "negative"),
        ("90", "too_big"),
        ("three months", "too_big"),
        ("3 nights in 2 weeks", "several_numbers"),
    ],
)
def test_days_out_of_reason_are_unclear(said: str, reason: str) -> None:
    """Negative, endless or missing counts are asked again."""
    assert reason == getattr(days_count(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "fraction"),
    [
        ("half", 0.5),
        ("about half of it", 0.5),
        ("a quarter", 0.25),
        ("three quarters", 0.75),
        ("about a third", 0.3333),
        ("two thirds", 0.6667),
        ("1/4", 0.25),
        ("about 30 %", 0.3),
        ("30 percent", 0.3),
        ("30", 0.3),
        ("0.3", 0.3),
        ("0.5%", 0.005),
        ("20-30%", 0.25),
        ("between 20 and 30 %", 0.25),
        ("4 in 10", 0.4),
        ("4 out of 10", 0.4),
        ("none", 0),
        ("nothing green", 0),
        ("no", 0),
        ("a few blades", 0.03),
        ("hardly any", 0.03),
        ("4 green blades", 0.03),
        ("about a tenth", 0.1),
        ("50/50", 0.5),
        ("fifty-fifty", 0.5),
        ("30/70", 0.3),
        ("one or two blades", 0.03),
        ("some", 0.25),
        ("less than half", 0.4),
        ("more than half", 0.6),
        ("most", 0.8),
        ("almost all of it", 0.93),
        ("all", 1),
        ("everything", 1),
        ("100%", 1),
    ],
)
def test_share_is_a_fraction_in_any_wording(said: str, fraction: float) -> None:
    """Words, percent, fractions and "so many of so many"."""
    assert fraction == pytest.approx(_number(share(said)), abs=1e-4)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("greenish", "no_number"),
        ("150", "too_big"),
        ("-5 %", "negative"),
        ("5 and 7 and 9", "several_numbers"),
    ],
)
def test_share_out_of_reason_is_unclear(said: str, reason: str) -> None:
    """More than everything, less than nothing, or no share at all."""
    assert reason == getattr(share(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "pair"),
    [
        ("3 of 8", (3, 8)),
        ("3 out of 8", (3, 8)),
        ("3/8", (3, 8)),
        ("three of eight", (3, 8)),
        ("2 of the 6", (2, 6)),
        ("none of 6", (0, 6)),
        ("0 of 6", (0, 6)),
        ("all 8", (8, 8)),
        ("all of 8", (8, 8)),
        ("half of 8", (4, 8)),
        ("3 alive, 5 dead", (3, 8)),
        ("5 dead and 3 green", (3, 8)),
        ("3 of 8 are dead", (5, 8)),
    ],
)
def test_living_plugs_are_counted_of_all(said: str, pair: tuple[int, int]) -> None:
    """The first number is the living, whichever way it is put."""
    assert pair == count_of(said)


@pytest.mark.parametrize(
    ("said", "pair"), [("3", (3, 8)), ("none", (0, 8)), ("all of them", (8, 8)), ("2 of 6", (2, 6))]
)
def test_bare_count_is_of_the_known_total(said: str, pair: tuple[int, int]) -> None:
    """When the plan knows how many plugs were taken, "3" is enough; a total said again wins."""
    assert pair == count_of(said, total=8)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("3", "needs_total"),
        ("none", "needs_total"),
        ("9 of 8", "alive_over_total"),
        ("0 of 0", "zero"),
        ("3 of 900", "too_big"),
        ("-3 of 8", "negative"),
        ("many", "no_number"),
        ("3 of 8 and 2 of 6", "several_numbers"),
    ],
)
def test_impossible_counts_are_unclear(said: str, reason: str) -> None:
    """More living than there are, or no total to compare with."""
    assert reason == getattr(count_of(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "inches"),
    [
        ("3", 3),
        ("3.5", 3.5),
        ("3 1/2", 3.5),
        ("3½ in", 3.5),
        ("3-1/2 inches", 3.5),
        ('3-1/2"', 3.5),
        ("3''", 3),
        ("three inches", 3),
        ("three and a half inches", 3.5),
        ("an inch", 1),
        ("an inch and a half", 1.5),
        ("two and three quarters inches", 2.75),
        ("2 and 3/4", 2.75),
        ("3 inches (setting 4)", 3),
        ("2 inches and a half", 2.5),
        ("half an inch", 0.5),
        ("¾ inch", 0.75),
        ("2-3 inches", 2.5),
        ("about 3 or 4", 3.5),
        ("between 2 and 3", 2.5),
        ("8 cm", 3.1496),
        ("80 mm", 3.1496),
        ("3,5 inches", 3.5),
    ],
)
def test_height_is_in_inches_however_it_was_told(said: str, inches: float) -> None:
    """Fractions, words, ranges and metric units."""
    assert inches == pytest.approx(_number(inches_height(said, metric=False)), abs=1e-3)


@pytest.mark.parametrize(
    ("said", "inches"), [("8", 3.1496), ("7,5", 2.9528), ("80", 3.1496), ("3 in", 3), ("5-8 cm", 2.5591)]
)
def test_bare_height_is_metric_for_metric_owners(said: str, inches: float) -> None:
    """Centimetres, or millimetres where centimetres would be a hedge."""
    assert inches == pytest.approx(_number(inches_height(said, metric=True)), abs=1e-3)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("tall", "no_number"),
        ("40 inches", "too_big"),
        ("1 foot", "too_big"),
        ("0", "zero"),
        ("0.2", "too_small"),
        ("-2", "negative"),
        ("2 3 4", "several_numbers"),
        ("setting 4", "setting"),
        ("notch 3", "setting"),
        ("4th notch", "setting"),
        ("number 3", "setting"),
        ("highest setting", "setting"),
        ("two fingers", "no_number"),
    ],
)
def test_height_out_of_reason_is_unclear(said: str, reason: str) -> None:
    """Forty inches is no lawn, and a lever's position is no height; the allowed range comes along."""
    told = inches_height(said, metric=False)

    assert isinstance(told, Unclear)
    assert reason == told.reason
    assert said == "" or (0.5, 8) == (told.low, told.high)


@pytest.mark.parametrize(
    ("said", "inches"),
    [
        ("1/2", 0.5),
        ("half inch", 0.5),
        ("half an inch", 0.5),
        ("half", 0.5),
        ("a quarter of an inch", 0.25),
        ("1 cm", 0.3937),
        ("¼", 0.25),
        ("0.5", 0.5),
        ("1 notch is half an inch", 0.5),
        ("3/4 inch a notch", 0.75),
    ],
)
def test_notch_step_is_a_small_length(said: str, inches: float) -> None:
    """Fractions of an inch, mostly."""
    assert inches == pytest.approx(_number(notch_step(said, metric=False)), abs=1e-3)


@pytest.mark.parametrize("said", ["one notch", "3 notches", "two clicks", "setting 4"])
def test_a_count_of_notches_is_no_step(said: str) -> None:
    """How many notches a mower has, or is at, does not tell how far one moves it."""
    told = notch_step(said, metric=False)

    assert isinstance(told, Unclear)
    assert told.reason == "setting"


@pytest.mark.parametrize("said", ["3 inches", "0.01", "tiny"])
def test_notch_step_out_of_reason_is_unclear(said: str) -> None:
    """No mower moves by three inches at once."""
    assert isinstance(notch_step(said, metric=False), Unclear)


@pytest.mark.parametrize(
    ("said", "hours"),
    [
        ("10 to 6", (10, 18)),
        ("9-8", (9, 20)),
        ("9 to 9", (9, 21)),
        ("8am-8pm", (8, 20)),
        ("between 10 am and 6 pm", (10, 18)),
        ("after 10", (10, 21)),
        ("not before 9", (9, 21)),
        ("don't text me before 10 am", (10, 21)),
        ("don't text after 7", (8, 19)),
        ("until 6", (8, 18)),
        ("before 5 pm", (8, 17)),
        ("noon to 6", (12, 18)),
        ("evenings", (17, 21)),
        ("only in the morning", (8, 12)),
    ],
)
def test_hours_for_messages_are_understood(said: str, hours: tuple[int, int]) -> None:
    """First and last local hour; without am or pm the day's own hours are meant."""
    assert hours == hours_of_day(said)


@pytest.mark.parametrize(
    ("said", "reason"),
    [("", "empty"), ("5 am to 9 pm", "too_small"), ("8 to 11 pm", "too_big"), ("whenever", "no_number")],
)
def test_hours_beyond_the_laws_are_refused(said: str, reason: str) -> None:
    """Nothing starts before 8 or ends after 21, whoever asks."""
    assert reason == getattr(hours_of_day(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "number"), [("change 3", 3), ("line twelve", 12), ("change it", None), ("3.5", None), ("12345", None)]
)
def test_first_number_finds_a_line_of_the_summary(said: str, number: int | None) -> None:
    """A small whole number, or none."""
    assert number == first_number(said)
