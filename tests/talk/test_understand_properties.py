"""Rules that hold for any text: never an exception, always a declared type, never more than the start of a book."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from types import NoneType
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import bot.talk.understand as understand
from bot.talk.case import AreaTold, DayTold, LabelTold, NamesTold, NumberTold, TemperatureTold
from bot.talk.understand import (
    REASONS,
    DoseTold,
    GrassHeard,
    Unclear,
    Wish,
    area,
    count_of,
    day,
    days_count,
    emergency,
    first_number,
    grass,
    hours_of_day,
    inches_height,
    label,
    later_day,
    names,
    notch_step,
    other_cause,
    pick_one,
    picks,
    pleasantry,
    share,
    temperature,
    told_dose,
    topic,
    trouble,
    wish,
    yes_no,
)
from bot.talk.understand.plain_words import LONGEST, cleaned, figures, plain
from rules.units import c_to_f, m2_to_sqft

TODAY = date(2027, 1, 27)
OPTIONS = (
    ("snow", ("snow", "yes, snow")),
    ("none", ("no snow",)),
    ("yes", ("yes",)),
    ("no", ("no",)),
    ("609", ("609", "half")),
)

READERS: dict[str, tuple[Callable[[str], Any], tuple[type, ...]]] = {
    "temperature": (lambda text: temperature(text, False), (TemperatureTold, Unclear)),
    "temperature, metric": (lambda text: temperature(text, True), (TemperatureTold, Unclear)),
    "days_count": (days_count, (NumberTold, Unclear)),
    "day": (lambda text: day(text, TODAY), (DayTold, Unclear)),
    "later_day": (lambda text: later_day(text, TODAY), (date, Unclear)),
    "inches_height": (lambda text: inches_height(text, False), (NumberTold, Unclear)),
    "inches_height, metric": (lambda text: inches_height(text, True), (NumberTold, Unclear)),
    "notch_step": (lambda text: notch_step(text, False), (NumberTold, Unclear)),
    "area": (lambda text: area(text, False), (AreaTold, Unclear)),
    "area, metric": (lambda text: area(text, True), (AreaTold, Unclear)),
    "label": (label, (LabelTold, Unclear)),
    "told_dose": (told_dose, (DoseTold, NoneType)),
    "share": (share, (NumberTold, Unclear)),
    "count_of": (count_of, (tuple, Unclear)),
    "count_of, total": (lambda text: count_of(text, 8), (tuple, Unclear)),
    "hours_of_day": (hours_of_day, (tuple, Unclear)),
    "pick_one": (lambda text: pick_one(text, OPTIONS), (str, Unclear)),
    "picks": (lambda text: picks(text, OPTIONS), (tuple, Unclear)),
    "yes_no": (yes_no, (bool, NoneType)),
    "grass": (grass, (GrassHeard,)),
    "names": (names, (NamesTold, Unclear)),
    "wish": (wish, (Wish, NoneType)),
    "emergency": (emergency, (str, NoneType)),
    "other_cause": (other_cause, (str, NoneType)),
    "trouble": (trouble, (str, NoneType)),
    "pleasantry": (pleasantry, (str, NoneType)),
    "topic": (topic, (str, NoneType)),
    "first_number": (first_number, (int, NoneType)),
}

WORDS = (
    "17 -8 - 1/2 3-1/2 0 00 999999999999 1e9 . , ; : ' \" ° °F c f minus below zero freezing teens low mid upper 20s "
    "between and to or "
    "about three twenty hundred thousand half quarter third a an the week night day month ago last next saturday jan "
    "january 16th may 2027 "
    "1/16 2/30 christmas easter weekend tomorrow in inch inches cm mm feet ft sq acre by x + less paces circle "
    "square wide long 16-4-8 0-0-0 "
    "n p k nitrogen slow release % percent of lbs bag per 1000 none all few most 3/8 alive dead not no yes ok maybe "
    "first second last one "
    "except but bermuda zoysia st augustine tifway 419 rye mixed weeds front back stop quit end cancel opt out "
    "texting me please can you "
    "don't text before after am pm dog ate swallowed gas line hit wires cut my foot generator garage spilled /stop "
    "froze frost freeze again forecast brown stems soggy raining thanks hello good so much mow scalp fertilized i put "
    "want kill myself stung throat snake bit me chest wind chill feels something one the next under by mailbox remind "
    "do saturday never mind "
    "/plan ? 👍 👎 ½ ﷺ \u202e \x00"
).split(" ")

noise = st.one_of(
    st.text(max_size=200),
    st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join),
    st.lists(st.sampled_from(WORDS), max_size=30).map("".join),
    st.builds(lambda piece, times: (piece * times)[:5000], st.text(min_size=1, max_size=12), st.integers(1, 5000)),
    st.builds(
        lambda pieces, times: (" ".join(pieces) + " ") * times,
        st.lists(st.sampled_from(WORDS), min_size=1, max_size=4),
        st.integers(1, 300),
    ),
)


@pytest.mark.parametrize("reader", READERS)
@settings(deadline=None)
@given(text=noise)
def test_any_text_is_read_without_an_exception(reader: str, text: str) -> None:
    """Emoji, control characters, endless repetitions: a declared value comes back, and its numbers are in range."""
    read, types = READERS[reader]
    value = read(text)

    assert isinstance(value, types), value
    if isinstance(value, Unclear):
        assert value.reason in REASONS
    _check_range(value)


def _check_range(value: object) -> None:
    if isinstance(value, TemperatureTold):
        assert -60.001 <= c_to_f(value.mean_c) <= 45.001 and 1 <= value.sd_dc < 8
    if isinstance(value, AreaTold):
        assert 4 <= value.area_sqft <= 5 * 43_560
    if isinstance(value, NumberTold):
        assert 0 <= value.value <= 60
    if isinstance(value, DayTold):
        assert 0 <= (TODAY - value.on).days <= 335
    if isinstance(value, LabelTold):
        assert 0 < value.n_percent + value.p2o5_percent + value.k2o_percent <= 100
        assert 0 <= (value.slow_n_percent or 0) <= value.n_percent + 1e-9
    if isinstance(value, NamesTold):
        assert 1 <= len(value.names) <= 6 and all(0 < len(name) <= 30 for name in value.names)


@pytest.mark.timeout(30)
@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize(
    "piece",
    [
        "a",
        " ",
        "1",
        "1 ",
        "stop all ",
        "all but ",
        "16-4-8 15 lb ",
        "½",
        "\u202e",
        "jan 1 to ",
        "40' 6\" x ",
        "frost no ",
        "i want to ",
    ],
)
def test_book_is_read_by_its_first_page_only(reader: str, piece: str) -> None:
    """Ten megabytes give the same answer as their first 4,000 characters: nothing behind them is looked at."""
    read, _ = READERS[reader]
    page = (piece * LONGEST)[:LONGEST]

    assert read(page) == read(page + piece * (10_000_000 // len(piece)))


@settings(deadline=None)
@given(text=noise)
def test_plain_text_is_settled(text: str) -> None:
    """Bringing a text to its plain form twice changes nothing more, and nothing invisible is left."""
    once = plain(text)

    assert len(cleaned(text)) <= LONGEST
    assert once == plain(once)
    assert all(char.isprintable() for char in once)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("twenty five", "25"),
        ("one hundred and five", "105"),
        ("two thousand four hundred", "2400"),
        ("fifteen hundred", "1500"),
        ("five six", "5 6"),
        ("a dozen", "12"),
        ("2,400", "2400"),
        ("1,3 and 5", "1,3 and 5"),
        ("3½", "3.5"),
        ("three and a half", "3.5"),
        ("three quarters", "0.75"),
        ("1/16", "0.0625"),
        ("16/4/8", "16/4/8"),
        ("someone phoned", "someone phoned"),
    ],
)
def test_spelled_numbers_become_figures(said: str, expected: str) -> None:
    """What is a number becomes one; words that only hold one do not."""
    assert expected == figures(plain(said))


@settings(deadline=None)
@given(value=st.integers(-600, 355))
def test_fahrenheit_written_is_fahrenheit_understood(value: int) -> None:
    """Tenths of a degree survive the way there."""
    told = temperature(f"{value / 10} °F", metric=True)

    assert isinstance(told, TemperatureTold)
    assert value / 10 == pytest.approx(c_to_f(told.mean_c), abs=1e-6)


@settings(deadline=None)
@given(value=st.integers(-510, 20))
def test_celsius_written_is_celsius_understood(value: int) -> None:
    """The same in Celsius."""
    told = temperature(f"{value / 10} C", metric=False)

    assert isinstance(told, TemperatureTold)
    assert value / 10 == pytest.approx(told.mean_c, abs=1e-6)


@settings(deadline=None)
@given(
    length=st.integers(2, 400),
    width=st.integers(2, 400),
    form=st.sampled_from(["{} by {}", "{}x{} ft", "{}' × {}'", "{} ft * {} ft"]),
)
def test_rectangle_written_is_rectangle_understood(length: int, width: int, form: str) -> None:
    """Any two sides, any sign between them."""
    assert AreaTold(area_sqft=length * width) == area(form.format(length, width), metric=False)


@settings(deadline=None)
@given(value=st.integers(4, 200_000), form=st.sampled_from(["{}", "{:,} sq ft", "{} square feet"]))
def test_square_feet_written_are_square_feet_understood(value: int, form: str) -> None:
    """With or without a thousands comma; a small number by itself is rather one side of something."""
    if form == "{}" and value < 100:
        assert getattr(area(form.format(value), metric=False), "reason", None) == "one_side"
        return
    assert AreaTold(area_sqft=value) == area(form.format(value), metric=False)


@settings(deadline=None)
@given(value=st.integers(1, 10_000))
def test_square_metres_written_are_square_metres_understood(value: int) -> None:
    """Metric owners give metric sizes."""
    told = area(f"{value} m²", metric=False)

    assert isinstance(told, AreaTold)
    assert m2_to_sqft(value) == pytest.approx(told.area_sqft, abs=0.01)


@settings(deadline=None)
@given(eighths=st.integers(4, 64))
def test_height_in_eighths_comes_back_as_itself(eighths: int) -> None:
    """ "3 5/8 in", as mowers are marked."""
    whole, part = divmod(eighths, 8)
    written = f"{whole or ''} {f'{part}/8' if part else ''} in".strip() if whole or part else "0 in"

    assert NumberTold(value=eighths / 8) == inches_height(written, metric=False)


@settings(deadline=None)
@given(n=st.integers(0, 40), p=st.integers(0, 30), k=st.integers(0, 30), mark=st.sampled_from("-/ "))
def test_analysis_written_is_analysis_understood(n: int, p: int, k: int, mark: str) -> None:
    """Any three numbers that fit into a bag."""
    told = label(f"{n}{mark}{p}{mark}{k}")

    if n + p + k == 0:
        assert Unclear("analysis_zero", 0, 100) == told
    else:
        assert LabelTold(n_percent=n, p2o5_percent=p, k2o_percent=k) == told


@settings(deadline=None)
@given(chosen=st.sets(st.integers(1, len(OPTIONS)), min_size=1), mark=st.sampled_from([", ", " ", " and ", "&", "/"]))
def test_numbers_written_are_choices_understood(chosen: set[int], mark: str) -> None:
    """Any set of numbers, in any order and dress."""
    expected = tuple(code for number, (code, _) in enumerate(OPTIONS, start=1) if number in chosen)

    assert expected == picks(mark.join(str(number) for number in sorted(chosen, reverse=True)), OPTIONS)


@settings(deadline=None)
@given(alive=st.integers(0, 40), dead=st.integers(0, 40))
def test_plugs_written_are_plugs_understood(alive: int, dead: int) -> None:
    """ "3 of 8", whatever the numbers."""
    total = alive + dead
    told = count_of(f"{alive} of {total}")

    assert ((alive, total) if total else Unclear("zero", 1, 200)) == told


def test_every_reason_is_given_somewhere() -> None:
    """A reason nobody gives would need words nobody reads."""
    folder = Path(understand.__file__).parent
    source = "\n".join(
        path.read_text(encoding="utf-8")
        for path in [*folder.glob("*.py"), folder.parent / "weather_answers.py"]
        if path.name != "plain_words.py"
    )

    assert [] == [reason for reason in REASONS if f'"{reason}"' not in source]
