"""Two weather services in this process, a national one and a reanalysis archive, answering in the form of real ones.

All bodies are made here, for places that are on no map. What goes wrong is put into `faults`: the next questions below
a path get those answers first.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import math
import socket
from collections import deque
from collections.abc import AsyncIterator, Callable, Generator, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from typing import Any

import uvicorn
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

Json = dict[str, Any]
Answering = Callable[[Request], Response]
PLACE = (31.62, -81.75)
ZONE = "America/New_York"
HOUR = timedelta(hours=1)
_OUT_OF_RANGE = "Parameter 'end_date' is out of allowed range from 1940-01-01 to {last}"


def quantity(value: float | None, unit: str = "wmoUnit:degC", quality: str | None = "V") -> Json:
    """A value as the national service writes one."""
    written: Json = {"unitCode": unit, "value": value}
    return written if quality is None else written | {"qualityControl": quality}


def observation(station: str, at: datetime, **readings: Json) -> Json:
    """One report: a feature whose other readings are null, as most are."""
    nothing = {"dewpoint": quantity(None, quality="Z"), "precipitationLastHour": quantity(None, "wmoUnit:mm", "Z")}
    return {
        "id": f"https://example.invalid/stations/{station}/observations/{at.isoformat()}",
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [-81.7, 31.6]},
        "properties": {
            "@type": "wx:ObservationStation",
            "station": f"https://example.invalid/stations/{station}",
            "stationId": station,
            "timestamp": at.isoformat(),
            "rawMessage": "",
            "presentWeather": [],
            **nothing,
            **readings,
        },
    }


def station(code: str, name: str, latitude: float, longitude: float, elevation_m: float | None = 12.0) -> Json:
    """One entry of a list of stations."""
    return {
        "id": f"https://example.invalid/stations/{code}",
        "type": "Feature",
        "geometry": {"type": "Point", "coordinates": [longitude, latitude]},
        "properties": {
            "@type": "wx:ObservationStation",
            "elevation": quantity(elevation_m, "wmoUnit:m", None),
            "stationIdentifier": code,
            "name": name,
            "timeZone": ZONE,
        },
    }


def alert(id_: str, event: str = "Freeze Warning", **changes: Any) -> Json:
    """One warning message."""
    facts: Json = {
        "@type": "wx:Alert",
        "id": id_,
        "areaDesc": "Tarrow; Sound",
        "geocode": {"SAME": ["099001", "099003"], "UGC": ["TCZ001"]},
        "affectedZones": ["https://example.invalid/zones/forecast/TCZ001"],
        "references": [],
        "sent": "2027-01-15T13:40:00-05:00",
        "effective": "2027-01-15T13:40:00-05:00",
        "onset": "2027-01-16T00:00:00-05:00",
        "expires": "2027-01-16T04:00:00-05:00",
        "ends": "2027-01-16T10:00:00-05:00",
        "status": "Actual",
        "messageType": "Alert",
        "category": "Met",
        "severity": "Moderate",
        "certainty": "Likely",
        "urgency": "Expected",
        "event": event,
        "headline": f"{event} issued January 15 at 1:40PM EST",
        "description": "* WHAT...Temperatures as low as 22 expected.",
        "instruction": "Take steps now to protect tender plants from the cold.",
    }
    return {
        "id": f"https://example.invalid/alerts/{id_}",
        "type": "Feature",
        "geometry": None,
        "properties": facts | changes,
    }


def collection(features: Sequence[Json], next_link: str | None = None) -> Json:
    """GeoJSON with the next page, if there is one."""
    body: Json = {"@context": ["https://example.invalid/context"], "type": "FeatureCollection", "features": features}
    return body if next_link is None else body | {"pagination": {"next": next_link}}


def problem(status: int, title: str, detail: str, headers: dict[str, str] | None = None) -> Response:
    """`application/problem+json`, as the national service answers what it cannot do."""
    body = {
        "correlationId": "1a2b3c",
        "title": title,
        "type": f"https://example.invalid/problems/{title.replace(' ', '')}",
        "status": status,
        "detail": detail,
        "instance": "https://example.invalid/requests/1a2b3c",
    }
    return JSONResponse(body, status, headers, media_type="application/problem+json")


def day_course_c(at: datetime, mean_c: float = 5.0, swing_dc: float = 8.0, zone_hours: float = -5.0) -> float:
    """An even day: coldest at 3 in the morning of local standard time, warmest at 3 in the afternoon."""
    hour = (at + timedelta(hours=zone_hours)).hour + at.minute / 60
    return round(mean_c - swing_dc * math.cos((hour - 3) / 24 * 2 * math.pi), 1)


def hourly_reports(code: str, begin: datetime, hours: int, minute: int = 53, **readings: Json) -> list[Json]:
    """One report an hour over an even day."""
    times = [begin + step * HOUR + timedelta(minutes=minute) for step in range(hours)]
    return [observation(code, at, temperature=quantity(day_course_c(at)), **readings) for at in times]


@dataclass(slots=True)
class WeatherServices:
    """What the two services hold, how they misbehave, and what they were asked."""

    zone: str = ZONE
    stations: list[Json] = field(default_factory=lambda: [station("KTAR", "Tarrow Field", 31.65, -81.70)])
    reports: dict[str, list[Json]] = field(default_factory=dict)
    grid: Json = field(default_factory=dict)
    alerts: list[Json] = field(default_factory=list)
    archive: Callable[[date, date], Json] = field(default_factory=lambda: archive_body)
    archive_until: date = date(2027, 1, 20)
    page_size: int = 500
    prefix: str = ""
    headers: dict[str, str] = field(default_factory=dict)
    etag: str = ""
    faults: dict[str, deque[Answering]] = field(default_factory=dict)
    asked: list[str] = field(default_factory=list)
    heads: list[dict[str, str]] = field(default_factory=list)

    def fail(self, path: str, *answers: Answering) -> None:
        """The next questions whose path begins so get these answers, one each."""
        self.faults.setdefault(path, deque()).extend(answers)

    def app(self) -> Starlette:
        """Both services on one address."""
        return Starlette(routes=[Route("/{path:path}", self._answer)])

    async def _answer(self, request: Request) -> Response:
        self.asked.append(request.url.path + (f"?{request.url.query}" if request.url.query else ""))
        self.heads.append(dict(request.headers))
        for path, waiting in self.faults.items():
            if request.url.path.startswith(path) and waiting:
                answer = waiting.popleft()
                if isinstance(answer, Slow):
                    await asyncio.sleep(answer.seconds)
                return answer(request)
        return self._with_cache_headers(request, self._good(request))

    def _with_cache_headers(self, request: Request, response: Response) -> Response:
        response.headers.update(self.headers)
        if not self.etag or response.status_code != 200:
            return response
        if request.headers.get("if-none-match") == self.etag:
            return Response(status_code=304, headers={**self.headers, "etag": self.etag})
        response.headers["etag"] = self.etag
        return response

    def _good(self, request: Request) -> Response:
        parts = request.url.path.removeprefix(self.prefix).strip("/").split("/")
        base = str(request.base_url).rstrip("/")
        match parts:
            case ["points", pair]:
                return self._point(request, pair, base)
            case ["gridpoints", _, _, "stations"]:
                return self._page(request, self.stations)
            case ["gridpoints", _, _]:
                return JSONResponse(self.grid, media_type="application/geo+json")
            case ["stations", code, "observations"]:
                return self._observations(request, code)
            case ["alerts", "active"]:
                return self._page(request, self.alerts)
            case ["v1", "archive"]:
                return self._archived(request)
            case _:
                return problem(404, "Not Found", f"{request.url.path} is not a resource")

    def _archived(self, request: Request) -> Response:
        first, last = (date.fromisoformat(request.query_params[name]) for name in ("start_date", "end_date"))
        if last > self.archive_until:
            return JSONResponse({"error": True, "reason": _OUT_OF_RANGE.format(last=self.archive_until)}, 400)
        return JSONResponse(self.archive(first, last))

    def _point(self, request: Request, pair: str, base: str) -> Response:
        latitude, longitude = pair.split(",")
        if any(
            len(each.partition(".")[2]) > 4 or (each.endswith("0") and "." in each) for each in (latitude, longitude)
        ):
            return RedirectResponse(f"{base}/points/{float(latitude):.4g},{float(longitude):.4g}", 301)
        if not 24 < float(latitude) < 50:
            detail = f"Unable to provide data for requested point {pair}"
            return problem(404, "Data Unavailable For Requested Point", detail)
        cell = "https://api.example.invalid/gridpoints/TAR/12,34"  # another host than ours: only the path may count
        facts = {
            "gridId": "TAR",
            "gridX": 12,
            "gridY": 34,
            "forecastGridData": cell,
            "observationStations": f"{cell}/stations",
            "timeZone": self.zone,
        }
        return JSONResponse({"type": "Feature", "properties": facts}, media_type="application/geo+json")

    def _observations(self, request: Request, code: str) -> Response:
        begin, end = (datetime.fromisoformat(request.query_params[name]) for name in ("start", "end"))
        times = [(datetime.fromisoformat(each["properties"]["timestamp"]), each) for each in self.reports.get(code, [])]
        within = [each for at, each in times if begin <= at <= end]
        return self._page(request, within[::-1])

    def _page(self, request: Request, features: list[Json]) -> Response:
        first = int(request.query_params.get("cursor", "0"))
        after = first + self.page_size
        following = str(request.url.include_query_params(cursor=after)) if after < len(features) else None
        return JSONResponse(collection(features[first:after], following), media_type="application/geo+json")


@dataclass(frozen=True, slots=True)
class Slow:
    """An answer that takes its time."""

    seconds: float

    def __call__(self, request: Request) -> Response:
        return JSONResponse({})


def status(code: int, detail: str = "", **headers: str) -> Answering:
    """An error in the service's own form. Headers with _ for -."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return lambda request: problem(code, "Unexpected Problem", detail, named)


