"""Small readers between typed words and the kinds of answers the rows of questions keep."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from typing import TYPE_CHECKING

from bot.talk import understand
from bot.talk.case import AnswerValue, CountTold, DayTold, LabelTold, NumberTold, Picked, Skipped
from bot.talk.understand import Unclear

if TYPE_CHECKING:
    from bot.talk.question import Context, Question

Parse = Callable[["Question", str, "Context"], "AnswerValue | Unclear"]

PLUGS_AT_MOST = 60


_NO_BAG = re.compile(r"none|no bag\b.*|nothing|(?:i )?(?:don'?t|dont|do not) have (?:one|any|a bag|it)\b.*")


def label_of_bag(said: str) -> LabelTold | Skipped | Unclear:
    """What stands on the bag; whoever has none has nothing to read."""
    found = understand.label(said)
    if not isinstance(found, Unclear):
        return found
    has_none = _NO_BAG.fullmatch(understand.cleaned(said).lower().strip(" .!")) is not None
    return Skipped() if has_none or (understand.yes_no(said) is False and found.reason == "no_number") else found


def later_day_told(said: str, today: date) -> DayTold | Unclear:
    """A day to come ("Saturday", "in 3 days")."""
    day = understand.later_day(said, today)
    return day if isinstance(day, Unclear) else DayTold(on=day)


def later_choice(code: str, today: date) -> DayTold:
    """The offered days to come: tomorrow, the next Saturday after today, a week from today."""
    saturday = today + timedelta(days=((5 - today.weekday() - 1) % 7) + 1)
    days: Mapping[str, date] = {
        "tomorrow": today + timedelta(days=1),
        "weekend": saturday,
        "next_week": today + timedelta(days=7),
    }
    return DayTold(on=days[code])


def plug_number(said: str) -> NumberTold | Unclear:
    """How many plugs were taken."""
    told = understand.days_count(said)
    if isinstance(told, Unclear):
        return told
    if not 1 <= told.value <= PLUGS_AT_MOST:
        return Unclear("too_big" if told.value > PLUGS_AT_MOST else "zero", low=1, high=PLUGS_AT_MOST)
    return NumberTold(value=round(told.value))


def count_told(said: str, total: int | None = None) -> CountTold | Unclear:
    """So many of so many plugs ("3 of 6", "none"); a bare number counts against the total taken."""
    counted = understand.count_of(said, total)
    return counted if isinstance(counted, Unclear) else CountTold(count=counted[0], total=counted[1])


SNOW_AT_MOST_IN = 60.0


def snow_depth(said: str, metric: bool) -> NumberTold | Unclear:
    """How deep the snow lay, in inches whatever it was told in."""
    return understand.snow_depth(said, metric, SNOW_AT_MOST_IN)


def hours_told(said: str) -> Picked | Unclear:
    """Typed hours ("from 10 to 6") as a code of their own: "10-18"."""
    hours = understand.hours_of_day(said)
    return hours if isinstance(hours, Unclear) else Picked(code=f"{hours[0]}-{hours[1]}")


def slow_part(said: str, bag: LabelTold | None) -> NumberTold | Unclear:
    """The slow-release nitrogen in percent of the product ("4.8 %", "half", "30 % of the nitrogen")."""
    if bag is None:
        return Unclear("no_number")
    alone = understand.plain(said).removesuffix("percent").removesuffix("%").strip()
    if _is_number(alone) and float(alone) >= _SHARE_FROM_PERCENT:
        said = f"{alone}% of the nitrogen"  # bags print the part of the product as a few percent
    told = understand.label(f"{bag.n_percent:g}-{bag.p2o5_percent:g}-{bag.k2o_percent:g} with {said} slow release")
    if isinstance(told, Unclear):
        return told
    return Unclear("no_number") if told.slow_n_percent is None else NumberTold(value=told.slow_n_percent)


_SHARE_FROM_PERCENT = 25.0
"""A bare number from here on is taken as a share of the nitrogen: the smaller of what it may mean, so no dose is opened
by a misreading."""


def _is_number(text: str) -> bool:
    return text.isascii() and text.replace(".", "", 1).isdigit() and len(text) < 9


def slow_choice(code: str, bag: LabelTold | None) -> NumberTold:
    """The offered slow-release shares: none of the nitrogen, or about half of it."""
    n_percent = bag.n_percent if bag else 0.0
    return NumberTold(value=0.0 if code == "none" else n_percent / 2)


def listed_codes(count: int) -> tuple[str, ...]:
    """Codes for a list of own lines: never bare digits, which people type for the number of a line."""
    return tuple(f"line{index}" for index in range(count))


def index_of(code: str | None) -> int | None:
    """The index behind a listed code."""
    digits = (code or "").removeprefix("line")
    return int(digits) if digits.isascii() and digits.isdigit() and len(digits) < 9 else None


def choice_number(count: int) -> Parse:
    """Reads the number of a listed line."""
    return choice_name(("",) * count)


def choice_name(names: tuple[str, ...]) -> Parse:
    """Reads one of the owner's own names, or its number."""
    options = [(code, (name,) if name else ()) for code, name in zip(listed_codes(len(names)), names, strict=True)]

    def parse(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
        picked = understand.pick_one(said, options)
        return picked if isinstance(picked, Unclear) else Picked(code=picked)

    return parse
