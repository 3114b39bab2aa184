"""`afterfrost soil --plot`: the picture of one freeze of a weather file, for one grass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bot.charts.trace import draw_trace
from bot.charts.wording import alt_text, trace_words
from bot.durable import write_durably
from bot.errors import AfterfrostError
from bot.talk.chart import TraceChart, trace_chart
from bot.talk.messages import Verbatim, text
from bot.words import Words
from rules.freezes import Freeze
from rules.grasses import GrassCode, cultivars_of, tolerance
from rules.lawn_setting import LawnSetting
from rules.modelled_cold import ground_under, modelled_site_cold
from rules.nearby_cold import freezes_told
from rules.site_cold import SpotTraits
from rules.station_ground import places_of, stretches
from rules.survival import effective_lt50_c
from rules.trace import days_around, freeze_trace, half_die_band_c
from rules.weather import DailyWeather, filled


class NothingToDraw(AfterfrostError):
    """A picture that cannot be made; the message says what to give."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotWanted:
    """Where the picture goes, of which freeze (None: the coldest), and for which grass ("zoysia", "bermuda/tifway")."""

    file: Path
    grass: str
    freeze_on: date | None = None


def require_picture(wanted: PlotWanted, *inputs: Path | None) -> None:
    """That the picture would not be written over a file that was read, and is called one. Raises NothingToDraw."""
    if wanted.file.suffix.lower() != ".png":
        raise NothingToDraw(f"--plot {wanted.file} does not end in .png. Name a file like freeze.png.")
    if wanted.file.exists() and any(wanted.file.samefile(each) for each in inputs if each is not None):
        raise NothingToDraw(f"--plot {wanted.file} is the file of weather itself. Name another file.")


def plot(daily: DailyWeather, setting: LawnSetting, wanted: PlotWanted, *, metric: bool) -> str:
    """Draw it, and say where it is and what it shows. Raises NothingToDraw."""
    chart = _chart(daily, setting, wanted)
    words = Words()
    picture = draw_trace(
        chart, words=trace_words(chart, words, language="en", metric=metric), metric=metric, language="en"
    )
    try:
        write_durably(wanted.file, picture)
    except OSError as error:
        raise NothingToDraw(f"{wanted.file} cannot be written ({error.strerror}). Name another file.") from error
    said = words.text(text("soil-plotted", file=Verbatim(str(wanted.file))), metric=metric)
    return f"{said}\n{alt_text(chart, words, language='en', metric=metric)}"


def _chart(daily: DailyWeather, setting: LawnSetting, wanted: PlotWanted) -> TraceChart:
    code, cultivar = _grass(wanted.grass)
    whole, freeze = _freeze(daily, wanted.freeze_on)
    ground = ground_under(places_of(whole), [setting])
    cold = modelled_site_cold(ground, 0, freeze.first_on, freeze.last_on, SpotTraits())
    if cold.is_beyond_measured:
        raise NothingToDraw(
            f"The soil of {freeze.coldest_on} comes out colder than was ever measured under grass in the humid South, "
            "so it is not drawn. Check the weather and the settings."
        )
    trace = freeze_trace(ground, 0, *days_around(ground, 0, freeze.first_on, freeze.last_on), SpotTraits())
    return trace_chart(trace, half_die_band_c(*effective_lt50_c(cold, code, tolerance(code, cultivar))))


def _grass(written: str) -> tuple[GrassCode, str | None]:
    name, _, cultivar = written.partition("/")
    known = [each.value for each in GrassCode]
    if name not in known:
        raise NothingToDraw(f"No grass is called {name!r}. Known: {', '.join(known)}.")
    code = GrassCode(name)
    cultivars = [each.code for each in cultivars_of(code)]
    if cultivar and cultivar not in cultivars:
        raise NothingToDraw(f"{cultivar!r} is no cultivar of {name}. Known: {', '.join(cultivars)}.")
    return code, cultivar or None


def _freeze(daily: DailyWeather, on: date | None) -> tuple[DailyWeather, Freeze]:
    """The stretch of the record that holds the freeze, and the freeze: the coldest, or the one of a day."""
    found = [
        (whole, each) for whole in _filled(daily) for each in freezes_told(whole) if on is None or _holds(each, on)
    ]
    if not found:
        wanted = "no freeze" if on is None else f"no freeze on {on}"
        raise NothingToDraw(f"The file holds {wanted}, or only in the first month, while the ground settles.")
    return min(found, key=lambda each: each[1].air_min_c)


def _filled(daily: DailyWeather) -> list[DailyWeather]:
    return [filled(stretch)[0] for stretch in stretches(daily)]


def _holds(freeze: Freeze, on: date) -> bool:
    return freeze.first_on <= on <= freeze.last_on
