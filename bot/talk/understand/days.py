"""Days, as people say them: "Jan 16", "last night", "two weeks ago", "mid January", "around Christmas", "Saturday".

No clock here: `today`, the day at the lawn, is an argument.
"""

from __future__ import annotations

import re
from calendar import monthrange
from dataclasses import dataclass
from datetime import date, timedelta

from bot.talk.case import DayTold
from bot.talk.understand.dates import (
    BARE_MONTH,
    DAY_ALONE,
    ISO_DATE,
    MONTH_PART,
    MONTH_SPAN,
    SLASHED_DATE,
    SLASHED_SPAN,
    VAGUE,
    WEEKDAY,
    date_figures,
    full_year,
    holiday_in,
    is_day,
    month_number,
    named_day,
    us_month_and_day,
    weekday_number,
)
from bot.talk.understand.plain_words import Unclear, plain

LONGEST_AGO_DAYS = 335  # a freeze of last winter, not of the one before
FARTHEST_AHEAD_DAYS = 180
ABOUT_DAYS = 3
WINTER_FROM_MONTH = 9  # a winter's first freezes come in fall
SUMMER_MONTHS = (6, 7, 8)
LONGEST_COUNT = 1000  # of days, weeks, months; more is "long ago" all the same
SPAN_MARGIN_DAYS = 30  # how far a span of days may still reach ahead of today

_MONTH_PARTS = {
    "early": (5, 5), "beginning of": (5, 5), "start of": (5, 5), "mid": (15, 5), "middle of": (15, 5),
    "middle": (15, 5), "late": (25, 5), "end of": (28, 4), "first half of": (8, 7), "second half of": (22, 8),
}  # fmt: skip
_ABOUT = re.compile(
    r"\b(?:about|around|roughly|approx\w*|maybe|perhaps|probably|think|guess|near|or so|week of)\b|ish\b|~"
)
_AHEAD = re.compile(
    r"\btomorrow\b|\bnext (?:week|month|year|weekend|mon|tue|wed|thu|fri|sat|sun)|\bfrom now\b|\bin \d{1,6} (?:day|"
    r"week|month)"
)
_AGO = re.compile(r"\b(\d{1,6})(?: ?(?:-|to|or) ?(\d{1,6}))? ?(day|night|week|month|year)s? (?:ago|back|earlier)\b")
_DAYS_IN = {"day": 1, "night": 1, "week": 7, "month": 30, "year": 365}
_MARGIN_OF = {"day": 0, "night": 0, "week": 1, "month": 5, "year": 30}
_NEAR_TODAY = tuple(
    (re.compile(rf"\b(?:{words})\b"), back, margin)
    for words, back, margin in (
        (r"(?:night|day) before (?:last|yesterday)", 2, 0),
        (r"last night", 1, 1),  # its coldest hour is this morning's
        (r"yesterday", 1, 0),
        (r"today|this morning|tonight|now|this evening|overnight|over night", 0, 0),
        (r"past week|this week|earlier in the week", 3, 3),
        (r"last week", 7, 3),
        (r"last month", 30, 15),
        (r"other (?:day|night)", 3, 2),
        (r"recently|lately", 5, 5),
    )
)


@dataclass(frozen=True, slots=True)
class _Found:
    """A day and how many days either way it may be off."""

    on: date
    margin: int = 0


