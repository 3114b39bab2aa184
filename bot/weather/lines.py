"""A weather file line by line, never more of it in memory than one line, and never more than the limits allow."""

from __future__ import annotations

import re
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import BinaryIO

from bot.weather.faults import Spot

# Tab and the two line ends are the only control characters a table holds.
_BINARY = re.compile(rb"[\x00-\x08\x0b-\x1f\x7f]")
_BOM = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """How much of a file is read before it is refused. Ninety years of one station's hours fit."""

    most_bytes: int = 200_000_000
    most_rows: int = 5_000_000
    longest_line_bytes: int = 10_000


LIMITS = Limits()


@dataclass(frozen=True, slots=True)
class Line:
    """One line that is not empty. `has_end` is False for a last line without its line end."""

    spot: Spot
    text: str
    has_end: bool


def numbered_lines(stream: BinaryIO, file: str, limits: Limits = LIMITS) -> Iterator[Line]:
    """The lines that hold something, with their numbers. Raises WeatherFileError for what is no text or too much."""
    number, read_bytes = 0, 0
    while raw := _next_line(stream, Spot(file, number + 1), limits):
        number += 1
        read_bytes += len(raw)
        spot = Spot(file, number)
        _check_size(spot, number, read_bytes, limits)
        text = _decoded(raw.removeprefix(_BOM) if number == 1 else raw, spot)
        if text.strip():
            yield Line(spot, text, raw.endswith(b"\n"))


def _next_line(stream: BinaryIO, spot: Spot, limits: Limits) -> bytes:
    try:
        raw = stream.readline(limits.longest_line_bytes + 1)
    except (OSError, EOFError, zlib.error) as error:
        raise spot.fault(f"the file cannot be read on ({error})", "It may be cut off; get it again.") from error
    if len(raw) > limits.longest_line_bytes:
        _decoded(raw, spot)  # what is binary is told as that
        raise spot.fault(
            f"the line is longer than {limits.longest_line_bytes} bytes", "This is no table of weather readings."
        )
    return raw


def _check_size(spot: Spot, rows: int, read_bytes: int, limits: Limits) -> None:
    if rows > limits.most_rows or read_bytes > limits.most_bytes:
        raise too_much(spot, limits)


def too_much(spot: Spot, limits: Limits) -> Exception:
    """The refusal of a file over the limits."""
    size = f"more than {limits.most_bytes // 1_000_000} MB or {limits.most_rows:,} lines"
    return spot.fault(f"the file has {size}", "Cut out the station and the years you need.")


def _decoded(raw: bytes, spot: Spot) -> str:
    body = raw.rstrip(b"\r\n")
    found = _BINARY.search(body)
    if found and found.group() == b"\r":
        raise spot.fault("its lines end in a lone carriage return", "Save it again with the line ends of today.")
    if found:
        raise spot.fault(
            f"there is a byte {found.group()[0]} in it that no text holds",
            "Give a plain text file; from a spreadsheet save as CSV (UTF-8).",
        )
    try:
        return body.decode("utf-8")
    except UnicodeDecodeError as error:
        raise spot.fault("the line is not UTF-8 text", "Save the file as plain text in UTF-8.") from error
