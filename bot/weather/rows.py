"""Readings gathered row by row in the order of time, and made into consecutive days or hours with the holes put in."""

from __future__ import annotations

from array import array
from collections.abc import Sequence
from typing import Literal

import numpy as np

from bot.weather.faults import Spot
from rules.weather import DAY_SERIES, HOUR_SERIES, Array, DailyWeather, Days, HourlyWeather, Station

Unit = Literal["day", "hour"]
SERIES: dict[Unit, tuple[str, ...]] = {"day": DAY_SERIES, "hour": HOUR_SERIES}
# A typing error in a year must not make millions of empty hours.
_LONGEST = {"day": 366 * 251, "hour": 8784 * 50}
_SHORTEST_TO_JUDGE_DAYS = 3
_NORTH_OF = 15.0
# Three winter days in a row as warm as 28 degC (82 degF) on average do not happen where lawns freeze; in Fahrenheit
# they are an ordinary winter.
_NO_WINTER_C = 28.0


class Rows:
    """Rows of one station. Raises WeatherFileError at the line where the order of time breaks."""

    def __init__(self, file: str, unit: Unit) -> None:
        self.file, self.unit = file, unit
        self._keys, self._lines, self._values = array("q"), array("q"), array("d")

    def add(self, spot: Spot, key: int, values: Sequence[float]) -> None:
        """One row: days or hours since 1970-01-01, and every series of the unit in its order."""
        if self._keys and key <= self._keys[-1]:
            if self._is_same_day_again(key, values):
                return
            raise self._disorder(spot, key)
        if self._keys and key - self._keys[0] > _LONGEST[self.unit]:
            raise spot.fault(f"the {self.unit}s run over too many years", "Correct the date, or cut the file.")
        self._check_upside_down(spot, values)
        self._keys.append(key)
        self._lines.append(spot.line or 0)
        self._values.extend(values)

    def _is_same_day_again(self, key: int, values: Sequence[float]) -> bool:
        """Joined files often repeat the day at the seam; an hour that repeats is a clock set back."""
        last = self._values[-len(values) :]
        same = all(new == old or (new != new and old != old) for new, old in zip(values, last, strict=True))
        return self.unit == "day" and key == self._keys[-1] and same

    def _disorder(self, spot: Spot, key: int) -> Exception:
        before = self._lines[-1]
        if key != self._keys[-1]:
            return spot.fault(
                f"this {self.unit} comes before the one on line {before}, or a second time",
                "Put the rows in the order of time, each once.",
            )
        if self.unit == "hour":
            return spot.fault(
                f"the hour of line {before} comes a second time",
                "Clocks set back in autumn do this: write the hours in UTC.",
            )
        return spot.fault(f"the day of line {before} comes again with other values", "Keep the right one of the two.")

    def _check_upside_down(self, spot: Spot, values: Sequence[float]) -> None:
        if self.unit == "day" and values[0] > values[1]:
            raise spot.fault(
                f"the lowest air ({values[0]:.1f} degC) is above the highest ({values[1]:.1f} degC)",
                "Are the two columns changed over? Correct the row.",
            )

    def __len__(self) -> int:
        return len(self._keys)

    def times_and_series(self) -> tuple[Days, dict[str, Array]]:
        """Consecutive days or hours, and the series with not-a-number where a row is missing."""
        names = SERIES[self.unit]
        keys = np.array(self._keys, dtype=np.int64)
        grid = np.full((int(keys[-1] - keys[0]) + 1, len(names)), np.nan)
        grid[keys - keys[0]] = np.array(self._values, dtype=np.float64).reshape(-1, len(names))
        times = np.arange(keys[0], keys[-1] + 1)
        dated = times.astype("datetime64[D]" if self.unit == "day" else "datetime64[h]")
        return dated, {name: np.ascontiguousarray(grid[:, at]) for at, name in enumerate(names)}

    def check_whole(self, station: Station) -> None:
        """What only the whole file shows: that air was measured, and that winter is not plainly in Fahrenheit."""
        if not len(self):
            raise Spot(self.file).fault("there is no reading in it", "Give a file with at least one row of weather.")
        values = np.array(self._values, dtype=np.float64).reshape(len(self), -1)
        air_c = values[:, :2].mean(axis=1) if self.unit == "day" else values[:, 0]
        if not np.isfinite(values[:, 0]).any():
            raise Spot(self.file).fault("no air temperature is in it", "Choose a station that measures the air.")
        winter = np.isfinite(air_c) & self._in_winter()
        enough = _SHORTEST_TO_JUDGE_DAYS * (1 if self.unit == "day" else 24)
        if station.latitude < _NORTH_OF or winter.sum() < enough or np.median(air_c[winter]) <= _NO_WINTER_C:
            return
        line = self._lines[int(np.flatnonzero(winter & (air_c > _NO_WINTER_C))[0])]
        raise Spot(self.file, line).fault(
            "December to February is as warm as 28 degC and more, from this line on",
            "It looks like Fahrenheit: name the column ..._f, or convert it to Celsius.",
        )

    def _in_winter(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        times = np.array(self._keys, dtype=np.int64)
        dated = times.astype("datetime64[D]" if self.unit == "day" else "datetime64[h]")
        month = dated.astype("datetime64[M]").astype(np.int64) % 12  # 0 is January
        return np.isin(month, (11, 0, 1))


def daily_from(rows: Rows, station: Station) -> DailyWeather:
    """The days gathered."""
    rows.check_whole(station)
    days, series = rows.times_and_series()
    return DailyWeather(station=station, days=days, **series)


def hourly_from(rows: Rows, station: Station, utc_offset_hours: float) -> HourlyWeather:
    """The hours gathered; the offset of local standard time from UTC, in hours."""
    rows.check_whole(station)
    hours, series = rows.times_and_series()
    return HourlyWeather(station=station, hours=hours, utc_offset_hours=utc_offset_hours, **series)
