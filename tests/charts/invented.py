"""Charts for tests: from invented weather through the real model, and plain ones made by hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from functools import cache

import numpy as np

from bot.charts.trace import TraceWords
from bot.charts.wording import trace_words
from bot.talk.chart import TraceChart, trace_chart
from bot.words import Words
from rules.grasses import GrassCode, tolerance
from rules.modelled_cold import ground_under, modelled_site_cold
from rules.site_cold import SpotTraits
from rules.station_ground import places_of
from rules.survival import effective_lt50_c
from rules.trace import days_around, freeze_trace, half_die_band_c
from rules.weather import DailyWeather, Station

WORDS = Words()
DAYS, COLD_FROM = 60, 42
FIRST = np.datetime64("2026-12-05", "D")


def weather(
    lows_c: Sequence[float], highs_c: Sequence[float], mild_c: tuple[float, float], snow_cm: float
) -> DailyWeather:
    """Sixty days at Pinders Mill on the Tarrow coast, mild but for one freeze."""
    cold = slice(COLD_FROM, COLD_FROM + len(lows_c))
    wobble = 2 * np.sin(np.arange(DAYS) * 1.7)
    low, high, snow = mild_c[0] + wobble, mild_c[1] + wobble, np.zeros(DAYS)
    low[cold], high[cold], snow[cold] = lows_c, highs_c, snow_cm
    unknown = {name: np.full(DAYS, np.nan) for name in ("air_mean_c", "solar_mj_per_m2", "soil_moisture_2in_fraction")}
    return DailyWeather(
        station=Station(
            code="T1", name="Pinders Mill", latitude=31.62, longitude=-81.75, elevation_m=20.0, network="invented"
        ),
        days=FIRST + np.arange(DAYS),
        air_min_c=low,
        air_max_c=high,
        rain_mm=np.zeros(DAYS),
        snow_depth_cm=snow,
        soil_2in_c=np.full(DAYS, np.nan),
        soil_4in_c=np.full(DAYS, np.nan),
        **unknown,
    )


def chart_of(
    code: GrassCode,
    lows_c: Sequence[float],
    highs_c: Sequence[float],
    *,
    mild_c: tuple[float, float] = (4.0, 15.0),
    snow_cm: float = 0.0,
) -> TraceChart:
    """The whole way from a station's days to a chart."""
    ground = ground_under(places_of(weather(lows_c, highs_c, mild_c, snow_cm)))
    first_on: date = (FIRST + COLD_FROM).item()
    freeze = first_on, first_on + timedelta(days=len(lows_c) - 1)
    cold = modelled_site_cold(ground, 0, *freeze, SpotTraits())
    suffers_c = half_die_band_c(*effective_lt50_c(cold, code, tolerance(code, None)))
    return trace_chart(freeze_trace(ground, 0, *days_around(ground, 0, *freeze), SpotTraits()), suffers_c)


NAMES = ("four days", "very hard", "deep snow", "mild", "fourteen days", "lines together")
"""Of the charts below: making them takes a second, and every worker collects all tests."""


@cache
def charts() -> dict[str, TraceChart]:
    """The freezes every picture has to be readable for."""
    long_c = (
        [-3.0, -6, -7, -9, -5, -4, -8, -11, -12, -7, -5, -6, -4, -3],
        [5.0, 3, 1, 0, 4, 6, 2, -2, -1, 3, 5, 4, 6, 8],
    )
    return {
        "four days": chart_of(GrassCode.ST_AUGUSTINE, [-2, -6, -8.3, -5], [7, 2, 3, 9]),
        "very hard": chart_of(GrassCode.CENTIPEDE, [-4, -13, -17, -9], [3, -3, -4, 5]),
        "deep snow": chart_of(
            GrassCode.BERMUDA, [-4, -14, -19, -16, -8], [1, -5, -8, -3, 1], mild_c=(0, 8), snow_cm=30
        ),
        "mild": chart_of(GrassCode.ZOYSIA, [-2.5, -3.5], [11, 10]),
        "fourteen days": chart_of(GrassCode.BERMUDA, *long_c, mild_c=(1, 10)),
        "lines together": by_hand(air=[2.1] * 48, crown=[2.0] * 48, soil=[1.9] * 48),
    }


def by_hand(
    *,
    air: Sequence[float],
    crown: Sequence[float],
    soil: Sequence[float],
    suffers_c: tuple[float, float] = (-6.0, -3.0),
) -> TraceChart:
    """A chart of whole days with an hour a step."""
    days = len(air) // 24
    return TraceChart(
        first_on=date(2027, 1, 16),
        step_hours=1,
        air_c=tuple(air),
        crown_c=tuple(crown),
        soil_2in_c=tuple(soil),
        crown_spread_dc=(4.1,) * days,
        soil_spread_dc=(1.7,) * days,
        suffers_low_c=suffers_c[0],
        suffers_high_c=suffers_c[1],
    )


def words_of(chart: TraceChart, *, metric: bool = False) -> TraceWords:
    return trace_words(chart, WORDS, language="en", metric=metric)
