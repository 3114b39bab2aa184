"""A place as the US National Weather Service knows it: its grid cell, its stations, its time zone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.weather.live.asking import Asking
from bot.weather.live.hours import standard_offset_hours
from bot.weather.live.national_bodies import Point, PointFacts, Quantity
from bot.weather.live.near import sent
from bot.weather.live.port import NothingThere, OutsideArea
from bot.weather.live.units_told import TO_M, converter, likely_elevation_m
from rules.weather import Station

NAME = "US National Weather Service"
NETWORK = "NWS"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where somebody asks for. `stations` and `grid` are links; `grid` is empty where there is no forecast."""

    latitude: float
    longitude: float
    cell: str
    stations: str
    grid: str
    utc_offset_hours: float

    def cell_station(self, elevation_m: float | None) -> Station:
        """The grid cell as the origin of a forecast; it is 2.5 km wide, so it stands where the place is."""
        return Station(
            code=self.cell,
            name="",
            latitude=self.latitude,
            longitude=self.longitude,
            elevation_m=elevation_m,
            network=NETWORK,
        )


async def find_place(asking: Asking, latitude: float, longitude: float, on: date) -> Place:
    """What the service has for a place. Raises WeatherServiceError; OutsideArea where it gives no weather."""
    try:
        facts = (await asking.ask(Point, f"/points/{sent(latitude)},{sent(longitude)}")).properties
    except NothingThere as error:
        raise _outside() from error
    if not facts.zone or not facts.stations:
        raise _outside()
    return Place(
        latitude=latitude,
        longitude=longitude,
        cell=_cell_code(facts),
        stations=facts.stations,
        grid=facts.grid or "",
        utc_offset_hours=standard_offset_hours(NAME, facts.zone, on),
    )


def elevation_m(quantity: Quantity | None) -> float | None:
    """Metres above the sea, None where it is not told."""
    if quantity is None or quantity.value is None:
        return None
    return likely_elevation_m(converter(NAME, "elevation", quantity.unit or "", TO_M)(quantity.value))


def _cell_code(facts: PointFacts) -> str:
    return f"{facts.grid_id}/{facts.grid_x},{facts.grid_y}" if facts.grid_id else ""


def _outside() -> OutsideArea:
    what = "it gives no weather for this place"
    return OutsideArea(service=NAME, what=what, do="Check the place. Outside the US use the reanalysis or a file.")