def day(text: str, today: date) -> DayTold | Unclear:
    """A day gone by: the most recent one that fits, at most eleven months ago."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    vague = any(pattern.search(said) for pattern, _ in VAGUE)
    said = date_figures(said)
    try:
        found = _past_day(said, today)
    except (ValueError, OverflowError):  # no such day (Feb 30), or none the calendar reaches
        return Unclear("not_a_date")
    if found is None or isinstance(found, Unclear):
        return found or Unclear("not_a_date")
    if found.on > today:
        return Unclear("future")
    if (today - found.on).days > LONGEST_AGO_DAYS:
        return Unclear("long_ago", 0, LONGEST_AGO_DAYS)
    about = ABOUT_DAYS if _ABOUT.search(said) else 1 if vague else 0
    return DayTold(on=found.on, give_or_take_days=max(found.margin, about))


def freeze_day(text: str, today: date) -> DayTold | Unclear:
    """The day of a freeze of this winter: gone by, not in summer, and not before the September that led into it."""
    told = day(text, today)
    if isinstance(told, Unclear):
        return told
    began_on = date(today.year if today.month >= WINTER_FROM_MONTH else today.year - 1, WINTER_FROM_MONTH, 1)
    if told.on < began_on:
        return Unclear("long_ago")
    return Unclear("summer") if told.on.month in SUMMER_MONTHS else told


def _past_day(said: str, today: date) -> _Found | Unclear | None:
    if _AHEAD.search(said):
        return Unclear("future")
    for reading in (
        _written_date, _month_part, _past_holiday, _near_today, _ago, _month_alone, _past_day_alone, _past_weekday,
        _past_weekend,
    ):  # fmt: skip
        found = reading(said, today)
        if found is not None:
            return found
    return None


def _written_date(said: str, today: date) -> _Found | Unclear | None:
    if re.fullmatch(r"(?:in |back in )?\d{4}", said) and int(said[-4:]) != today.year:
        return Unclear("long_ago" if int(said[-4:]) < today.year else "future", 0, LONGEST_AGO_DAYS)
    if iso := ISO_DATE.search(said):
        return _Found(date(int(iso[1]), int(iso[2]), int(iso[3])))
    if span := MONTH_SPAN.search(said):
        first, last = month_number(span[1]), month_number(span[3] or span[1])
        return _span((first, int(span[2])), (last, int(span[4])), _likely_year(span[5], today), today)
    if span := SLASHED_SPAN.search(said):
        return _span((int(span[1]), int(span[2])), (int(span[3]), int(span[4])), None, today)
    if named := named_day(said):
        month, on, year = named
        return _recent(month, on, today, year=_likely_year(year, today))
    match = SLASHED_DATE.search(said)
    if match and (match[2] != "." or match[4]):
        return _recent(*us_month_and_day(int(match[1]), int(match[3])), today, year=match[4])
    return None


def _likely_year(written: str | None, today: date) -> str | None:
    """A bare two-digit number after a day is its year only where it can be one: "Jan 16, 17" are two days."""
    if written and len(written) == 2 and abs(2000 + int(written) - today.year) > 1:
        return None
    return written


def _span(first_day: tuple[int, int], last_day: tuple[int, int], year: str | None, today: date) -> _Found | Unclear:
    """ "Jan 14-19": its middle, give or take half. Days are (month, day)."""
    last = _recent(*last_day, today, year=year, margin=SPAN_MARGIN_DAYS)
    if isinstance(last, Unclear):
        return last
    end = last.on if (last.on.month, last.on.day) == last_day else today
    first = date(end.year, *first_day)
    if first > end:
        first = date(end.year - 1, first.month, first.day)
    half = (end - first) // 2
    return _Found(first + half, max(half.days, 1))


def _recent(month: int, on: int, today: date, *, year: str | None = None, margin: int = 0) -> _Found | Unclear:
    """That day of the year given, or the most recent one; one ahead by no more than its margin counts as today."""
    if year:
        return _Found(date(full_year(year), month, on), margin)
    for back in range(9):  # far enough for the 29th of February
        if not is_day(today.year - back, month, on):
            continue
        found = date(today.year - back, month, on)
        if found <= today:
            is_next_year_meant = back > 0 and (today - found).days > LONGEST_AGO_DAYS and back == 1
            return Unclear("future") if is_next_year_meant else _Found(found, margin)
        if (found - today).days <= margin:
            return _Found(today, margin)
    raise ValueError(f"no day {on} in month {month}")


def _month_part(said: str, today: date) -> _Found | Unclear | None:
    match = MONTH_PART.search(said)
    if not match:
        return None
    middle, margin = _MONTH_PARTS.get(match[1], (4, 4) if match[1].startswith("first") else (26, 5))
    return _recent(month_number(match[2]), middle, today, margin=margin)


def _past_holiday(said: str, today: date) -> _Found | None:
    holiday = holiday_in(said)
    if not holiday:
        return None
    when, offset, margin = holiday
    past = [when(year) + offset for year in (today.year - 1, today.year) if when(year) + offset <= today]
    return _Found(past[-1], margin) if past else None


def _near_today(said: str, today: date) -> _Found | None:
    for pattern, back, margin in _NEAR_TODAY:
        if pattern.search(said) and not re.search(r"\b(?:ago|back)\b", said):
            return _Found(today - timedelta(days=back), margin)
    return None


def _ago(said: str, today: date) -> _Found | None:
    match = _AGO.search(said)
    if not match:
        return None
    weekday = re.search(rf"\bago (?:on |last |this past )?{WEEKDAY}", said)
    if weekday and match[3] == "week":  # "a week ago Saturday"
        return _Found(_last_weekday(weekday[1], today) - timedelta(weeks=min(int(match[1]), LONGEST_COUNT)))
    unit = _DAYS_IN[match[3]]
    least, most = sorted(min(int(count), LONGEST_COUNT) * unit for count in (match[1], match[2] or match[1]))
    margin = max(_MARGIN_OF[match[3]], (most - least + 1) // 2)
    return _Found(today - timedelta(days=(least + most) // 2), margin)


def _past_weekday(said: str, today: date) -> _Found | None:
    match = re.search(WEEKDAY, said)
    if not match:
        return None
    on = _last_weekday(match[1], today)
    if on == today and re.search(rf"\b(?:last|past|previous) {match[1]}", said):
        on -= timedelta(days=7)
    if re.search(r"\bbefore last\b", said):
        on -= timedelta(days=7)
    return _Found(on)


def _last_weekday(word: str, today: date) -> date:
    """The most recent such weekday, today included."""
    return today - timedelta(days=(today.weekday() - weekday_number(word)) % 7)


def _past_weekend(said: str, today: date) -> _Found | None:
    if "weekend" not in said:
        return None
    back = (today.weekday() - 5) % 7
    if back < 2 and re.search(r"\b(?:last|past|previous) weekend", said):
        back += 7  # said on a weekend, "last weekend" is the one before
    if re.search(r"weekend before last", said):
        back += 7
    return _Found(today - timedelta(days=back), 1)


def _month_alone(said: str, today: date) -> _Found | Unclear | None:
    month = BARE_MONTH.search(said)
    if not month or (month[1] == "may" and said != "may" and not re.search(r"\b(?:in|of|last|this) may\b", said)):
        return None
    return _recent(month_number(month[1]), 15, today, year=month[2], margin=15)


def _past_day_alone(said: str, today: date) -> _Found | None:
    alone = DAY_ALONE.search(said)
    if not alone:
        return None
    on = int(alone[1] or alone[2])
    for back in range(12):
        year, month = divmod(today.year * 12 + today.month - 1 - back, 12)
        if is_day(year, month + 1, on) and date(year, month + 1, on) <= today:
            return _Found(date(year, month + 1, on))
    return None


# --- days to come ----------------------------------------------------------------------------------------------

_IN_A_WHILE = re.compile(r"\b(\d{1,6})(?: ?(?:-|to|or) ?\d{1,6})? (?:more )?(day|night|week|month|year)s?\b")
_SOON = (
    (re.compile(r"\bday after tomorrow\b"), 2),
    (re.compile(r"\b(?:tomorrow|tmrw|tmr|tomorow|tommorow|tommorrow)\b"), 1),
    (re.compile(r"\b(?:today|tonight|this (?:evening|afternoon|morning)|in (?:an hour|\d+ hours?))\b"), 0),
    (re.compile(r"\bnext week\b"), 7),
    (re.compile(r"\bnext month\b"), 30),
    (re.compile(r"\bfortnight\b"), 14),
)


def later_day(text: str, today: date) -> date | Unclear:
    """A day to come (today counts), at most 180 days ahead."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    try:
        on = _coming_day(date_figures(said), today)
    except (ValueError, OverflowError):  # no such day (Feb 30), or none the calendar reaches
        return Unclear("not_a_date")
    if on is None:
        return Unclear("not_a_date")
    if on < today:
        return Unclear("past")
    return on if (on - today).days <= FARTHEST_AHEAD_DAYS else Unclear("too_far", 0, FARTHEST_AHEAD_DAYS)


