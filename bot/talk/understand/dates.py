"""Pieces of spoken dates: month and weekday names, written dates, holidays. `days.py` puts them together."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Callable
from datetime import date, timedelta

from bot.talk.understand.plain_words import figures

_MONTHS = {
    "jan": 1, "feb": 2, "mar": 3, "apr": 4, "may": 5, "jun": 6, "jul": 7, "aug": 8, "sep": 9, "oct": 10, "nov": 11,
    "dec": 12,
}  # fmt: skip
MONTH = (
    r"(jan(?:uar?y|urary)?|feb(?:r?uar?y|urary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|"
    r"oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_WEEKDAYS = {"mo": 0, "tu": 1, "we": 2, "th": 3, "fr": 4, "sa": 5, "su": 6}
WEEKDAY = (
    r"\b(mon(?:day)?|tue(?:s(?:day)?)?|wed(?:s|nesday)?|wensday|wendsday|thu(?:rs?(?:day)?)?|thursdy|fri(?:day)?|"
    r"sat(?:[eu]rday)?|sun(?:day)?)s?\b"
)
_DAY = r"(\d{1,2})(?:st|nd|rd|th)?(?![\d:/])"
_YEAR = r"(?:,? ?(?:of )?('?\d{2}(?!\d)|\d{3,4})(?! ?(?:am|pm|degrees|f\b|c\b|°|:)))?"
_NO_SPAN = r"(?! ?(?:days?|nights?|weeks?|months?|hours?|years?))"

ISO_DATE = re.compile(r"(?<!\d)(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)")
SLASHED_DATE = re.compile(rf"(?<![\d/.-])(\d{{1,2}})([/.-])(\d{{1,2}})(?:\2(\d{{4}}|\d{{2}}))?(?![\d/]){_NO_SPAN}")
SLASHED_SPAN = re.compile(
    r"(?<![\d/.-])(\d{1,2})/(\d{1,2}) ?(?:-|to|and|through|thru|until|or) ?(\d{1,2})/(\d{1,2})(?![\d/])"
)
MONTH_SPAN = re.compile(
    rf"\b{MONTH} (?:the )?{_DAY} ?(?:-|to|and|through|thru|until|or) ?(?:{MONTH} )?(?:the )?{_DAY}{_YEAR}"
)
MONTH_DAY = re.compile(rf"\b{MONTH} ?(?:the )?{_DAY}{_YEAR}")
DAY_MONTH = re.compile(rf"\b{_DAY} ?(?:of )?{MONTH}{_YEAR}")
MONTH_PART = re.compile(
    r"\b(early|beginning of|start of|first (?:week|part) (?:of|in)|mid|middle of|middle|late|end of|"
    rf"last (?:week|part) (?:of|in)|second half of|first half of)[ -]*(?:in )?{MONTH}"
)
BARE_MONTH = re.compile(rf"\b{MONTH}{_YEAR}")
DAY_ALONE = re.compile(r"\b(\d{1,2})(?:st|nd|rd|th)\b|\b(?:on )?the (\d{1,2})$")

_ORDINALS = {
    word: number
    for number, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth "
        "fifteenth sixteenth seventeenth eighteenth nineteenth twentieth".split(),
        start=1,
    )
} | {"thirtieth": 30}
_ORDINAL = re.compile(rf"\b(?:(twenty|thirty)[ -])?({'|'.join(_ORDINALS)})\b(?! (?:week|part|half))")
VAGUE = (
    (re.compile(r"\b(?:a )?couple(?: of)?\b"), "2"),
    (re.compile(r"\b(?:a )?few\b"), "3"),
    (re.compile(r"\bseveral\b"), "4"),
)
_ONE = re.compile(r"\ban? (?=(?:day|night|week|month|year)\b)")


def date_figures(said: str) -> str:
    """Spelled days and counts as digits: "sixteenth" -> "16th", "a few days" -> "3 days"."""
    said = _ORDINAL.sub(_ordinal, said)
    for pattern, usual in VAGUE:
        said = pattern.sub(usual, said)
    return figures(_ONE.sub("1 ", said), parts=False)


def _ordinal(match: re.Match[str]) -> str:
    tens = {"twenty": 20, "thirty": 30}.get(match[1] or "", 0)
    return f"{tens + _ORDINALS[match[2]]}th"


def month_number(word: str) -> int:
    """1 to 12 from a month's name or its first three letters."""
    return _MONTHS[word[:3]]


