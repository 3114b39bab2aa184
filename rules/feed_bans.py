"""Times of the year in which a local code forbids feeding lawns.

1. A span is two days of every year, both within it; it may go over New Year. A leap day lies in a span as it stands in
   the calendar: "until 28 February" ends before it, "until 29 February" ends on the 28th in other years.
2. Where several codes hold, a day is free only when all of them leave it free.
3. A ban whose words can no longer be read counts as one for every day: nobody feeds because of a fault of ours.
4. What a ban puts off is done on the first day that is free of it, unless the season is over by then.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from rules.facts.feeding import FEEDING_ENDS_BEFORE_FALL_FROST_DAYS

MonthDay = tuple[int, int]
"""Month and day of every year."""

_A_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class YearSpan:
    """Days of every year from one to another, both included. A first day after the last one goes over New Year."""

    first: MonthDay
    last: MonthDay

    def holds(self, day: date) -> bool:
        """Whether a day lies in it."""
        at = (day.month, day.day)
        if self.first <= self.last:
            return self.first <= at <= self.last
        return at >= self.first or at <= self.last


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedBan:
    """A ban of a local code.

    code : the code's name, as whoever answers for the region wrote it
    until_on : the last day on which it holds; None: until somebody says otherwise
    is_unread : its words can no longer be read
    beside : what other codes forbid at the same place; one does not lift the other
    """

    code: str
    spans: tuple[YearSpan, ...]
    until_on: date | None = None
    is_unread: bool = False
    beside: tuple[FeedBan, ...] = ()

    @property
    def each(self) -> tuple[FeedBan, ...]:
        """All codes that hold at the place."""
        return (self, *self.beside)

    def is_on(self, day: date) -> bool:
        """Whether it, or another beside it, forbids feeding on a day."""
        return any(ban._forbids(day) for ban in self.each)

    def is_over(self, day: date) -> bool:
        """Whether it ended before a day; another beside it may go on."""
        return not self.is_unread and self.until_on is not None and day > self.until_on

    def _forbids(self, day: date) -> bool:
        return self.is_unread or (not self.is_over(day) and any(span.holds(day) for span in self.spans))


def banned(ban: FeedBan | None, day: date) -> bool:
    """Whether feeding is forbidden on a day; never where there is no ban."""
    return ban is not None and ban.is_on(day)


def first_open_on(ban: FeedBan | None, day: date, last_on: date) -> date | None:
    """The day itself where it is free, else the first free day after it; None where none comes by `last_on`."""
    free = day
    while banned(ban, free):
        free += _A_DAY
        if free > last_on:
            return None
    return free


def last_open_on(ban: FeedBan | None, first_on: date, last_on: date) -> date:
    """The last free day of a stretch whose first day is free."""
    while last_on > first_on and banned(ban, last_on):
        last_on -= _A_DAY
    return last_on


def last_feeding_on(first_fall_frost_on: date) -> date:
    """The last day to which a ban may put feeding off: growth fed later is soft when frost comes.

    Source: `FEEDING_ENDS_BEFORE_FALL_FROST_DAYS`.
    """
    return first_fall_frost_on - timedelta(days=FEEDING_ENDS_BEFORE_FALL_FROST_DAYS.value)