def body(text: str | bytes, media_type: str = "application/geo+json", **headers: str) -> Answering:
    """Any text as an answer. Headers with _ for -."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    return lambda request: Response(text, 200, named, media_type)


def grid_body(temperatures: Iterable[tuple[str, float | None]], unit: str = "wmoUnit:degC", **more: Any) -> Json:
    """A forecast grid: intervals with their values."""
    values = [{"validTime": valid, "value": value} for valid, value in temperatures]
    facts = {
        "updateTime": "2027-01-15T11:02:00+00:00",
        "validTimes": "2027-01-15T06:00:00+00:00/P7DT19H",
        "elevation": quantity(21.0, "wmoUnit:m", None),
        "temperature": {"uom": unit, "values": values},
        **more,
    }
    return {"type": "Feature", "geometry": None, "properties": facts}


def archive_body(first: date, last: date, **changes: Any) -> Json:
    """The archive's answer for whole UTC days. Changes are of the hourly arrays, or of the whole by their name."""
    begin = datetime(first.year, first.month, first.day, tzinfo=UTC)
    times = [begin + step * HOUR for step in range(24 * ((last - first).days + 1))]
    hourly: Json = {
        "time": [f"{at:%Y-%m-%dT%H:%M}" for at in times],
        "temperature_2m": [day_course_c(at, mean_c=4.0) for at in times],
        "precipitation": [0.1] * len(times),
        "snow_depth": [0.02] * len(times),
        "shortwave_radiation": [200.0] * len(times),
        "soil_temperature_0_to_7cm": [day_course_c(at, mean_c=7.0, swing_dc=1.0) for at in times],
    }
    units = {
        "time": "iso8601",
        "temperature_2m": "°C",
        "precipitation": "mm",
        "snow_depth": "m",
        "shortwave_radiation": "W/m²",
        "soil_temperature_0_to_7cm": "°C",
    }
    whole: Json = {
        "latitude": 31.599,
        "longitude": -81.801,
        "generationtime_ms": 1.2,
        "utc_offset_seconds": 0,
        "timezone": "GMT",
        "timezone_abbreviation": "GMT",
        "elevation": 17.0,
        "hourly_units": units,
        "hourly": hourly,
    }
    for name, value in changes.items():
        part = hourly if name in hourly else whole
        part[name] = value
    return whole


