"""What a message centre delivers over SMPP 3.4, read: receipts, texts, parts of texts. Pure.

1. A receipt is told by its class. Its id and state are in the optional parameters, or in its text, as in
   "id:7 stat:DELIVRD". Some centres write the id in another base than in their answer to the send; such receipts find
   no message.
2. A text is in the default alphabet unpacked, Latin-1, UCS-2, Cyrillic or Hebrew. Octets that are no text (settings,
   ring tones) are nobody's words.
3. A part tells its place in a header within the text, or in the sar parameters. Its reference is the sender's own.
4. SMPP gives no id to a text. Ours is a digest of everything in it, with the sequence number and the hour: two short
   answers in a row are two, and the same command sent again within the hour is one. A centre that delivers again with
   another number (after the line broke, say) makes a second text, unless it names it by an optional parameter.
"""

from __future__ import annotations

import hashlib
import re
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from bot.channels.sms.alphabet import decode_gsm, decode_ucs2, mended
from bot.channels.sms.bodies import MOST_PARTS, Body, Receipt, Status, Text, status_of
from bot.channels.sms.numbers import e164, sender

if TYPE_CHECKING:
    from smpp34 import DeliverSm

_CLASS, _RECEIPTS, _TEXT = 0b00111100, (0b000100, 0b100000), 0
_HAS_HEADER = 0x40
_CODES = {1: "latin-1", 3: "latin-1", 6: "iso8859-5", 7: "iso8859-8"}
_UCS2 = 8
_INTERNATIONAL = 1
_STATES = (None, "ENROUTE", "DELIVRD", "EXPIRED", "DELETED", "UNDELIV", "ACCEPTD", "UNKNOWN", "REJECTD")
_RECEIPT_ID = re.compile(r"\bid:\s*(\S+)", re.IGNORECASE)
_RECEIPT_STATE = re.compile(r"\bstat:\s*(\w+)", re.IGNORECASE)


class Tag:
    """Optional parameters we look at (SMPP 3.4, 5.3.2)."""

    RECEIPTED_ID = 0x001E
    USER_REFERENCE = 0x0204
    SAR_REFERENCE, SAR_TOTAL, SAR_PART = 0x020C, 0x020E, 0x020F
    PAYLOAD = 0x0424
    STATE = 0x0427
    VENDORS = range(0x1400, 0x4000)


class Place(NamedTuple):
    """Which part of how many."""

    reference: int
    parts: int
    part: int


def content_of(pdu: DeliverSm) -> str:
    """A digest of all that was said, whenever and however often it was delivered."""
    said = hashlib.sha256()
    parameters = sorted((each.tag, each.value) for each in pdu.tlvs)
    for piece in (pdu.source_addr, pdu.destination_addr, pdu.esm_class, pdu.data_coding, pdu.short_message, parameters):
        said.update(repr(piece).encode() + b"\0")
    return said.hexdigest()[:32]


def read(pdu: DeliverSm, at: datetime) -> Body | None:
    """What was delivered; None for what has nothing to tell us."""
    kind = pdu.esm_class & _CLASS
    parameters = {each.tag: each.value for each in pdu.tlvs}
    if kind in _RECEIPTS:
        return _receipt(pdu, parameters)
    octets, place = _placed(pdu, parameters)
    words = _words(octets, pdu.data_coding) if kind == _TEXT else None
    if words is None:
        return None
    return Text(
        id=_id_of(pdu, parameters, at),
        from_=_number(pdu.source_addr, pdu.source_addr_ton),
        to=_number(pdu.destination_addr, pdu.dest_addr_ton),
        text=mended(words) if place is None else words,
        part=place.part if place else 1,
        parts=place.parts if place else 1,
        reference=str(place.reference) if place else "",
    )


def _id_of(pdu: DeliverSm, parameters: dict[int, bytes], at: datetime) -> str:
    """See rule 4."""
    names = {Tag.RECEIPTED_ID, Tag.USER_REFERENCE, *Tag.VENDORS}
    if names & parameters.keys():
        return content_of(pdu)
    return hashlib.sha256(f"{content_of(pdu)} {pdu.sequence_number} {at:%Y-%m-%d %H}".encode()).hexdigest()[:32]


def _number(address: str, type_of_number: int) -> str:
    """An address in one form. Centres leave the plus out, and some call a short code international, too."""
    bare = address.strip()
    abroad = e164(f"+{bare}") if bare.isdigit() and type_of_number == _INTERNATIONAL else None
    return abroad or sender(bare)


# --- receipts --------------------------------------------------------------------------------------------------------


def _receipt(pdu: DeliverSm, parameters: dict[int, bytes]) -> Receipt | None:
    words = (pdu.short_message or parameters.get(Tag.PAYLOAD, b"")).decode("latin-1")
    name = far_id(parameters.get(Tag.RECEIPTED_ID, b"")) or far_id(_found(_RECEIPT_ID, words).encode("latin-1"))
    if not name:
        return None
    return Receipt(id=name, status=_state(parameters.get(Tag.STATE, b"")) or status_of(_found(_RECEIPT_STATE, words)))


def far_id(octets: bytes) -> str:
    """The far side's name of a message as it stands in answers and receipts: up to the first zero octet."""
    return "".join(letter for letter in octets.partition(b"\0")[0].decode("latin-1") if letter.isprintable()).strip()


def _state(value: bytes) -> Status | None:
    number = value[0] if len(value) == 1 else 0
    name = _STATES[number] if number < len(_STATES) else None
    return status_of(name) if name else None


def _found(pattern: re.Pattern[str], words: str) -> str:
    match = pattern.search(words)
    return match[1] if match else ""


# --- texts -----------------------------------------------------------------------------------------------------------


def _words(octets: bytes, data_coding: int) -> str | None:
    """Octets as letters; None where they are none. Beside SMPP's own codings those of 3GPP TS 23.038 come through."""
    if data_coding in _CODES:
        return octets.decode(_CODES[data_coding], "replace")
    if data_coding == _UCS2 or (0x10 <= data_coding < 0x40 and data_coding & 0x0C == 0x08):
        return decode_ucs2(octets)
    is_gsm = data_coding == 0 or (0x10 <= data_coding < 0x40 and not data_coding & 0x0C)
    if is_gsm or (data_coding >= 0xF0 and not data_coding & 0x04):
        return decode_gsm(octets)
    return None


def _placed(pdu: DeliverSm, parameters: dict[int, bytes]) -> tuple[bytes, Place | None]:
    """The text's octets without header, and which part they are."""
    octets = pdu.short_message or parameters.get(Tag.PAYLOAD, b"")
    if pdu.esm_class & _HAS_HEADER and octets:
        end = 1 + octets[0]
        return octets[end:], _place_in(octets[1:end])
    values = [int.from_bytes(parameters.get(tag, b"")) for tag in (Tag.SAR_REFERENCE, Tag.SAR_TOTAL, Tag.SAR_PART)]
    return octets, _sensible(Place(*values))


def _place_in(header: bytes) -> Place | None:
    """The place in a user data header (3GPP TS 23.040, 9.2.3.24): element 0, or 8 with a longer reference."""
    at = 0
    while at + 2 <= len(header):
        element, length = header[at], header[at + 1]
        value = header[at + 2 : at + 2 + length]
        if (element, len(value)) in ((0, 3), (8, 4)):
            return _sensible(Place(int.from_bytes(value[:-2]), value[-2], value[-1]))
        at += 2 + length
    return None


def _sensible(place: Place) -> Place | None:
    return place if 1 <= place.part <= place.parts and 1 < place.parts <= MOST_PARTS else None
