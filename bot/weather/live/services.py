"""Live weather put together: which services are asked, in which order, and what becomes of their answers."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from typing import Literal

import numpy as np

from bot.clock import Clock
from bot.weather.live.http import Patience, Web
from bot.weather.live.merging import Gathered, merged
from bot.weather.live.national import KEPT_DAYS, NATIONAL_URL, NationalService
from bot.weather.live.port import Fetched, NothingThere, TryLater, WeatherService, WeatherServiceError
from bot.weather.live.reanalysis import LAG_DAYS, REANALYSIS_URL, OffsetHours, Reanalysis, solar_offset_hours


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveSettings:
    """What an operator chooses.

    contact : an e-mail address or web page, for the national service
    cache_file : where answers are kept, in a folder of its own, since others come beside it; None keeps nothing
    with_national, with_reanalysis : whether the service is asked at all
    reanalysis_key : of a paid plan; free use is non-commercial only
    """

    contact: str
    cache_file: Path | None
    with_national: bool = True
    national_url: str = NATIONAL_URL
    with_reanalysis: bool = True
    reanalysis_url: str = REANALYSIS_URL
    reanalysis_key: str = ""
    patience: Patience = field(default_factory=Patience)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """How far fetching has come: this service is being asked, has given something, or has given nothing."""

    service: str
    state: Literal["asking", "done", "failed"]


Progress = Callable[[Step], None]


class LiveWeather:
    """The services that are wanted. `national` also has forecasts and warnings."""

    def __init__(self, clock: Clock, national: NationalService | None, reanalysis: Reanalysis | None) -> None:
        self._clock = clock
        self.national = national
        self.reanalysis = reanalysis

    async def fetch(
        self, latitude: float, longitude: float, first_on: date, last_on: date, progress: Progress = lambda step: None
    ) -> Gathered:
        """The days wanted: measured ones first, the reanalysis for days that nobody near measured or kept.

        Raises WeatherServiceError when no service gives any of them; one that "try again later" may help comes first.
        """
        today = self._clock.now().date()
        parts: list[Fetched] = []
        problems: list[WeatherServiceError] = []

        async def ask(service: WeatherService, first: date, last: date) -> None:
            progress(Step(service=service.name, state="asking"))
            try:
                parts.append(await service.daily(latitude, longitude, first, last))
            except WeatherServiceError as error:
                problems.append(error)
                progress(Step(service=service.name, state="failed"))
            else:
                progress(Step(service=service.name, state="done"))

        if self.national is not None and last_on >= today - timedelta(days=KEPT_DAYS):
            await ask(self.national, first_on, last_on)
        lacking = _lacking(parts, first_on, min(last_on, today - timedelta(days=LAG_DAYS)))
        if self.reanalysis is not None and lacking:
            # All days, not only the lacking ones: stations seldom give rain, and never sun.
            await ask(self.reanalysis, first_on, min(last_on, today))
        if not parts:
            raise _worst(problems, first_on, last_on)
        return merged(parts, first_on, last_on, problems)


@asynccontextmanager
async def open_services(
    settings: LiveSettings, clock: Clock, offset_hours: OffsetHours = solar_offset_hours
) -> AsyncIterator[LiveWeather]:
    """The wanted services with one client. `offset_hours` tells standard time minus UTC of a place.

    Raises SettingsError when the national service is wanted and there is no contact.
    """
    cache_file, patience = settings.cache_file, settings.patience
    async with Web(contact=settings.contact, cache_file=cache_file, clock=clock, patience=patience) as web:
        national = NationalService(web, settings.national_url) if settings.with_national else None
        reanalysis = Reanalysis(web, settings.reanalysis_url, settings.reanalysis_key, offset_hours)
        yield LiveWeather(clock, national, reanalysis if settings.with_reanalysis else None)


def _lacking(parts: list[Fetched], first_on: date, last_on: date) -> list[date]:
    """Days without a lowest and highest."""
    known: set[date] = set()
    for part in parts:
        daily = part.daily
        known.update(daily.days[np.isfinite(daily.air_min_c) & np.isfinite(daily.air_max_c)].tolist())
    count = (last_on - first_on).days + 1
    return [day for day in (first_on + timedelta(days=step) for step in range(count)) if day not in known]


def _worst(problems: list[WeatherServiceError], first_on: date, last_on: date) -> WeatherServiceError:
    later = [each for each in problems if isinstance(each, TryLater)]
    if problems:
        return (later or problems)[0]
    what = f"no service that is switched on has {first_on} to {last_on}"
    return NothingThere(service="Live weather", what=what, do="Switch another one on, or use a weather file.")
