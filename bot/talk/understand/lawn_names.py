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
# "By the mailbox" is the mailbox's part; "under the oak" is not the oak's, so that it stays and gets a noun
_BESIDE = re.compile(
    r"^(?:right |up |over |down |out )?(?:by|near|along|at|on|beside|next to|close to|alongside|toward|towards)\b"
    r"(?: (?:the|a|an|my|our)\b)? *",
    re.IGNORECASE,
)
_KEPT_PLACE = re.compile(
    r"^(?:under|underneath|beneath|below|above|behind|between|across|around|outside|inside|beyond|past|opposite|off)"
    r"\b(?= \S)",
    re.IGNORECASE,
)
_NO_NAMES = frozenset("the one just only all none no yes ones two three it same me itself here there".split())
_ONLY_AN_AMOUNT = re.compile(  # "does one part look different?" - "a bit"
    r"(?:(?:just|only|maybe|yes|yeah|yep|well|quite|very|a|an|the whole|whole|tiny|small|little) )*"
    r"(?:bit|little|lot|lots|some|somewhat|sometimes|slightly|few|several|tad|most|much|many|more|less|really|kinda|sorta)"
    r"(?: of (?:it|them|the lawn))?",
    re.IGNORECASE,
)
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
    if _ONLY_AN_AMOUNT.fullmatch(words):
        return ""
    words = _placed(_NAME_OPENINGS.sub("", words)).strip(" -/'")
    is_name = any(char.isalpha() for char in words) and words.casefold() not in _NO_NAMES
    return words if is_name and not _NOT_A_PART.search(words.casefold()) else ""


def _placed(words: str) -> str:
    """A name that reads well after "the": "by the mailbox" -> "mailbox", "under the oak" -> "part under the oak"."""
    words = _BESIDE.sub("", words)
    kept = _KEPT_PLACE.match(words)
    return f"part {kept[0].lower()}{words[kept.end() :]}" if kept else words
