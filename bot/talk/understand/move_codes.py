"""Codes with which a homeowner moves to another chat: what they look like, and when typed words are one.

1. Nothing in a code looks like anything else in it: no 0, 1, I or O, and no S, Z or B beside 5, 2 and 8. No vowels, so
   that no word is a code. At least two digits and four different letters, so that no measure is one ("24ft-38ft").
2. After "move" a slip is still a code, and nobody knows it: better than taking it for an answer. By itself only what
   looks exactly like one is taken for one.
"""

from __future__ import annotations

import re

from bot.talk.understand.plain_words import plain

DIGITS = "23456789"
LETTERS = "CDFGHJKLMNPQRTVWX"
ALPHABET = DIGITS + LETTERS
LENGTH = 8
FEWEST_DIGITS, FEWEST_LETTERS = 2, 4

_LONGEST = 60
_MEANT = str.maketrans("SZB", "528")
_SYMBOL = f"[{ALPHABET}SZB]".lower()
_BARE = re.compile(rf"([{ALPHABET}]{{4}})-?([{ALPHABET}]{{4}})".lower())
_AFTER_MOVE = re.compile(
    r"/?(?:please )?(?:move|(?:my |the )?(?:move |moving )?code)(?:@\w{1,40})?(?: (?:my |the |with )?code)?(?: is)?"
    r"[ :=,#\"'<(*_-]+"
    rf"({_SYMBOL}{{7,9}}|{_SYMBOL}{{3,5}} ?[ .-] ?{_SYMBOL}{{3,5}}|{_SYMBOL}(?: {_SYMBOL}){{7}})"
)
_AROUND = " \"'<>()*_.,!`"
_NOT_ME = re.compile(
    r"(?:no,? )?(?:(?:it|this|that)(?: was|'?s| is)? not me|(?:(?:it|this|that) )?(?:wasn'?t|isn'?t) me|not me|notme)"
)


def move_code(text: str) -> str | None:
    """The code a whole message is, in capitals without its dash; None for anything else. It may be a wrong one."""
    if len(text) > _LONGEST:
        return None
    said = plain(text).strip(_AROUND)
    bare = _BARE.fullmatch(said)
    if bare:
        code = (bare[1] + bare[2]).upper()
        return code if is_sound(code) else None
    after = _AFTER_MOVE.fullmatch(said)
    if after is None:
        return None
    code = re.sub("[ .-]", "", after[1]).upper().translate(_MEANT)
    return code if any(each in DIGITS for each in code) and _has_letters(code) else None


def is_sound(code: str) -> bool:
    """Whether a code may be given out: long enough, and mixed enough not to be anything else."""
    digits = sum(each in DIGITS for each in code)
    return len(code) == LENGTH and set(code) <= set(ALPHABET) and digits >= FEWEST_DIGITS and _has_letters(code)


def shown(code: str) -> str:
    """A code as it is told: two halves, which are easier to copy."""
    return f"{code[: LENGTH // 2]}-{code[LENGTH // 2 :]}"


def is_not_me(text: str) -> bool:
    """Whether somebody says that a move was none of theirs."""
    return len(text) <= _LONGEST and _NOT_ME.fullmatch(plain(text).strip(_AROUND)) is not None


def _has_letters(code: str) -> bool:
    return len(set(code) & set(LETTERS)) >= FEWEST_LETTERS
