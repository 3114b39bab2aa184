"""Counts and shares: how many nights, which part is green, how many plugs live, between which hours."""

from __future__ import annotations

import re

from bot.talk.case import NumberTold
from bot.talk.understand.plain_words import Unclear, figures, number_of, plain

MOST_DAYS = 60
MOST_PLUGS = 200
A_FEW_BLADES = 0.03  # of the ground, when blades can be counted
EARLIEST_HOUR, LATEST_HOUR = 8, 21  # the law's hours for messages nobody asked for

_NUMBER = r"(?<![\d.])(\d+(?:\.\d+)?|\.\d+)"
_NEGATIVE = re.compile(r"(?:^|[\s(])-\s?\d|\bminus \d|\bnegative \d")
_RANGE = re.compile(
    rf"{_NUMBER} ?%?(?: ?(?:days?|nights?|weeks?|wks?|hours?|hrs?|percent))? ?(?:-|to|or|and|through|thru) ?{_NUMBER}"
)
_ONE = re.compile(_NUMBER)

_DAYS_IN = (("week", 7.0), ("wk", 7.0), ("month", 30.0), ("hour", 1 / 24), ("hr", 1 / 24), ("weekend", 2.0))
_VAGUE_COUNTS = (
    (re.compile(r"\b(?:a )?couple(?: of)?\b"), "2"),
    (re.compile(r"\b(?:a )?few\b"), "3"),
    (re.compile(r"\bseveral\b"), "4"),
    (re.compile(r"\b(?:an?|the whole|whole|all|one full|a full|a single|single|just an?) (?=(?:day|night|week|wk|"
                r"month)\b)"), "1 "),
    (re.compile(r"\b(?:over ?night|that night|just the night|the night)\b"), "1 night"),
    (re.compile(r"\b(?:once|just 1 time)\b"), "1 "),
    (re.compile(r"\btwice\b"), "2 "),
    (re.compile(r"\b(?:the |a |all )?weekend\b"), "2 days"),
)  # fmt: skip
_NONE = re.compile(r"^(?:none|no|not any|0|never|zero|not a (?:one|single one)|nope)(?: of (?:it|them))?\b")


def days_count(text: str) -> NumberTold | Unclear:
    """How many days or nights something lasted, 0 to 60."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    said = figures(said)
    if _NEGATIVE.search(said):
        return Unclear("negative", 0, MOST_DAYS)
    for pattern, usual in _VAGUE_COUNTS:
        said = pattern.sub(usual, said)
    amount = _amount(said)
    if amount is None:
        return NumberTold(value=0.0) if _NONE.match(said) else Unclear("no_number", 0, MOST_DAYS)
    if isinstance(amount, Unclear):
        return amount
    days = amount * _days_in_unit(said)
    return NumberTold(value=round(days, 3)) if days <= MOST_DAYS else Unclear("too_big", 0, MOST_DAYS)


def _days_in_unit(said: str) -> float:
    unit = re.search(r"\b(?:weeks?|wks?|months?|hours?|hrs?)\b", said)
    return next((days for name, days in _DAYS_IN if unit and unit[0].startswith(name)), 1.0)


def _amount(said: str) -> float | Unclear | None:
    """The one number or the middle of the one range in a text."""
    between = _RANGE.search(said)
    numbers = [number_of(digits) for digits in _ONE.findall(said)]
    if between and len(numbers) == 2:
        return (number_of(between[1]) + number_of(between[2])) / 2
    if len(numbers) > 1:
        return Unclear("several_numbers")
    return numbers[0] if numbers else None


# Words for a share of a lawn or of a handful of runners, first match wins
_SHARE_WORDS = tuple(
    (re.compile(rf"\b(?:{words})\b"), share)
    for words, share in (
        (r"(?:one|1) or (?:two|2) blades|a blade or (?:two|2)", A_FEW_BLADES),
        (r"less than half|under half|not quite half|almost half|nearly half|just under half", 0.4),
        (r"more than half|over half|better than half|just over half|bit more than half", 0.6),
        (r"not all|not every\w*", 0.75),
        (r"not (?:much|many)|hardly (?:any\w*|a thing)|barely any\w*|scarcely any\w*|almost (?:none|nothing|no)|"
         r"next to (?:none|nothing)|(?:just |only )?(?:a )?few (?:blades?|specks?|spots?|sprigs?|shoots?|bits?)|"
         r"very (?:little|few)|a (?:tiny )?(?:bit|touch|trace|hint|speck)", A_FEW_BLADES),
        (r"almost (?:all|every\w*)|nearly (?:all|every\w*)|just about all|practically all", 0.93),
        (r"most(?:ly)?|majority|a lot(?: of it)?|the bulk", 0.8),
        (r"a little|little|few|a few", 0.08),
        (r"none|nothing|not any|no green|zero|not (?:a (?:one|single|blade)|a thing)|nil|nada|never|no|nope", 0.0),
        (r"all|everything|every (?:bit|one|last)|entire(?:ly)?|whole|completely|totally|full(?:y)?", 1.0),
        (r"some(?: of it)?|partly|patchy|in places|here and there", 0.25),
    )
)  # fmt: skip
_BLADES = re.compile(r"\b\d{1,2} (?:(?:tiny|green|new|little) )*(?:blades?|sprigs?|shoots?|sprouts?)\b")
_PARTS_OF_100 = re.compile(r"(?<![\d.])(\d{1,2}) ?[/-] ?(\d{1,2})(?![\d.])")
_OUT_OF = re.compile(rf"{_NUMBER} ?(?:in|of|out of|from|/) ?{_NUMBER}")


def share(text: str) -> NumberTold | Unclear:
    """A share as a fraction 0 to 1: "half", "about 30 %", "4 in 10", "a few blades", "none"."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    for pattern, told in _SHARE_WORDS[:3]:
        if pattern.search(said):
            return NumberTold(value=told)
    numeric = figures(said)
    if _NEGATIVE.search(numeric):
        return Unclear("negative", 0, 100)
    if _BLADES.search(numeric):
        return NumberTold(value=A_FEW_BLADES)
    if _ONE.search(numeric):
        return _share_in_figures(numeric)
    for pattern, told in _SHARE_WORDS:
        if pattern.search(said):
            return NumberTold(value=told)
    return Unclear("no_number", 0, 100)