def named_day(said: str) -> tuple[int, int, str | None] | None:
    """Month, day and the year as written, of the first "Jan 16" or "16 Jan" in a text."""
    month_first, day_first = MONTH_DAY.search(said), DAY_MONTH.search(said)
    if day_first and (not month_first or day_first.start() < month_first.start()):
        return month_number(day_first[2]), int(day_first[1]), day_first[3]
    return (month_number(month_first[1]), int(month_first[2]), month_first[3]) if month_first else None


def weekday_number(word: str) -> int:
    """0 (Monday) to 6 from a weekday's name."""
    return _WEEKDAYS[word[:2]]


def us_month_and_day(first: int, second: int) -> tuple[int, int]:
    """Month and day of "1/16"; "16/1" can only be read the other way round."""
    return (second, first) if first > 12 >= second else (first, second)


def full_year(written: str) -> int:
    """2027 from "2027", "27" or "'27"."""
    digits = written.lstrip("'")
    return int(digits) + (2000 if len(digits) == 2 else 0)


def is_day(year: int, month: int, on: int) -> bool:
    """Whether the calendar has that day."""
    return 1 <= year <= 9999 and 1 <= month <= 12 and 1 <= on <= monthrange(year, month)[1]


def nth_weekday(year: int, month: int, weekday: int, which: int) -> date:
    """The first, second, ... such weekday of a month."""
    first = date(year, month, 1)
    return first + timedelta(days=(weekday - first.weekday()) % 7 + 7 * (which - 1))


def easter(year: int) -> date:
    """Easter Sunday by the Gregorian computus."""
    century = year // 100
    moon = (19 * (year % 19) + century - century // 4 - (century - (century + 8) // 25 + 1) // 3 + 15) % 30
    week = (32 + 2 * (century % 4) + 2 * (year % 100 // 4) - moon - year % 100 % 4) % 7
    offset = moon + week - 7 * ((year % 19 + 11 * moon + 22 * week) // 451) + 114
    return date(year, offset // 31, offset % 31 + 1)


def _on(month: int, day: int) -> Callable[[int], date]:
    return lambda year: date(year, month, day)


def _nth(month: int, weekday: int, which: int) -> Callable[[int], date]:
    return lambda year: nth_weekday(year, month, weekday, which)


_HOLIDAYS: tuple[tuple[re.Pattern[str], Callable[[int], date]], ...] = tuple(
    (re.compile(rf"\b(?:{words})(?!\w)"), when)
    for words, when in (
        (r"christmas eve|xmas eve", _on(12, 24)),
        (r"christmas|xmas|x-mas", _on(12, 25)),
        (r"new year'?s? eve|nye", _on(12, 31)),
        (r"new year(?:'?s)?", _on(1, 1)),
        (r"valentine(?:'?s)?", _on(2, 14)),
        (r"groundhog day", _on(2, 2)),
        (r"st\.? pat(?:rick|ty)(?:'?s)?", _on(3, 17)),
        (r"halloween", _on(10, 31)),
        (r"veterans'? day", _on(11, 11)),
        (r"thanks ?giving", _nth(11, 3, 4)),
        (r"mlk|martin luther king", _nth(1, 0, 3)),
        (r"president'?s'? day", _nth(2, 0, 3)),
        (r"easter", easter),
    )
)
_BESIDE = re.compile(
    r"\b(?:(?P<count>\d{1,3}) )?(?P<unit>day|night|week|weekend|right|just|shortly|soon)s?,? (?P<side>before|after)\b"
)
_FROM_HOLIDAY_DAYS = {"day": 1, "night": 1, "week": 7, "weekend": 3}


def holiday_in(said: str) -> tuple[Callable[[int], date], timedelta, int] | None:
    """A holiday: its day in a year, how far from it ("the day after"), and how many days that may be off."""
    for pattern, when in _HOLIDAYS:
        if pattern.search(said):
            beside = _BESIDE.search(said)
            if not beside:
                return when, timedelta(), 0
            step = _FROM_HOLIDAY_DAYS.get(beside["unit"], 2)
            days = int(beside["count"] or 1) * step
            margin = 0 if step == 1 else 3
            return when, timedelta(days=days if beside["side"] == "after" else -days), margin
    return None