def _coming_day(said: str, today: date) -> date | None:
    if re.search(r"\b(?:yesterday|ago|last (?:night|week|month))\b", said):
        return today - timedelta(days=1)
    for reading in (_coming_date, _coming_holiday, _coming_weekday, _soon, _coming_end, _in_a_while, _coming_day_alone):
        on = reading(said, today)
        if on is not None:
            return on
    return None


def _coming_date(said: str, today: date) -> date | None:
    if iso := ISO_DATE.search(said):
        return date(int(iso[1]), int(iso[2]), int(iso[3]))
    if named := named_day(said):
        month, on, year = named
        return _next(month, on, today, _likely_year(year, today))
    if match := MONTH_PART.search(said):
        return _next(month_number(match[2]), _MONTH_PARTS.get(match[1], (4, 0))[0], today, None)
    match = SLASHED_DATE.search(said)
    if match and (match[2] != "." or match[4]):
        return _next(*us_month_and_day(int(match[1]), int(match[3])), today, match[4])
    return None


def _next(month: int, on: int, today: date, year: str | None) -> date:
    if year:
        return date(full_year(year), month, on)
    for ahead in range(9):  # far enough for the 29th of February
        if is_day(today.year + ahead, month, on) and date(today.year + ahead, month, on) >= today:
            return date(today.year + ahead, month, on)
    raise ValueError(f"no day {on} in month {month}")


