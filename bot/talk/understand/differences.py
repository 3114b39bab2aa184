"""A temperature told as a difference ("3 degrees colder than that"), or beside another one's ("14 there, 9 here")."""

from __future__ import annotations

import re

_NUMBER = r"(?P<n>\d{1,2}(?:\.\d)?)"
_DEGREES = r"(?:\s*(?:°|degrees?|deg)\s*(?P<unit>[fc]\b)?)?"
# "5 below" is five below zero, and "14 more or less" is 14: such words count only with what they are measured from.
_FROM = r"(?: (?:that|it|this|yours|the station|the airport))"
_COLDER = rf"colder|cooler|lower|(?:below|under|less than){_FROM}"
_WARMER = rf"warmer|milder|higher|hotter|(?:above|over|more than){_FROM}"
_AFTER = re.compile(rf"{_NUMBER}{_DEGREES}\s*(?P<way>{_COLDER}|{_WARMER})\b", re.IGNORECASE)
_BEFORE = re.compile(
    rf"\b(?P<way>colder|cooler|lower|warmer|milder|higher)\s+by\s+(?:about\s+|maybe\s+)?{_NUMBER}{_DEGREES}",
    re.IGNORECASE,
)
_HERE = re.compile(
    r"(?P<own>-?\d{1,3}(?:\.\d+)?\s*°?\s*[fc]?)\s+(?:(?:degrees?|deg)\s+)?"
    r"(?:here|at (?:my|our) (?:house|place|home|yard)|in (?:my|our) (?:yard|garden|lawn)|on (?:my|our|mine)\b)",
    re.IGNORECASE,
)


def difference_dc(said: str, *, metric: bool) -> float | None:
    """How much colder (negative) or warmer, where that is what was said; None where no difference was told. [degC]"""
    found = _AFTER.search(said) or _BEFORE.search(said)
    if found is None:
        return None
    is_celsius = found["unit"].lower() == "c" if found["unit"] else metric
    size_dc = float(found["n"]) / (1 if is_celsius else 1.8)
    return -size_dc if re.fullmatch(_COLDER, found["way"], re.IGNORECASE) else size_dc


def own_part(said: str) -> str:
    """The part about the owner's own place, where it stands beside another one's; else all of it."""
    found = _HERE.search(said)
    return found["own"] if found else said
