"""What a fact is: a value, its unit, the range found for it, and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rules.errors import OutOfRange


class SourceKind(StrEnum):
    """How a number is known. Only `published` has an address; the other three say honestly that it has none."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    EXPERT_JUDGEMENT = "expert judgement"
    FROM_MEMORY = "from memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Who said it, when, and where it can be read."""

    key: str
    who: str
    title: str = ""
    where: str = ""
    year: int | None = None
    kind: SourceKind = SourceKind.PUBLISHED

    def __str__(self) -> str:
        parts = [self.who, str(self.year) if self.year else "", self.title, self.where]
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One number with its unit, the range an expert would accept, and its source."""

    value: float
    unit: str
    low: float
    high: float
    source: Source
    where: str = ""
    others: tuple[tuple[float, Source], ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise OutOfRange("value", self.value, self.low, self.high, self.unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class FactRange:
    """A published or accepted range, where no single value is the right one (a mowing range, a yearly amount)."""

    low: float
    high: float
    unit: str
    source: Source
    note: str = ""

    def __post_init__(self) -> None:
        if self.low > self.high:
            raise OutOfRange("low", self.low, 0.0, self.high, self.unit)
