"""Our own words turned into letters of the GSM alphabet, where a plain equivalent says the same.

1. One letter outside the alphabet more than halves the room, so typographic signs, accents the alphabet lacks and emoji
   are worth folding.
2. What has no equivalent stays: a name in another script is never lost, and the text is UCS-2 then.
3. Folding twice is folding once.
"""

from __future__ import annotations

import re
import unicodedata

from bot.channels.sms.alphabet import is_gsm

_SIGNS = {
    "‘": "'", "’": "'", "‚": "'", "‛": "'", "ʼ": "'", "ʻ": "'", "′": "'", "‹": "'", "›": "'", "`": "'", "´": "'",
    "“": '"', "”": '"', "„": '"', "‟": '"', "«": '"', "»": '"', "″": '"',
    "\u2010": "-", "\u2011": "-", "\u2012": "-", "\u2013": "-", "\u2014": "-", "\u2015": "-", "\u2212": "-",
    "•": "-", "‣": "-", "◦": "-", "▪": "-", "●": "-", "⁃": "-", "∙": "-", "·": "-",
    "…": "...", "\u2044": "/", "÷": "/", "×": "x", "±": "+/-", "≤": "<=", "≥": ">=", "≠": "!=", "≈": "~",
    "→": "->", "←": "<-", "©": "(c)", "®": "(R)", "ç": "c",
    "œ": "oe", "Œ": "OE", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ð": "d", "Ð": "D", "þ": "th", "Þ": "Th", "ı": "i",
    "\t": " ", "\u2028": "\n", "\u2029": "\n",
}  # fmt: skip
_SIGN_TABLE = str.maketrans({**_SIGNS})
_EMOJI = "[\u2300-\u23ff\u2600-\u27bf\u2b00-\u2bff\U0001f000-\U0001faff\U000e0020-\U000e007f]"
_EMOJI_RUN = re.compile(rf"(?:(?<!\S){_EMOJI}[{_EMOJI[1:-1]}\u200d\ufe0f]* |[ ]?{_EMOJI}[{_EMOJI[1:-1]}\u200d\ufe0f]*)")
_NO_LETTER = re.compile("[\x00-\x08\x0b\x0e-\x1f\x7f\u00ad\u200b\u2060\ufe0e\ufe0f\ufeff\u20e3]")
_DEGREES_OF = re.compile(r"[ \u00a0\u202f]?°[ \u00a0\u202f]?(?=[FC]\b)")
_DEGREES = re.compile(r"[ \u00a0\u202f]?°")
_ACCENTS = re.compile("[\u0300-\u0333\u0339-\u036f]")
"""Combining accents, without the strokes through a sign: those turn its meaning around."""


def gsm_text(text: str) -> str:
    """A text in GSM letters as far as they say the same."""
    if is_gsm(text):
        return text
    text = _NO_LETTER.sub("", _EMOJI_RUN.sub("", text).replace("℉", "°F").replace("℃", "°C"))
    text = _DEGREES.sub(" degrees", _DEGREES_OF.sub(" ", text))
    folded = ""
    for letter, accents in _clusters(unicodedata.normalize("NFC", text)):
        folded += _folded(letter, accents, after=folded[-1:])
    return folded


def _clusters(text: str) -> list[tuple[str, str]]:
    """Letters with the combining marks that follow them."""
    clusters: list[tuple[str, str]] = []
    for letter in text:
        if clusters and unicodedata.combining(letter):
            clusters[-1] = (clusters[-1][0], clusters[-1][1] + letter)
        else:
            clusters.append((letter, ""))
    return clusters


def _folded(letter: str, accents: str, *, after: str) -> str:
    plain = _plain(letter)
    if plain is None:
        return letter + accents
    if after.isdigit() and plain[0].isdigit() and not letter.isdecimal():
        plain = (" " if letter.isnumeric() and not letter.isdigit() else "^") + plain  # 3½ and 10² are not 31/2 and 102
    return plain + _ACCENTS.sub("", accents)


def _plain(letter: str) -> str | None:
    """The letter, or what says the same in letters of the alphabet; None where nothing does."""
    if is_gsm(letter):
        return letter
    if letter in _SIGNS:
        return _SIGNS[letter]
    parts = unicodedata.normalize("NFKD", letter).translate(_SIGN_TABLE)
    known = _ACCENTS.sub("", parts)
    if not known.strip() and not letter.isspace():  # an accent that stands alone
        return None
    return known if is_gsm(known) else None
