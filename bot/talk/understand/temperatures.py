"""How cold it was, as people say it: "17", "-8 C", "mid teens", "between 12 and 15", "5 below"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import islice

from bot.talk.case import TemperatureTold
from bot.talk.understand.dates import WEEKDAY
from bot.talk.understand.plain_words import Unclear, figures, number_of, plain
from rules.units import c_to_f, f_to_c

LOWEST_F, HIGHEST_F = -60.0, 45.0
WARMEST_FREEZE_C = 2.0  # warmer is no freeze anybody means; what is too mild to hurt is for `rules` to say
EXACT_SD_DC, ABOUT_SD_DC, DECADE_SD_DC, PART_OF_DECADE_SD_DC, VAGUE_SD_DC = 1.0, 1.5, 2.0, 1.2, 3.0
RANGE_SD_DC, RANGE_SD_SHARE = 0.75, 0.25  # spread of "15 to 18": a floor and a quarter of the width
CLOSE_DEGREES = 6.0  # "17, maybe 18": two figures this near are one stretch
WIDEST_RANGE_DC = 25.0  # "10 to 60" is no answer to how cold it was
BEYOND_DF = 3.0  # "below 20" is taken as about this much below

_SPELLINGS = (
    (re.compile(r"\b(?:minus|negative|neg)\b ?"), "-"),
    (re.compile(r"\bfar+enh?e?[iy]?g?ht\b|\bfahrenh?e?i?ght\b|\bfarenheit\b"), "fahrenheit"),
    (re.compile(r"\bcel[sc]i?u?[sc]\b|\bcentigrade\b"), "celsius"),
)
_MONTH_DAY = (
    r"\b(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.? \d{1,2}"
    r"(?:st|nd|rd|th)?\b"
)
_NOT_TEMPERATURES = re.compile(
    r"\b\d{1,2}(?::\d\d)? ?(?:[ap]\.?m\b\.?|o'?clock)"
    r"|\b\d{1,3}(?:\.\d+)?[ -]?(?:hours?|hrs?|nights?|days?|weeks?|minutes?|mins?|years?|months?|inch(?:es)?|feet|ft|"
    r"miles?|percent|mph)\b"
    r"|\b\d{1,3}(?:\.\d+)? ?%"
    rf"|{_MONTH_DAY}(?:,? \d{{4}}\b)?"
    r"|\b\d{1,2}(?:st|nd|rd|th)\b|\b\d{1,2}/\d{1,2}/\d{2,4}\b"
)
_FELT = r"\b(?:wind ?chills?|feels?[ -]like|felt[ -]like|real ?feel)\b"
_FELT_DEGREES = (
    r"-?(?:\d{1,3}(?:\.\d)?(?: ?(?:-|to) ?-?\d{1,3})?(?: ?°)?(?: ?[fc]\b)?|single[ -]?digits?\b|teens\b|\d0 ?'?s\b)"
)
# The number before "wind chill" is what skin felt, unless one follows without a pause: "17 with wind chill of 5"
_WIND_CHILL = re.compile(
    r"-?\b\d{1,3}(?: ?°)?(?: ?[fc])?(?: degrees?)? (?:with (?:an? |the )?|in )?wind ?chills?\b"
    r"(?! ?(?:(?:(?:was|is|were|of|at|near|around|about|down|to|like|it|that|made|feels?|felt)\b|[:=(~]) ?){0,5}-?\d)"
    rf"|{_FELT}[^\d-]{{0,20}}?{_FELT_DEGREES}"
)
_SOMETHING = re.compile(r"(?<![\d.])\b([1-4]0)[ -]?(?:some ?thin[g']?|some)\b(?! ?\d)")
_SPELLED_ISH = re.compile(r"\b(twenty|thirty|forty)[ -]?ish\b")
_TENS = {"twenty": "20s", "thirty": "30s", "forty": "40s"}
# Nights told one by one: the coldest of them counts, where "15 or 17" is one night told with a margin
_NIGHT = re.compile(
    rf"(?:\bon )?{WEEKDAY}(?: night| morning)?"
    rf"|(?:\bon )?{_MONTH_DAY}|\b(?:on )?(?:the )?\d{{1,2}}(?:st|nd|rd|th)\b(?! (?:night|day|morning|one))"
    r"|\b(?:one|1) (?:night|day|morning)\b"
    r"|\b(?:the )?(?:first|second|third|1st|2nd|3rd|last|other) (?:night|day|morning|one)\b"
    r"|\b(?:the )?(?:night|day) before(?: last| that)?\b|\bthe (?:first|second|third|other)\b|\byesterday\b"
    r"|(?P<next>\b(?:the )?(?:(?:next|following)(?! to\b)(?: (?:night|day|morning|one))?|(?:night|day) after)\b)"
)
_PART = r"(lower|low|lo|mid|middle|higher|high|hi|upper)"
_DECADE = re.compile(
    rf"(?P<minus>- ?)?(?:\b{_PART}(?:[ -]*(?:to|-|or|/)?[ -]*{_PART})?[ -]*)?"
    r"(?<![\d.])(?P<decade>\b(?:single[ -]?digits?|teens?|twenties|thirties|forties)|[1234]0 ?'?s)\b(?P<below> below)?"
)
_DECADES = {"s": 0, "te": 10, "10": 10, "tw": 20, "20": 20, "th": 30, "30": 30, "fo": 40, "40": 40}
_PARTS = {"l": (1.0, 3.5), "m": (4.0, 6.0), "h": (7.0, 9.0), "u": (7.0, 9.0)}
_BELOW = re.compile(
    r"(?<![\d.])(?P<by>\d{1,3}(?:\.\d+)?) ?(?:°|degrees?|deg)? ?(?P<unit>fahrenheit|celsius|[fc])?\b ?"
    r"(?:below|under)(?: (?P<mark>0|freezing))?(?![\w.]| ?\d)"
)
_BEYOND = re.compile(r"\b(?P<side>below|under|less than|lower than|colder than|above|over|more than|warmer than)\b")
_ABOUT = re.compile(
    r"\b(?:about|around|roughly|approx\w*|maybe|perhaps|probably|near|nearly|almost|like|think|guess\w*|or so|"
    r"close to)\b"
    r"|~|\dish\b|-ish\b|\bish\b"
)
_TOKEN = re.compile(
    r"(?P<value>\d+(?:\.\d+)?|\.\d+)(?P<mark> ?(?:°|degrees?\b|deg\b))?(?: ?(?P<unit>fahrenheit|celsius|"
    r"[fc])(?![a-z]))?"
    r"|(?P<dash>-)|(?P<joint>\b(?:to|and|or|thru|through)\b|/)|(?P<other>[^\s\d.,-]+)"
)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One number or range in the text, lowest first, with its unit letter ("" when none) and whether it was marked."""

    low: float
    high: float
    unit: str
    marked: bool


