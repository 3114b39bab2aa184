"""Days gone by and days to come. Today is Wednesday, 27 January 2027."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.talk.case import DayTold
from bot.talk.understand import Unclear, day, freeze_day, later_day
from bot.talk.understand.dates import easter

TODAY = date(2027, 1, 27)


@pytest.mark.parametrize(
    ("said", "on", "margin"),
    [
        ("Jan 16", "2027-01-16", 0),
        ("January 16th", "2027-01-16", 0),
        ("jan. 16", "2027-01-16", 0),
        ("January 16, 2027", "2027-01-16", 0),
        ("16 Jan", "2027-01-16", 0),
        ("the 16th of january", "2027-01-16", 0),
        ("january sixteenth", "2027-01-16", 0),
        ("the twenty first of january", "2027-01-21", 0),
        ("1/16", "2027-01-16", 0),
        ("1-16", "2027-01-16", 0),
        ("16/1", "2027-01-16", 0),
        ("1/16/27", "2027-01-16", 0),
        ("1/16/2027", "2027-01-16", 0),
        ("2027-01-16", "2027-01-16", 0),
        ("15.1.2027", "2027-01-15", 0),
        ("jan 16 at 6 am", "2027-01-16", 0),
        ("Dec 30", "2026-12-30", 0),
        ("12/30", "2026-12-30", 0),
        ("the 16th", "2027-01-16", 0),
        ("31st", "2026-12-31", 0),
        ("today", "2027-01-27", 0),
        ("this morning", "2027-01-27", 0),
        ("yesterday", "2027-01-26", 0),
        ("last night", "2027-01-26", 1),
        ("the night before last", "2027-01-25", 0),
        ("day before yesterday", "2027-01-25", 0),
        ("Saturday", "2027-01-23", 0),
        ("last Saturday", "2027-01-23", 0),
        ("saturday night", "2027-01-23", 0),
        ("saturday before last", "2027-01-16", 0),
        ("Wednesday", "2027-01-27", 0),
        ("last wednesday", "2027-01-20", 0),
        ("over the weekend", "2027-01-23", 1),
        ("weekend before last", "2027-01-16", 1),
        ("3 days ago", "2027-01-24", 0),
        ("a couple of days ago", "2027-01-25", 1),
        ("a few days ago", "2027-01-24", 1),
        ("two weeks ago", "2027-01-13", 1),
        ("2-3 weeks ago", "2027-01-10", 4),
        ("about a month ago", "2026-12-28", 5),
        ("last week", "2027-01-20", 3),
        ("early january", "2027-01-05", 5),
        ("mid January", "2027-01-15", 5),
        ("mid-jan", "2027-01-15", 5),
        ("late december", "2026-12-25", 5),
        ("last week of january", "2027-01-26", 5),
        ("end of december", "2026-12-28", 4),
        ("in december", "2026-12-15", 15),
        ("January", "2027-01-15", 15),
        ("around jan 16", "2027-01-16", 3),
        ("the week of jan 11", "2027-01-11", 3),
        ("jan 14-19", "2027-01-16", 2),
        ("Jan 14 to Jan 19", "2027-01-16", 2),
        ("dec 30 - jan 2", "2026-12-31", 1),
        ("jan 25-30", "2027-01-26", 1),
        ("1/14-1/19", "2027-01-16", 2),
        ("Jan 16, 17", "2027-01-16", 0),
        ("21 Jan 27", "2027-01-21", 0),
        ("a week ago saturday", "2027-01-16", 0),
        ("Christmas", "2026-12-25", 0),
        ("around Christmas", "2026-12-25", 3),
        ("christmas eve", "2026-12-24", 0),
        ("the day after christmas", "2026-12-26", 0),
        ("a week before christmas", "2026-12-18", 3),
        ("new year", "2027-01-01", 0),
        ("new year's eve", "2026-12-31", 0),
        ("thanksgiving", "2026-11-26", 0),
        ("MLK day", "2027-01-18", 0),
    ],
)
def test_day_gone_by_is_the_most_recent_that_fits(said: str, on: str, margin: int) -> None:
    """Written dates, weekdays, holidays and spans of time, each with how far off it may be."""
    assert DayTold(on=date.fromisoformat(on), give_or_take_days=margin) == day(said, TODAY)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("banana", "not_a_date"),
        ("16", "not_a_date"),
        ("maybe", "not_a_date"),
        ("Feb 30", "not_a_date"),
        ("13/13", "not_a_date"),
        ("99999999999", "not_a_date"),
        ("1890", "long_ago"),
        ("january 16 1890", "long_ago"),
        ("1/16/1890", "long_ago"),
        ("january 2026", "long_ago"),
        ("a year ago", "long_ago"),
        ("999999 days ago", "long_ago"),
        ("feb 29", "long_ago"),
        ("tomorrow", "future"),
        ("next week", "future"),
        ("in 3 days", "future"),
        ("jan 30", "future"),
        ("early feb", "future"),
        ("3/20/2027", "future"),
        ("2031", "future"),
    ],
)
def test_day_that_cannot_be_is_unclear(said: str, reason: str) -> None:
    """No freeze of next week, of 1890, or of the 30th of February."""
    assert reason == getattr(day(said, TODAY), "reason", None)


def test_early_month_just_begun_is_this_month() -> None:
    """On the 3rd, "early February" is these days, not last year's."""
    assert DayTold(on=date(2027, 2, 3), give_or_take_days=5) == day("early february", date(2027, 2, 3))


