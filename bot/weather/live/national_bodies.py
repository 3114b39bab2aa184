"""The answers of the US National Weather Service as far as we read them; whatever else is in them is let by."""

from __future__ import annotations

from pydantic import AwareDatetime, Field

from bot.weather.live.forms import Body, Latitude, Longitude, PagedForm

Lists = dict[str, tuple[str, ...]]
"""Values under the names of the lists they are from."""


class Quantity(Body):
    """A value with its unit and what the service's quality control made of it."""

    value: float | None = None
    unit: str | None = Field(default=None, alias="unitCode")
    quality: str | None = Field(default=None, alias="qualityControl")


class Position(Body):
    """GeoJSON of one point: longitude first."""

    coordinates: tuple[Longitude, Latitude] | tuple[Longitude, Latitude, float]


class PointFacts(Body):
    grid_id: str | None = Field(default=None, alias="gridId")
    grid_x: int | None = Field(default=None, alias="gridX")
    grid_y: int | None = Field(default=None, alias="gridY")
    stations: str | None = Field(default=None, alias="observationStations")
    grid: str | None = Field(default=None, alias="forecastGridData")
    zone: str | None = Field(default=None, alias="timeZone")


class Point(Body):
    properties: PointFacts


class StationFacts(Body):
    code: str = Field(alias="stationIdentifier")
    name: str = ""
    elevation: Quantity | None = None


class StationListed(Body):
    geometry: Position
    properties: StationFacts


class Stations(PagedForm):
    features: tuple[StationListed, ...]


class Reading(Body):
    at: AwareDatetime = Field(alias="timestamp")
    temperature: Quantity | None = None
    rain_last_hour: Quantity | None = Field(default=None, alias="precipitationLastHour")
    snow_depth: Quantity | None = Field(default=None, alias="snowDepth")


class Observation(Body):
    properties: Reading


class Observations(PagedForm):
    features: tuple[Observation, ...]


class GridValue(Body):
    valid: str = Field(alias="validTime")
    value: float | None = None


class GridSeries(Body):
    unit: str | None = Field(default=None, alias="uom")
    values: tuple[GridValue, ...] = ()


class GridFacts(Body):
    issued_at: AwareDatetime | None = Field(default=None, alias="updateTime")
    elevation: Quantity | None = None
    temperature: GridSeries | None = None
    rain: GridSeries | None = Field(default=None, alias="quantitativePrecipitation")


class Grid(Body):
    properties: GridFacts


class Reference(Body):
    identifier: str = ""
    sender: str = ""
    sent_at: AwareDatetime | None = Field(default=None, alias="sent")


class AlertFacts(Body):
    id: str
    event: str
    status: str
    kind: str = Field(alias="messageType")
    scope: str = "Public"  # the service publishes nothing else, and did not always say so
    sender: str = ""
    sender_name: str = Field(default="", alias="senderName")
    category: str = "Met"
    response: str | None = None
    urgency: str = "Unknown"
    severity: str = "Unknown"
    certainty: str = "Unknown"
    language: str = "en-US"
    sent_at: AwareDatetime = Field(alias="sent")
    effective_at: AwareDatetime | None = Field(default=None, alias="effective")
    onset_at: AwareDatetime | None = Field(default=None, alias="onset")
    expires_at: AwareDatetime | None = Field(default=None, alias="expires")
    ends_at: AwareDatetime | None = Field(default=None, alias="ends")
    area: str = Field(default="", alias="areaDesc")
    geocode: Lists = Field(default_factory=dict)
    event_codes: Lists = Field(default_factory=dict, alias="eventCode")
    parameters: Lists = Field(default_factory=dict)
    headline: str | None = None
    description: str | None = None
    instruction: str | None = None
    note: str | None = None
    web: str | None = None
    references: tuple[Reference, ...] = ()


class AlertFeature(Body):
    properties: AlertFacts
    geometry: dict[str, object] | None = None


class ActiveAlerts(PagedForm):
    features: tuple[dict[str, object], ...]  # read one by one in bot/ops/alerts, so that one bad one hides no other
