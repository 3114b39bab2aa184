"""The numbers behind the picture of a spot's green: refused where they cannot be drawn, stored within a message."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from bot.errors import StoreError
from bot.store.rows import dump_rendered, load_rendered
from bot.talk.chart import TraceChart
from bot.talk.cover_chart import MOST_POINTS, CoverAt, CoverChange, CoverChart, CoverReading
from bot.talk.messages import Text, Verbatim, text
from bot.talk.ports import Rendered
from bot.talk.telling_cover_chart import cover_alt
from rules.errors import NotEnoughData
from tests.charts.covers import cover_charts, day, line, reading
from tests.charts.invented import WORDS, by_hand

FRONT = text("where-spot", name=Verbatim("front"))
PLAIN = CoverChart(readings=(reading(0, 3), reading(21, 14)))
TRACE = by_hand(air=[1.0] * 24, crown=[1.0] * 24, soil=[1.0] * 24)
OLD_TRACE = """{"text": "Cold.", "chart": {"first_on": "2027-01-16", "step_hours": 24, "air_c": [-9.0],
    "crown_c": [-1.5], "soil_2in_c": [3], "crown_spread_dc": [4.1], "soil_spread_dc": [1.7], "suffers_low_c": -6,
    "suffers_high_c": -3, "snow_in": [], "snow_is_measured": true}}"""


def told(chart: CoverChart, *, is_short: bool = False) -> str:
    return WORDS.text(cover_alt(chart, FRONT), is_short=is_short)


# --- what is no chart ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        ({"readings": ()}, "1 to 60 readings"),
        ({"readings": (reading(0, 3),) * (MOST_POINTS + 1)}, "1 to 60 readings"),
        ({"readings": (reading(7, 3), reading(0, 3))}, "order of time"),
        ({"line": line((0,), lambda _: 5)}, "2 to 60 points, or none"),
        ({"line": line(range(MOST_POINTS + 1), lambda _: 5)}, "2 to 60 points, or none"),
        ({"line": line((0, 20, 10), lambda _: 5)}, "order of time"),
        ({"later": CoverAt(day(21), 20, 10, 30)}, "after its last reading"),
        ({"later": CoverAt(day(49), 20, 21, 30)}, "within its range"),
        ({"later": CoverAt(day(49), 99, 95, 101)}, "from 0 to 100"),
        ({"readings": (CoverReading(day(0), -0.1, -0.1, 3),)}, "from 0 to 100"),
        ({"readings": (CoverReading(day(0), float("nan"), 0, 3),)}, "from 0 to 100"),
    ],
)
def test_what_could_not_be_drawn_is_not_made(wrong: dict, why: str) -> None:
    """Each of the rules by itself, and the error says which."""
    with pytest.raises(NotEnoughData, match=why):
        replace(PLAIN, **wrong)


@pytest.mark.parametrize(
    ("percents", "is_worth", "change"),
    [
        ((14,), True, CoverChange.FIRST),
        ((3, 14), False, CoverChange.UNCLEAR),
        ((14, 14), True, CoverChange.UNCLEAR),
        ((3, 14), True, CoverChange.GREENER),
        ((14, 40, 3), True, CoverChange.BROWNER),
    ],
)
def test_a_direction_needs_a_change_that_is_worth_telling(
    percents: tuple[int, ...], is_worth: bool, change: CoverChange
) -> None:
    """The last reading beside the first, whatever lies between."""
    readings = tuple(reading(7 * week, percent) for week, percent in enumerate(percents))

    assert CoverChart(readings=readings, is_change_worth_telling=is_worth).change is change


# --- stored ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", cover_charts())
def test_it_comes_back_from_a_stored_message_as_it_was(name: str) -> None:
    """Nothing of it is lost, and it is no burden: 20 weeks stay under 3 kB, the most there can be under 7 kB."""
    rendered = Rendered(text="About 14 % green.", chart=cover_charts()[name])
    stored = dump_rendered(rendered)

    assert load_rendered(stored) == rendered
    assert isinstance(load_rendered(stored).chart, CoverChart)
    assert len(stored) < (7000 if name == "sixty" else 3000)


def test_both_kinds_of_charts_come_back_as_what_they_were() -> None:
    """They are told apart by their fields: neither is ever read as the other."""
    for chart in (TRACE, PLAIN):
        assert load_rendered(dump_rendered(Rendered(text="", chart=chart))).chart == chart


def test_a_freeze_stored_before_there_was_another_kind_still_loads() -> None:
    """As it stood in the outbox then."""
    chart = load_rendered(OLD_TRACE).chart

    assert isinstance(chart, TraceChart)
    assert (chart.air_c, chart.suffers_high_c) == ((-9.0,), -3.0)


@pytest.mark.parametrize("chart", [TRACE, PLAIN], ids=["freeze", "cover"])
def test_an_unknown_field_of_a_stored_chart_is_an_error(chart: TraceChart | CoverChart) -> None:
    """It is not dropped in silence, and makes no chart of the other kind."""
    stored = json.loads(dump_rendered(Rendered(text="", chart=chart)))
    stored["chart"]["mood"] = "blue"

    with pytest.raises(StoreError, match="does not fit"):
        load_rendered(json.dumps(stored))


def test_a_stored_chart_that_cannot_be_drawn_is_an_error() -> None:
    """The rules hold for what is read as for what is made."""
    stored = json.loads(dump_rendered(Rendered(text="", chart=PLAIN)))
    stored["chart"]["readings"][0][1] = 300

    with pytest.raises(StoreError, match="does not fit"):
        load_rendered(json.dumps(stored))


# --- in words --------------------------------------------------------------------------------------------------------


def test_first_and_last_are_told_with_their_days_and_ranges() -> None:
    """And that the change between them may be chance."""
    assert told(PLAIN) == (
        "A chart of the front over time. First, on Sat, Mar 6: 3 % (0 to 6) green. Last, on Sat, Mar 27: 14 % "
        "(9 to 19) green. The change is too small to tell from chance."
    )


@pytest.mark.parametrize(("percents", "words"), [((3, 30), "It gained more green"), ((30, 3), "It lost more green")])
def test_a_direction_is_told_only_where_it_is_more_than_chance(percents: tuple[int, int], words: str) -> None:
    """The same numbers without that say nothing of it."""
    chart = CoverChart(readings=tuple(reading(21 * nth, each) for nth, each in enumerate(percents)))

    assert f"{words} than chance can explain." in told(replace(chart, is_change_worth_telling=True))
    assert words not in told(chart)


def test_one_reading_is_told_by_itself() -> None:
    """With what is expected and the day it may be judged, where these are known."""
    chart = cover_charts()["one with more"]

    assert told(chart) == (
        "A chart of the front. On Sat, Mar 6 about 3 % (0 to 6) was green. By Sat, Apr 3 about 9 % (1 to 17) may be "
        "green. Judging day: about Jun 1."
    )
    assert told(cover_charts()["one"]) == "A chart of the front. On Sat, Mar 6 about 14 % (9 to 19) was green."


@pytest.mark.parametrize("name", cover_charts())
def test_what_is_read_out_stays_short(name: str) -> None:
    """At most 350 characters."""
    assert len(told(cover_charts()[name])) <= 350


def test_a_range_of_one_figure_is_told_as_the_figure() -> None:
    """Nobody needs "100 % (100 to 100)"."""
    chart = replace(PLAIN, later=CoverAt(day(49), 99.8, 99.6, 100))

    assert told(chart).endswith("By Sat, Apr 24 about 100 % may be green.")


def test_by_sms_nothing_of_a_picture_is_told() -> None:
    """There is none, and the message itself says what it shows and what to expect."""
    assert told(PLAIN, is_short=True) == ""
    assert told(cover_charts()["one with more"], is_short=True) == ""


def test_the_spot_is_named_as_the_caller_names_it() -> None:
    """A lawn without parts is "the lawn"."""
    assert WORDS.text(cover_alt(PLAIN, Text(key="where-lawn"))).startswith("A chart of the lawn over time.")
