"""Typed values of a message to the strings (or numbers) a catalogue entry is filled with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from babel import Locale
from babel.dates import format_date, format_time
from babel.lists import format_list
from babel.numbers import format_decimal

from bot.talk.messages import (
    AreaSqft,
    Chance,
    ClockTime,
    Cover,
    Day,
    DayOfYear,
    DistanceMiles,
    HeightM,
    LengthIn,
    MassLb,
    Number,
    Quoted,
    RateLbPer1000,
    Several,
    Share,
    TemperatureC,
    Text,
    Value,
    Verbatim,
    VolumeGal,
)
from bot.words.short import plain
from rules.units import (
    CM_PER_INCH,
    FEET_PER_METRE,
    KM_PER_MILE,
    LB_PER_1000_SQFT_IN_G_PER_M2,
    c_to_f,
    dc_to_df,
    gal_to_l,
    lb_to_kg,
    sqft_to_m2,
)

_LEAP_YEAR = 2024  # has every day there is
_PARTS = dict(zip((Fraction(eighths, 8) for eighths in range(1, 8)), "⅛¼⅜½⅝¾⅞", strict=True))


@dataclass(frozen=True, slots=True)
class Style:
    """How one homeowner reads numbers: locale and unit system; `is_short`: in the plain letters of an SMS."""

    locale: Locale
    metric: bool
    is_short: bool = False


@dataclass(frozen=True, slots=True)
class Phrase:
    """A catalogue entry that a value needs for its own wording, with what fills it."""

    key: str
    fill: dict[str, str | int | float]


def phrase_of(value: Value, style: Style) -> Phrase | str | int | float | tuple[Value, ...]:
    """What a value becomes: a ready string or number, a phrase of the catalogue, or parts still to be joined."""
    match value:
        case Verbatim(text=text):
            return plain(text) if style.is_short else text
        case Quoted(text=text):
            return text
        case Number(value=number):
            return int(number) if float(number).is_integer() else round(number, 2)
        case Several(items=items):
            return items
        case Text():
            raise TypeError("a text is rendered by the catalogue itself")
        case Chance() | Share() | Cover():
            return _odds_phrase(value)
        case DayOfYear(month=month, day=day):
            return str(format_date(date(_LEAP_YEAR, month, day), format="MMM d", locale=style.locale))
        case Day() | ClockTime():
            return _time_phrase(value, style)
        case _:
            return _measure_phrase(value, style)


def joined(items: list[str], style: Style) -> str:
    """A list as the language joins it: "a, b, and c"."""
    return format_list(items, locale=style.locale)


def _odds_phrase(value: Chance | Share | Cover) -> Phrase:
    if isinstance(value, Cover):
        return Phrase("value-cover", {"n": round(value.fraction * 100), "band": _cover_band(value.fraction)})
    if isinstance(value, Chance):
        return Phrase("value-chance", {"band": _band(value.probability), "n": _one_in(value.probability)})
    fill: dict[str, str | int | float] = {"tenths": _tenths(value.fraction)}
    if value.low is None or value.high is None or _tenths(value.low) == _tenths(value.high):
        return Phrase("value-share", fill)
    low, high = _tenths(value.low), _tenths(value.high)
    if low == 0 and high == 10:
        return Phrase("value-share-open", fill)
    return Phrase("value-share-range", fill | {"low": low, "high": high})


def _cover_band(fraction: float) -> str:
    return "none" if fraction <= 0 else "few" if fraction < 0.05 else "percent"


def _band(probability: float) -> str:
    edges = (
        (0.97, "nearly_certain"),
        (0.85, "very_likely"),
        (0.62, "likely"),
        (0.38, "even"),
        (0.15, "unlikely"),
        (0.05, "very_unlikely"),
    )
    return next((name for edge, name in edges if probability >= edge), "hardly")


def _one_in(probability: float) -> int:
    return max(2, round(1 / max(min(probability, 1 - probability), 0.005)))


def _tenths(fraction: float) -> int:
    return round(min(max(fraction, 0.0), 1.0) * 10)


def _time_phrase(value: Day | ClockTime, style: Style) -> Phrase | str:
    if isinstance(value, ClockTime):
        is_on_the_hour = style.is_short and value.at.minute == 0
        told = format_time(value.at, format="h a" if is_on_the_hour else "short", locale=style.locale)
        return str(told).replace("\u202f", " ")
    day = str(format_date(value.on, format="MMM d", locale=style.locale))
    if value.about:  # a weekday would promise more than a date told as "about" can keep
        return Phrase("value-about-day", {"day": day})
    return day if style.is_short else str(format_date(value.on, format="EEE, MMM d", locale=style.locale))


def _measure_phrase(value: Value, style: Style) -> Phrase:
    match value:
        case TemperatureC(value_c=middle, spread_dc=spread):
            return _temperature(middle, spread, style)
        case LengthIn(value_in=length) if style.metric:
            return Phrase("value-cm", {"n": _decimal(length * CM_PER_INCH, 1, style)})
        case LengthIn(value_in=length):
            return Phrase("value-in", {"n": _ruled(length, style)})
        case DistanceMiles(value_miles=miles) if style.metric:
            return Phrase("value-km", {"n": max(1, round(miles * KM_PER_MILE))})
        case DistanceMiles(value_miles=miles):
            return Phrase("value-miles", {"n": max(1, round(miles))})
        case HeightM(value_m=height) if style.metric:
            return Phrase("value-m", {"n": round(height / 10) * 10})
        case HeightM(value_m=height):
            return Phrase("value-ft", {"n": round(height * FEET_PER_METRE / 50) * 50})
        case AreaSqft(value_sqft=area) if style.metric:
            return Phrase("value-m2", {"n": _rounded(sqft_to_m2(area), style)})
        case AreaSqft(value_sqft=area):
            return Phrase("value-sqft", {"n": _rounded(area, style)})
        case _:
            return _amount(value, style)


def _amount(value: Value, style: Style) -> Phrase:
    match value:
        case MassLb(value_lb=mass) if style.metric:
            return Phrase("value-kg", {"n": _rounded(lb_to_kg(mass), style)})
        case MassLb(value_lb=mass):
            return Phrase("value-lb", {"n": _rounded(mass, style)})
        case RateLbPer1000(value_lb_per_1000_sqft=rate) if style.metric:
            return Phrase("value-g-per-m2", {"n": _rounded(rate * LB_PER_1000_SQFT_IN_G_PER_M2, style)})
        case RateLbPer1000(value_lb_per_1000_sqft=rate):
            return Phrase("value-lb-per-1000", {"n": _rounded(rate, style)})
        case VolumeGal(value_gal=volume) if style.metric:
            return Phrase("value-l", {"n": _two_figures(gal_to_l(volume), style)})
        case VolumeGal(value_gal=volume):
            return Phrase("value-gal", {"n": _two_figures(volume, style)})
        case _:
            raise TypeError(f"no wording for a {type(value).__name__}")


def _temperature(middle_c: float, spread_dc: float, style: Style) -> Phrase:
    unit = "c" if style.metric else "f"
    middle = middle_c if style.metric else c_to_f(middle_c)
    spread = spread_dc if style.metric else dc_to_df(spread_dc)
    shown = {"n": _signed(middle, style)}
    if spread <= 0:
        return Phrase(f"value-degrees-{unit}", {**shown})
    low, high = _signed(middle - spread, style), _signed(middle + spread, style)
    return Phrase(f"value-degrees-{unit}-range", {**shown, "low": low, "high": high})


def _signed(number: float, style: Style) -> str:
    return _decimal(round(number) + 0.0, 0, style).replace("\u2212", "-")


def _decimal(number: float, places: int, style: Style) -> str:
    return str(format_decimal(round(number, places), format="#,##0.##", locale=style.locale))


def _rounded(number: float, style: Style) -> str:
    """As many places as a kitchen scale or a tape shows: 0.35, 2.2, 11, 1,240."""
    size = abs(number)
    return _decimal(number, 2 if size < 1 else 1 if size < 20 else 0, style)


def _two_figures(number: float, style: Style) -> str:
    size = abs(number)
    step = 1 if size < 100 else 10 if size < 1000 else 100
    return _decimal(round(number / step) * step, 0, style)


def _ruled(length_in: float, style: Style) -> str:
    """A length as a ruler shows it, to the nearest eighth: 3, 3½, ¾; short 3 1/2, 3/4."""
    whole, part = divmod(Fraction(round(length_in * 8), 8), 1)
    if style.is_short:
        return " ".join(str(each) for each in (whole, part) if each) or "0"
    sign = _PARTS.get(part, "")
    return f"{whole if whole or not sign else ''}{sign}"
