"""Short messages: the same text in plain letters of the GSM alphabet, with its choices as numbers to type.

1. An entry may carry `.sms`, its short wording. An empty one leaves the paragraph out.
2. There are no pictures in a short message, and its text holds its progress and its choices.
3. Where the same cautions would be told twice running, the second time points back to the first.
4. What people and gazetteers wrote is folded to the alphabet, since one letter outside it more than halves the room.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Sequence
from functools import cache

from babel import Locale
from babel.lists import format_list

from bot.talk.messages import Text, Value, text

INLINE_AT_MOST = 4  # more choices stand on lines of their own, which reads better and costs no more

Frame = Callable[..., str]
"""Fills an entry of the catalogue by its key."""

_PLAIN = {
    "\u2018": "'", "\u2019": "'", "\u02bc": "'", "\u02bb": "'", "\u2032": "'", "`": "'", "\u00b4": "'",
    "\u201c": '"', "\u201d": '"', "\u201e": '"', "\u00ab": '"', "\u00bb": '"', "\u2033": '"',
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2212": "-", "\u2022": "-",
    "\u2044": "/", "\u00b0": "", "\u200d": "", "\ufe0f": "", "\t": " ",
}  # fmt: skip
_IS_PLAIN = re.compile(r"[ !-_a-~\n]*")  # printable ASCII but the backtick, which the alphabet lacks
_PLAIN_TABLE = str.maketrans(_PLAIN)
_EMOJI = re.compile("(?:^[\u2600-\u27bf\U0001f000-\U0001faff\ufe0f\u200d]+ ?| ?[\u2600-\u27bf\U0001f000-\U0001faff])")
_AFTER_DIGIT = re.compile("(?<=[0-9])[\u00bc-\u00be\u2150-\u215e\u2189]")  # a fraction: 3 and a half is not 31/2


def plain(written: str) -> str:
    """A text somebody wrote, in letters of the GSM alphabet: without accents it lacks, "?" for what has no like.

    Emoji beside words are left out: "the front ?" reads like a question.
    """
    if _IS_PLAIN.fullmatch(written):
        return written
    written = _AFTER_DIGIT.sub(r" \g<0>", unicodedata.normalize("NFC", written))
    without = _EMOJI.sub("", written)
    if any(letter.isalnum() for letter in without):
        written = without
    return "".join(_plain_letter(letter) for letter in written.translate(_PLAIN_TABLE))


def _plain_letter(letter: str) -> str:
    if letter in _alphabet():
        return letter
    parts = unicodedata.normalize("NFKD", letter).translate(_PLAIN_TABLE)
    known = "".join(part for part in parts if part in _alphabet())
    return known or ("" if unicodedata.combining(letter) else "?")


@cache
def _alphabet() -> frozenset[str]:
    """Every letter that costs one or two of the 160; loaded when a short message is first made."""
    from gsm0338 import Codec

    codes = [bytes([code]) for code in range(128) if code != _ESCAPE]
    codes += [bytes([_ESCAPE, code]) for code in _EXTENDED]
    return frozenset(Codec().decode(code)[0] for code in codes)


_ESCAPE = 27
_EXTENDED = (0x14, 0x28, 0x29, 0x2F, 0x3C, 0x3D, 0x3E, 0x40, 0x65)


def without_repeats(parts: Sequence[Text]) -> list[Text]:
    """The parts of a message; the very cautions told last before are only pointed back to."""
    last: Value | None = None
    short = []
    for part in parts:
        care = part.values.get("care") if part.key == _ITEM_WITH_CARE else None
        is_repeat = care is not None and care == last
        short.append(text(f"{_ITEM_WITH_CARE}-again", what=part.values["what"]) if is_repeat else part)
        last = care or last
    return short


_ITEM_WITH_CARE = "plan-item-care"


def choices_text(labels: Sequence[str], frame: Frame, locale: Locale, *, several: bool, numbered: bool) -> str:
    """The choices of a question as the last lines of its message; "" where there are none."""
    if not labels:
        return ""
    if not numbered:
        return frame("sms-choices-words", list=format_list(list(labels), style="or", locale=locale))
    lines = [frame("sms-choice", n=number, label=label) for number, label in enumerate(labels, start=1)]
    if several:
        return "\n".join((frame("sms-choices-several"), *lines))
    if len(lines) > INLINE_AT_MOST or any("," in label for label in labels):
        return "\n".join((frame("sms-choices-lines"), *lines))
    return frame("sms-choices", list=", ".join(lines))