class _Server(uvicorn.Server):
    """Leaves the signals to the test run."""

    @contextlib.contextmanager
    def capture_signals(self) -> Generator[None, None, None]:
        yield


@contextlib.asynccontextmanager
async def serving(services: WeatherServices) -> AsyncIterator[str]:
    """The services on a real socket; yields their address. They give no Date unless `headers` holds one."""
    listener = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(
        services.app(), log_level="critical", lifespan="off", date_header=False, timeout_graceful_shutdown=1
    )
    server = _Server(config)
    task = asyncio.create_task(server.serve(sockets=[listener]))
    try:
        while not server.started:  # noqa: ASYNC110 - uvicorn has no event for it
            await asyncio.sleep(0.001)
        yield f"http://127.0.0.1:{listener.getsockname()[1]}"
    finally:
        server.should_exit = True
        await task
        listener.close()


@contextlib.asynccontextmanager
async def breaking(times: int, sends: bytes = b"", then: Json | None = None) -> AsyncIterator[tuple[str, list[int]]]:
    """A host that hangs up `times` times after sending a piece, and then answers. Yields its address and the count."""
    count: list[int] = []

    async def answer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        await reader.readuntil(b"\r\n\r\n")
        count.append(1)
        if len(count) <= times:
            writer.write(sends)
        else:
            whole = json.dumps(then or {}).encode()
            writer.write(b"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\nConnection: close\r\n")
            writer.write(b"Content-Length: %d\r\n\r\n" % len(whole) + whole)
        await writer.drain()
        writer.close()

    server = await asyncio.start_server(answer, "127.0.0.1", 0)
    async with server:
        yield f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}", count


def unused_address() -> str:
    """An address nobody listens on."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        return f"http://127.0.0.1:{probe.getsockname()[1]}"
