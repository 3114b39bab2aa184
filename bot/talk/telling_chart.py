"""The picture of a freeze in words, for whoever cannot see it: the same lows and the same finding."""

from __future__ import annotations

from bot.talk.chart import Reach, TraceChart, TraceValues, alt_values
from bot.talk.messages import Day, LengthIn, Number, Sentences, TemperatureC, Text, text
from rules.units import CM_PER_INCH

_ALT_ENDS = {
    Reach.REACHED: "chart-alt-reached",
    Reach.MAYBE: "chart-alt-maybe",
    Reach.CLEAR: "chart-alt-clear",
}


def alt_of(chart: TraceChart, *, metric: bool) -> Text:
    """What is read out in place of the picture, in about 350 characters."""
    values = alt_values(chart)
    parts = [
        text(
            "chart-alt",
            first=Day(chart.first_on),
            last=Day(chart.on(len(chart.air_c) - 1)),
            air=TemperatureC(values.air_low_c),
            day=Day(values.air_low_on),
            crown=crown_of(values),
            soil=TemperatureC(values.soil_low_c, values.soil_spread_dc),
        ),
        text(_ALT_ENDS[values.reach], hours=Number(values.hours_reached)),
    ]
    if chart.snow_in:
        parts.append(text("chart-alt-snow", snow=snow_of(chart, values, metric=metric)))
    parts.append(text("chart-alt-origin"))
    return text("chart-alt-whole", told=Sentences(tuple(parts)))


def crown_of(values: TraceValues) -> TemperatureC:
    """The lowest of the crowns with its band."""
    return TemperatureC(values.crown_low_c, values.crown_spread_dc)


def snow_of(chart: TraceChart, values: TraceValues, *, metric: bool) -> Text:
    """Its depth in whole centimetres, or in halves of an inch: no finer than a stick in the snow shows it."""
    key = "chart-snow" if chart.snow_is_measured else "chart-snow-guessed"
    step_in = 1 / CM_PER_INCH if metric else 0.5
    return text(key, depth=LengthIn(max(round(values.snow_most_in / step_in), 1) * step_in))
