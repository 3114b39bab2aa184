"""Codes of states and counties, as alerts and the census write them.

A county has five digits: two of its state, three of its own. An alert names it as SAME `PSSCCC` (P: a part of the
county, which we take whole) or as UGC `SSCnnn` (two letters of the state, C for county). Forecast zones (`SSZnnn`) are
other areas than counties and need a table we have not: they are refused by name, so that somebody narrows the area.

State digits: ANSI INCITS 38-2009 as the US Census Bureau publishes them (public domain).
"""

from __future__ import annotations

import re

from bot.ops.regions.refused import ShapeRefused

STATE_DIGITS = {
    "AL": "01", "AK": "02", "AZ": "04", "AR": "05", "CA": "06", "CO": "08", "CT": "09", "DE": "10", "DC": "11",
    "FL": "12", "GA": "13", "HI": "15", "ID": "16", "IL": "17", "IN": "18", "IA": "19", "KS": "20", "KY": "21",
    "LA": "22", "ME": "23", "MD": "24", "MA": "25", "MI": "26", "MN": "27", "MS": "28", "MO": "29", "MT": "30",
    "NE": "31", "NV": "32", "NH": "33", "NJ": "34", "NM": "35", "NY": "36", "NC": "37", "ND": "38", "OH": "39",
    "OK": "40", "OR": "41", "PA": "42", "RI": "44", "SC": "45", "SD": "46", "TN": "47", "TX": "48", "UT": "49",
    "VT": "50", "VA": "51", "WA": "53", "WV": "54", "WI": "55", "WY": "56", "PR": "72", "VI": "78",
}  # fmt: skip
STATE_OF_DIGITS = {digits: letters for letters, digits in STATE_DIGITS.items()}

_SAME = re.compile(r"[0-9]{6}")
_UGC = re.compile(r"([A-Z]{2})([CZ])([0-9]{3}|ALL)")
_COUNTY = re.compile(r"[0-9]{5}")
_WHOLE_STATE = frozenset({"000", "ALL"})


def state_of_county(county: str) -> str:
    """The two letters of the state a five-digit county code lies in. Raises `ShapeRefused`."""
    if not _COUNTY.fullmatch(county) or county[2:] == "000":
        raise ShapeRefused("bad_county", f"{county!r} is no county code. It has five digits, like 13127.")
    return _state(county[:2], county)


def area_of_code(code: str) -> tuple[str, str]:
    """What one code of an alert means: ("county", "13127") or ("state", "GA").

    Parameters
    ----------
    code : str
        "SAME 013127" or "UGC GAC127".

    Raises
    ------
    ShapeRefused
        `zone_code`: a forecast zone; `bad_code`: not one of the two kinds; `unknown_state`; `whole_country`.
    """
    kind, _, value = code.partition(" ")
    if kind == "SAME" and _SAME.fullmatch(value):
        return _area_of_digits(value[1:], code)
    found = _UGC.fullmatch(value) if kind == "UGC" else None
    if found is None:
        raise ShapeRefused("bad_code", f"{code!r} is no code of a county. They look like SAME 013127 or UGC GAC127.")
    letters, area_kind, number = found.groups()
    if letters not in STATE_DIGITS:
        raise ShapeRefused("unknown_state", f"{code!r} names no state.")
    if number in _WHOLE_STATE:
        return "state", letters
    if area_kind == "Z":
        raise ShapeRefused("zone_code", f"{code!r} is a forecast zone, not a county. Pick counties or draw the area.")
    return "county", STATE_DIGITS[letters] + number


def _area_of_digits(digits: str, code: str) -> tuple[str, str]:
    if digits == "00000":
        raise ShapeRefused("whole_country", f"{code!r} means the whole country. Pick the states.")
    letters = _state(digits[:2], code)
    return ("state", letters) if digits[2:] in _WHOLE_STATE else ("county", digits)


def _state(digits: str, given: str) -> str:
    if digits not in STATE_OF_DIGITS:
        raise ShapeRefused("unknown_state", f"{given!r} begins with {digits!r}, which is no state.")
    return STATE_OF_DIGITS[digits]