def _share_in_figures(said: str) -> NumberTold | Unclear:
    parts = _PARTS_OF_100.search(said)
    if parts and int(parts[1]) + int(parts[2]) == 100:  # "50/50", "30-70"
        return NumberTold(value=int(parts[1]) / 100)
    out_of = _OUT_OF.search(said)
    if out_of and number_of(out_of[2]) > 0 and number_of(out_of[1]) <= number_of(out_of[2]):
        return NumberTold(value=number_of(out_of[1]) / number_of(out_of[2]))
    amount = _amount(said)
    if amount is None:
        return Unclear("no_number", 0, 100)
    if isinstance(amount, Unclear):
        return amount
    if amount > 100:
        return Unclear("too_big", 0, 100)
    is_fraction = amount < 1 and not re.search(r"%|percent|per cent", said)
    return NumberTold(value=amount if is_fraction else amount / 100)


_OF = re.compile(r"(?<![\d.])(\d{1,9}) ?(?:of|out of|/|from|in)(?: the| my| these| those| all)? ?(\d{1,9})(?![\d.])")
_ALL_OF = re.compile(r"\b(?:all|every one|each)(?: of)?(?: the| my| them,?)? (\d{1,9})\b")
_NONE_OF = re.compile(r"\b(?:none|0|no|zero|not 1)(?: (?:out )?of)?(?: the| my| them,?)? (\d{1,9})\b")
_HALF_OF = re.compile(r"\bhalf(?: of)?(?: the| my)? (\d{1,9})\b")
_LIVE = r"(?:are |is |were )?(?:alive|live|living|green|grew|growing|sprouted|good|up|rooted|made it|survived)"
_DEAD = r"(?:are |is |were )?(?:dead|brown|died|nothing|rotten|gone|not|didn'?t)"
_LIVE_AND_DEAD = re.compile(rf"(?<![\d.])(\d{{1,9}}) {_LIVE}\b.{{0,20}}?(?<![\d.])(\d{{1,9}}) {_DEAD}\b")
_DEAD_AND_LIVE = re.compile(rf"(?<![\d.])(\d{{1,9}}) {_DEAD}\b.{{0,20}}?(?<![\d.])(\d{{1,9}}) {_LIVE}\b")


