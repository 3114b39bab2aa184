"""What passes between the service and the process that opens pictures: a head of JSON and a body of bytes.

The head's and the body's length come first. Neither side runs anything that the other sent.
"""

from __future__ import annotations

import json
import socket
import struct
from collections.abc import Awaitable, Callable
from dataclasses import asdict
from datetime import date
from typing import Any

from bot.photos.opening import OpenedPhoto, Reason, Refused, Wanted
from rules.cover_reading import Colour, CoverReading, CoverReason, Upload

LENGTHS = struct.Struct(">II")
MOST_HEAD_BYTES = 64 * 1024
MOST_BODY_BYTES = 64 * 1024 * 1024

Head = dict[str, Any]


class Garbled(Exception):
    """The other side sent what cannot be an answer."""


def question(content: bytes, wanted: Wanted) -> bytes:
    """What goes in front of a picture's bytes."""
    return _head(asdict(wanted), len(content))


def read_question(head: Head, body: bytes) -> tuple[Wanted, bytes]:
    """A question as it was asked."""
    return Wanted(upload=Upload(head["upload"]), has_paper=head["has_paper"], keep=head["keep"]), body


def ready() -> bytes:
    """What a process says when it has loaded what it needs."""
    return _head({}, 0)


def answer(result: OpenedPhoto | Refused) -> bytes:
    """A result as it goes over the line."""
    if isinstance(result, Refused):
        return _head({"refused": result.reason}, 0)
    head = {
        "width": result.width,
        "height": result.height,
        "reading": asdict(result.reading),
        "taken_on": result.taken_on.isoformat() if result.taken_on else None,
    }
    return _head(head, len(result.jpeg)) + result.jpeg


def read_answer(head: Head, body: bytes) -> OpenedPhoto | Refused:
    """A result as it was answered. Raises KeyError, TypeError or ValueError where it is none."""
    if "refused" in head:
        return Refused(reason=Reason(head["refused"]))
    told = head["reading"]
    reading = CoverReading(
        **told
        | {
            "reason": CoverReason(told["reason"]) if told["reason"] else None,
            "colour": Colour(told["colour"]) if told["colour"] else None,
            "upload": Upload(told["upload"]),
        }
    )
    taken_on = date.fromisoformat(head["taken_on"]) if head["taken_on"] else None
    return OpenedPhoto(jpeg=body, width=head["width"], height=head["height"], reading=reading, taken_on=taken_on)


def _head(told: Head, body_bytes: int) -> bytes:
    head = json.dumps(told).encode("ascii")
    return LENGTHS.pack(len(head), body_bytes) + head


# --- reading from a line, waiting or not ---------------------------------------------------------------------------


def received(line: socket.socket) -> tuple[Head, bytes] | None:
    """The next message; None when the other side has gone."""
    lengths = _exactly(line, LENGTHS.size)
    if lengths is None:
        return None
    head_bytes, body_bytes = checked(lengths)
    head, body = _exactly(line, head_bytes), _exactly(line, body_bytes)
    return (json.loads(head), bytes(body)) if head is not None and body is not None else None


def _exactly(line: socket.socket, size: int) -> bytearray | None:
    read, got = bytearray(size), 0
    with memoryview(read) as view:
        while got < size:
            count = line.recv_into(view[got:])
            if not count:
                return None
            got += count
    return read


async def received_later(
    read_into: Callable[[socket.socket, memoryview], Awaitable[int]], line: socket.socket
) -> tuple[Head, bytes] | None:
    """The next message, read by an event loop; None when the other side has gone. Raises Garbled."""

    async def exactly(size: int) -> bytearray | None:
        read, got = bytearray(size), 0
        with memoryview(read) as view:
            while got < size:
                count = await read_into(line, view[got:])
                if not count:
                    return None
                got += count
        return read

    lengths = await exactly(LENGTHS.size)
    if lengths is None:
        return None
    head_bytes, body_bytes = checked(lengths)
    head, body = await exactly(head_bytes), await exactly(body_bytes)
    return (json.loads(head), bytes(body)) if head is not None and body is not None else None


def checked(lengths: bytes | bytearray) -> tuple[int, int]:
    """The lengths of head and body. Raises Garbled where they are beyond anything we send."""
    head_bytes, body_bytes = LENGTHS.unpack(lengths)
    if head_bytes > MOST_HEAD_BYTES or body_bytes > MOST_BODY_BYTES:
        raise Garbled(f"A message of {head_bytes} and {body_bytes} bytes was announced.")
    return head_bytes, body_bytes
