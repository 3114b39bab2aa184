"""The pieces that may be said of a region: how each is kept, and what the conversation makes of it.

What is kept is read back strictly. Nothing is guessed of a piece that no longer reads: `book.py` says what then holds.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from datetime import date, time
from enum import StrEnum
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from bot.ops.local.spans import MOST_SPANS, month_day_from, month_day_text, span_from, span_text
from bot.talk.known import FreezeReport, LocalDate, WateringRule
from rules.feed_bans import FeedBan
from rules.units import f_to_c

LONGEST_NOTE, LONGEST_NAME = 200, 60
MOST_HOURS = 3


class Piece(StrEnum):
    """What can be said of a region."""

    NITROGEN_BAN = "nitrogen_ban"
    PHOSPHORUS_BAN = "phosphorus_ban"
    WATERING = "watering"
    LAST_FROST = "last_frost"
    WARM_SOIL = "warm_soil"
    FREEZE = "freeze"
    CONTACT = "contact"
    NOTE = "note"


BANS = frozenset({Piece.NITROGEN_BAN, Piece.PHOSPHORUS_BAN})

Said = FeedBan | WateringRule | LocalDate | FreezeReport | str
"""A piece as the conversation knows it."""


def _plain(words: str) -> str:
    """One line of printable text, as it is told."""
    if not words or words != " ".join(words.split()) or not words.isprintable():
        raise ValueError("one line of plain text is needed")
    return words


def _as_kept(span: str) -> str:
    if span_text(span_from(span)) != span:
        raise ValueError("no span as it is kept")
    return span


def _day_as_kept(day: str) -> str:
    if month_day_text(month_day_from(day)) != day or day == "02-29":
        raise ValueError("no day that comes every year")
    return day


Name = Annotated[str, Field(max_length=LONGEST_NAME), AfterValidator(_plain)]
Words = Annotated[str, Field(max_length=LONGEST_NOTE), AfterValidator(_plain)]


class _Doc(BaseModel, ABC):
    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)

    @abstractmethod
    def said(self) -> Said:
        """As the conversation knows it."""


class BanDoc(_Doc):
    """Days on which a local code forbids feeding. `until`: the last day on which the code holds."""

    code: Name
    spans: tuple[Annotated[str, AfterValidator(_as_kept)], ...] = Field(min_length=1, max_length=MOST_SPANS)
    until: date | None = None

    def said(self) -> FeedBan:
        return FeedBan(code=self.code, spans=tuple(map(span_from, self.spans)), until_on=self.until)


class WateringDoc(_Doc):
    """When a local code lets people water. `weekdays`: 0 is Monday; `hours`: from and to, none for all day."""

    code: Name
    weekdays: tuple[Annotated[int, Field(ge=0, le=6)], ...] = Field(min_length=1, max_length=7)
    hours: tuple[tuple[time, time], ...] = Field((), max_length=MOST_HOURS)

    def said(self) -> WateringRule:
        return WateringRule(code=self.code, weekdays=self.weekdays, hours=self.hours)


class DateDoc(_Doc):
    """A day of spring. `year` None: of every year. `exact`: told without "about"."""

    day: Annotated[str, AfterValidator(_day_as_kept)]
    year: int | None = Field(None, ge=2000, le=2100)
    exact: bool = False

    def said(self) -> LocalDate:
        return LocalDate(on=month_day_from(self.day), year=self.year, is_exact=self.exact)


class FreezeDoc(_Doc):
    """One freeze as it was seen in the region. Degrees Fahrenheit, inches."""

    coldest_on: date
    air_min_f: float | None = Field(None, ge=-60, le=45)
    days_below_freezing: float = Field(ge=0, le=90)
    snow_in: float = Field(ge=0, le=60)

    def said(self) -> FreezeReport:
        return FreezeReport(
            air_min_c=None if self.air_min_f is None else f_to_c(self.air_min_f),
            days_below_freezing=self.days_below_freezing,
            snow_in=self.snow_in,
            coldest_on=self.coldest_on,
        )


class WordsDoc(_Doc):
    """Words told as they are."""

    words: Words

    def said(self) -> str:
        return self.words


DOCS: dict[Piece, type[_Doc]] = {
    Piece.NITROGEN_BAN: BanDoc,
    Piece.PHOSPHORUS_BAN: BanDoc,
    Piece.WATERING: WateringDoc,
    Piece.LAST_FROST: DateDoc,
    Piece.WARM_SOIL: DateDoc,
    Piece.FREEZE: FreezeDoc,
    Piece.CONTACT: WordsDoc,
    Piece.NOTE: WordsDoc,
}


def read(piece: Piece, doc: str) -> Said:
    """A piece as it was kept. Raises `ValueError` (pydantic's is one) or `LocalRefused` when it no longer reads."""
    return DOCS[piece].model_validate_json(doc).said()
