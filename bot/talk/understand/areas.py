"""Sizes of a lawn, however people put them together: "40 by 60", "30x20 + 10x15", "quarter acre", paced or not."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from math import pi

from bot.talk.case import AreaTold
from bot.talk.understand.plain_words import Unclear, figures, number_of, plain
from rules.facts.areas import LAWN_SQFT, PACE_FT
from rules.units import FEET_PER_METRE, SQFT_PER_ACRE, SQFT_PER_M2

SMALLEST_SQFT, LARGEST_SQFT = LAWN_SQFT.low, LAWN_SQFT.high
LONELY_BELOW_SQFT, LONELY_BELOW_M2 = 100.0, 10.0

_METRE = r"m(?:et(?:er|re)s?)?"
_TOKEN = re.compile(
    r"(?P<number>(?<![\d.])(?:\d+(?:\.\d+)?|\.\d+))(?P<kilo> ?k\b)?"
    rf"|(?P<area>\b(?:sq(?:uare)?s?\.? ?(?:f(?:oo|ee)?t\b|f\b|{_METRE}\b|y(?:ar)?ds?\b)\.?|sq\.? ?f?t?\b|sqm\b|sf\b|"
    rf"(?:f(?:oo|ee)?t|{_METRE}|y(?:ar)?ds?) ?(?:\^ ?2|2|squared)(?!\d)|acres?\b|ac\b|hectares?\b|ha\b))"
    rf"|(?P<length>(?<![a-z])(?:f(?:oo|ee)?t\b|{_METRE}\b|y(?:ar)?ds?\b|paces?\b|steps?\b|strides?\b|inch(?:es)?\b)"
    r"|'|\")"
    r"|(?P<by>(?<![a-z])(?:x|by|times)(?![a-z])|\*)"
    r"|(?P<plus>\+|\bplus\b|\band\b|&|,|;)"
    r"|(?P<minus>\b(?:minus|less|without|except|not counting)\b)"
    r"|(?P<range>-|\bto\b|\bor\b)"
    r"|(?P<shape>\b(?:circle|circular|round|across|diameter|radius|triang\w+|wide|width|long|length|deep|square)\b)"
)
_ACRE_AND_PART = re.compile(r"\bacres? and (?:an? )?(0?\.\d+)\b")
_SOME_OF_AN_ACRE = re.compile(
    r"\b(?:less|under|smaller|more|over|bigger|part|piece|bit|fraction|quite|almost|nearly) (?:than |of )?an acre\b"
)
_PACED = re.compile(r"\b(?:pac(?:e|es|ed|ing)|steps?|stepped|strides?|walked)\b")
_LONG_AND_WIDE = frozenset({"wide", "width", "long", "length", "deep"})


@dataclass(slots=True)
class _Piece:
    """One rectangle, circle or plain area, as it stands between plus and minus signs."""

    sign: int = 1
    numbers: list[tuple[float, str]] = field(default_factory=list)  # value and unit ("" when none was said)
    by: int = 0
    ranged: bool = False
    shapes: set[str] = field(default_factory=set)


def area(text: str, metric: bool, pace_ft: float = PACE_FT.value) -> AreaTold | Unclear:
    """A lawn's size in square feet, 4 sq ft to 5 acres. Bare numbers are in metres when `metric`, else in feet.

    `pace_ft` is the owner's pace. [ft]
    """
    said = plain(text)
    if not said:
        return Unclear("empty")
    paced = bool(_PACED.search(said))
    said = re.sub(r"(?<=\d),(?=\d\b)", ".", figures(said)) if metric else figures(said)
    if _SOME_OF_AN_ACRE.search(said):
        return Unclear("no_number", SMALLEST_SQFT, LARGEST_SQFT)
    said = said.partition("=")[0]  # "100 x 50 = 5000"
    said = _ACRE_AND_PART.sub(lambda match: f"{1 + float(match[1])} acres", said)
    if re.match(r"-\s?\d", said):
        return Unclear("negative", SMALLEST_SQFT, LARGEST_SQFT)
    default = "pace" if paced else "m" if metric else "ft"
    total = _total(_merge_sides(_pieces(said)), default, pace_ft)
    if isinstance(total, Unclear):
        return Unclear(total.reason, SMALLEST_SQFT, LARGEST_SQFT)
    if total < SMALLEST_SQFT:
        return Unclear("zero" if total == 0 else "negative" if total < 0 else "too_small", SMALLEST_SQFT, LARGEST_SQFT)
    if total > LARGEST_SQFT:
        return Unclear("too_big", SMALLEST_SQFT, LARGEST_SQFT)
    return AreaTold(area_sqft=round(total, 2), paced=paced)


def _pieces(said: str) -> list[_Piece]:
    pieces = [_Piece()]
    for token in _TOKEN.finditer(said):
        piece = pieces[-1]
        kind = token.lastgroup
        if token["number"]:
            piece.numbers.append((number_of(token["number"]) * (1000 if token["kilo"] else 1), ""))
        elif kind in ("area", "length"):
            _give_unit(piece, _unit(token[0]))
        elif kind == "by":
            piece.by += 1
        elif kind == "range":
            piece.ranged = piece.ranged or bool(piece.numbers)
        elif kind == "shape":
            piece.shapes.add(token[0])
        elif piece.numbers:
            pieces.append(_Piece(sign=-1 if kind == "minus" else 1))
        elif kind == "minus" and len(pieces) > 1:
            piece.sign = -1
    return [piece for piece in pieces if piece.numbers]


def _give_unit(piece: _Piece, unit: str) -> None:
    """A unit belongs to the number before it; inches after feet join them; "an acre" is one acre."""
    if not piece.numbers:
        if unit == "acre":
            piece.numbers.append((1.0, unit))
        return
    value, taken = piece.numbers[-1]
    if unit == "in" and not taken and len(piece.numbers) > 1 and piece.numbers[-2][1] == "ft":
        piece.numbers.pop()
        piece.numbers[-1] = (piece.numbers[-1][0] + value / 12, "ft")
    elif not taken:
        piece.numbers[-1] = (value, unit)


def _unit(written: str) -> str:
    written = written.replace(" ", "").replace(".", "")
    if written.startswith(("acre", "ac")):
        return "acre"
    if written.startswith("h"):
        return "ha"
    if written in ("sf", "sqf", "sq", "sqft", "sqt"):
        return "sqft"
    squared = written.startswith("sq") or written.endswith(("2", "squared"))
    bare = written.removeprefix("squares").removeprefix("square").removeprefix("sq")
    if bare.startswith(("pace", "step", "stride")):
        return "pace"
    name = "m" if bare.startswith("m") else "yd" if bare.startswith("y") else "in" if bare[:1] in ('"', "i") else "ft"
    return f"sq{name}" if squared else name


def _merge_sides(pieces: list[_Piece]) -> list[_Piece]:
    """ "60 ft long and 40 wide" is one rectangle, though an "and" stands between its sides."""
    words = set[str]().union(*(piece.shapes for piece in pieces))
    if len(pieces) == 2 and words & _LONG_AND_WIDE and all(len(piece.numbers) == 1 for piece in pieces):
        return [_Piece(numbers=pieces[0].numbers + pieces[1].numbers, by=1)]
    if len(pieces) == 1 and len(pieces[0].numbers) == 2 and words & _LONG_AND_WIDE:
        pieces[0].by = 1
    return pieces


def _total(pieces: list[_Piece], default: str, pace_ft: float) -> float | Unclear:
    if not pieces:
        return Unclear("no_number")
    total = 0.0
    for piece in pieces:
        size = _size(piece, default, pace_ft)
        if isinstance(size, Unclear):
            return size
        total += piece.sign * size
    return total


def _size(piece: _Piece, default: str, pace_ft: float) -> float | Unclear:
    """Square feet of one piece."""
    units = [unit for _, unit in piece.numbers]
    values = [value for value, _ in piece.numbers]
    plain_areas = any(unit in _SQFT_IN for unit in units)
    if piece.by or (len(values) == 2 and not piece.ranged and not plain_areas):
        return _rectangle(piece, default, pace_ft)
    if len(values) > 2 or (len(values) == 2 and not piece.ranged):
        return Unclear("several_numbers")
    unit = units[-1] or units[0]
    if plain_areas:
        return sum(values) / len(values) * _SQFT_IN[unit if unit in _SQFT_IN else units[0]]
    if len(values) == 1 and piece.shapes - _LONG_AND_WIDE:
        return _round_or_square(piece.shapes, values[0] * _feet(unit or default, pace_ft))
    if unit or default == "pace":
        return Unclear("one_side")
    if len(values) == 1 and 0 < values[0] < (LONELY_BELOW_M2 if default == "m" else LONELY_BELOW_SQFT):
        return Unclear("one_side")  # "40" is rather a side than a lawn of 40 square feet
    return sum(values) / len(values) * (SQFT_PER_M2 if default == "m" else 1.0)


def _rectangle(piece: _Piece, default: str, pace_ft: float) -> float | Unclear:
    if len(piece.numbers) != 2 or piece.by > 1:
        return Unclear("three_sides" if len(piece.numbers) > 2 else "one_side")
    if not piece.by:
        return Unclear("several_numbers")
    (first, first_unit), (second, second_unit) = piece.numbers
    first_unit, second_unit = (unit.removeprefix("sq") for unit in (first_unit, second_unit))
    if {first_unit, second_unit} & {"acre", "ha"}:
        return Unclear("several_numbers")
    shared = second_unit or first_unit or default
    sides = first * _feet(first_unit or shared, pace_ft), second * _feet(second_unit or shared, pace_ft)
    halved = 0.5 if any(shape.startswith("triang") for shape in piece.shapes) else 1.0
    return sides[0] * sides[1] * halved


def _round_or_square(shapes: set[str], length_ft: float) -> float | Unclear:
    if "radius" in shapes:
        return pi * length_ft**2
    if shapes & {"circle", "circular", "round", "across", "diameter"}:
        return pi / 4 * length_ft**2
    return length_ft**2 if "square" in shapes else Unclear("one_side")


def _feet(unit: str, pace_ft: float) -> float:
    return {"ft": 1.0, "m": FEET_PER_METRE, "yd": 3.0, "in": 1 / 12, "pace": pace_ft}[unit]


_SQFT_IN = {"sqft": 1.0, "sqm": SQFT_PER_M2, "sqyd": 9.0, "acre": SQFT_PER_ACRE, "ha": 10_000 * SQFT_PER_M2}
