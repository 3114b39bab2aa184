"""What a text costs as text messages: alphabets, counting, cutting into parts (3GPP TS 23.038 and 23.040).

1. A text of the GSM alphabet alone is counted in septets: 160 in one message, 153 in each part of several. A letter of
   the extension table costs two. Any other letter makes the whole text UCS-2: 70 and 67 UTF-16 units.
2. A part never ends within an escape pair or a surrogate pair. The free septet this may leave counts.
3. The header of a part is the one with an 8-bit reference (6 octets), which gateways use.
4. An empty text is still one message.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from bot.channels.sms.alphabet import Encoding, gsm_codes, is_gsm, mended
from bot.channels.sms.plain import gsm_text

__all__ = ["ALONE", "IN_PART", "Encoding", "Parts", "gsm_text", "is_gsm", "mended", "segments_of", "split", "units_of"]

_NEXT_PLANE = 0x10000

ALONE = {Encoding.GSM: 160, Encoding.UCS2: 70}
"""Units in a message by itself."""
IN_PART = {Encoding.GSM: 153, Encoding.UCS2: 67}
"""Units in each of several parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Parts:
    """A text as it goes out: together its parts are the text."""

    encoding: Encoding
    texts: tuple[str, ...]


def segments_of(text: str) -> int:
    """How many text messages a text costs."""
    return len(split(text).texts)


def split(text: str) -> Parts:
    """A text in as few parts as its alphabet allows."""
    encoding = Encoding.GSM if is_gsm(text) else Encoding.UCS2
    if units_of(text, encoding) <= ALONE[encoding]:
        return Parts(encoding=encoding, texts=(text,))
    return Parts(encoding=encoding, texts=tuple(_cut(text, IN_PART[encoding], _cost(encoding))))


def units_of(text: str, encoding: Encoding) -> int:
    """The length of a text in septets or UTF-16 units."""
    return sum(map(_cost(encoding), text))


def _cost(encoding: Encoding) -> Callable[[str], int]:
    if encoding is Encoding.UCS2:
        return lambda letter: 2 if ord(letter) >= _NEXT_PLANE else 1
    codes = gsm_codes()
    return lambda letter: len(codes[letter])


def _cut(text: str, limit: int, cost: Callable[[str], int]) -> Iterator[str]:
    start, units = 0, 0
    for position, letter in enumerate(text):
        letter_units = cost(letter)
        if units + letter_units > limit:
            yield text[start:position]
            start, units = position, 0
        units += letter_units
    yield text[start:]
