"""Typed text brought to one plain form, spelled numbers to digits, and the value for "not understood".

Everything here looks at the first 4,000 characters only and takes time in proportion to them, so that nobody can
make a reply slow by sending a book.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, get_args

LONGEST = 4000

Reason = Literal[
    "empty",  # nothing readable in it
    "no_number",  # a number was expected and there is none
    "several_numbers",  # more numbers than one answer needs
    "negative",
    "zero",
    "too_small",  # below `low`
    "too_big",  # above `high`
    "not_freezing",  # a temperature, but no frost
    "wind_chill",  # what skin feels, not the air's temperature
    "which_way",  # not as it was measured: colder or milder?
    "far_off",  # too far from what was measured near to be of the same night
    "colder_than_what",  # a difference, and nothing it could be from
    "setting",  # a mower's lever position instead of a height
    "one_side",  # a length where an area was asked
    "three_sides",
    "needs_total",  # "3" alone where "3 of 8" was asked
    "alive_over_total",
    "not_a_date",
    "long_ago",
    "summer",  # a day in summer where a freeze was asked for
    "future",
    "past",
    "too_far",  # a day too far ahead
    "three_numbers",  # a fertilizer analysis needs three
    "analysis_zero",
    "kills_weeds",  # a bag that holds weed killer or weed preventer
    "analysis_over_100",
    "slow_over_total",  # more slow-release nitrogen than nitrogen
    "which",  # fits none of the choices
    "two_near",  # fits more than one choice
    "no_name",
    "too_many",  # more than `high`
    "too_long",  # longer than `high`
]
REASONS: tuple[str, ...] = get_args(Reason)


@dataclass(frozen=True, slots=True)
class Unclear:
    """What was said could not be taken as an answer. `low` and `high` are the allowed range, in the unit of the value
    the question is about (Celsius, inches, square feet, days, percent, names)."""

    reason: Reason
    low: float | None = None
    high: float | None = None


_ONE_FORM = {
    **dict.fromkeys("‘’‚‛′`´", "'"),
    **dict.fromkeys("“”„‟″", '"'),
    **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
    **dict.fromkeys("×✕✖╳", "x"),
    **dict.fromkeys("º˚", "°"),
    "½": " 1/2 ", "⅓": " 1/3 ", "⅔": " 2/3 ", "¼": " 1/4 ", "¾": " 3/4 ", "⅕": " 1/5 ", "⅖": " 2/5 ", "⅗": " 3/5 ",
    "⅘": " 4/5 ", "⅛": " 1/8 ", "⅜": " 3/8 ", "⅝": " 5/8 ", "⅞": " 7/8 ", "⁄": "/", "∕": "/",
}  # fmt: skip
_TABLE = str.maketrans(_ONE_FORM)
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn"})
_VARIANTS = frozenset("\ufe0e\ufe0f\U0001f3fb\U0001f3fc\U0001f3fd\U0001f3fe\U0001f3ff")  # emoji style and skin tone


def cleaned(text: str) -> str:
    """The text as typed, less what is invisible: one kind of quote, dash, digit and space; capitals kept."""
    text = text[:LONGEST]
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text.translate(_TABLE))[:LONGEST].translate(_TABLE)
    text = "".join(_visible(char) for char in text)
    return " ".join(text.split())


@lru_cache(maxsize=64)
def plain(text: str) -> str:
    """The same in lower case: what every function here compares with. All of them ask for it, so it is kept a while."""
    said = cleaned(text)
    return said.lower() if said.isascii() else cleaned(said.casefold())  # folding can lengthen a text


def _visible(char: str) -> str:
    if char.isascii():
        return char if char.isprintable() else " "
    if char.isspace():
        return " "
    if char in _VARIANTS or unicodedata.category(char) in _UNSEEN:
        return ""
    digit = unicodedata.decimal(char, None)
    return char if digit is None else str(digit)


_ONES = {
    word: value
    for value, word in enumerate(
        "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
        "seventeen eighteen nineteen".split()
    )
}
_TENS = {
    word: 10 * value
    for value, word in enumerate("twenty thirty forty fifty sixty seventy eighty ninety".split(), start=2)
}
_TENS["fourty"] = 40
_PARTS = {"half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4,
          "fifth": 5, "fifths": 5, "sixth": 6, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10}  # fmt: skip

_THOUSANDS = re.compile(r"(?<![\d.,])\d{1,3}(?:,\d{3}){1,3}(?![\d,])")
_MIXED = re.compile(r"(?<![\d./])(\d{1,4})(?: ?- ?| and | )(\d{1,2}) ?/ ?(\d{1,2})(?![\d/.])")
_FRACTION = re.compile(r"(?<![\d./-])(\d{1,2}) ?/ ?(\d{1,2})(?![\d/.])")
_AND_PART = re.compile(r"(?<![\d.])(\d{1,6}) and (?:an? |one |1 )?(half|third|quarter)s?\b")
_SOME_PARTS = re.compile(r"\b(?:(\d{1,2})[ -])(halves|thirds?|quarters?|fourths?|fifths|eighths?|tenths)\b")
_ONE_PART = re.compile(r"\b(?:an? |one )?(half|quarter)\b(?: of)?(?: an?\b)?")
_NAMED_PART = re.compile(
    r"\b(?:an?|one|1) (third|fourth|fifth|sixth|eighth|tenth)\b(?: of)?(?: an?\b)?"
    r"|\b(third|fourth|fifth|sixth|eighth|tenth)(?: of)?(?: an?)?(?= (?:acre|inch|of it|of the))"
)
_WHOLE_AND_PART = re.compile(r"(?<!between )(?<![\d.])([1-9]\d{0,5}) and (0\.\d{1,4})\b")
_DENOMINATORS = frozenset({2, 3, 4, 5, 8, 10, 16})


def figures(text: str, *, parts: bool = True) -> str:
    """A plain text with spelled numbers as digits ("twenty five" -> "25"), without thousands commas.

    With `parts` fractions too: "3 1/2", "three and a half", "a quarter" -> 3.5, 3.5, 0.25.
    """
    text = _THOUSANDS.sub(lambda match: match[0].replace(",", ""), text)
    text = _spelled_to_digits(text)
    return _parts_to_decimals(text) if parts else text


def _parts_to_decimals(text: str) -> str:
    text = _MIXED.sub(_mixed, text)
    text = _FRACTION.sub(lambda match: _share(match[1], match[2]) or match[0], text)
    text = _AND_PART.sub(lambda match: _written(int(match[1]) + 1 / _PARTS[match[2]]), text)
    text = _SOME_PARTS.sub(lambda match: _written(int(match[1]) / _PARTS[match[2]]), text)
    text = _NAMED_PART.sub(lambda match: _written(1 / _PARTS[match[1] or match[2]]), text)
    text = _ONE_PART.sub(lambda match: _written(1 / _PARTS[match[1]]), text)
    return _WHOLE_AND_PART.sub(lambda match: _written(int(match[1]) + float(match[2])), text)


def _mixed(match: re.Match[str]) -> str:
    share = _share(match[2], match[3])
    return _written(int(match[1]) + float(share)) if share else match[0]


def _share(above: str, below: str) -> str:
    """A fraction under one as a decimal; empty for what only looks like one (a date, a label)."""
    numerator, denominator = int(above), int(below)
    if denominator not in _DENOMINATORS or not 0 < numerator < denominator:
        return ""
    return _written(numerator / denominator)


def _written(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".")


def _spelled_to_digits(text: str) -> str:
    pieces = re.findall(r"[a-z]+|[^a-z]+", text)
    out: list[str] = []
    position = 0
    while position < len(pieces):
        value, after = _spelled_number(pieces, position)
        out.append(pieces[position] if value is None else str(value))
        position = after
    return "".join(out)


def _spelled_number(pieces: list[str], start: int) -> tuple[int | None, int]:
    """The number spelled from `start` on and where it ends; None and the next piece if there is none."""
    word = pieces[start]
    if word in ("a", "an") and start + 2 < len(pieces) and pieces[start + 1] == " ":
        return _counted_by_a(pieces, start)
    if word not in _ONES and word not in _TENS:
        return None, start + 1
    total, group, end = 0, _ONES.get(word, _TENS.get(word, 0)), start + 1
    while (step := _next_word(pieces, end, may_and=group >= 100 or total > 0)) is not None:
        word = pieces[step]
        if word == "hundred" and 0 < group < 100:
            group *= 100
        elif word == "thousand" and 0 < group < 1000:
            total, group = group * 1000, 0
        elif word in _ONES and 0 < _ONES[word] and _takes(group, _ONES[word], total):
            group += _ONES[word]
        elif word in _TENS and ((group >= 100 and group % 100 == 0) or (group == 0 and total)):
            group += _TENS[word]
        else:
            break
        end = step + 1
    return total + group, end


def _takes(group: int, ones: int, total: int) -> bool:
    """Whether ones may follow: "twenty" takes "five", "hundred" takes "fifteen", "five" takes nothing."""
    if group == 0:
        return total > 0
    return (group % 100 == 0) or (ones < 10 and group % 100 >= 20 and group % 10 == 0)


def _next_word(pieces: list[str], position: int, *, may_and: bool) -> int | None:
    """Where the next word of a spelled number would stand, over a space, a hyphen or (in hundreds) an "and"."""
    if position + 1 < len(pieces) and pieces[position] in (" ", "-"):
        if may_and and pieces[position + 1] == "and" and position + 3 < len(pieces) and pieces[position + 2] == " ":
            return position + 3
        return position + 1
    return None


def _counted_by_a(pieces: list[str], start: int) -> tuple[int | None, int]:
    counted = {"dozen": 12, "hundred": 100, "thousand": 1000, "couple": 2}.get(pieces[start + 2])
    return (counted, start + 3) if counted else (None, start + 1)


def number_of(digits: str) -> float:
    """The number, at most a million million: endless digits are just "too big"."""
    return min(float(digits), 1e12)
