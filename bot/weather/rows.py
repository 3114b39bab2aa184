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
# What only a whole file shows. Each limit lies beyond what 17 southern USCRN stations had in 11 winters (means of three
# winter days up to 24.5 degC north of 30 degrees; daily swings 3.5 to 26.5 degC over ten days; rain 25 mm a day over
# twenty), and where the wrong unit or a factor of ten puts an ordinary record.
_WARMEST_WINTERS = ((20, 30.0, 22.0), (3, 30.0, 26.0), (3, 15.0, 28.0))  # days at least, degrees north, median degC
_SWING_DAYS, _LEAST_SWING_DC, _MOST_SWING_DC = 10, 2.0, 33.0
_RAIN_DAYS, _MOST_RAIN_MM_A_DAY = 20, 40.0


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

    def check_any(self) -> None:
        """That there is a row at all."""
        if not len(self):
            raise Spot(self.file).fault("there is no reading in it", "Give a file with at least one row of weather.")

    def check_whole(self, station: Station) -> None:
        """What only the whole file shows: that air was measured, and that no unit or factor is plainly wrong."""
        self.check_any()
        series = self._series()
        air = series[SERIES[self.unit][0]]
        if not np.isfinite(air).any():
            raise Spot(self.file).fault("no air temperature is in it", "Choose a station that measures the air.")
        if self.unit == "day":
            air = (series["air_min_c"] + series["air_max_c"]) / 2
            self._check_swing(series["air_max_c"] - series["air_min_c"])
            self._check_rain(series["rain_mm"])
        self._check_winter("the air", air, station.latitude)
        for name in ("soil_2in_c", "soil_4in_c"):
            self._check_winter("the soil", series[name], station.latitude)

    def _series(self) -> dict[str, Array]:
        table = np.array(self._values, dtype=np.float64).reshape(len(self), -1)
        return {name: table[:, at] for at, name in enumerate(SERIES[self.unit])}

    def _check_winter(self, what: str, values_c: Array, latitude: float) -> None:
        """Fahrenheit taken for Celsius makes a winter that no place with frost has."""
        winter = np.isfinite(values_c) & self._in_winter()
        days = winter.sum() / (1 if self.unit == "day" else 24)
        fitting = (most for least, north, most in _WARMEST_WINTERS if days >= least and latitude >= north)
        most_c = next(fitting, np.inf)
        if not days or np.median(values_c[winter]) <= most_c:
            return
        line = self._lines[int(np.flatnonzero(winter & (values_c > most_c))[0])]
        raise Spot(self.file, line).fault(
            f"in December to February {what} is mostly warmer than {most_c:.0f} degC, from this line on",
            "It looks like Fahrenheit: name the column ..._f, or convert it to Celsius.",
        )

    def _check_swing(self, swings_dc: Array) -> None:
        """Whole degrees read as tenths leave a day almost no swing; tenths read as whole degrees give it too much."""
        measured = np.flatnonzero(np.isfinite(swings_dc))
        if len(measured) < _SWING_DAYS:
            return
        median = float(np.median(swings_dc[measured]))
        if not _LEAST_SWING_DC <= median <= _MOST_SWING_DC:
            raise Spot(self.file, self._lines[int(measured[0])]).fault(
                f"from its lowest to its highest the air mostly moves {median:.1f} degC in a day, from this line on",
                "Look at the unit: whole degrees where tenths belong (or tenths for whole ones), or another quantity.",
            )

    def _check_rain(self, rain_mm: Array) -> None:
        """Millimetres read as inches make rain that falls nowhere for weeks."""
        measured = np.flatnonzero(np.isfinite(rain_mm))
        if len(measured) < _RAIN_DAYS or float(rain_mm[measured].mean()) <= _MOST_RAIN_MM_A_DAY:
            return
        line = self._lines[int(measured[rain_mm[measured] > _MOST_RAIN_MM_A_DAY][0])]
        raise Spot(self.file, line).fault(
            f"it rains {float(rain_mm[measured].mean()):.0f} mm a day on average, more than anywhere for so long",
            "It looks like millimetres in a column of inches, or tenths: correct the name of the column.",
        )

    def _in_winter(self) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        times = np.array(self._keys, dtype=np.int64)
        dated = times.astype("datetime64[D]" if self.unit == "day" else "datetime64[h]")
        month = dated.astype("datetime64[M]").astype(np.int64) % 12  # 0 is January
        return np.isin(month, (11, 0, 1))


def daily_from(rows: Rows, station: Station, *, is_ours: bool = False) -> DailyWeather:
    """The days gathered. `is_ours`: see `Wanted`."""
    if is_ours:
        rows.check_any()
    else:
        rows.check_whole(station)
    days, series = rows.times_and_series()
    return DailyWeather(station=station, days=days, **series)


def hourly_from(rows: Rows, station: Station, utc_offset_hours: float) -> HourlyWeather:
    """The hours gathered; the offset of local standard time from UTC, in hours."""
    rows.check_whole(station)
    hours, series = rows.times_and_series()
    return HourlyWeather(station=station, hours=hours, utc_offset_hours=utc_offset_hours, **series)
