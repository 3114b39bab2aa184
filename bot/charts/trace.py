"""The picture of one freeze: air, crowns with their doubt, soil 2 in down, and where this grass suffers."""

from __future__ import annotations

from dataclasses import dataclass

from bot.talk.chart import TraceChart


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceWords:
    """The words in the picture, finished: in the reader's language and units. `trace_words` makes them.

    title, finding, origin : over the picture; the finding is one or two short sentences
    air, crown, likely, soil, suffers, snow : written at what they name; likely is the crown's band
    air_low, crown_low, soil_low : the lowest of each line, with its unit
    """

    title: str
    finding: str
    air: str
    crown: str
    likely: str
    soil: str
    suffers: str
    snow: str
    origin: str
    air_low: str
    crown_low: str
    soil_low: str


def draw_trace(chart: TraceChart, *, words: TraceWords, metric: bool, language: str) -> bytes:
    """A PNG of 720 x 640 px, for a screen 360 px wide. The same input gives the same bytes; nothing else is in it.

    `language` names the days. Takes a few tenths of a second, so call it off the event loop; safe from any thread.
    """
    from bot.charts.trace_figure import TraceFigure  # loading its plotting library takes longer than all the rest

    return TraceFigure(chart, words=words, metric=metric, language=language).sheet.png()