def count_of(text: str, total: int | None = None) -> tuple[int, int] | Unclear:
    """How many of how many live: "3 of 8", "none of 6", "3 alive and 5 dead". A bare "3" or "all" is of `total`."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    halves = _HALF_OF.search(said)
    said = figures(said, parts=False)
    if _NEGATIVE.search(said):
        return Unclear("negative")
    if halves:
        return _checked(int(halves[1]) // 2, int(halves[1]))
    return _two_counts(said) or _one_count(said, total)


def _two_counts(said: str) -> tuple[int, int] | Unclear | None:
    for pattern in (_LIVE_AND_DEAD, _DEAD_AND_LIVE):
        both = pattern.search(said)
        if both:
            live, dead = (both[1], both[2]) if pattern is _LIVE_AND_DEAD else (both[2], both[1])
            return _checked(int(live), int(live) + int(dead))
    pair = _OF.search(said)
    if pair and _OF.search(said, pair.end()):
        return Unclear("several_numbers")
    if pair:
        dead = re.search(rf"{re.escape(pair[0])}[a-z ]{{0,20}}? {_DEAD}\b", said)
        return _checked(int(pair[2]) - int(pair[1]) if dead else int(pair[1]), int(pair[2]))
    for pattern, fraction in ((_ALL_OF, 1), (_NONE_OF, 0)):
        match = pattern.search(said)
        if match:
            return _checked(int(match[1]) * fraction, int(match[1]))
    return None


def _one_count(said: str, total: int | None) -> tuple[int, int] | Unclear:
    numbers = re.findall(r"(?<![\d.])\d{1,9}(?![\d.])", said)
    if len(numbers) > 1:
        return Unclear("several_numbers")
    if total is None:
        return Unclear("needs_total" if numbers or re.search(r"\b(?:all|none|no)\b", said) else "no_number")
    if numbers:
        return _checked(int(numbers[0]), total)
    if re.search(r"\b(?:none|nothing|no|zero|not 1)\b", said):
        return _checked(0, total)
    return _checked(total, total) if re.search(r"\b(?:all|every)\b", said) else Unclear("no_number")


def _checked(alive: int, total: int) -> tuple[int, int] | Unclear:
    if total == 0:
        return Unclear("zero", 1, MOST_PLUGS)
    if total > MOST_PLUGS:
        return Unclear("too_big", 1, MOST_PLUGS)
    if not 0 <= alive <= total:
        return Unclear("alive_over_total", 0, total)
    return alive, total


_HOUR = r"(\d{1,2})(?::\d\d)? ?(a\.?m\b\.?|p\.?m\b\.?|o'?clock)?"
_BETWEEN = re.compile(rf"\b{_HOUR}(?: in the \w+)? ?(?:-|to|and|till?|until|through) ?{_HOUR}")
_AFTER = re.compile(
    rf"\b(?:after|from|not before|never before|no earlier than|before .{{0,20}}is too early|earliest) {_HOUR}"
)
_BEFORE = re.compile(rf"\b(?:not after|never after|no later than|until|till?|by|latest) {_HOUR}")
_NOT_BEFORE = re.compile(rf"\b(?:don'?t|do not|not|no|nothing|never)\b.{{0,40}}?\b(before|after) {_HOUR}")
_ONLY_BEFORE = re.compile(rf"\bbefore {_HOUR}")
_DAY_PARTS = {"morning": (8, 12), "afternoon": (12, 18), "evening": (17, 21), "daytime": (9, 18), "any ?time": (8, 21)}


def hours_of_day(text: str) -> tuple[int, int] | Unclear:
    """First and last local hour for messages, within 8 and 21: "10 to 6", "not before 9", "evenings"."""
    said = figures(plain(text), parts=False).replace("noon", "12 pm").replace("after12 pm", "afternoon")
    if not said:
        return Unclear("empty")
    both = _BETWEEN.search(said)
    if both:
        return _hours(_hour(both[1], both[2], early=True), _hour(both[3], both[4], early=False))
    refused = _NOT_BEFORE.search(said)
    if refused:
        early = refused[1] == "before"
        hour = _hour(refused[2], refused[3], early=early)
        return _hours(hour, LATEST_HOUR) if early else _hours(EARLIEST_HOUR, hour)
    if after := _AFTER.search(said):
        return _hours(_hour(after[1], after[2], early=True), LATEST_HOUR)
    if before := _BEFORE.search(said) or _ONLY_BEFORE.search(said):
        return _hours(EARLIEST_HOUR, _hour(before[1], before[2], early=False))
    for part, hours in _DAY_PARTS.items():
        if re.search(rf"\b{part}s?\b", said):
            return hours
    return Unclear("no_number", EARLIEST_HOUR, LATEST_HOUR)


def _hour(digits: str, half: str | None, *, early: bool) -> int:
    """Hour 0 to 24. Without am or pm the first hour is taken from 7 on as morning, the last one as evening."""
    hour = int(digits)
    if half and half[0] == "p":
        return hour + 12 if hour < 12 else hour
    if half and half[0] == "a":
        return hour % 12
    return hour + 12 if hour < (7 if early else 12) and hour > 0 else hour


def _hours(first: int, last: int) -> tuple[int, int] | Unclear:
    if first < EARLIEST_HOUR:
        return Unclear("too_small", EARLIEST_HOUR, LATEST_HOUR)
    if last > LATEST_HOUR or first >= last:
        return Unclear("too_big", EARLIEST_HOUR, LATEST_HOUR)
    return first, last
