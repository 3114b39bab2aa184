"""The limits by themselves, under a clock of the test's own."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from bot.pace import Day, Limits, Pace, forecast_seconds


class Ticking:
    """A clock that moves when it is told."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@given(
    st.lists(st.tuples(st.integers(1, 3), st.floats(0, 0.4), st.floats(0, 0.02)), min_size=1, max_size=200),
    st.integers(3, 40),
)
def test_no_window_ever_holds_too_much(sends: list[tuple[int, float, float]], units: int) -> None:
    """Whatever the costs, the idle times and how late each send really begins."""
    clock = Ticking()
    pace = Pace(Limits(units=units, most_at_once=3), clock)
    sent: list[tuple[float, int]] = []
    for cost, idle, late in sends:
        clock.now += idle
        while (wait := pace.wait_seconds()) > 0:
            clock.now += wait + 1e-9
        clock.now += late
        if pace.wait_seconds() > 0:
            continue
        pace.take("x", cost)
        sent.append((clock.now, cost))
        assert sum(each for at, each in sent if clock.now - 1 < at) <= units


@given(st.floats(0, 0.003), st.integers(10, 40))
def test_the_pace_is_used_up_though_every_send_is_a_little_late(late: float, units: int) -> None:
    """Small delays do not add up: at least 97 in 100 of what is allowed goes out."""
    clock = Ticking()
    pace = Pace(Limits(units=units), clock)
    count = 0
    while clock.now < 1060:
        clock.now += pace.wait_seconds() + late
        if pace.wait_seconds() == 0:
            pace.take("x")
            count += 1
    assert 0.97 <= count / (60 * units) <= 1.0 + 1 / (60 * units)


def test_after_a_quiet_spell_there_is_no_burst() -> None:
    """Unused time is not saved up."""
    clock = Ticking()
    pace = Pace(Limits(units=25), clock)
    pace.take("x")
    clock.now += 3600
    pace.take("x")
    assert 0.039 < pace.wait_seconds() <= 0.0401


def test_a_longer_pause_is_not_cut_short_by_a_shorter_one() -> None:
    """Two answers may ask for pauses; the later end counts."""
    clock = Ticking()
    pace = Pace(Limits(), clock)
    pace.pause(10)
    pace.pause(2)
    assert pace.wait_seconds() == 10


@given(st.integers(1, 200_000), st.integers(0, 2000))
def test_a_forecast_equals_counting_day_by_day(units: int, spent: int) -> None:
    """The formula against a plain loop over days."""
    limits = Limits(units=75, window_seconds=60, day_units=2000, most_at_once=3)
    left, days, a_day = units, 0, 1800
    room = max(0, a_day - spent)
    while left > room:
        left -= room
        room, days = a_day, days + 1
    assert math.isclose(forecast_seconds(limits, units, spent), days * 86_400 + left * 0.8)


@given(st.lists(st.tuples(st.integers(0, 3), st.integers(1, 50)), max_size=60))
def test_a_day_counts_its_last_24_hours(steps: list[tuple[int, int]]) -> None:
    """Against the plain sum over everything ever spent."""
    day, hour, everything = Day({}), 500_000, []
    for ahead, units in steps:
        hour += ahead
        day.spend(hour, units)
        everything.append((hour, units))
        assert day.spent(hour) == sum(each for at, each in everything if hour - 24 < at)
