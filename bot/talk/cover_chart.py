"""The picture of one spot's green over the weeks, as plain numbers: stored within a message, drawn in `bot/charts`.

Nothing here depends on a language or a unit system. Points are tuples with names, which take a third of the room of
objects in a stored message. Rounded to tenths they are small, and no reading is finer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import pairwise
from typing import NamedTuple

from bot.talk.chart import TraceChart
from rules.errors import NotEnoughData

MOST_POINTS = 60  # of readings, and of the line: a dot for every 10 px of a phone's picture


class CoverAt(NamedTuple):
    """Green cover on a day, weeds left out, and the range it likely lies in. [percent of the spot, 0 to 100]"""

    on: date
    percent: float
    low_percent: float
    high_percent: float


class CoverReading(NamedTuple):
    """The same as it was read from photos. `is_other_upload`: they came another way than most; may be a step off."""

    on: date
    percent: float
    low_percent: float
    high_percent: float
    is_other_upload: bool = False


class CoverChange(StrEnum):
    """What may be said of the last reading beside the first."""

    FIRST = "first"  # there is nothing to compare it with
    UNCLEAR = "unclear"  # chance alone may show as much
    GREENER = "greener"
    BROWNER = "browner"


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverChart:
    """What a picture of one spot's green cover shows.

    readings : in order of time, with their 95 % ranges
    line : the fitted line with its 90 % band, two points or more in order of time; empty where nothing was fitted
    later : what to expect after the last reading, with its 90 % range
    judging_on, judging_is_about : from when on the spot may be called dead, and whether that day is told as about
    is_change_worth_telling : the last reading differs from the first by more than chance shows
    """

    readings: tuple[CoverReading, ...]
    line: tuple[CoverAt, ...] = ()
    later: CoverAt | None = None
    judging_on: date | None = None
    judging_is_about: bool = False
    is_change_worth_telling: bool = False

    def __post_init__(self) -> None:
        if not 1 <= len(self.readings) <= MOST_POINTS:
            raise NotEnoughData(f"a chart of cover needs 1 to {MOST_POINTS} readings")
        if len(self.line) == 1 or len(self.line) > MOST_POINTS:
            raise NotEnoughData(f"a line in a chart of cover needs 2 to {MOST_POINTS} points, or none")
        if not _is_in_order(self.readings) or not _is_in_order(self.line):
            raise NotEnoughData("a chart of cover needs its points in order of time")
        if self.later is not None and self.later.on <= self.last.on:
            raise NotEnoughData("what a chart of cover expects must lie after its last reading")
        points = (*self.readings, *self.line, *(() if self.later is None else (self.later,)))
        if not all(0 <= each.low_percent <= each.percent <= each.high_percent <= 100 for each in points):
            raise NotEnoughData("a chart of cover needs percents from 0 to 100, each within its range")

    @property
    def first(self) -> CoverReading:
        """The earliest reading."""
        return self.readings[0]

    @property
    def last(self) -> CoverReading:
        """The newest reading."""
        return self.readings[-1]

    @property
    def change(self) -> CoverChange:
        """What may be said of the last reading beside the first."""
        if len(self.readings) == 1:
            return CoverChange.FIRST
        if not self.is_change_worth_telling or self.last.percent == self.first.percent:
            return CoverChange.UNCLEAR
        return CoverChange.GREENER if self.last.percent > self.first.percent else CoverChange.BROWNER


def _is_in_order(points: Sequence[CoverAt | CoverReading]) -> bool:
    return all(earlier.on <= later.on for earlier, later in pairwise(points))


Chart = TraceChart | CoverChart
"""The pictures of numbers that a message may carry. Stored they are told apart by their fields."""
