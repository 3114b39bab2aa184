"""What was typed about a region, at the desk or in a command, to the pieces that are kept; and back into the form.

A piece whose fields are all empty is one of which nothing is said. One that is begun and cannot be read is refused with
what to type instead, and then nothing at all is kept: no ban gets lost because a date beside it was mistyped.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date, time

from pydantic import BaseModel, ValidationError

from bot.ops.local.pieces import (
    DOCS,
    LONGEST_NAME,
    LONGEST_NOTE,
    MOST_HOURS,
    BanDoc,
    DateDoc,
    FreezeDoc,
    Piece,
    WateringDoc,
    WordsDoc,
)
from bot.ops.local.refused import LocalRefused
from bot.ops.local.spans import month_day_from, month_day_text, span_text, spans_from

Typed = Mapping[str, str]
"""Fields by name, as they were typed: those of `FIELDS`."""

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
FIELDS: Mapping[Piece, tuple[str, ...]] = {
    Piece.NITROGEN_BAN: ("spans", "code", "until"),
    Piece.PHOSPHORUS_BAN: ("spans", "code", "until"),
    Piece.WATERING: ("weekdays", "hours", "code"),
    Piece.LAST_FROST: ("day", "exact"),
    Piece.WARM_SOIL: ("day", "exact"),
    Piece.FREEZE: ("coldest_on", "air_min_f", "days", "snow_in"),
    Piece.CONTACT: ("words",),
    Piece.NOTE: ("words",),
}
_FROST_MONTHS, _SOIL_MONTHS = range(1, 7), range(1, 8)
_HOURS = re.compile(r"([0-9]{1,2})(?::([0-9]{2}))?\s*(?:-|to)\s*([0-9]{1,2})(?::([0-9]{2}))?")


def doc_from(piece: Piece, typed: Typed) -> str | None:
    """A piece as it is kept; None where nothing is said of it. Raises `LocalRefused`."""
    if not any(typed.get(name, "").strip() for name in FIELDS[piece] if name != "exact"):
        return None
    try:
        return _MAKERS[piece](typed).model_dump_json()
    except ValidationError as error:
        raise LocalRefused(_reason(error)) from error


def typed_from(piece: Piece, doc: str) -> dict[str, str]:
    """The fields of a form for what is kept; empty for what no longer reads."""
    try:
        kept = DOCS[piece].model_validate_json(doc)
    except (ValueError, LocalRefused):
        return {}
    match kept:
        case BanDoc():
            return {"spans": "\n".join(kept.spans), "code": kept.code, "until": _or_empty(kept.until)}
        case WateringDoc():
            hours = ", ".join(f"{first:%H:%M}-{last:%H:%M}" for first, last in kept.hours)
            return {"weekdays": " ".join(WEEKDAYS[day] for day in kept.weekdays), "hours": hours, "code": kept.code}
        case DateDoc():
            day = kept.day if kept.year is None else f"{kept.year}-{kept.day}"
            return {"day": day, "exact": "yes" if kept.exact else ""}
        case FreezeDoc():
            air = "" if kept.air_min_f is None else f"{kept.air_min_f:g}"
            days, snow = f"{kept.days_below_freezing:g}", f"{kept.snow_in:g}"
            return {"coldest_on": kept.coldest_on.isoformat(), "air_min_f": air, "days": days, "snow_in": snow}
        case WordsDoc():
            return {"words": kept.words}
    raise TypeError(f"{piece} has no form")


def _or_empty(day: date | None) -> str:
    return day.isoformat() if day is not None else ""


def _reason(error: ValidationError) -> str:
    first = error.errors()[0]
    field = str(first["loc"][0]) if first["loc"] else "It"
    return f"{field.replace('_', ' ')}: {first['msg']}."


# --- each piece ------------------------------------------------------------------------------------------------------


def _ban(typed: Typed) -> BanDoc:
    code = _one_line(typed, "code", LONGEST_NAME)
    if not code:
        raise LocalRefused("Name the local code that bans it, like its chapter or the county's name for it.")
    spans = tuple(map(span_text, spans_from(typed.get("spans", ""))))
    until = typed.get("until", "").strip()
    return BanDoc(code=code, spans=spans, until=_date(until) if until else None)


def _watering(typed: Typed) -> WateringDoc:
    code = _one_line(typed, "code", LONGEST_NAME)
    if not code:
        raise LocalRefused("Name the local code that says when people may water.")
    names = [name[:3] for name in re.split(r"[\s,]+", typed.get("weekdays", "").strip().lower()) if name]
    if not names or not set(names) <= set(WEEKDAYS):
        raise LocalRefused(f"Name the days on which people may water: {', '.join(WEEKDAYS)}.")
    weekdays = tuple(number for number, name in enumerate(WEEKDAYS) if name in names)
    return WateringDoc(code=code, weekdays=weekdays, hours=_hours(typed.get("hours", "")))


def _hours(typed: str) -> tuple[tuple[time, time], ...]:
    parts = [part.strip() for part in typed.split(",") if part.strip()]
    found = [_HOURS.fullmatch(part) for part in parts]
    how = 'Type hours like "00:00-10:00, 16:00-24:00".'
    if len(parts) > MOST_HOURS:
        raise LocalRefused(f"At most {MOST_HOURS} spans of hours. {how}")
    spans = []
    for part, match in zip(parts, found, strict=True):
        if match is None:
            raise LocalRefused(f"{part[:40]!r} is no span of hours. {how}")
        first, last = _time(match[1], match[2]), _time(match[3], match[4])
        if first == last:
            raise LocalRefused(f"{part[:40]!r} begins where it ends. {how}")
        spans.append((first, last))
    return tuple(spans)


def _time(hour: str, minute: str | None) -> time:
    if int(hour) == 24 and not int(minute or 0):
        return time(0)  # midnight ends a day as it begins the next
    try:
        return time(int(hour), int(minute or 0))
    except ValueError as error:
        raise LocalRefused(f"{hour}:{minute or '00'} is no time of day. Hours go from 0 to 24.") from error


def _spring_day(typed: Typed, months: range, what: str) -> DateDoc:
    words = typed.get("day", "").strip()
    in_one_year = re.fullmatch(r"([0-9]{4})-([0-9]{1,2}-[0-9]{1,2})", words)
    month, day = month_day_from(in_one_year[2] if in_one_year else words)
    if (month, day) == (2, 29):
        raise LocalRefused("29 February does not come every year. Take the day before or after.")
    if month not in months:
        raise LocalRefused(f"{what} in month {month} is hard to believe. The month comes first: 04-01 is April 1.")
    year = int(in_one_year[1]) if in_one_year else None
    return DateDoc(day=month_day_text((month, day)), year=year, exact=bool(typed.get("exact", "").strip()))


def _last_frost(typed: Typed) -> DateDoc:
    return _spring_day(typed, _FROST_MONTHS, "A last frost")


def _warm_soil(typed: Typed) -> DateDoc:
    return _spring_day(typed, _SOIL_MONTHS, "First warm soil")


def _freeze(typed: Typed) -> FreezeDoc:
    for name, what in (("coldest_on", "the day of it"), ("days", "how many days had frost"), ("snow_in", "the snow")):
        if not typed.get(name, "").strip():
            raise LocalRefused(f"A freeze needs {what} too. Where there was none, type 0.")
    air = typed.get("air_min_f", "").strip()
    return FreezeDoc(
        coldest_on=_date(typed["coldest_on"].strip()),
        air_min_f=_number(air) if air else None,
        days_below_freezing=_number(typed["days"].strip()),
        snow_in=_number(typed["snow_in"].strip()),
    )


def _words(typed: Typed) -> WordsDoc:
    return WordsDoc(words=_one_line(typed, "words", LONGEST_NOTE))


def _one_line(typed: Typed, name: str, at_most: int) -> str:
    """Typed words on one line. Raises `LocalRefused` for what is too long or cannot be shown."""
    words = " ".join(typed.get(name, "").split())
    if len(words) > at_most:
        raise LocalRefused(f"That is {len(words)} letters. At most {at_most} fit.")
    if not words.isprintable():
        raise LocalRefused("Plain text only, please.")
    return words


def _date(typed: str) -> date:
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", typed):
        raise LocalRefused(f"{typed[:40]!r} is no date. Type it like 2027-01-16.")
    try:
        return date.fromisoformat(typed)
    except ValueError as error:
        raise LocalRefused(f"{typed!r} is in no calendar. Type a date like 2027-01-16.") from error


def _number(typed: str) -> float:
    if not re.fullmatch(r"-?[0-9]{1,4}(?:\.[0-9]{1,2})?", typed):
        raise LocalRefused(f"{typed[:40]!r} is no number.")
    return float(typed)


_MAKERS: Mapping[Piece, Callable[[Typed], BaseModel]] = {
    Piece.NITROGEN_BAN: _ban,
    Piece.PHOSPHORUS_BAN: _ban,
    Piece.WATERING: _watering,
    Piece.LAST_FROST: _last_frost,
    Piece.WARM_SOIL: _warm_soil,
    Piece.FREEZE: _freeze,
    Piece.CONTACT: _words,
    Piece.NOTE: _words,
}
