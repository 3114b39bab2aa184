"""The picture of a spot's green in words, for whoever cannot see it: first and last reading, and what to expect.

A direction is told only where the change is more than chance shows.
"""

from __future__ import annotations

from bot.talk.cover_chart import CoverAt, CoverChange, CoverChart, CoverReading
from bot.talk.messages import Day, Number, Sentences, Text, text

_CHANGES = {
    CoverChange.GREENER: "alt-cover-greener",
    CoverChange.BROWNER: "alt-cover-browner",
    CoverChange.UNCLEAR: "alt-cover-unclear",
}


def cover_alt(chart: CoverChart, where: Text) -> Text:
    """What is read out in place of the picture, in about 300 characters. `where` names the spot within a sentence."""
    day, last = Day(chart.last.on), range_of(chart.last)
    if chart.change is CoverChange.FIRST:
        parts = [text("alt-cover-one", where=where, day=day, last=last)]
    else:
        first_day, first = Day(chart.first.on), range_of(chart.first)
        parts = [
            text("alt-cover-two", where=where, first_day=first_day, first=first, day=day, last=last),
            text(_CHANGES[chart.change]),
        ]
    if chart.later is not None:
        parts.append(text("alt-cover-later", day=Day(chart.later.on), cover=range_of(chart.later)))
    if chart.judging_on is not None:
        parts.append(text("alt-cover-judging", day=Day(chart.judging_on, chart.judging_is_about)))
    return text("alt-cover-whole", told=Sentences(tuple(parts)))


def range_of(cover: CoverAt | CoverReading) -> Text:
    """Cover in whole percent with its likely range."""
    n, low, high = (Number(round(each)) for each in (cover.percent, cover.low_percent, cover.high_percent))
    return percent_of(cover.percent) if low == high else text("chart-percent-range", n=n, low=low, high=high)


def percent_of(percent: float) -> Text:
    """A figure in whole percent."""
    return text("chart-percent", n=Number(round(percent)))
