"""A piece of what is said of a region in one line, for whoever works there."""

from __future__ import annotations

from bot.errors import AfterfrostError
from bot.ops.local.pieces import Piece, Said, read
from bot.talk.known import FreezeReport, LocalDate, WateringRule
from bot.talk.local import spans_told, watering_text
from bot.talk.messages import DayOfYear, LengthIn, Number, TemperatureC, Text, Value, Verbatim, text
from rules.feed_bans import FeedBan


def told(piece: str, doc: str | None) -> Text:
    """What a piece says; of one that no longer reads that it does not."""
    if doc is None:
        return text("local-told-nothing")
    try:
        return _told(read(Piece(piece), doc))
    except (AfterfrostError, ValueError):
        return text("local-told-unread")


def _told(said: Said) -> Text:
    match said:
        case FeedBan():
            values: dict[str, Value] = {"code": Verbatim(said.code), "times": spans_told(said)}
            if said.until_on is None:
                return text("local-told-ban", **values)
            return text("local-told-ban-until", **values, last=Verbatim(said.until_on.isoformat()))
        case WateringRule():
            return watering_text(said, "local-told-watering")
        case LocalDate():
            key = "local-told-date-exact" if said.is_exact else "local-told-date"
            when: Value = Verbatim(str(said.year)) if said.year is not None else text("local-every-year")
            return text(key, day=DayOfYear(*said.on), year=when)
        case FreezeReport():
            return _freeze_told(said)
        case str():
            return text("local-told-words", words=Verbatim(said))


def _freeze_told(said: FreezeReport) -> Text:
    values: dict[str, Value] = {
        "day": Verbatim(said.coldest_on.isoformat() if said.coldest_on else ""),
        "count": Number(said.days_below_freezing),
        "snow": LengthIn(said.snow_in),
    }
    if said.air_min_c is None:
        return text("local-told-freeze", **values)
    return text("local-told-freeze-air", **values, air=TemperatureC(said.air_min_c))
