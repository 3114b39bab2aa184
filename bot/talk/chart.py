"""The picture of a freeze as plain numbers: small enough to be stored within a message, drawn in `bot/charts`.

Nothing here depends on a language or a unit system.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING

from rules.errors import NotEnoughData
from rules.units import HOURS_PER_DAY

if TYPE_CHECKING:
    from rules.trace import FreezeTrace  # brings numpy, which a talk does without

MOST_POINTS = 150  # of a line: a point for every 3 px of a phone's picture
_STEPS_HOURS = (1, 2, 3, 4, 6, 8, 12)
_LEAST_SNOW_IN = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceChart:
    """What a picture of one freeze shows. Temperatures in hundredths of a degree Celsius.

    air_c, crown_c, soil_2in_c : one value a step, from midnight (local standard time) of `first_on`
    crown_spread_dc, soil_spread_dc : half the width of the 90 % band, one value a day
    snow_in : snow lying, one value a day; empty where there was none
    suffers_low_c, suffers_high_c : between these, half of what grows on top dies
    """

    first_on: date
    step_hours: int
    air_c: tuple[float, ...]
    crown_c: tuple[float, ...]
    soil_2in_c: tuple[float, ...]
    crown_spread_dc: tuple[float, ...]
    soil_spread_dc: tuple[float, ...]
    suffers_low_c: float
    suffers_high_c: float
    snow_in: tuple[float, ...] = ()
    snow_is_measured: bool = True

    def __post_init__(self) -> None:
        points, days = len(self.air_c), len(self.crown_spread_dc)
        fits = points == len(self.crown_c) == len(self.soil_2in_c) and points * self.step_hours == days * HOURS_PER_DAY
        if not days or not fits or days != len(self.soil_spread_dc) or len(self.snow_in) not in (0, days):
            raise NotEnoughData("a chart needs its lines for the same whole days, and a spread for each day")

    @property
    def days(self) -> int:
        """How many days it shows."""
        return len(self.crown_spread_dc)

    def day_of(self, step: int) -> int:
        """Which day a step belongs to, counted from 0."""
        return step * self.step_hours // HOURS_PER_DAY

    def on(self, step: int) -> date:
        """The date of a step."""
        return self.first_on + timedelta(days=self.day_of(step))


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfDie:
    """The temperature at which half of what grows on top of a grass dies, with its standard deviation. [degC]"""

    middle_c: float
    sd_dc: float


class Reach(StrEnum):
    """How the crowns stood to where their grass suffers."""

    CLEAR = "clear"  # even the cold edge of their band stayed warmer
    MAYBE = "maybe"  # only their band reached it
    REACHED = "reached"  # the estimate itself did


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceValues:
    """What the words beside the picture need. [degC, in, h] Spreads are half the width of the 90 % band.

    hours_reached : how long the crown's estimate was where its grass suffers
    """

    air_low_c: float
    air_low_on: date
    crown_low_c: float
    crown_spread_dc: float
    crown_low_on: date
    soil_low_c: float
    soil_spread_dc: float
    reach: Reach
    hours_reached: int
    snow_most_in: float


def trace_chart(trace: FreezeTrace, suffers_c: tuple[float, float]) -> TraceChart:
    """A chart from a trace and the band (colder, warmer edge) in which half of this grass's growing points die."""
    hours = len(trace.times)
    step = next((each for each in _STEPS_HOURS if hours <= MOST_POINTS * each), HOURS_PER_DAY)
    by_day = slice(None, None, HOURS_PER_DAY)
    has_snow = bool((trace.snow_in >= _LEAST_SNOW_IN).any())
    return TraceChart(
        first_on=trace.days[0].item(),
        step_hours=step,
        air_c=_thinned(trace.air_c.tolist(), step),
        crown_c=_thinned(trace.crown_c.tolist(), step),
        soil_2in_c=_thinned(trace.soil_2in_c.tolist(), step),
        crown_spread_dc=_finely((trace.crown_high_c - trace.crown_c)[by_day].tolist()),
        soil_spread_dc=_finely((trace.soil_high_c - trace.soil_2in_c)[by_day].tolist()),
        suffers_low_c=round(min(suffers_c), 1),
        suffers_high_c=round(max(suffers_c), 1),
        snow_in=_tenths(trace.snow_in.tolist()) if has_snow else (),
        snow_is_measured=bool(trace.snow_is_measured[trace.snow_in >= _LEAST_SNOW_IN].all()),
    )


def alt_values(chart: TraceChart) -> TraceValues:
    """The lowest of each line and when, and how the crowns stood to where their grass suffers."""
    air, crown, soil = (_lowest(line) for line in (chart.air_c, chart.crown_c, chart.soil_2in_c))
    reached = [value <= chart.suffers_high_c for value in chart.crown_c]
    return TraceValues(
        air_low_c=chart.air_c[air],
        air_low_on=chart.on(air),
        crown_low_c=chart.crown_c[crown],
        crown_spread_dc=chart.crown_spread_dc[chart.day_of(crown)],
        crown_low_on=chart.on(crown),
        soil_low_c=chart.soil_2in_c[soil],
        soil_spread_dc=chart.soil_spread_dc[chart.day_of(soil)],
        reach=_reach(chart),
        hours_reached=sum(reached) * chart.step_hours,
        snow_most_in=max(chart.snow_in, default=0.0),
    )


def _reach(chart: TraceChart) -> Reach:
    if min(chart.crown_c) <= chart.suffers_high_c:
        return Reach.REACHED
    edges = (value - chart.crown_spread_dc[chart.day_of(step)] for step, value in enumerate(chart.crown_c))
    return Reach.MAYBE if min(edges) <= chart.suffers_high_c else Reach.CLEAR


def _lowest(line: Sequence[float]) -> int:
    return min(range(len(line)), key=line.__getitem__)


def _thinned(hourly: Sequence[float], step: int) -> tuple[float, ...]:
    """One value a step: the hour in its middle, or the day's lowest or highest where the step holds it."""
    kept = []
    for first in range(0, len(hourly), step):
        midnight = first // HOURS_PER_DAY * HOURS_PER_DAY
        day, held = hourly[midnight : midnight + HOURS_PER_DAY], hourly[first : first + step]
        edges = [edge for edge in (min(day), max(day)) if edge in held]
        kept.append(edges[0] if edges else held[step // 2])
    return _finely(kept)


def _finely(values: Sequence[float]) -> tuple[float, ...]:
    """To a hundredth, so that a low told beside the picture rounds to the same degree."""
    return tuple(round(value, 2) + 0.0 for value in values)


def _tenths(values: Sequence[float]) -> tuple[float, ...]:
    return tuple(round(value, 1) + 0.0 for value in values)
