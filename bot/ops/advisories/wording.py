"""Reasons and channels as an operator reads them, on the page and on the command line."""

from __future__ import annotations

from collections.abc import Mapping

from bot.ops.advisories.advisory import State
from bot.ops.advisories.deciding import Why
from bot.ops.advisories.filling import Figure
from bot.talk.messages import text
from bot.words import Words

TURN = "turn"
"""What those wait for of whom nothing else is known: their turn."""

STATES: Mapping[str, str] = {
    State.DRAFT: "advisory-state-draft",
    State.APPROVED: "advisory-state-approved",
    State.GOING_OUT: "advisory-state-going",
    State.PAUSED: "advisory-state-paused",
    State.FINISHED: "advisory-state-finished",
    State.DROPPED: "advisory-state-dropped",
}
REASONS: Mapping[str, str] = {
    Why.NO_CHANNEL: "advisory-why-channel",
    Why.UNREACHABLE: "advisory-why-unreachable",
    Why.OPTED_OUT: "advisory-why-opted-out",
    Why.NO_CONSENT: "advisory-why-consent",
    Why.QUIET: "advisory-why-quiet",
    Why.HELD: "advisory-why-held",
    Why.TODAY: "advisory-why-today",
    Why.HOURS: "advisory-why-hours",
    Why.NO_FIGURES: "advisory-why-figures",
    Why.LATE: "advisory-why-late",
    Why.STOPPED: "advisory-why-stopped",
    Why.OVERTAKEN: "advisory-why-overtaken",
    Why.GONE: "advisory-why-gone",
    Why.BROKEN: "advisory-why-broken",
    Why.REFUSED: "advisory-why-refused",
    TURN: "advisory-why-turn",
}
FIGURES: Mapping[str, str] = {
    Figure.PLACE: "advisory-figure-place",
    Figure.GRASS: "advisory-figure-grass",
    Figure.COLDEST_SOIL: "advisory-figure-soil",
    Figure.COLDEST_RUNNERS: "advisory-figure-runners",
    Figure.ALIVE: "advisory-figure-alive",
    Figure.JUDGING_DAY: "advisory-figure-judging",
}
CHANNELS: Mapping[str, str] = {
    "web": "advisory-channel-web",
    "sms": "advisory-channel-sms",
    "telegram": "advisory-channel-telegram",
    "terminal": "advisory-channel-terminal",
}


def reasons_told(words: Words, reasons: Mapping[str, int] | Mapping[Why, int]) -> list[tuple[str, int]]:
    """Reasons in words with their numbers, the commonest first."""
    in_order = sorted(((str(why), count) for why, count in reasons.items()), key=lambda each: (-each[1], each[0]))
    return [(words.text(text(REASONS[why])), count) for why, count in in_order if count]


def channel_told(words: Words, channel: str) -> str:
    """A channel in words."""
    key = CHANNELS.get(channel)
    return channel if key is None else words.text(text(key))
