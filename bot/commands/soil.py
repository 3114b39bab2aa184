"""`afterfrost soil`: what the ground under a lawn did, from a file of measured weather."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np

from bot.talk.messages import Day, Number, TemperatureC, Text, Verbatim, text
from bot.weather.files import read_weather
from bot.words import Words
from rules.station_ground import StationGround, station_ground
from rules.weather import DailyWeather, HourlyWeather, daily_of

COLDEST_DAYS_TOLD = 5


def ground_of(file: Path, **where: Any) -> StationGround:
    """Read a file of weather, hourly or daily, and run it through the model. `where`: as `read_weather` takes it."""
    weather: DailyWeather | HourlyWeather = read_weather(file, **where)
    return station_ground(weather if isinstance(weather, DailyWeather) else daily_of(weather))


def _json(ground: StationGround) -> str:
    """One object a day, field names with their units, two decimals."""
    return json.dumps([_day(ground, at) for at in range(len(ground.days))], indent=1)


def _day(ground: StationGround, at: int) -> dict[str, Any]:
    told: dict[str, Any] = {"date": str(ground.days[at])}
    for name in _TEMPERATURES:
        told[name] = round(float(getattr(ground, name)[at]), 2)
    for name in ("is_filled", "is_settling", "is_beyond_measured"):
        told[name] = bool(getattr(ground, name)[at])
    return told


_TEMPERATURES = (
    "air_min_c",
    "crown_min_c",
    "soil_2in_mean_c",
    "soil_2in_low_c",
    "soil_2in_high_c",
    "soil_4in_mean_c",
)


def soil_command(file: Path, *, daily: bool, as_json: bool, metric: bool, **where: Any) -> str:
    """What `afterfrost soil` prints."""
    ground = ground_of(file, **where)
    return _json(ground) if as_json else _told(ground, every_day=daily, metric=metric)


def _told(ground: StationGround, *, every_day: bool, metric: bool) -> str:
    """The coldest nights for a crown, or every day, in words: air, crown, and the soil 2 and 4 in down."""
    settled = np.flatnonzero(~ground.is_settling)
    coldest = settled[np.argsort(ground.crown_min_c[settled])[:COLDEST_DAYS_TOLD]]
    days = range(len(ground.days)) if every_day else sorted(coldest)
    parts = [] if every_day else [text("soil-head", n=Number(len(coldest)))]
    parts += [_line(ground, int(at)) for at in days]
    parts.append(text("soil-note"))
    if ground.is_filled.any():
        parts.append(text("soil-filled", n=Number(int(ground.is_filled.sum()))))
    if ground.is_beyond_measured.any():
        parts.append(text("soil-beyond"))
    words = Words()
    return "\n".join(words.text(part, metric=metric) for part in parts)


def _line(ground: StationGround, at: int) -> Text:
    half = (ground.soil_2in_high_c[at] - ground.soil_2in_low_c[at]) / 2
    return text(
        "soil-day",
        day=Day(ground.days[at].astype(object)),
        year=Verbatim(str(ground.days[at])[:4]),
        air=TemperatureC(float(ground.air_min_c[at])),
        crown=TemperatureC(float(ground.crown_min_c[at])),
        two=TemperatureC(float(ground.soil_2in_mean_c[at]), float(half)),
        four=TemperatureC(float(ground.soil_4in_mean_c[at])),
    )
