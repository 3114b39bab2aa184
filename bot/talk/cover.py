"""The green that was measured on a photo, as the conversation keeps it. Small and plain: it stands in stored rows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rules.cover_reading import CoverReading


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverSeen:
    """One photo's green cover.

    percent, low, high : measured green, weeds and all, and where it lies 95 times in 100 [percent of the picture]
    is_range : straw and green run into each other, so only the range is told
    reason : why the photo cannot be read, a code with words in the catalogue; empty where it can
    weeds : what the owner said of the green (none, some, most, not_sure); empty until they were asked
    upload : the way it came; readings of two ways are not mixed in one trend
    dhash : to know the same picture by
    colour : the green in a word; empty with hardly any green, or where light may have made it
    """

    percent: float
    low: float
    high: float
    upload: str
    dhash: str
    is_range: bool = False
    reason: str = ""
    weeds: str = ""
    colour: str = ""


_PAPER = re.compile(r"\b(?:sheet|paper)\b", re.IGNORECASE)
_NO_PAPER = re.compile(r"\b(?:no|not|without|forgot|out of|\w+n['’]?t)\b[^.,;!?]*\b(?:sheet|paper)\b", re.IGNORECASE)
_WORD = re.compile(r"[^\W\d_]+")
_AROUND_PAPER = frozenset(
    "a an and at bottom corner did edge frame grass ground here i in is it its laid lawn left lies lower lying my of "
    "on paper photo pic picture piece plain put right s sheet side the there this top upper used white with yes".split()
)


def names_paper(words: str) -> bool:
    """Whether words beside a photo say that a sheet of paper lies in it."""
    return _PAPER.search(words) is not None and _NO_PAPER.search(words) is None


def names_only_paper(words: str) -> bool:
    """Whether words beside a photo say that and nothing else: then they are no answer to what is being asked."""
    return names_paper(words) and set(_WORD.findall(words.lower())) <= _AROUND_PAPER


def cover_seen(reading: CoverReading) -> CoverSeen:
    """A reading as the conversation keeps it."""
    return CoverSeen(
        percent=round(reading.green_percent, 1),
        low=round(reading.low, 1),
        high=round(reading.high, 1),
        upload=str(reading.upload),
        dhash=reading.dhash,
        is_range=reading.ambiguous,
        reason=str(reading.reason) if reading.reason is not None else "",
        colour=str(reading.colour) if reading.colour is not None and reading.is_colour_sure else "",
    )
