"""The words of a draft made from an alert, out of the catalogue. Nothing a feed wrote goes to homeowners.

Only the name for operators holds what the alert calls its area.
"""

from __future__ import annotations

from enum import StrEnum

from bot.ops.alerts.alert import Moment
from bot.ops.alerts.meaning import Cold, Product, When
from bot.talk.messages import ClockTime, Day, Text, Value, Verbatim, text
from bot.words import Words


class Tone(StrEnum):
    """What a draft says about an event."""

    FIRST = "first"
    CHANGED = "changed"
    GRAVER = "graver"
    CALLED_OFF = "called-off"


_FIRST = {
    Cold.FROST: "alert-first-frost",
    Cold.FREEZE: "alert-first-freeze",
    Cold.DEEP: "alert-first-deep",
    Cold.SNOW: "alert-first-snow",
}
_LATER = {Tone.CHANGED: "alert-changed", Tone.GRAVER: "alert-graver"}
_NAMES = {
    Tone.FIRST: "alert-draft-first",
    Tone.CHANGED: "alert-draft-changed",
    Tone.GRAVER: "alert-draft-changed",
    Tone.CALLED_OFF: "alert-draft-called-off",
}
MOST_NAME_LETTERS = 120


def words_of(words: Words, product: Product, when: When, tone: Tone) -> str:
    """What homeowners would get: in plain letters, since some get it as a text message."""
    told: dict[str, Value] = {"event": text(product.words)}
    if tone is Tone.CALLED_OFF:
        told["day"] = _day(words, when.begins)
        return words.text(Text(key="alert-called-off", values=told), is_short=True)
    told["when"] = _when(words, when)
    told["before"] = text("alert-before-snow" if product.cold is Cold.SNOW else "alert-before")
    told["after"] = text("alert-after")
    key = _FIRST[product.cold] if tone is Tone.FIRST else _LATER[tone]
    return words.text(Text(key=key, values=told), is_short=True)


def name_of(words: Words, product: Product, when: When, tone: Tone, area: str, states: str) -> str:
    """What the draft is called among operators. `states`: those taken whole, which somebody has to narrow."""
    told: dict[str, Value] = {
        "event": text(product.words),
        "day": Day(when.begins.local.date()),
        "area": Verbatim(area),
    }
    if states:
        told["states"] = Verbatim(states)
    name = words.text(Text(key="alert-draft-wide" if states else _NAMES[tone], values=told))
    name = " ".join(name.split())
    name = name[:1].upper() + name[1:]
    return name if len(name) <= MOST_NAME_LETTERS else name[: MOST_NAME_LETTERS - 3] + "..."


def _when(words: Words, when: When) -> Text:
    """In the clock time of whoever sent the alert."""
    told: dict[str, Value] = {"day": _day(words, when.begins), "from": ClockTime(when.begins.local)}
    if when.ends is None:
        return Text(key="alert-when-open", values=told)
    told["until"] = ClockTime(when.ends.local)
    if when.ends.local.date() == when.begins.local.date():
        return Text(key="alert-when-day", values=told)
    return Text(key="alert-when-days", values={**told, "last": _day(words, when.ends)})


def _day(words: Words, moment: Moment) -> Verbatim:
    """With its weekday, which short messages otherwise leave out."""
    return Verbatim(words.text(text("alert-day", day=Day(moment.local.date()))))
