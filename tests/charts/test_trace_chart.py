"""The numbers behind the picture: small, whole days, the lowest kept, and what is said of them."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from pydantic import TypeAdapter

from bot.talk.chart import Reach, TraceChart, alt_values, trace_chart
from rules.errors import NotEnoughData
from rules.trace import FreezeTrace
from tests.charts.invented import NAMES, by_hand, charts

FLAT = [3.0] * 48
STORED = TypeAdapter(TraceChart)


def trace(days: int) -> FreezeTrace:
    """Rough hours of so many days, the lowest of each line at an hour of its own."""
    chance = np.random.default_rng(5)
    hours, zeros = days * 24, np.zeros(days * 24)
    air, crown, soil = (chance.normal(0, 4, hours) for _ in range(3))
    return FreezeTrace(
        times=np.datetime64("2027-01-10T01", "h") + np.arange(hours),
        air_c=air,
        crown_c=crown,
        crown_low_c=crown - 4.11,
        crown_high_c=crown + 4.11,
        soil_2in_c=soil,
        soil_low_c=soil - 1.75,
        soil_high_c=soil + 1.75,
        days=np.datetime64("2027-01-10", "D") + np.arange(days),
        snow_in=zeros[:days],
        snow_is_measured=np.zeros(days, dtype=np.bool_),
    )


@pytest.mark.parametrize(("days", "step"), [(3, 1), (6, 1), (7, 2), (12, 2), (18, 3), (21, 4), (70, 12), (90, 24)])
def test_long_freezes_are_thinned_and_keep_the_lowest_of_every_day(days: int, step: int) -> None:
    """However rough the hours, the lowest of each line on each day is a point of the picture."""
    whole = trace(days)
    chart = trace_chart(whole, (-6.04, -3.0))

    assert chart.step_hours == step
    for line, hourly in (
        (chart.air_c, whole.air_c),
        (chart.crown_c, whole.crown_c),
        (chart.soil_2in_c, whole.soil_2in_c),
    ):
        assert np.reshape(line, (days, -1)).min(axis=1) == pytest.approx(
            hourly.reshape(days, 24).min(axis=1), abs=0.051
        )
    assert (chart.suffers_low_c, chart.suffers_high_c) == (-6.0, -3.0)
    assert set(chart.crown_spread_dc) == {4.11}


def test_a_thinned_point_stands_within_its_step() -> None:
    """What is kept for a step was measured in it: nothing is made up between."""
    whole = trace(12)
    chart = trace_chart(whole, (-6.0, -3.0))
    steps = whole.air_c.reshape(-1, chart.step_hours)

    assert (np.abs(steps - np.array(chart.air_c)[:, None]).min(axis=1) <= 0.051).all()


@pytest.mark.parametrize("name", NAMES)
def test_a_chart_is_small_and_comes_back_from_json_as_it_was(name: str) -> None:
    """It is stored within a message."""
    assert list(NAMES) == list(charts())
    stored = STORED.dump_json(charts()[name])

    assert len(stored) < 3000
    assert STORED.validate_python(json.loads(stored)) == charts()[name]


def test_the_lowest_and_their_days_are_told() -> None:
    """Each line's own lowest on its own day; the first of two equal ones."""
    air, crown, soil = list(FLAT), list(FLAT), list(FLAT)
    air[5], crown[30], soil[40], soil[41] = -9.4, -1.2, 0.6, 0.6
    values = alt_values(by_hand(air=air, crown=crown, soil=soil))

    assert (values.air_low_c, values.air_low_on.day) == (-9.4, 16)
    assert (values.crown_low_c, values.crown_low_on.day, values.crown_spread_dc) == (-1.2, 17, 4.1)
    assert (values.soil_low_c, values.soil_spread_dc) == (0.6, 1.7)


@pytest.mark.parametrize(
    ("lowest_c", "reach", "hours"),
    [(-2.9, Reach.MAYBE, 0), (-3.0, Reach.REACHED, 2), (1.0, Reach.MAYBE, 0), (1.2, Reach.CLEAR, 0)],
)
def test_how_near_the_crowns_came(lowest_c: float, reach: Reach, hours: int) -> None:
    """Reached: the estimate was where half may die (from -3.0). Maybe: only its band, 4.1 wide, was. Else clear."""
    crown = [*FLAT[:46], lowest_c, lowest_c]
    values = alt_values(by_hand(air=[-20.0] * 48, crown=crown, soil=FLAT))

    assert (values.reach, values.hours_reached) == (reach, hours)


def test_snow_is_there_where_it_lay_and_says_how_it_is_known() -> None:
    """No snow, no row of zeros; snow that was worked out is marked."""
    bare, snowed = trace(4), trace(4)
    snowed.snow_in[2] = 3.04

    assert trace_chart(bare, (-6, -3)).snow_in == ()
    assert trace_chart(snowed, (-6, -3)).snow_in == (0.0, 0.0, 3.0, 0.0)
    assert not trace_chart(snowed, (-6, -3)).snow_is_measured
    assert alt_values(trace_chart(snowed, (-6, -3))).snow_most_in == 3.0
    assert trace_chart(replace(snowed, snow_is_measured=snowed.snow_in > 0), (-6, -3)).snow_is_measured


@pytest.mark.parametrize(
    "wrong",
    [
        {"air_c": (1.0,) * 47},
        {"soil_spread_dc": (1.0,)},
        {"snow_in": (1.0,)},
        {"step_hours": 2},
        {"air_c": (), "crown_c": (), "soil_2in_c": (), "crown_spread_dc": (), "soil_spread_dc": ()},
    ],
)
def test_lines_of_different_lengths_are_refused(wrong: dict) -> None:
    """A chart that could not be drawn is not made."""
    with pytest.raises(NotEnoughData, match="whole days"):
        replace(by_hand(air=FLAT, crown=FLAT, soil=FLAT), **wrong)
