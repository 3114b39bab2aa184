"""The weather of a running service: its book, and fetching where it is switched on."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from bot.clock import Clock
from bot.settings import Settings
from bot.ticker import WeatherJobs
from bot.weather.living import LivingBook


def standard_offset_hours(latitude: float, longitude: float) -> float:
    """Local standard time minus UTC of a place: of its own zone where we know the place, else by the sun."""
    from bot.conversation import GAZETTEER
    from bot.weather.live.reanalysis import solar_offset_hours

    place = GAZETTEER.at(latitude, longitude)
    offset = MIDWINTER.replace(tzinfo=ZoneInfo(place.zone)).utcoffset() if place else None
    return solar_offset_hours(latitude, longitude) if offset is None else offset / timedelta(hours=1)


MIDWINTER = datetime(2027, 1, 15, 12)  # noqa: DTZ001 - gets the zone of a place; in winter no summer time is kept


def weather_jobs(settings: Settings, book: LivingBook, clock: Clock) -> WeatherJobs:
    """What the ticker is to do about weather. Raises SettingsError when a service is chosen that cannot be asked."""
    if settings.weather == "off" or settings.clock_shift_file is not None:  # no service knows the days of a rehearsal
        return WeatherJobs(book=book)
    from bot.weather.fetching import Fetcher, require_ready, services  # brings the client, which few need

    require_ready(settings)
    return WeatherJobs(
        book=book, fetcher=Fetcher(settings.data, book, clock, lambda: services(settings, clock, standard_offset_hours))
    )