def _coming_holiday(said: str, today: date) -> date | None:
    holiday = holiday_in(said)
    if not holiday:
        return None
    when, offset, _ = holiday
    return next(
        when(year) + offset for year in (today.year, today.year + 1, today.year + 2) if when(year) + offset >= today
    )


def _coming_weekday(said: str, today: date) -> date | None:
    match = re.search(WEEKDAY, said)
    if not match:
        return None
    wanted = weekday_number(match[1])
    ahead = (wanted - today.weekday() - 1) % 7 + 1
    if re.search(rf"\bnext {match[1]}", said) and wanted > today.weekday():
        ahead += 7  # "next Saturday", said on a Tuesday, is not this week's
    weeks = re.search(r"\b(\d{1,2}) weeks? from\b", said)
    return today + timedelta(days=ahead + (7 * int(weeks[1]) if weeks else 0))


def _soon(said: str, today: date) -> date | None:
    for pattern, days in _SOON:
        if pattern.search(said) and not re.search(r"\bfrom today\b", said):
            return today + timedelta(days=days)
    return None


def _coming_end(said: str, today: date) -> date | None:
    """ "The weekend", "end of the week", "end of the month"."""
    if "weekend" in said:
        ahead = 1 if today.weekday() == 5 else (5 - today.weekday()) % 7 or 7
        if re.search(r"\bafter the weekend\b", said):
            return today + timedelta(days=(0 - today.weekday() - 1) % 7 + 1)
        return today + timedelta(
            days=ahead + (7 if re.search(r"\bnext weekend\b", said) and today.weekday() < 5 else 0)
        )
    if re.search(r"\bend of (?:the |this )?week\b|\blater this week\b", said):
        return today + timedelta(days=(4 - today.weekday()) % 7)
    if re.search(r"\bend of (?:the |this )?month\b", said):
        return today.replace(day=monthrange(today.year, today.month)[1])
    return None


def _in_a_while(said: str, today: date) -> date | None:
    match = _IN_A_WHILE.search(said)
    return today + timedelta(days=int(match[1]) * _DAYS_IN[match[2]]) if match else None


def _coming_day_alone(said: str, today: date) -> date | None:
    alone = DAY_ALONE.search(said)
    if not alone:
        return None
    on = int(alone[1] or alone[2])
    for ahead in range(12):
        year, month = divmod(today.year * 12 + today.month - 1 + ahead, 12)
        if is_day(year, month + 1, on) and date(year, month + 1, on) >= today:
            return date(year, month + 1, on)
    return None
