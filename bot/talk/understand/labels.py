"""What stands on a fertilizer bag, and doses somebody was told: "16-4-8, half slow release", "15 lbs of 16-4-8"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from bot.talk.case import LabelTold
from bot.talk.understand.plain_words import Unclear, figures, number_of, plain
from rules.units import KG_PER_LB

HEAVIEST_LB = 5000.0
_KILLS_WEEDS = re.compile(
    r"\bweed[ -]?(?:and|&|n|'n'?)[ -]?feed\b|\bweed ?(?:killer|control|preventer|stop\w*)\b"
    r"|\bcrab ?grass (?:preventer|killer|control|stop\w*)\b|\bpre-? ?emergen\w+\b|\bherbicides?\b|\batrazine\b"
)

_N = r"(\d{1,9}(?:\.\d{1,4})?)"
_ANALYSIS = re.compile(rf"(?<![\d.]){_N} ?(?:[-/:,.]| ) ?{_N} ?(?:[-/:,.]| ) ?{_N}(?![\d]|\.\d)")
_DASHED = re.compile(rf"(?<![\d.]){_N} ?[-/] ?{_N} ?[-/] ?{_N}(?![\d]|\.\d)")
_NUTRIENTS = (r"n|nitrogen", r"p|p2o5|phosph\w+", r"k|k2o|potash|potassium")
_NAME_FIRST = tuple(re.compile(rf"\b(?:{names}) ?(?:is |of |at |[:=] ?)?{_N}") for names in _NUTRIENTS)
_NUMBER_FIRST = tuple(re.compile(rf"(?<![\w.]){_N} ?%? ?(?:{names})\b") for names in _NUTRIENTS)
_SLOW = r"(?:slow(?:ly)?|controlled|timed)[ -]?(?:release\w*|available|acting|rel)?"
_SLOW_SHARE = re.compile(
    rf"{_N} ?(?:%|percent|per cent)? (?:of (?:the|its|that|all the|total)? ?(?:nitrogen|n)\b|"
    rf"nitrogen)[^.;]{{0,30}}?{_SLOW}"
    rf"|{_SLOW}[^.;]{{0,20}}?{_N} ?(?:%|percent|per cent)? of (?:the|its|total)? ?(?:nitrogen|n)\b"
)
_SLOW_PRODUCT = re.compile(
    rf"{_N} ?(?:%|percent|per cent)?[ -](?:is |are |as |of it |in )?{_SLOW}|{_SLOW}[^.;\d]{{0,25}}?{_N} ?(?:%|"
    rf"percent|per cent)?"
)
_FRACTIONS = {"half": 0.5, "third": 1 / 3, "quarter": 0.25, "two thirds": 2 / 3, "three quarters": 0.75, "all": 1.0,
              "most": 0.75, "fully": 1.0, "none": 0.0, "no": 0.0, "not": 0.0, "without": 0.0, "zero": 0.0}  # fmt: skip
_SLOW_WORDS = re.compile(
    rf"\b(two thirds|three quarters|half|third|quarter|all|fully|most|none|not|no|without|zero)\b"
    rf"(?: (?:of|a|any|the|it|is|that|in|nitrogen|n|its))* {_SLOW}"
)
_ALL_QUICK = re.compile(r"\b(?:all|only|just) (?:quick|fast|soluble)\b|\bquick[ -]?release only\b")


def label(text: str) -> LabelTold | Unclear:
    """A fertilizer analysis in percent, with the slow-release nitrogen as percent of the product if it was told."""
    said = plain(text)
    if not said:
        return Unclear("empty")
    if _KILLS_WEEDS.search(said):
        return Unclear("kills_weeds")
    return _label(said)


def _label(said: str) -> LabelTold | Unclear:
    counted = figures(said, parts=False)
    found = _analysis(counted)
    if found is None:
        return Unclear("three_numbers" if re.search(r"\d", counted) else "no_number")
    numbers, rest = found
    n, p, k = numbers
    if n + p + k > 100:
        return Unclear("analysis_over_100", 0, 100)
    if n + p + k == 0:
        return Unclear("analysis_zero", 0, 100)
    slow = _slow_percent(rest, said, n)
    if slow is not None and slow > n + 1e-9:
        return Unclear("slow_over_total", 0, n)
    return LabelTold(n_percent=n, p2o5_percent=p, k2o_percent=k, slow_n_percent=slow)


def _analysis(said: str) -> tuple[tuple[float, float, float], str] | None:
    """The three numbers, and the text without them; dashes and slashes before blanks."""
    match = _DASHED.search(said) or _ANALYSIS.search(said)
    if match:
        numbers = number_of(match[1]), number_of(match[2]), number_of(match[3])
        return numbers, f"{said[: match.start()]} , {said[match.end() :]}"
    first = re.search(r"\d|\b(?:n|nitrogen)\b", said)
    patterns = _NUMBER_FIRST if first and first[0].isdigit() else _NAME_FIRST
    values = [number_of(found[1]) for found in (pattern.search(said) for pattern in patterns) if found]
    return ((values[0], values[1], values[2]), said) if len(values) == 3 else None


def _slow_percent(rest: str, said: str, n_percent: float) -> float | None:
    """Slow-release nitrogen as percent of the product; None when nothing was said about it."""
    if not re.search(_SLOW, said):
        return 0.0 if _ALL_QUICK.search(said) else None
    share = _SLOW_SHARE.search(rest)
    if share:
        fraction = number_of(share[1] or share[2]) / 100
        return fraction * n_percent if fraction <= 1 else n_percent * 2
    product = _SLOW_PRODUCT.search(rest)
    if product:
        return number_of(product[1] or product[2])
    word = _SLOW_WORDS.search(said)
    return _FRACTIONS[word[1]] * n_percent if word else None


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseTold:
    """An amount of a product somebody named: in all, or for each 1,000 square feet."""

    product_lb: float
    label: LabelTold
    per_1000_sqft: bool = False
    kills_weeds: bool = False


_WEIGHT = re.compile(
    r"(?:(?<![\d.-])(?P<bags>\d{1,3}) (?:bags? of )?)?(?<![\d.-])(?P<amount>\d{1,6}(?:\.\d{1,4})?)[ -]?"
    r"(?P<unit>lbs?|pounds?|#|kgs?|kilos?|kilograms?|ounces?|oz)(?![a-z])"
)
_PER_1000 = re.compile(r"\b(?:per|for each|for every|each|every|a|to the|/) ?(?:1000|1 ?k|m)\b|/ ?(?:1000|1k)\b")
_LB_IN = {"l": 1.0, "p": 1.0, "#": 1.0, "k": 1 / KG_PER_LB, "o": 1 / 16}


def told_dose(text: str) -> DoseTold | None:
    """A dose such as "15 lbs of 16-4-8" or "a 40 lb bag of 10-10-10"; None when the text holds none."""
    said = figures(plain(text), parts=False)
    weight = _WEIGHT.search(said)
    if not weight:
        return None
    rest = f"{said[: weight.start()]} , {said[weight.end() :]}"
    analysis = _DASHED.search(rest)
    if not analysis:
        return None
    found = _label(rest[analysis.start() :])
    if isinstance(found, Unclear):
        return None
    bags = int(weight["bags"]) if weight["bags"] else _bags(rest)
    product_lb = bags * number_of(weight["amount"]) * _LB_IN[weight["unit"][0]]
    if not 0 < product_lb <= HEAVIEST_LB:
        return None
    return DoseTold(
        product_lb=product_lb,
        label=found,
        per_1000_sqft=bool(_PER_1000.search(rest)),
        kills_weeds=bool(_KILLS_WEEDS.search(said)),
    )


def _bags(rest: str) -> int:
    """ "Two bags, 40 lb each" """
    match = re.search(r"(?<![\d.-])(\d{1,2}) bags?\b", rest)
    return int(match[1]) if match else 1
