"""The answer of the reanalysis archive as far as we read it."""

from __future__ import annotations

from pydantic import Field

from bot.weather.live.forms import Body, Latitude, Longitude

Values = tuple[float | None, ...]


class HourlyUnits(Body):
    time: str = ""
    air: str = Field(default="", alias="temperature_2m")
    rain: str = Field(default="", alias="precipitation")
    snow_depth: str = Field(default="", alias="snow_depth")
    solar: str = Field(default="", alias="shortwave_radiation")
    soil_top: str = Field(default="", alias="soil_temperature_0_to_7cm")


class Hourly(Body):
    time: tuple[str, ...]
    air: Values = Field(alias="temperature_2m")
    rain: Values = Field(alias="precipitation")
    snow_depth: Values = Field(alias="snow_depth")
    solar: Values = Field(alias="shortwave_radiation")
    soil_top: Values = Field(alias="soil_temperature_0_to_7cm")


class Archive(Body):
    """One grid cell: its own coordinates, and the elevation its temperatures were set to."""

    latitude: Latitude
    longitude: Longitude
    elevation: float | None = None
    utc_offset_seconds: int
    hourly_units: HourlyUnits
    hourly: Hourly
