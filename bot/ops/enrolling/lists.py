"""A list of people who agreed on paper, at a counter or on a web form, as a CSV file: a row each, with its proof.

Columns: `phone`, `agreed_on` (a day or an instant, ISO 8601), `agreed_to` (the words they agreed to) and `where` (how
they said so, like "form at the counter"). Each is needed in each row: a number without its proof is not taken. What is
wrong is told by line, and one wrong line does not stop the others.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from datetime import UTC, datetime

from bot.channels.sms.numbers import e164
from bot.errors import AfterfrostError

COLUMNS = ("phone", "agreed_on", "agreed_to", "where")
LONGEST_BYTES = 20_000_000
LONGEST_FIELD = 500
FEWEST_WORDS = 3
"""In fewer words nobody can have been told what they agree to."""


class ListRefused(AfterfrostError):
    """A file that is no such list. The message says what it should look like."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """One person who agreed: the number as it is stored, and the proof."""

    line: int
    number: str
    agreed_at: datetime
    agreed_to: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """A line that cannot be taken, and why."""

    line: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """What a list holds: each number once, the first time it stands there."""

    agreed: tuple[Agreed, ...]
    faults: tuple[Fault, ...]


def read_list(content: bytes, now: datetime) -> Listed:
    """Read a list. Raises `ListRefused` where it is none."""
    rows = _rows(content)
    agreed: dict[str, Agreed] = {}
    faults = []
    for line, row in rows:
        found = _agreed(line, row, now)
        if isinstance(found, Fault):
            faults.append(found)
        elif found.number in agreed:
            faults.append(Fault(line=line, why=f"the same number as in line {agreed[found.number].line}"))
        else:
            agreed[found.number] = found
    return Listed(agreed=tuple(agreed.values()), faults=tuple(faults))


def _rows(content: bytes) -> list[tuple[int, dict[str, str]]]:
    if len(content) > LONGEST_BYTES:
        raise ListRefused("The list is larger than 20 MB. Split it.")
    try:
        reader = csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline=""), strict=True)
        header = [name.strip().lower() for name in reader.fieldnames or ()]
        missing = [name for name in COLUMNS if name not in header]
        if missing:
            raise ListRefused(f"The list needs the columns {', '.join(COLUMNS)}; missing: {', '.join(missing)}.")
        reader.fieldnames = header
        return [(reader.line_num, {name: (row.get(name) or "").strip() for name in COLUMNS}) for row in reader]
    except (UnicodeDecodeError, csv.Error) as error:
        raise ListRefused(f"The list cannot be read as CSV in UTF-8 ({error}).") from error


def _agreed(line: int, row: dict[str, str], now: datetime) -> Agreed | Fault:
    number, at = e164(row["phone"]), _instant(row["agreed_on"])
    if number is None:
        return Fault(line=line, why="this is no number a person can be reached at")
    if at is None or at > now:
        return Fault(line=line, why="agreed_on should be a day like 2026-10-03, not after today")
    if len(row["agreed_to"].split()) < FEWEST_WORDS or len(row["agreed_to"]) > LONGEST_FIELD:
        return Fault(line=line, why="agreed_to should hold the words they agreed to")
    if not row["where"] or len(row["where"]) > LONGEST_FIELD:
        return Fault(line=line, why="where should say how they agreed, like: form at the counter")
    return Agreed(line=line, number=number, agreed_at=at, agreed_to=row["agreed_to"], where=row["where"])


def _instant(typed: str) -> datetime | None:
    try:
        at = datetime.fromisoformat(typed)
    except ValueError:
        return None
    return at if at.tzinfo else at.replace(tzinfo=UTC)
