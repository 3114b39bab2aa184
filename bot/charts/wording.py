"""The words in the pictures and beside them, from the catalogues."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.charts.cover import RUNGS_PERCENT, CoverWords
from bot.charts.limit import LimitWords
from bot.charts.trace import TraceWords
from bot.talk.chart import Reach, TraceChart, alt_values
from bot.talk.cover_chart import CoverChange, CoverChart
from bot.talk.messages import Day, Number, TemperatureC, Text, Verbatim, text
from bot.talk.telling import named_grass
from bot.talk.telling_chart import alt_of, crown_of, snow_of
from bot.talk.telling_cover_chart import percent_of, range_of
from bot.words import Words
from rules.grasses import grass as grass_of
from rules.units import c_to_f

if TYPE_CHECKING:
    from rules.lt50_curve import SurvivalCurve
    from rules.lt50_fit import FoundShift

_FINDINGS = {
    Reach.REACHED: "chart-finding-reached",
    Reach.MAYBE: "chart-finding-maybe",
    Reach.CLEAR: "chart-finding-clear",
}
_COVER_FINDINGS = {
    CoverChange.FIRST: "chart-cover-finding-first",
    CoverChange.UNCLEAR: "chart-cover-finding-unclear",
    CoverChange.GREENER: "chart-cover-finding-greener",
    CoverChange.BROWNER: "chart-cover-finding-browner",
}
_DAYS_PER_WEEK = 7


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


def cover_words(chart: CoverChart, words: Words, *, language: str) -> CoverWords:
    """What stands in the picture of a spot's green, in the reader's language. It has no units but percent and days."""

    def told(message: Text) -> str:
        return words.text(message, language=language)

    later, judging_on, is_alone = chart.later, chart.judging_on, chart.change is CoverChange.FIRST
    weeks = max(round((later.on - chart.last.on).days / _DAYS_PER_WEEK), 1) if later else 0
    finding = text(_COVER_FINDINGS[chart.change], first=percent_of(chart.first.percent), last=range_of(chart.last))
    judging = text("chart-cover-judging", day=Day(judging_on, chart.judging_is_about)) if judging_on else None
    return CoverWords(
        title=told(text("chart-cover-title")),
        finding=told(finding),
        photo=told(text("chart-cover-photo")),
        other=told(text("chart-cover-other")),
        trend=told(text("chart-cover-trend")),
        later=told(text("chart-cover-later", weeks=Number(weeks))),
        judging=told(judging) if judging else "",
        first_figure="" if is_alone else told(percent_of(chart.first.percent)),
        last_figure=told(percent_of(chart.last.percent)),
        later_figure=told(percent_of(later.percent)) if later else "",
        rungs=tuple(told(percent_of(each)) for each in RUNGS_PERCENT),
    )


def limit_words(curve: SurvivalCurve, found: FoundShift, words: Words, *, language: str, metric: bool) -> LimitWords:
    """What stands in the picture of what survived, in the reader's language and units."""

    def told(message: Text) -> str:
        return words.text(message, language=language, metric=metric)

    shift = found.found
    finding = text(
        "chart-limit-finding" if found.is_enough else "chart-limit-finding-few",
        found=_to_a_tenth(curve.found_c, metric=metric),
        low=_to_a_tenth(curve.published_c + shift.low_dc, metric=metric),
        high=_to_a_tenth(curve.published_c + shift.high_dc, metric=metric),
        published=_to_a_tenth(curve.published_c, metric=metric),
    )
    has_rhizomes = grass_of(curve.code).has_rhizomes
    grass = told(named_grass(curve.code, curve.cultivar or ""))
    return LimitWords(
        title=told(text("chart-limit-title", grass=Verbatim(grass[:1].upper() + grass[1:]))),
        finding=told(finding),
        found=told(text("chart-limit-found", lawns=Number(round(found.lawns)))),
        published=told(text("chart-limit-published")),
        seen=told(text("chart-limit-seen")) if curve.seen else "",
        up=told(text("chart-limit-up-rhizomes" if has_rhizomes else "chart-limit-up")),
        across=told(text("chart-limit-across")),
        rungs=tuple(told(percent_of(each)) for each in RUNGS_PERCENT),
    )


def _to_a_tenth(value_c: float, *, metric: bool) -> Text:
    """A shift is a degree or two: whole degrees would hide it."""
    return text("chart-limit-degrees", n=Number(round(value_c if metric else c_to_f(value_c), 1)))
