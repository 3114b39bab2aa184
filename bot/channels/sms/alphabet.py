"""The letters of text messages as octets: the GSM 7-bit default alphabet with its extension table (3GPP TS 23.038), and
UCS-2.

1. A letter of the extension table is an escape and a second code. The escape by itself is no letter.
2. GSM codes are given unpacked, one in an octet, as gateways take them.
3. Reading loses nothing: halves of pairs that a sender cut apart are kept until the parts are joined.
"""

from __future__ import annotations

import unicodedata
from enum import Enum
from functools import cache

_ESCAPE = 0x1B
_LATIN_1_FROM = 0x80


class Encoding(Enum):
    """How the letters of a text message travel."""

    GSM = "GSM-7"
    UCS2 = "UCS-2"


def is_gsm(text: str) -> bool:
    """Whether every letter stands in the GSM alphabet or its extension."""
    codes = gsm_codes()
    return all(letter in codes for letter in text)


def encode(text: str, encoding: Encoding) -> bytes:
    """A text as octets: GSM codes unpacked, one in an octet, or UTF-16 with the high octet first."""
    if encoding is Encoding.UCS2:
        return text.encode("utf-16-be", "surrogatepass")
    codes = gsm_codes()
    return b"".join(codes[letter] for letter in text)


def decode_gsm(octets: bytes) -> str:
    """Unpacked GSM codes as text.

    An escape before a code without a meaning of its own shows the basic letter, as the standard says. One at the very
    end stays, since its other half may be in the next part (see `mended`). Octets no GSM code can have are Latin-1,
    which is what senders that give them mean.
    """
    if any(octet >= _LATIN_1_FROM for octet in octets):
        return octets.decode("latin-1")
    letters = _letters()
    return _escaped("".join(letters[bytes([octet])] for octet in octets))


def decode_ucs2(octets: bytes) -> str:
    """UTF-16 units as text. Half a surrogate pair stays half: the other may be in the next part (see `mended`)."""
    whole = octets[: len(octets) // 2 * 2]
    return whole.decode("utf-16-be", "surrogatepass")


def mended(text: str) -> str:
    """A text joined of parts: pairs that were cut apart are one letter again, halves left over become a sign for that.

    We never cut pairs; some senders do.
    """
    return _escaped(text).replace(chr(_ESCAPE), " ").encode("utf-16-be", "surrogatepass").decode("utf-16-be", "replace")


def _escaped(text: str) -> str:
    """Escapes taken together with the letter after them; one at the end stays."""
    if chr(_ESCAPE) not in text:
        return text
    first, *rest = text.split(chr(_ESCAPE))
    *inner, last = rest
    tail = _extended(last) if last else chr(_ESCAPE)
    return first + "".join(_extended(piece) if piece else " " for piece in inner) + tail


def _extended(piece: str) -> str:
    """What followed an escape, its first letter read from the extension table."""
    code = gsm_codes().get(piece[0], b"")
    return _letters().get(bytes([_ESCAPE]) + code, piece[0]) + piece[1:]


# --- the alphabet ----------------------------------------------------------------------------------------------------


@cache
def _letters() -> dict[bytes, str]:
    """Every code of the alphabet with its letter; the escape is kept as itself, for halves of pairs."""
    from gsm0338.charset import BASIC_CHARACTER_SET, BASIC_CHARACTER_SET_EXTENSION

    basic = {bytes([code]): unicodedata.lookup(name) for code, name in BASIC_CHARACTER_SET.items()}
    extension = {
        bytes([_ESCAPE, code]): unicodedata.lookup(name) for code, name in BASIC_CHARACTER_SET_EXTENSION.items()
    }
    return basic | extension


@cache
def gsm_codes() -> dict[str, bytes]:
    """Every letter with its code: one octet, or two with the escape."""
    return {letter: code for code, letter in _letters().items() if code != bytes([_ESCAPE])}
