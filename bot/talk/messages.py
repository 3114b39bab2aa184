"""What the conversation says, as message keys and typed values. The words themselves live in `bot/words`.

Values carry their unit in their type, so that the same message reads in degrees Fahrenheit and inches for one
homeowner and in Celsius and millimetres for another, in any language.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Union


@dataclass(frozen=True, slots=True)
class TemperatureC:
    """A temperature. [degC] `spread_dc` is half the width of the likely range; 0 prints a single figure."""

    value_c: float
    spread_dc: float = 0.0


@dataclass(frozen=True, slots=True)
class LengthIn:
    """A length on a mower or in a bed. [in]"""

    value_in: float


@dataclass(frozen=True, slots=True)
class DistanceMiles:
    """A distance on the map. [miles]"""

    value_miles: float


@dataclass(frozen=True, slots=True)
class HeightM:
    """A difference of height on the land. [m]"""

    value_m: float


@dataclass(frozen=True, slots=True)
class AreaSqft:
    """An area. [sq ft]"""

    value_sqft: float


@dataclass(frozen=True, slots=True)
class MassLb:
    """A weight of product to spread or carry. [lb]"""

    value_lb: float


@dataclass(frozen=True, slots=True)
class RateLbPer1000:
    """A rate. [lb per 1,000 sq ft]"""

    value_lb_per_1000_sqft: float


@dataclass(frozen=True, slots=True)
class VolumeGal:
    """A volume of water. [US gal]"""

    value_gal: float


@dataclass(frozen=True, slots=True)
class Day:
    """A calendar day at the lawn. `about` marks a computed date told as plus or minus two weeks."""

    on: date
    about: bool = False


@dataclass(frozen=True, slots=True)
class DayOfYear:
    """A day of every year: month and day, told without weekday and year."""

    month: int
    day: int


@dataclass(frozen=True, slots=True)
class ClockTime:
    """A time of day at the lawn (already local)."""

    at: datetime


@dataclass(frozen=True, slots=True)
class Chance:
    """Odds of something, 0 to 1, told in words and as "1 chance in n"."""

    probability: float


@dataclass(frozen=True, slots=True)
class Share:
    """A fraction 0 to 1, told as "about 4 in 10", with its likely range when given."""

    fraction: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Cover:
    """Green cover as a fraction 0 to 1, told in percent, or in words where there is next to none."""

    fraction: float


@dataclass(frozen=True, slots=True)
class Number:
    """A plain count or number without a unit; drives plural forms."""

    value: float


@dataclass(frozen=True, slots=True)
class Verbatim:
    """Text that came from a person or a gazetteer (a name, a town) and is never translated."""

    text: str


@dataclass(frozen=True, slots=True)
class Quoted:
    """The words of a person of ours: shown as they were written, by SMS too. Only what carries them may fold letters
    that its alphabet lacks.
    """

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One message of the catalogue, by key, with its values."""

    key: str
    values: Mapping[str, Value] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Several:
    """A list of texts or names, joined as the language joins lists ("a, b and c")."""

    items: tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Sentences:
    """Whole sentences, one after the other."""

    items: tuple[Text, ...]


Value = Union[  # noqa: UP007 - the alias refers to itself, so it must stay a string-able Union
    TemperatureC,
    LengthIn,
    DistanceMiles,
    HeightM,
    AreaSqft,
    MassLb,
    RateLbPer1000,
    VolumeGal,
    Day,
    DayOfYear,
    ClockTime,
    Chance,
    Share,
    Cover,
    Number,
    Verbatim,
    Quoted,
    Text,
    Several,
    Sentences,
]


def text(key: str, **values: Value) -> Text:
    """Short form used all over the conversation: text("ask-place"), text("said-size", size=AreaSqft(2400))."""
    return Text(key=key, values=values)


def where_text(spot: str) -> Text:
    """A spot in a sentence: "the lawn", or its name."""
    return text("where-spot", name=Verbatim(spot)) if spot else text("where-lawn")
