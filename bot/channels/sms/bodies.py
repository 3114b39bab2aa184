"""What came in by text message, in one form for every way to a gateway, and as it is stored until it is read.

kind "text"    : id, from, to, text, pictures (addresses), and part, parts, reference where it is one of several parts
kind "receipt" : id of the message it is about, and status: in our words, or as SMPP 3.4 names the states

1. A number is stored as E.164. A text from what is no number (a short code, a name) is no homeowner's and left out.
2. The same text, part or state handed in again has the same `external_id`.
3. Half a letter pair that a sender cut apart survives until the parts are joined; whoever joins them calls `mended`.
4. Stored JSON is ASCII, so that no store has to take halves of letters.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from bot.arrivals import NewArrival
from bot.channels.sms.alphabet import mended
from bot.channels.sms.numbers import e164, sender

__all__ = ["Body", "Receipt", "Status", "Text", "arrival_of", "dump_body", "load_body", "mended", "read_body"]

WAIT_FOR_PARTS = timedelta(seconds=5)
"""How long to wait for more parts of one text."""
MOST_PARTS = 255
_LONGEST_PLAIN_ID = 80


class Status(StrEnum):
    """What became of a message, in our words. Delivered and failed are final."""

    ON_THE_WAY = "on the way"
    DELIVERED = "delivered"
    FAILED = "failed"
    UNKNOWN = "unknown"


STATES = {
    "ENROUTE": Status.ON_THE_WAY,
    "ACCEPTD": Status.ON_THE_WAY,
    "DELIVRD": Status.DELIVERED,
    "EXPIRED": Status.FAILED,
    "DELETED": Status.FAILED,
    "UNDELIV": Status.FAILED,
    "REJECTD": Status.FAILED,
    "UNKNOWN": Status.UNKNOWN,
}
"""States of a message as SMPP 3.4 names them (5.2.28, appendix B). ACCEPTD is no end: somebody took it over by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One text, or one part of a long one. `from_` is who wrote, `to` is our number; `id` is the far side's."""

    id: str
    from_: str
    to: str
    text: str
    pictures: tuple[str, ...] = ()
    part: int = 1
    parts: int = 1
    reference: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What became of the message the far side calls `id`."""

    id: str
    status: Status

    @property
    def is_delivered(self) -> bool:
        """Whether it is on the phone."""
        return self.status is Status.DELIVERED

    @property
    def is_failed(self) -> bool:
        """Whether it never will be."""
        return self.status is Status.FAILED


Body = Text | Receipt


def arrival_of(body: Body, at: datetime) -> NewArrival | None:
    """A body as it is to be stored; None for a text from what is no phone number."""
    if isinstance(body, Receipt):
        name = f"receipt:{_plain_id(body.id)}:{body.status}"
        return NewArrival(external_id=name, address="", at=at, body=dump_body(body))
    address = e164(body.from_)
    if address is None:
        return None
    if body.parts == 1:
        return NewArrival(external_id=f"text:{_plain_id(body.id)}", address=address, at=at, body=dump_body(body))
    return NewArrival(
        external_id=f"text:{_plain_id(body.id)}:{body.part}",
        address=address,
        at=at,
        body=dump_body(body),
        group=f"sms:{_plain_id(body.reference)}:{body.parts}",
        wait=WAIT_FOR_PARTS,
    )


def status_of(told: str) -> Status:
    """A state as the far side names it, in our words. A word nobody knows says nothing."""
    told = told.strip()
    try:
        return STATES.get(told.upper()) or Status(told.lower())
    except ValueError:
        return Status.UNKNOWN


def _plain_id(id_: str) -> str:
    """An id that every store takes, whatever the far side gave."""
    if len(id_) <= _LONGEST_PLAIN_ID and id_.isascii() and id_.isprintable():
        return id_
    return hashlib.sha256(id_.encode("utf-8", "surrogatepass")).hexdigest()[:32]


# --- JSON ------------------------------------------------------------------------------------------------------------


def dump_body(body: Body) -> str:
    """A body as JSON, in ASCII."""
    if isinstance(body, Receipt):
        return json.dumps({"kind": "receipt", "id": body.id, "status": body.status})
    plain: dict[str, object] = {"kind": "text", "id": body.id, "from": body.from_, "to": body.to, "text": body.text}
    if body.pictures:
        plain["pictures"] = body.pictures
    if body.parts > 1:
        plain |= {"part": body.part, "parts": body.parts, "reference": body.reference}
    return json.dumps(plain)


def load_body(stored: str) -> Body:
    """A body as it was stored. Raises `ValueError`."""
    return read_body(json.loads(stored))


def read_body(event: object) -> Body:
    """A body as a gateway tells it, or as it was stored. Raises `ValueError` with what is missing.

    Fields nobody knows are passed over: gateways tell more than we need.
    """
    if not isinstance(event, dict):
        raise ValueError("A text message should be a JSON object.")
    match event.get("kind"):
        case "receipt":
            return Receipt(id=_filled(event, "id"), status=status_of(_string(event, "status")))
        case "text":
            return _text(event)
    raise ValueError("A text message should have the kind text or receipt.")


def _text(event: Mapping[str, object]) -> Text:
    words = _string(event, "text")
    part, parts = _number(event, "part"), _number(event, "parts")
    if not part <= parts <= MOST_PARTS:
        raise ValueError("A part should be one of those there are.")
    return Text(
        id=_filled(event, "id"),
        from_=sender(_filled(event, "from")),
        to=sender(_filled(event, "to")),
        text=mended(words) if parts == 1 else words,
        pictures=_pictures(event),
        part=part,
        parts=parts,
        reference=_filled(event, "reference") if parts > 1 else "",
    )


def _pictures(event: Mapping[str, object]) -> tuple[str, ...]:
    pictures = event.get("pictures") or []
    if not isinstance(pictures, list):
        raise ValueError("The pictures of a text message should be a list of addresses.")
    return tuple(address for address in pictures if isinstance(address, str) and address.isascii())


def _string(event: Mapping[str, object], name: str) -> str:
    value = event.get(name)
    if not isinstance(value, str):
        raise ValueError(f"A text message should have {name!r} as a string.")
    return value


def _filled(event: Mapping[str, object], name: str) -> str:
    value = _string(event, name).strip()
    if not value or not value.isprintable():  # halves of letters and zeros are in no name, and no store takes them
        raise ValueError(f"A text message should have something readable in {name!r}.")
    return value


def _number(event: Mapping[str, object], name: str) -> int:
    value = event.get(name, 1)
    if not isinstance(value, int) or isinstance(value, bool) or value < 1:
        raise ValueError(f"A text message should have {name!r} as a whole number from 1.")
    return value
