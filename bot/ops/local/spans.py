"""Days and spans of every year as they are typed and kept: "06-01..09-30", "Jun 1 to Sep 30", "June to September"."""

from __future__ import annotations

import re
from calendar import monthrange

from bot.ops.local.refused import LocalRefused
from rules.feed_bans import MonthDay, YearSpan

LEAP_YEAR = 2024  # has every day there is
MOST_SPANS = 12
_FULL = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
_SPAN = re.compile(r"\s*(?:\.\.|\u2013|\bto\b|\bthrough\b|\s-\s)\s*")
_NUMBERS = re.compile(r"([0-9]{1,2})[-/]([0-9]{1,2})")
_NAMED = re.compile(r"([a-z]+)\.?(?:\s+([0-9]{1,2}))?")
_HOW = 'Type a span like "06-01..09-30" (month-day), "Jun 1 to Sep 30" or "June to September".'


def spans_from(typed: str) -> tuple[YearSpan, ...]:
    """Every span typed, one a line or parted by commas. Raises `LocalRefused`, also for none."""
    parts = [part.strip() for part in re.split(r"[,;\n\r]+", typed) if part.strip()]
    if not 0 < len(parts) <= MOST_SPANS:
        raise LocalRefused(f"Give one to {MOST_SPANS} spans. {_HOW}")
    return tuple(span_from(part) for part in parts)


def span_from(typed: str) -> YearSpan:
    """One span. Raises `LocalRefused` for what is none."""
    ends = _SPAN.split(typed.strip().lower())
    if len(ends) != 2:
        raise LocalRefused(f"{typed.strip()[:40]!r} is no span of days. {_HOW}")
    return YearSpan(first=month_day_from(ends[0]), last=month_day_from(ends[1], is_end=True))


def span_text(span: YearSpan) -> str:
    """A span as it is kept; `span_from` reads it back."""
    return f"{month_day_text(span.first)}..{month_day_text(span.last)}"


def month_day_text(day: MonthDay) -> str:
    """A day of every year as it is kept."""
    return f"{day[0]:02d}-{day[1]:02d}"


def month_day_from(typed: str, *, is_end: bool = False) -> MonthDay:
    """A day of every year: "06-01", "6/1" or "Jun 1". A month alone is its first day, or its last where a span ends.

    Raises `LocalRefused` for a day that no year has.
    """
    words = typed.strip().lower()
    numbers, named = _NUMBERS.fullmatch(words), _NAMED.fullmatch(words)
    if numbers:
        month, day = int(numbers[1]), int(numbers[2])
    elif named and _month_of(named[1]):
        month = _month_of(named[1])
        day = int(named[2]) if named[2] else _days_of(month) if is_end else 1
    else:
        raise LocalRefused(
            f'{typed.strip()[:40]!r} is no day of the year. Type month and day, like "06-01" or "Jun 1".'
        )
    if not (1 <= month <= 12 and 1 <= day <= _days_of(month)):
        raise LocalRefused(f"{typed.strip()[:40]!r} is in no year. The month comes first, then the day.")
    return month, day


def _month_of(name: str) -> int:
    """The number of a month by its name or its beginning; 0 for no month."""
    known = next((each for each in _FULL if each == name or (len(name) >= 3 and each.startswith(name))), "")
    return _FULL.index(known) + 1 if known else 0


def _days_of(month: int) -> int:
    return monthrange(LEAP_YEAR, month)[1]
