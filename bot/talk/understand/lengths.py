"""Heights and steps of a mower, in inches whatever they were told in."""

from __future__ import annotations

import re

from bot.talk.case import NumberTold
from bot.talk.understand.plain_words import Unclear, figures, number_of, plain
from rules.units import CM_PER_INCH, MM_PER_INCH

LOWEST_IN, HIGHEST_IN = 0.5, 8.0
SMALLEST_STEP_IN, LARGEST_STEP_IN = 0.1, 1.5

_INCHES_IN = {"i": 1.0, '"': 1.0, "'": 12.0, "f": 12.0, "c": 1 / CM_PER_INCH, "mm": 1 / MM_PER_INCH,
              "mi": 1 / MM_PER_INCH}  # fmt: skip
_MEASURE = re.compile(
    r"(?P<sign>(?:^|(?<=[\s(]))-\s?)?(?<![\d.])(?P<value>\d+(?:\.\d+)?|\.\d+)"
    r"(?:[ -]?(?P<unit>inch(?:es|s)?\b|ins?\b|\"|''|cms?\b|centimet(?:er|re)s?\b|mms?\b|millimet(?:er|re)s?\b|"
    r"f(?:oo|ee)?t\b|'))?"
)
_INCH_AND_PART = re.compile(r"(?:\b(\d{1,6}(?:\.\d+)?|an?) ?)?\binch(?:es)? and (?:an? )?(0\.\d+)\b")
_JOINT = re.compile(r" ?(?:-|to|or|and|/) ?")
_SETTING = re.compile(
    r"\b(?:setting|notch|level|position|hole|click|number|no\.|lever)s? ?#? ?\d\b"
    r"|\b\d{1,2} (?:notch(?:es)?|clicks?|holes?)\b"
    r"|\b(?:\d(?:st|nd|rd|th)|highest|lowest|top|bottom|middle|high|low|medium) (?:setting|notch|level|position|hole|"
    r"click)"
)
_UNIT_SAID = re.compile(r"\binch|\bins?\b|\din\b|\bcms?\b|\dcm\b|\bmm\b|\dmm\b|\"|''")
_BODY_MEASURE = re.compile(r"\b(?:fingers?|knuckles?|hands?|ankle|thumbs?|palm|shoe|boot)\b")


def inches_height(text: str, metric: bool) -> NumberTold | Unclear:
    """A height of grass or cut in inches, 0.5 to 8. A bare number is centimetres when `metric`."""
    said = plain(text)
    if _SETTING.search(figures(said)) and not _UNIT_SAID.search(said):
        return Unclear("setting", LOWEST_IN, HIGHEST_IN)
    if _BODY_MEASURE.search(said) and not _UNIT_SAID.search(said):
        return Unclear("no_number", LOWEST_IN, HIGHEST_IN)
    return _length(_SETTING.sub(" ", figures(said)), metric, LOWEST_IN, HIGHEST_IN)


def notch_step(text: str, metric: bool) -> NumberTold | Unclear:
    """How far one notch of the mower moves the blade, in inches, 0.1 to 1.5."""
    said = figures(plain(text))
    if not _SETTING.search(said):
        return _length(said, metric, SMALLEST_STEP_IN, LARGEST_STEP_IN)
    told = _length(_SETTING.sub(" ", said), metric, SMALLEST_STEP_IN, LARGEST_STEP_IN)
    is_only_a_setting = isinstance(told, Unclear) and told.reason in ("no_number", "empty")
    return Unclear("setting", SMALLEST_STEP_IN, LARGEST_STEP_IN) if is_only_a_setting else told


def _length(said: str, metric: bool, lowest_in: float, highest_in: float) -> NumberTold | Unclear:
    if not said:
        return Unclear("empty")
    told = _inches(said, metric, highest_in)
    if isinstance(told, Unclear):
        return Unclear(told.reason, lowest_in, highest_in)
    if told == 0:
        return Unclear("zero", lowest_in, highest_in)
    if told < lowest_in - 1e-6:
        return Unclear("negative" if told < 0 else "too_small", lowest_in, highest_in)
    if told > highest_in + 1e-6:
        return Unclear("too_big", lowest_in, highest_in)
    return NumberTold(value=round(told, 4))


def _inches(said: str, metric: bool, highest_in: float) -> float | Unclear:
    said = re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", figures(said))
    said = re.sub(r"(?<=\d) an?(?= (?:inch|cm|mm|foot|centi|milli))", "", said)
    said = _INCH_AND_PART.sub(lambda part: f"{_whole(part[1]) + float(part[2])} inches", said)
    said = re.sub(r"\b(?:an?|about an?) (?=inch\b|cm\b|foot\b)", "1 ", said)
    measures = list(_MEASURE.finditer(said))
    if not measures:
        return Unclear("no_number")
    if len(measures) == 1:
        return _in_inches(measures[0], measures[0]["unit"], metric, highest_in)
    first, second = measures[0], measures[1]
    if len(measures) > 2 or not _JOINT.fullmatch(said[first.end() : second.start()]):
        return Unclear("several_numbers")
    unit = second["unit"] or first["unit"]
    ends = [_in_inches(first, first["unit"] or unit, metric, highest_in), _in_inches(second, unit, metric, highest_in)]
    return sum(ends) / 2


def _whole(written: str | None) -> float:
    return float(written) if written and written[0].isdigit() else 1.0


def _in_inches(measure: re.Match[str], unit: str | None, metric: bool, highest_in: float) -> float:
    value = number_of(measure["value"]) * (-1 if measure["sign"] else 1)
    if unit:
        return value * (_INCHES_IN.get(unit[:2]) or _INCHES_IN.get(unit[:1], 1.0) if unit != "''" else 1.0)
    if not metric:
        return value
    in_cm = value / CM_PER_INCH
    return in_cm if in_cm <= highest_in else value / MM_PER_INCH  # 80 can only be millimetres


def snow_depth(text: str, metric: bool, highest_in: float) -> NumberTold | Unclear:
    """How deep snow lay, in inches, 0 to `highest_in`. "0" is an answer here."""
    told = _length(plain(text), metric, SMALLEST_STEP_IN, highest_in)
    return NumberTold(value=0.0) if isinstance(told, Unclear) and told.reason == "zero" else told
