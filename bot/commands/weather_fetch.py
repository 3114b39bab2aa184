"""`afterfrost weather fetch`: weather of a place from a service, kept for the running service."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import date, datetime, timedelta

import click
from pydantic import BaseModel

from bot.clock import Clock
from bot.commands.weather_jobs import standard_offset_hours
from bot.commands.weather_shelf import where_is
from bot.errors import SettingsError
from bot.settings import PREFIX, Settings
from bot.talk.messages import DistanceMiles, Number, Text, Verbatim, text
from bot.weather.fetching import require_ready, services
from bot.weather.live.merging import Gathered
from bot.weather.live.services import Step
from bot.weather.shelf import Shelf
from bot.words import Words
from rules.units import KM_PER_MILE

DAYS_BACK = timedelta(days=90)


class StretchOut(BaseModel):
    """Days in a row whose air comes from one station or grid cell."""

    first_on: date
    last_on: date
    station: str
    is_thermometer: bool
    distance_miles: float
    service: str
    credit: str
    fetched_at: datetime | None
    note: str


class FetchedOut(BaseModel):
    """Everything `afterfrost weather fetch --json` prints."""

    latitude: float
    longitude: float
    stretches: list[StretchOut]
    missing: list[tuple[date, date]]
    readings_dropped: int
    readings_filled: int
    problems: list[str]


async def fetch_command(
    settings: Settings, clock: Clock, place: str, days: tuple[date | None, date | None]
) -> FetchedOut:
    """Fetch, keep, and say what came from where.

    Raises SettingsError when no service is chosen, WeatherServiceError when none gives anything.
    """
    if settings.weather == "off":
        raise SettingsError(
            f"No weather service is chosen. Give --source national, reanalysis or both, or set {PREFIX}WEATHER."
        )
    require_ready(settings)
    where = where_is(place)
    last_on = days[1] or clock.now().date()
    first_on = days[0] or last_on - DAYS_BACK
    if first_on > last_on:
        raise SettingsError(f"--from {first_on} lies after --to {last_on}.")
    async with services(settings, clock, standard_offset_hours) as live:
        found = await live.fetch(where.latitude, where.longitude, first_on, last_on, _say_step)
    shelf = Shelf(settings.data)
    try:
        for part in found.parts:
            shelf.add(part.daily, part.source)
    except OSError as error:
        raise SettingsError(f"{shelf.folder} cannot be written ({error.strerror}). Name another folder.") from error
    return _out(where.latitude, where.longitude, found)


def _say_step(step: Step) -> None:
    """How far it has come, on standard error where a person looks on."""
    if sys.stderr.isatty():
        click.echo(Words().text(text(_STEPS[step.state], service=Verbatim(step.service))), err=True)


_STEPS = {"asking": "fetch-asking", "done": "fetch-done", "failed": "fetch-failed"}


def _out(latitude: float, longitude: float, found: Gathered) -> FetchedOut:
    return FetchedOut(
        latitude=latitude,
        longitude=longitude,
        stretches=[
            StretchOut(
                first_on=each.first_on,
                last_on=each.last_on,
                station=each.station.name or each.station.code,
                is_thermometer=each.source.is_measured,
                distance_miles=round(each.distance_km / KM_PER_MILE, 1),
                service=each.source.name,
                credit=each.source.credit_line,
                fetched_at=each.source.fetched_at,
                note=each.source.note,
            )
            for each in found.stretches
        ],
        missing=list(found.missing),
        readings_dropped=sum(part.doubts.taken_out for part in found.parts),
        readings_filled=sum(part.doubts.bridged for part in found.parts),
        problems=[str(problem) for problem in found.problems],
    )


def fetched_text(found: FetchedOut, *, metric: bool) -> str:
    """The same in words."""
    words = Words()
    return "\n".join(words.text(line, metric=metric) for line in _lines(found))


def _lines(found: FetchedOut) -> Iterator[Text]:
    for each in found.stretches:
        yield text(
            "fetch-stretch",
            first=Verbatim(each.first_on.isoformat()),
            last=Verbatim(each.last_on.isoformat()),
            station=Verbatim(each.station),
            service=Verbatim(each.service),
            kind=Verbatim("thermometer" if each.is_thermometer else "model"),
            distance=DistanceMiles(each.distance_miles),
        )
    for first_on, last_on in found.missing:
        yield text("fetch-missing", first=Verbatim(first_on.isoformat()), last=Verbatim(last_on.isoformat()))
    if found.readings_dropped:
        yield text("fetch-dropped", count=Number(found.readings_dropped))
    if found.readings_filled:
        yield text("fetch-filled", count=Number(found.readings_filled))
    yield from (text("fetch-problem", why=Verbatim(why)) for why in found.problems)
    notes = {each.note for each in found.stretches if each.note}
    credits_ = {each.credit for each in found.stretches if each.credit}
    yield from (text("weather-credit", credit=Verbatim(each)) for each in (*sorted(notes), *sorted(credits_)))