def temperature(text: str, metric: bool) -> TemperatureTold | Unclear:
    """How cold it got. A bare number is in Celsius when `metric`, else in Fahrenheit."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    said = figures(_SPELLED_ISH.sub(lambda match: _TENS[match[1]], said), parts=False)
    said = _SOMETHING.sub(r"\1s", said)
    if metric:
        said = re.sub(r"(?<=\d),(?=\d\b)", ".", said)
    for pattern, usual in _SPELLINGS:
        said = pattern.sub(usual, said)
    said, by_night = _night_by_night(said)
    said = re.sub(r"\babove 0\b", " ", _NOT_TEMPERATURES.sub(" ", said))
    if _WIND_CHILL.search(said):
        said = _WIND_CHILL.sub(" ", said)
        if not re.search(r"\d", said) and not _DECADE.search(said):
            return Unclear("wind_chill")
    celsius = _speaks_celsius(said, metric)
    return _vague(said, celsius, by_night) or _measured(said, celsius, by_night)


def _night_by_night(said: str) -> tuple[str, bool]:
    """The text with a mark for each night named, and whether it names more than one."""
    nights = list(islice(_NIGHT.finditer(said), 10))
    is_several = len(nights) > 1 or any(night["next"] for night in nights)
    return (_NIGHT.sub(" @ ", said), True) if is_several else (said, False)


def _speaks_celsius(said: str, metric: bool) -> bool:
    if re.search(r"\bfahrenheit\b|\d ?°? ?f\b|° ?f\b", said):
        return False
    return metric or bool(re.search(r"\bcelsius\b|\d ?°? ?c\b|° ?c\b", said))


def _vague(said: str, celsius: bool, by_night: bool) -> TemperatureTold | Unclear | None:
    """Decades, "N below", "below zero", "below freezing"."""
    decades = list(islice(_DECADE.finditer(said), 3))
    if decades:
        return _decades([min(decades, key=_decade)] if by_night else decades, celsius)
    below = _BELOW.search(said)
    if below:
        size = float(below["by"])
        unit_c = celsius if not below["unit"] else below["unit"].startswith("c")
        if below["mark"] == "freezing":
            return _told(-size if unit_c else f_to_c(32.0 - size), EXACT_SD_DC)
        return _told(-size if unit_c else f_to_c(-size), EXACT_SD_DC)
    if re.search(r"\b(?:below|under) (?:0|freezing)\b", said):
        freezing = "freezing" in said or celsius
        return _told(-3.0 if freezing else f_to_c(-5.0), VAGUE_SD_DC)
    return None


def _decades(matches: list[re.Match[str]], celsius: bool) -> TemperatureTold | Unclear:
    """One decade, or the stretch between two ("high 20s to low 30s")."""
    bounds = [bound for match in matches[:2] for bound in _decade(match)]
    if len(matches) > 2:
        return Unclear("several_numbers")
    middle = (min(bounds) + max(bounds)) / 2
    parts = [part for part in matches[0].group(2, 3) if part]
    spread = PART_OF_DECADE_SD_DC if len(parts) == 1 and len(matches) == 1 else DECADE_SD_DC
    return _told(middle if celsius else f_to_c(middle), spread)


def _decade(match: re.Match[str]) -> tuple[float, float]:
    """Lowest and highest degree meant."""
    name = match["decade"]
    start = float(_DECADES["s" if name.startswith("s") else name[:2]])
    parts = [_PARTS[part[0]] for part in match.group(2, 3) if part]
    low = start + (parts[0][0] if parts else (3.0 if start == 10 else 1.0))
    high = start + (parts[-1][1] if parts else 9.0)
    return (-high, -low) if match["minus"] or match["below"] else (low, high)


def _measured(said: str, celsius: bool, by_night: bool) -> TemperatureTold | Unclear:
    readings = _readings(said)
    if by_night and len(readings) > 1:
        readings = [min(readings, key=lambda reading: _from_reading(reading, celsius))]
    if len(readings) == 2 and readings[0].unit == readings[1].unit == "":
        apart = max(reading.high for reading in readings) - min(reading.low for reading in readings)
        readings = [_range(readings[0], readings[1], by_dash=False)] if apart <= CLOSE_DEGREES else readings
    marked = [reading for reading in readings if reading.marked]
    if marked:
        told = min((_from_reading(reading, celsius) for reading in marked), key=lambda pair: pair[0])
    elif len(readings) == 1:
        told = _from_reading(readings[0], celsius)
    else:
        return Unclear("several_numbers" if readings else "no_number")
    mean_c, width_dc = told
    if width_dc > WIDEST_RANGE_DC:
        return Unclear("several_numbers")
    beyond = _BEYOND.search(said)
    if beyond:
        side = 1 if beyond["side"] in ("above", "over", "more than", "warmer than") else -1
        return _told(mean_c + side * BEYOND_DF / 1.8, DECADE_SD_DC)
    about = ABOUT_SD_DC if _ABOUT.search(said) else EXACT_SD_DC
    return _told(mean_c, max(about, RANGE_SD_DC + RANGE_SD_SHARE * width_dc) if width_dc else about)


def _from_reading(reading: _Reading, celsius: bool) -> tuple[float, float]:
    """Middle and width of a reading. [degC], Celsius degrees"""
    in_celsius = celsius if not reading.unit else reading.unit == "c"
    low, high = (reading.low, reading.high) if in_celsius else (f_to_c(reading.low), f_to_c(reading.high))
    return (low + high) / 2, high - low


def _readings(said: str) -> list[_Reading]:
    """Numbers and ranges in reading order. A dash after a number joins it to the next, elsewhere it is a minus."""
    found: list[_Reading] = []
    minus = joined = after_number = False
    for token in _TOKEN.finditer(said):
        if token["dash"]:
            minus, joined = not after_number or joined, after_number or joined
        elif token["joint"]:
            joined, minus, after_number = after_number, False, False
            continue
        elif token["value"]:
            value = number_of(token["value"])
            single = _Reading(-value if minus else value, -value if minus else value, (token["unit"] or "")[:1],
                              bool(token["mark"] or token["unit"]))  # fmt: skip
            if joined and found:
                found[-1] = _range(found[-1], single, said[: token.start()].rstrip().endswith("-"))
            else:
                found.append(single)
            minus = joined = False
            after_number = True
            continue
        else:
            minus = joined = False
        after_number = False
    return found


def _range(first: _Reading, second: _Reading, by_dash: bool) -> _Reading:
    """Two readings as one range; "-5-8" means minus five to minus eight."""
    value = second.high
    if by_dash and first.low < 0 < value and abs(value) > abs(first.low):
        value = -value
    low, high = sorted((first.low, value))
    return _Reading(low, high, second.unit or first.unit, first.marked or second.marked)


def _told(mean_c: float, sd_dc: float) -> TemperatureTold | Unclear:
    lowest_c, highest_c = f_to_c(LOWEST_F), f_to_c(HIGHEST_F)
    if c_to_f(mean_c) < LOWEST_F - 1e-9:
        return Unclear("too_small", lowest_c, highest_c)
    if c_to_f(mean_c) > HIGHEST_F + 1e-9:
        return Unclear("too_big", lowest_c, highest_c)
    if mean_c > WARMEST_FREEZE_C:
        return Unclear("not_freezing", lowest_c, WARMEST_FREEZE_C)
    return TemperatureTold(mean_c=mean_c, sd_dc=sd_dc)
