"""How cold it got, where it was measured near: air, soil and crown told apart, with the depth and the doubt of each."""

from __future__ import annotations

from bot.talk import advice, answers, measuring
from bot.talk.advice import LawnView, SpotView, snow_protected
from bot.talk.case import Case, Measured
from bot.talk.chart import HalfDie, TraceChart
from bot.talk.messages import HeightM, TemperatureC, Text, Value, Verbatim, text
from bot.talk.telling_chart import alt_of
from bot.talk.turn import Turn
from bot.talk.weather_answers import measured_values
from rules.facts.soil import NORMAL_90
from rules.facts.stations import HEIGHT_TOLD_FROM_M
from rules.grasses import grass


def tell_cold(turn: Turn, view: LawnView, measured: Measured) -> None:
    """One message: what was measured where, what the ground made of it, and what this grass takes.

    Ranges hold nine times in ten, as in the picture. Told of the first part of the lawn; a shaded one is a little
    colder, which its odds already hold.
    """
    spot = view.spots[0]
    chart = _chart(turn, spot)
    alt = alt_of(chart, metric=turn.homeowner.metric) if chart else None
    turn.say(*cold_parts(turn, view, measured), chart=chart, chart_alt=alt)


def cold_parts(turn: Turn, view: LawnView, measured: Measured) -> list[Text]:
    """The same without its picture, for whoever asks again."""
    spot = view.spots[0]
    where = [*_height(measured), *_filled(turn, measured)]
    ground, limit = _ground(turn, spot, measured), _limit(view, spot)
    return [_air(turn, spot, measured), *where, ground, limit, *local_parts(view), *credit_parts(measured)]


def _chart(turn: Turn, spot: SpotView) -> TraceChart | None:
    """The hours as a picture, unless the ground came out as nobody has ever measured it."""
    measured = answers.measured(turn.case)
    if spot.cold.is_beyond_measured or (measured and is_snow_open(turn.case, measured)):
        return None
    half_die = HalfDie(middle_c=spot.half_die_c, sd_dc=spot.half_die_sd_dc)
    return measuring.chart(turn.case, turn.known, advice.traits_of(turn.case, spot.name), half_die)


def _air(turn: Turn, spot: SpotView, measured: Measured) -> Text:
    values = measured_values(turn.case)
    told = answers.air_min(turn.case)
    way = answers.code(turn.case, "weather_fits")
    if told is None and way in _WAYS:
        return text(_WAYS[way], **(values | {"theirs": values["air"], "air": TemperatureC(spot.cold.air_min_c)}))
    if told is None:
        return text("summary-cold-measured", **values)
    both: dict[str, Value] = {"theirs": values["air"], "yours": TemperatureC(told.mean_c)}
    return text("summary-cold-both", **(values | both | {"air": TemperatureC(spot.cold.air_min_c)}))


_WAYS = {"colder": "summary-cold-colder", "milder": "summary-cold-milder"}


def _height(measured: Measured) -> list[Text]:
    """A station that stands much higher or lower is said to."""
    height_m = measured.height_m
    if height_m is None or abs(height_m) < HEIGHT_TOLD_FROM_M.value:
        return []
    key = "summary-cold-higher" if height_m > 0 else "summary-cold-lower"
    return [text(key, height=HeightM(abs(height_m)))]


def _filled(turn: Turn, measured: Measured) -> list[Text]:
    """A gap is never filled in silence."""
    return [text("summary-cold-filled", **measured_values(turn.case))] if measured.days_filled else []


def _ground(turn: Turn, spot: SpotView, measured: Measured) -> Text:
    cold = spot.cold
    values: dict[str, Value] = {
        "soil": TemperatureC(cold.soil_2in_min_c, NORMAL_90.value * cold.soil_2in_sd_dc),
        "felt": TemperatureC(cold.crown.min_c, NORMAL_90.value * cold.crown.sd_dc),
    }
    if cold.is_beyond_measured:
        return text("summary-ground-beyond", **values)
    if is_snow_open(turn.case, measured):
        return text("summary-ground-maybe-snow", **values)
    return text("summary-ground-snow" if snow_protected(cold) else "summary-ground", **values)


def is_snow_open(case: Case, measured: Measured) -> bool:
    """Something fell in the cold, nobody measured whether it was snow, and the owner does not say either."""
    return measured.may_have_snowed and not measured.snow_is_measured and answers.number(case, "snow") is None


def _limit(view: LawnView, spot: SpotView) -> Text:
    if len(spot.half_die_range_c) > 1:
        low_c, high_c = spot.half_die_range_c
        return text("summary-limit-unsure", low=TemperatureC(low_c), high=TemperatureC(high_c))
    key = "summary-limit-rhizomes" if grass(view.code).has_rhizomes else "summary-limit"
    return text(key, half=TemperatureC(spot.half_die_c, NORMAL_90.value * spot.half_die_sd_dc))


def local_parts(view: LawnView) -> list[Text]:
    """One clause where what came of other lawns moved the limit far enough to matter."""
    shift = view.local_shift
    if shift is None or not shift.is_worth_telling:
        return []
    return [text("summary-local-worse" if shift.shift_dc > 0 else "summary-local-better")]


def credit_parts(measured: Measured) -> list[Text]:
    """The credit that must stand wherever this weather does."""
    return [text("weather-credit", credit=Verbatim(measured.credit))] if measured.credit else []
