"""`afterfrost soil`: what the ground under a lawn did, from a file of measured weather."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
import numpy as np

from bot.errors import AfterfrostError
from bot.talk.messages import Day, LengthIn, Number, TemperatureC, Text, Value, Verbatim, text
from bot.weather.files import read_weather
from bot.words import Words
from rules.errors import OutOfRange, require_range
from rules.facts.soil import READING_SD_DC
from rules.facts.weather import SOIL_C
from rules.lawn_setting import Cover, Exposure, LawnSetting, Moisture, SoilKind
from rules.soil_blend import is_winter
from rules.soil_learning import Taught, joined
from rules.station_ground import StationGround, readings_beside, station_ground
from rules.units import dc_to_df, f_to_c
from rules.weather import DailyWeather, HourlyWeather, between, daily_of

if TYPE_CHECKING:
    from bot.commands.soil_plot import PlotWanted

COLDEST_DAYS_TOLD = 5
LEAST_SNOW_TOLD_IN = 0.1
SAME_PLACE_DEGREES = 0.02  # about a mile and a half
_READING = re.compile(r"(\d{4}-\d{2}-\d{2})=(-?\d+(?:\.\d+)?) ?°?([FfCc]?)")


class TeachingError(AfterfrostError):
    """Readings or an earlier winter that cannot teach anything here; the message says why and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a soil thermometer 2 in down showed on a day. [degC]"""

    on: date
    soil_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SoilWanted:
    """Which lawn, what teaches (an earlier winter's file, single readings), and the picture to draw."""

    setting: LawnSetting
    learn_from: Path | None = None
    readings: tuple[Reading, ...] = ()
    plot: PlotWanted | None = None


def snow_in_of(typed: str) -> float:
    """Depth of snow as typed, in inches; "none" is 0. Raises ValueError with what to type."""
    if typed.strip().lower() == "none":
        return 0.0
    try:
        return LawnSetting(snow_in=float(typed)).snow_in or 0.0
    except OutOfRange as error:
        raise ValueError(f"{typed} is not a depth of snow: give 0 to 60 inches, or none.") from error
    except ValueError as error:
        raise ValueError(f'"{typed}" is not a depth of snow: give inches, like 3, or none.') from error


def reading_of(typed: str) -> Reading:
    """A thermometer's reading as typed, DATE=TEMP with F or C; F where none stands. Raises ValueError."""
    found = _READING.fullmatch(typed.strip())
    if found is None:
        raise ValueError(f'"{typed}" is not a reading: give a day and a temperature, like 2027-01-09=41F.')
    on, number, unit = found.groups()
    soil_c = float(number) if unit.upper() == "C" else f_to_c(float(number))
    try:
        return Reading(on=date.fromisoformat(on), soil_c=require_range("soil", soil_c, SOIL_C.low, SOIL_C.high, "°C"))
    except ValueError as error:
        raise ValueError(f'"{typed}" is not a reading: {error}.') from error


# --- from the file to the ground ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grounds:
    """The ground as the weather alone has it, and with what was learned; the weather it comes from."""

    daily: DailyWeather
    plain: StationGround
    told: StationGround


def grounds_of(file: Path, wanted: SoilWanted, **where: Any) -> Grounds:
    """Read a file of weather, hourly or daily, and run it through the model. `where`: as `read_weather` takes it."""
    daily = _daily(file, **where)
    plain = station_ground(daily, wanted.setting)
    taught = []
    if wanted.learn_from is not None:
        taught.append(_earlier_winters(_daily(wanted.learn_from, **where), daily, wanted))
    if wanted.readings:
        taught.append(_single_readings(plain, wanted.readings))
    told = station_ground(daily, wanted.setting, joined(taught)) if taught else plain
    return Grounds(daily=daily, plain=plain, told=told)


def _daily(file: Path, **where: Any) -> DailyWeather:
    weather: DailyWeather | HourlyWeather = read_weather(file, **where)
    return weather if isinstance(weather, DailyWeather) else daily_of(weather)


def _earlier_winters(teacher: DailyWeather, daily: DailyWeather, wanted: SoilWanted) -> Taught:
    """The days of another file before this one's: later days must not teach earlier ones."""
    name = f"--learn-from {wanted.learn_from}"
    apart = np.hypot(
        teacher.station.latitude - daily.station.latitude, teacher.station.longitude - daily.station.longitude
    )
    if apart > SAME_PLACE_DEGREES or teacher.station.code != daily.station.code:
        raise TeachingError(
            f"{name} is of {teacher.station.code or 'another place'}, not of {daily.station.code or 'this place'}. "
            "Give an earlier winter of the same station."
        )
    if teacher.days[0] >= daily.days[0]:
        raise TeachingError(f"{name} holds no day before {daily.days[0]}. Give a winter before this one.")
    last = min(teacher.days[-1].item(), daily.days[0].item() - timedelta(days=1))
    earlier = between(teacher, teacher.days[0].item(), last)
    ground = station_ground(earlier, replace(wanted.setting, snow_in=None))
    taught = readings_beside(ground, earlier.days, earlier.soil_2in_c, 0.0)
    if not (np.isfinite(taught.modelled_c) & np.isfinite(taught.measured_c)).any():
        raise TeachingError(
            f"{name} has no soil measured 2 in down that can teach. It needs one between November and March, after a "
            "first month of the air's temperatures."
        )
    return taught


def _single_readings(ground: StationGround, readings: tuple[Reading, ...]) -> Taught:
    days = np.array([each.on for each in readings], dtype="datetime64[D]")
    taught = readings_beside(ground, days, np.array([each.soil_c for each in readings]), READING_SD_DC.value)
    for day, modelled_c in zip(days, taught.modelled_c, strict=True):
        if not np.isfinite(modelled_c):
            raise TeachingError(
                f"The reading of {day} can teach nothing. It must be of November to March, on a day the file holds, "
                "after a first month of the air's temperatures."
            )
    return taught


# --- told -----------------------------------------------------------------------------------------------------------


def soil_command(file: Path, wanted: SoilWanted, *, daily: bool, as_json: bool, metric: bool, **where: Any) -> str:
    """What `afterfrost soil` prints."""
    if wanted.plot is not None:
        _require_picture(file, wanted, wanted.plot)
    grounds = grounds_of(file, wanted, **where)
    drawn = _drawn(grounds, wanted, metric=metric)
    if as_json:
        return _json(grounds.told)
    words = Words()
    parts = [*_days(grounds.told, every_day=daily), *_notes(grounds, wanted, metric=metric)]
    return "\n".join([*(words.text(part, metric=metric) for part in parts), *drawn])


def _require_picture(file: Path, wanted: SoilWanted, picture: PlotWanted) -> None:
    from bot.commands.soil_plot import require_picture

    require_picture(picture, file, wanted.learn_from)


def _drawn(grounds: Grounds, wanted: SoilWanted, *, metric: bool) -> list[str]:
    """The picture, where one is wanted, and what it shows."""
    if wanted.plot is None:
        return []
    from bot.commands.soil_plot import NothingToDraw, plot

    try:
        drawn = [plot(grounds.daily, wanted.setting, wanted.plot, metric=metric)]
    except NothingToDraw as error:  # the table is told all the same
        click.echo(str(error), err=True)
        return []
    if grounds.told is not grounds.plain:
        drawn.append(Words().text(text("soil-plotted-plain"), metric=metric))
    return drawn


def _json(ground: StationGround) -> str:
    """One object a day, field names with their units, two decimals."""
    return json.dumps([_day(ground, at) for at in range(len(ground.days))], indent=1)


def _day(ground: StationGround, at: int) -> dict[str, Any]:
    told: dict[str, Any] = {"date": str(ground.days[at])}
    for name in _MEASURES:
        told[name] = round(float(getattr(ground, name)[at]), 2)
    for name in ("is_filled", "is_settling", "is_beyond_measured"):
        told[name] = bool(getattr(ground, name)[at])
    return told


_MEASURES = (
    "air_min_c",
    "crown_min_c",
    "crown_low_c",
    "crown_high_c",
    "soil_1in_min_c",
    "soil_2in_min_c",
    "soil_2in_mean_c",
    "soil_2in_low_c",
    "soil_2in_high_c",
    "soil_4in_mean_c",
    "snow_depth_in",
)


def _days(ground: StationGround, *, every_day: bool) -> Iterator[Text]:
    """The coldest nights for a crown, or every day: air, crown, and the soil 2 and 4 in down."""
    settled = np.flatnonzero(~ground.is_settling)
    coldest = settled[np.argsort(ground.crown_min_c[settled])[:COLDEST_DAYS_TOLD]]
    if not every_day:
        yield text("soil-head", n=Number(len(coldest)))
    for at in range(len(ground.days)) if every_day else sorted(coldest):
        yield _line(ground, int(at))


def _line(ground: StationGround, at: int) -> Text:
    snow_in = float(ground.snow_depth_in[at])
    values: dict[str, Value] = {
        "day": Day(ground.days[at].astype(object)),
        "year": Verbatim(str(ground.days[at])[:4]),
        "air": TemperatureC(float(ground.air_min_c[at])),
        "crown": _with_band(ground.crown_min_c[at], ground.crown_low_c[at], ground.crown_high_c[at]),
        "two": text("soil-flagged")
        if ground.is_beyond_measured[at]
        else _with_band(ground.soil_2in_mean_c[at], ground.soil_2in_low_c[at], ground.soil_2in_high_c[at]),
        "four": TemperatureC(float(ground.soil_4in_mean_c[at])),
    }
    return (
        text("soil-day-snow", snow=LengthIn(snow_in), **values)
        if snow_in >= LEAST_SNOW_TOLD_IN
        else text("soil-day", **values)
    )


def _with_band(middle_c: float, low_c: float, high_c: float) -> TemperatureC:
    return TemperatureC(float(middle_c), float(high_c - low_c) / 2)


def _notes(grounds: Grounds, wanted: SoilWanted, *, metric: bool) -> Iterator[Text]:
    """What was taken for granted, how wide it is, and what to be careful with."""
    ground, setting = grounds.told, wanted.setting
    yield text(
        "soil-setting",
        soil=text(_SOILS[setting.soil]),
        moisture=text(_MOISTURES[setting.moisture]),
        cover=text(_COVERS[setting.cover]),
        exposure=text(_EXPOSURES[setting.exposure]),
    )
    yield from _snow_notes(grounds, setting)
    half_dc = float((ground.crown_high_c - ground.crown_min_c).max())
    yield text("soil-note", half=Number(round(half_dc if metric else dc_to_df(half_dc))))
    if setting.cover is Cover.THICK:
        yield text("soil-thick")
    yield from _learned_notes(grounds, metric=metric)
    if ground.is_filled.any():
        yield text("soil-filled", n=Number(int(ground.is_filled.sum())))
    if ground.is_beyond_measured.any():
        yield text("soil-beyond")


def _snow_notes(grounds: Grounds, setting: LawnSetting) -> Iterator[Text]:
    days = int((grounds.told.snow_depth_in > 0).sum())
    if setting.snow_in == 0:
        yield text("soil-snow-none")
    elif setting.snow_in is not None:
        yield text("soil-snow-stated", snow=LengthIn(setting.snow_in), n=Number(days))
    elif days and not np.isfinite(grounds.daily.snow_depth_cm).any():
        yield text("soil-snow-guessed", n=Number(days))


def _learned_notes(grounds: Grounds, *, metric: bool) -> Iterator[Text]:
    is_taught = is_winter(grounds.told.days)
    if grounds.told is grounds.plain or not is_taught.any():
        return
    by_dc = float((grounds.told.soil_2in_mean_c - grounds.plain.soil_2in_mean_c)[is_taught].mean())
    shown = round(by_dc if metric else dc_to_df(by_dc), 1)
    if shown == 0:
        yield text("soil-learned-same")
    else:
        yield text("soil-learned-warmer" if shown > 0 else "soil-learned-colder", by=Number(abs(shown)))


_SOILS: Mapping[SoilKind, str] = {
    SoilKind.SAND: "soil-kind-sand",
    SoilKind.LOAM: "soil-kind-loam",
    SoilKind.CLAY: "soil-kind-clay",
}
_MOISTURES: Mapping[Moisture, str] = {
    Moisture.DRY: "soil-moisture-dry",
    Moisture.MOIST: "soil-moisture-moist",
    Moisture.WET: "soil-moisture-wet",
}
_COVERS: Mapping[Cover, str] = {
    Cover.THIN: "soil-cover-thin",
    Cover.LAWN: "soil-cover-lawn",
    Cover.THICK: "soil-cover-thick",
}
_EXPOSURES: Mapping[Exposure, str] = {
    Exposure.OPEN: "soil-exposure-open",
    Exposure.SHADE: "soil-exposure-shade",
    Exposure.NORTH_SLOPE: "soil-exposure-north",
    Exposure.SOUTH_SLOPE: "soil-exposure-south",
}
