"""Days from several services put together, the better one first, remembering which day came from where."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bot.weather.live.port import Fetched, WeatherServiceError
from bot.weather.source import Source
from rules.weather import DAY_SERIES, Array, DailyWeather, Days, Station, laid_on, runs_of

AIR_SERIES = ("air_min_c", "air_max_c", "air_mean_c")
_NOBODY = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """Days in a row whose air comes from one origin."""

    first_on: date
    last_on: date
    source: Source
    station: Station
    distance_km: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gathered:
    """Days of one place from one or more services.

    daily : its station is that of the first part used; `stretches` tells of each day
    missing : stretches of wanted days whose lowest or highest nobody has, as first and last day
    topped_up : series other than air in which a gap of a day's own origin was filled from another one
    soil_top_mean_c : see Fetched; one value for each of the days of `daily`, None where no reanalysis was asked
    parts : what each service gave, the better one first
    problems : of services that gave nothing, though others did
    """

    daily: DailyWeather
    stretches: tuple[Stretch, ...]
    missing: tuple[tuple[date, date], ...]
    topped_up: tuple[str, ...]
    soil_top_mean_c: Array | None
    parts: tuple[Fetched, ...]
    problems: tuple[WeatherServiceError, ...] = ()

    @property
    def sources(self) -> tuple[Source, ...]:
        """Whose credit must be shown, the better one first."""
        return tuple(each.source for each in self.parts)


def merged(
    parts: Sequence[Fetched], first_on: date, last_on: date, problems: Sequence[WeatherServiceError] = ()
) -> Gathered:
    """The wanted days from the first part that has them; at least one part must have one of them.

    The air of a day comes from one part alone, since lows and highs of two places do not belong together. Rain, snow,
    sun and soil of the day are taken from another part where its own has none.
    """
    days = np.arange(np.datetime64(first_on, "D"), np.datetime64(last_on, "D") + np.timedelta64(1, "D"))
    grids = [_on_days(each, days) for each in parts]
    has_air = np.array([np.isfinite(each["air_min_c"]) & np.isfinite(each["air_max_c"]) for each in grids])
    whose = np.where(has_air.any(axis=0), has_air.argmax(axis=0), _NOBODY)
    known = np.flatnonzero(whose != _NOBODY)
    kept = slice(int(known[0]), int(known[-1]) + 1)
    series, topped_up = _chosen(grids, whose)
    soil_top_c = _first_known([each["soil_top_mean_c"] for each in grids])
    return Gathered(
        daily=DailyWeather(
            station=parts[int(whose[known].min())].daily.station,
            days=days[kept],
            **{name: values[kept] for name, values in series.items()},
        ),
        stretches=_stretches(parts, days, whose),
        missing=tuple((days[first].item(), days[last].item()) for first, last in runs_of(whose == _NOBODY)),
        topped_up=topped_up,
        soil_top_mean_c=soil_top_c[kept] if np.isfinite(soil_top_c[kept]).any() else None,
        parts=tuple(parts),
        problems=tuple(problems),
    )


def _on_days(part: Fetched, days: Days) -> dict[str, Array]:
    """A part's series laid on the wanted days."""
    nothing = np.full(len(part.daily.days), np.nan)
    series = {name: getattr(part.daily, name) for name in DAY_SERIES}
    series["soil_top_mean_c"] = nothing if part.soil_top_mean_c is None else part.soil_top_mean_c
    return {name: laid_on(part.daily.days, values, days) for name, values in series.items()}


def _chosen(grids: Sequence[dict[str, Array]], whose: NDArray[np.int64]) -> tuple[dict[str, Array], tuple[str, ...]]:
    column = np.arange(len(whose))
    result, topped_up = {}, []
    for name in DAY_SERIES:
        stack = np.array([each[name] for each in grids])
        own = np.where(whose == _NOBODY, np.nan, stack[whose, column])
        if name not in AIR_SERIES:
            filled = np.where(np.isfinite(own), own, _first_known(list(stack)))
            if np.isfinite(filled).sum() > np.isfinite(own).sum():
                topped_up.append(name)
            own = filled
        result[name] = own
    return result, tuple(topped_up)


def _first_known(stack: Sequence[Array]) -> Array:
    result = stack[0]
    for other in stack[1:]:
        result = np.where(np.isfinite(result), result, other)
    return result


def _stretches(parts: Sequence[Fetched], days: Days, whose: NDArray[np.int64]) -> tuple[Stretch, ...]:
    found = [
        Stretch(
            first_on=days[first].item(),
            last_on=days[last].item(),
            source=part.source,
            station=part.daily.station,
            distance_km=part.distance_km,
        )
        for at, part in enumerate(parts)
        for first, last in runs_of(whose == at)
    ]
    return tuple(sorted(found, key=lambda each: each.first_on))
