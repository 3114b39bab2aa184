"""The words in and beside the picture of a freeze, from the catalogues."""

from __future__ import annotations

from bot.charts.trace import TraceWords
from bot.talk.chart import Reach, TraceChart, alt_values
from bot.talk.messages import TemperatureC, Text, text
from bot.talk.telling_chart import alt_of, crown_of, snow_of
from bot.words import Words

_FINDINGS = {
    Reach.REACHED: "chart-finding-reached",
    Reach.MAYBE: "chart-finding-maybe",
    Reach.CLEAR: "chart-finding-clear",
}


def trace_words(chart: TraceChart, words: Words, *, language: str, metric: bool) -> TraceWords:
    """What stands in the picture, in the reader's language and units."""
    values = alt_values(chart)

    def told(message: Text) -> str:
        return words.text(message, language=language, metric=metric)

    def degrees(value_c: float) -> str:
        return told(text("chart-degrees", degrees=TemperatureC(value_c)))

    return TraceWords(
        title=told(text("chart-title")),
        finding=told(text(_FINDINGS[values.reach], crown=crown_of(values))),
        air=told(text("chart-air")),
        crown=told(text("chart-crown")),
        likely=told(text("chart-likely")),
        soil=told(text("chart-soil")),
        suffers=told(text("chart-suffers")),
        snow=told(snow_of(chart, values, metric=metric)),
        origin=told(text("chart-origin")),
        air_low=degrees(values.air_low_c),
        crown_low=degrees(values.crown_low_c),
        soil_low=degrees(values.soil_low_c),
    )


def alt_text(chart: TraceChart, words: Words, *, language: str, metric: bool) -> str:
    """What is read out in place of the picture, in about 350 characters."""
    return words.text(alt_of(chart, metric=metric), language=language, metric=metric)
