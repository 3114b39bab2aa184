"""The weather of a running service: its book, and fetching where it is switched on."""

from __future__ import annotations

from bot.clock import Clock
from bot.settings import Settings
from bot.ticker import WeatherJobs
from bot.weather.living import LivingBook


def weather_jobs(settings: Settings, book: LivingBook, clock: Clock) -> WeatherJobs:
    """What the ticker is to do about weather. Raises SettingsError when a service is chosen that cannot be asked."""
    if settings.weather == "off":
        return WeatherJobs(book=book)
    from bot.weather.fetching import Fetcher, require_ready, services  # brings the client, which few need

    require_ready(settings)
    return WeatherJobs(book=book, fetcher=Fetcher(settings.data, book, clock, lambda: services(settings, clock)))
