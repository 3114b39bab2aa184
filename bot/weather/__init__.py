"""Weather files of several kinds, read into the pure weather of `rules.weather`. Files only; nothing here goes out."""

from bot.weather.faults import WeatherFileError
from bot.weather.files import read_weather

__all__ = ["WeatherFileError", "read_weather"]
