"""Names of the parts of a lawn, in the owner's words."""

from __future__ import annotations

import re

from bot.talk.case import NamesTold
from bot.talk.understand.plain_words import Unclear, cleaned

MOST_NAMES, LONGEST_NAME = 6, 30

_NAME_OPENINGS = re.compile(
    r"^(?:(?:the|a|an|my|our|just|only|also|then|maybe|i have|i've got|there's|there is|there are|we have|it's|its|"
    r"call it|call them|name it|name them|and|plus|one is|in)\b[: ]+)+",
    re.IGNORECASE,
)
_NO_NAMES = frozenset("the one just only all none no yes ones two three it same".split())
_NOT_A_PART = re.compile(  # what is said about a lawn, not what a part of it is called
    r"\b(?:everything|everywhere|nothing|kinda|kind of|sort of|sorta|mostly|maybe|perhaps|brown|dead|green|looks?|"
    r"looking|is|are|was|differs?|different|don'?t|not)\b"
    r"|^(?:\d+|two|three|four|a few|some|several) (?:spots?|parts?|areas?|places?)$"
)
_NOT_IN_NAMES = re.compile(r"[^\w\s'/-]|_")


def names(text: str) -> NamesTold | Unclear:
    """Names of the parts of a lawn, at most six, each at most 30 letters, in the owner's words."""
    said = cleaned(text)
    if not said:
        return Unclear("empty")
    found: dict[str, str] = {}
    for piece in re.split(r"[,;&+/]|\band\b|\bplus\b|\bthen\b", said, flags=re.IGNORECASE):
        name = _name(piece)
        if name:
            found.setdefault(name.casefold(), name)
    if not found:
        return Unclear("no_name", 1, MOST_NAMES)
    if len(found) > MOST_NAMES:
        return Unclear("too_many", 1, MOST_NAMES)
    if any(len(name) > LONGEST_NAME for name in found.values()):
        return Unclear("too_long", 1, LONGEST_NAME)
    return NamesTold(names=tuple(found.values()))


def _name(piece: str) -> str:
    words = " ".join(_NOT_IN_NAMES.sub(" ", piece).split())
    words = _NAME_OPENINGS.sub("", words).strip(" -/'")
    is_name = any(char.isalpha() for char in words) and words.casefold() not in _NO_NAMES
    return words if is_name and not _NOT_A_PART.search(words.casefold()) else ""
