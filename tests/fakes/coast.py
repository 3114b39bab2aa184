"""The invented coast with its weather, worked out once: its places, its book, and what the reducer may look up."""

from __future__ import annotations

from functools import cache

from bot.conversation import RegionalFacts, known_of
from bot.rehearsal.play import invented_places, invented_weather
from bot.talk.known import Known
from bot.weather.book import WeatherBook
from bot.words import Words


@cache
def coast_weather() -> WeatherBook:
    return invented_weather()


def coast_known(facts: RegionalFacts | None = None, *, has_weather: bool = True) -> Known:
    return known_of(
        Words(),
        facts or RegionalFacts(),
        find_places=invented_places,
        place_at=lambda latitude, longitude: None,
        weather=coast_weather() if has_weather else None,
    )
