"""Our own reason for a draft: a forecast cold enough to hurt some grass, whether or not an official alert says so.

Frost and freeze products stop after the first killing freeze, so the night that kills a lawn in January may carry none.
What is told are odds: a forecast is uncertain, and so is what a grass stands. Nothing is known of single lawns here, so
the figures are for an open one on a usual soil, without snow.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, timezone

import numpy as np

from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.alerts.wording import MOST_NAME_LETTERS
from bot.ops.regions.audience import Audience
from bot.ops.regions.shapes import Shape
from bot.talk.messages import Chance, Day, TemperatureC, Verbatim, text
from bot.words import Words
from rules.facts.cold import NOT_FREEZING_ABOVE_C
from rules.grasses import GrassCode, tolerance
from rules.site_cold import ColdTold, SpotTraits, told_site_cold
from rules.survival import injuries, survival, top_survival
from rules.weather import HourlyWeather, daily_of

FORECAST_SD_DC = 2.0
"""Doubt about a forecast minimum some days ahead, at a street within a region. [degC] Expert judgement."""
AT_RISK_PROBABILITY = 0.3
"""From these odds of losing some of what grows on top a grass is at risk. Expert judgement: with them St. Augustine is
from about 26 F and bermuda from about 23 F, where field reports begin to tell of damage."""
SPREAD_TOLD_DC = 2.0
OF_USE_UNTIL = time(12)  # of the day after the coldest


@dataclass(frozen=True, slots=True, kw_only=True)
class ColdAhead:
    """The coldest day of a forecast. [degC] `days_below_freezing` counts the days around it with frost, itself too."""

    coldest_on: date
    air_min_c: float
    days_below_freezing: int
    utc_offset_hours: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRisk:
    """A grass that may be hurt, with its odds of losing some of what grows on top, and nearly all of it for good."""

    grass: GrassCode
    some_lost_probability: float
    nearly_all_lost_probability: float


def cold_ahead(hourly: HourlyWeather, from_on: date) -> ColdAhead | None:
    """The coldest day from a local day on; None when none is told or none freezes."""
    daily = daily_of(hourly)
    minima = {
        day: float(air_c)
        for day, air_c in zip(daily.days.astype(date), daily.air_min_c, strict=True)
        if day >= from_on and np.isfinite(air_c)
    }
    coldest_on = min(minima, key=lambda day: (minima[day], day), default=None)
    if coldest_on is None or minima[coldest_on] > NOT_FREEZING_ABOVE_C.value:
        return None
    return ColdAhead(
        coldest_on=coldest_on,
        air_min_c=minima[coldest_on],
        days_below_freezing=_frosts_around(coldest_on, minima),
        utc_offset_hours=hourly.utc_offset_hours,
    )


def _frosts_around(coldest_on: date, minima: dict[date, float]) -> int:
    count = 1
    for step in (timedelta(days=-1), timedelta(days=1)):
        day = coldest_on + step
        while minima.get(day, 0.0) < 0:
            count, day = count + 1, day + step
    return count


def grasses_at_risk(
    ahead: ColdAhead, latitude: float, grasses: Iterable[GrassCode] = tuple(GrassCode)
) -> tuple[AtRisk, ...]:
    """The grasses among those given that may be hurt, the likeliest first. Raises `OutOfRange` far north or south."""
    told = ColdTold(
        air_min_c=ahead.air_min_c,
        air_sd_dc=FORECAST_SD_DC,
        days_below_freezing=float(ahead.days_below_freezing),
        snow_in=0.0,
        coldest_on=ahead.coldest_on,
    )
    cold, traits = told_site_cold(told, latitude, SpotTraits()), SpotTraits()
    found = []
    for grass in grasses:
        stands = tolerance(grass)
        hurt = injuries(cold, survival(cold, grass, stands, traits), top_survival(cold, grass, stands, traits))
        if hurt.some_lost_probability >= AT_RISK_PROBABILITY:
            found.append(
                AtRisk(
                    grass=grass,
                    some_lost_probability=hurt.some_lost_probability,
                    nearly_all_lost_probability=hurt.nearly_all_lost_probability,
                )
            )
    return tuple(sorted(found, key=lambda each: (-each.some_lost_probability, each.grass)))


def own_draft(
    words: Words, region: str, shape: Shape, ahead: ColdAhead, at_risk: Sequence[AtRisk], near: str = ""
) -> NewAdvisory:
    """The draft for owners of the grasses at risk, at least one. `near`: where it is coldest, in a region of several
    forecasts, as "town, state"; then it is told as such, since elsewhere it stays milder."""
    day = Verbatim(words.text(text("alert-day", day=Day(ahead.coldest_on))))
    told = text(
        "alert-own-near" if near else "alert-own",
        day=day,
        air=TemperatureC(ahead.air_min_c, SPREAD_TOLD_DC),
        before=text("alert-before"),
        after=text("alert-after"),
        near=Verbatim(near.partition(",")[0]),
    )
    first = at_risk[0]
    name = text(
        "alert-draft-own-near" if near else "alert-draft-own",
        day=day,
        region=Verbatim(region),
        near=Verbatim(near),
        grass=text(f"grass-name-{first.grass}"),
        chance=Chance(first.some_lost_probability),
    )
    return NewAdvisory(
        name=words.text(name)[:MOST_NAME_LETTERS],
        words=words.text(told, is_short=True),
        audience=Audience(shape=shape, grasses=frozenset(str(each.grass) for each in at_risk)),
        is_pressing=True,
        useful_until=useful_until(ahead),
    )


def useful_until(ahead: ColdAhead) -> datetime:
    """Until when there is something to do about it: noon after the coldest day, in local standard time."""
    zone = timezone(timedelta(hours=ahead.utc_offset_hours))
    return datetime.combine(ahead.coldest_on + timedelta(days=1), OF_USE_UNTIL, tzinfo=zone)