@pytest.mark.parametrize(
    ("said", "on"),
    [
        ("today", "2027-01-27"),
        ("tonight", "2027-01-27"),
        ("tomorrow", "2027-01-28"),
        ("tommorow", None),
        ("day after tomorrow", "2027-01-29"),
        ("Saturday", "2027-01-30"),
        ("on saturday", "2027-01-30"),
        ("wednesday", "2027-02-03"),
        ("next saturday", "2027-02-06"),
        ("next tuesday", "2027-02-02"),
        ("a week from saturday", "2027-02-06"),
        ("next week", "2027-02-03"),
        ("in 3 days", "2027-01-30"),
        ("3 days", "2027-01-30"),
        ("in a week", "2027-02-03"),
        ("two weeks", "2027-02-10"),
        ("in a couple of weeks", "2027-02-10"),
        ("next month", "2027-02-26"),
        ("the 14th", "2027-02-14"),
        ("the 28th", "2027-01-28"),
        ("March 20", "2027-03-20"),
        ("20 march", "2027-03-20"),
        ("3/20", "2027-03-20"),
        ("2027-03-20", "2027-03-20"),
        ("mid february", "2027-02-15"),
        ("the weekend", "2027-01-30"),
        ("next weekend", "2027-02-06"),
        ("after the weekend", "2027-02-01"),
        ("end of the week", "2027-01-29"),
        ("end of the month", "2027-01-31"),
        ("easter", "2027-03-28"),
    ],
)
def test_day_to_come_is_the_next_that_fits(said: str, on: str | None) -> None:
    """Where "later" shall be, within half a year."""
    expected = date.fromisoformat(on) if on else TODAY + timedelta(days=1)

    assert expected == later_day(said, TODAY)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("later", "not_a_date"),
        ("3", "not_a_date"),
        ("feb 30", "not_a_date"),
        ("yesterday", "past"),
        ("january 20 2027", "past"),
        ("jan 20", "too_far"),
        ("in a year", "too_far"),
        ("999999 weeks", "not_a_date"),
    ],
)
def test_day_to_come_out_of_reach_is_unclear(said: str, reason: str) -> None:
    """Neither past nor beyond half a year."""
    told = later_day(said, TODAY)

    assert isinstance(told, Unclear)
    assert reason == told.reason


@pytest.mark.parametrize(
    ("year", "on"),
    [(1961, "1961-04-02"), (2000, "2000-04-23"), (2024, "2024-03-31"), (2025, "2025-04-20"), (2027, "2027-03-28")],
)
def test_easter_falls_where_the_church_calendar_puts_it(year: int, on: str) -> None:
    """Five years from the printed tables."""
    assert date.fromisoformat(on) == easter(year)


_FORMS = ("%Y-%m-%d", "%m/%d/%Y", "%m/%d/%y", "%B %d, %Y", "%d %b %Y", "%b %d", "%B %d", "%m/%d")


@settings(deadline=None)
@given(today=st.dates(date(2025, 1, 1), date(2040, 12, 31)), back=st.integers(0, 330), form=st.sampled_from(_FORMS))
def test_written_day_comes_back_as_itself(today: date, back: int, form: str) -> None:
    """Any day of the last eleven months, written any way, is understood as that day."""
    on = today - timedelta(days=back)

    assert DayTold(on=on) == day(on.strftime(form), today)


@settings(deadline=None)
@given(today=st.dates(date(2025, 1, 1), date(2040, 12, 31)), ahead=st.integers(0, 180), form=st.sampled_from(_FORMS))
def test_written_day_to_come_comes_back_as_itself(today: date, ahead: int, form: str) -> None:
    """The same for the days to come."""
    on = today + timedelta(days=ahead)

    assert on == later_day(on.strftime(form), today)


@settings(deadline=None)
@given(today=st.dates(date(2025, 1, 1), date(2040, 12, 31)), weekday=st.integers(0, 6))
def test_weekday_is_within_the_last_week_and_the_next(today: date, weekday: int) -> None:
    """ "Saturday" is at most six days gone or seven days to come, and is a Saturday."""
    name = (date(2027, 1, 4) + timedelta(days=weekday)).strftime("%A")
    gone, coming = day(name, today), later_day(name, today)

    assert isinstance(gone, DayTold)
    assert isinstance(coming, date)
    assert weekday == gone.on.weekday() == coming.weekday()
    assert 0 <= (today - gone.on).days <= 6
    assert 1 <= (coming - today).days <= 7


@pytest.mark.parametrize(
    ("said", "today", "reason"),
    [
        ("July 4", date(2027, 1, 27), "long_ago"),
        ("Aug 20", date(2026, 9, 10), "long_ago"),
        ("Jan 16", date(2026, 11, 25), "long_ago"),
        ("last July", date(2026, 10, 2), "long_ago"),
        ("June 20", date(2027, 7, 2), "summer"),
        ("tomorrow", date(2027, 1, 27), "future"),
    ],
)
def test_a_freeze_is_one_of_this_winter(said: str, today: date, reason: str) -> None:
    """Not in summer, not before the September that led into this winter, not to come."""
    told = freeze_day(said, today)

    assert isinstance(told, Unclear)
    assert told.reason == reason


@pytest.mark.parametrize(
    ("said", "today", "on"),
    [
        ("Jan 16", date(2027, 1, 27), date(2027, 1, 16)),
        ("Oct 30", date(2026, 11, 25), date(2026, 10, 30)),
        ("Dec 24", date(2027, 4, 2), date(2026, 12, 24)),
    ],
)
def test_a_freeze_of_this_winter_is_read(said: str, today: date, on: date) -> None:
    """Across the turn of the year too."""
    told = freeze_day(said, today)

    assert isinstance(told, DayTold)
    assert told.on == on
