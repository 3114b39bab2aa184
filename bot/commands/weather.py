"""`afterfrost weather show`: what a weather file holds, and the freezes in it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import numpy as np
from pydantic import BaseModel

from bot.talk.messages import LengthIn, Number, TemperatureC, Text, Value, Verbatim, text
from bot.weather.faults import WeatherFileError
from bot.weather.files import read_weather
from bot.words import Words
from rules.errors import NotEnoughData
from rules.freezes import Freeze, freezes
from rules.units import CM_PER_INCH
from rules.weather import DailyWeather, HourlyWeather, daily_of

FREEZES_TOLD = 10
_SOIL = ("soil_2in_c", "soil_4in_c")


class StationOut(BaseModel):
    """Where it was measured. Degrees north and east."""

    code: str
    name: str
    network: str
    latitude: float
    longitude: float
    elevation_m: float | None


class FreezeOut(BaseModel):
    """One freeze: days with 28 degF or less, short thaws counted in."""

    first_on: date
    coldest_on: date
    last_on: date
    air_min_c: float
    days_below_freezing: int
    snow_depth_cm: float | None


class WeatherShown(BaseModel):
    """Everything `afterfrost weather show --json` prints."""

    station: StationOut
    readings: str
    first_on: date
    last_on: date
    days: int
    days_missing: int
    coldest_on: date
    air_min_c: float
    freezes: list[FreezeOut]
    has_snow: bool
    has_soil: bool


def weather_command(
    file: Path, *, station: str | None, latitude: float | None, longitude: float | None, as_json: bool
) -> str:
    """What the command prints. Raises WeatherFileError naming file, line and what to do."""
    found = shown_of(read_weather(file, station, latitude, longitude), file.name)
    if as_json:
        return found.model_dump_json(indent=2)
    words = Words()
    return "\n".join(words.text(line) for line in lines_of(found))


def shown_of(weather: DailyWeather | HourlyWeather, file: str) -> WeatherShown:
    """The weather in short. `file` names it should it hold no whole day."""
    daily = _daily(weather, file)
    is_known = np.isfinite(daily.air_min_c)
    if not is_known.any():
        raise WeatherFileError(
            file=file, line=None, what="no day in it has its lowest air", do="Choose a station that measures it."
        )
    coldest = int(np.nanargmin(daily.air_min_c))
    return WeatherShown(
        station=StationOut(**{name: getattr(daily.station, name) for name in StationOut.model_fields}),
        readings="hourly" if isinstance(weather, HourlyWeather) else "daily",
        first_on=daily.days[0].item(),
        last_on=daily.days[-1].item(),
        days=len(daily.days),
        days_missing=int(np.count_nonzero(~(is_known & np.isfinite(daily.air_max_c)))),
        coldest_on=daily.days[coldest].item(),
        air_min_c=round(float(daily.air_min_c[coldest]), 2),
        freezes=[_freeze_out(each) for each in freezes(daily)],
        has_snow=bool(np.isfinite(daily.snow_depth_cm).any()),
        has_soil=any(bool(np.isfinite(getattr(daily, name)).any()) for name in _SOIL),
    )


def _daily(weather: DailyWeather | HourlyWeather, file: str) -> DailyWeather:
    if isinstance(weather, DailyWeather):
        return weather
    try:
        return daily_of(weather)
    except NotEnoughData as error:
        raise WeatherFileError(file=file, line=None, what=str(error), do="Give a file of some days.") from error


def _freeze_out(freeze: Freeze) -> FreezeOut:
    values = {name: getattr(freeze, name) for name in FreezeOut.model_fields}
    snow_cm = freeze.snow_depth_cm
    rounded = {"air_min_c": round(freeze.air_min_c, 2), "snow_depth_cm": None if snow_cm is None else round(snow_cm, 1)}
    return FreezeOut(**(values | rounded))


def lines_of(found: WeatherShown) -> Iterator[Text]:
    """The same in words, a line each."""
    station = found.station
    name = f"{station.code} {station.name}" if station.name not in ("", station.code) else station.code
    yield text(
        "weather-station",
        name=Verbatim(name),
        network=Verbatim(station.network),
        latitude=Verbatim(f"{station.latitude:.2f}"),
        longitude=Verbatim(f"{station.longitude:.2f}"),
    )
    yield text("weather-days", first=_day(found.first_on), last=_day(found.last_on), count=Number(found.days))
    yield text("weather-missing", count=Number(found.days_missing))
    yield text("weather-coldest", day=_day(found.coldest_on), air=TemperatureC(found.air_min_c))
    yield text("weather-snow" if found.has_snow else "weather-snow-none")
    yield text("weather-soil" if found.has_soil else "weather-soil-none")
    yield text("weather-freezes", count=Number(len(found.freezes)))
    for freeze in found.freezes[:FREEZES_TOLD]:
        yield _freeze_line(freeze)
    if len(found.freezes) > FREEZES_TOLD:
        yield text("weather-freezes-more", count=Number(len(found.freezes) - FREEZES_TOLD))


def _freeze_line(freeze: FreezeOut) -> Text:
    values: dict[str, Value] = {
        "first": _day(freeze.first_on),
        "last": _day(freeze.last_on),
        "day": _day(freeze.coldest_on),
        "air": TemperatureC(freeze.air_min_c),
        "count": Number(freeze.days_below_freezing),
    }
    if freeze.snow_depth_cm:
        return text("weather-freeze-snow", snow=LengthIn(freeze.snow_depth_cm / CM_PER_INCH), **values)
    return text("weather-freeze", **values)


def _day(on: date) -> Verbatim:
    """With its year, which a file of many winters needs and a chat does not."""
    return Verbatim(on.isoformat())
