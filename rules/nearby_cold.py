"""What a freeze did to the ground beside a station, kept small, and how it is carried over to a lawn some way off."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from rules.facts import cold as cold_facts
from rules.facts import soil as soil_facts
from rules.facts.stations import FILLED_AIR_SD_DC
from rules.freezes import FROST_C, HARD_FREEZE_C, Freeze, freezes
from rules.lawn_soil import DailyPlaces, snow_depths_m
from rules.modelled_cold import Ground, ground_under, modelled_site_cold
from rules.site_cold import AirHere, Layer, SiteCold, SpotTraits, night_pull_fraction, spot_shift_dc
from rules.station_ground import places_of, stretches
from rules.trace import NORMAL_90, FreezeTrace, days_around, freeze_trace
from rules.units import CM_PER_INCH, HOURS_PER_DAY
from rules.weather import DailyWeather, filled

_SNOW_STEPS_IN = (0.0, 1.0, 2.0, 4.0, 8.0)
"""Depths of snow the ground is worked out under; between them in a straight line."""

_BLOCK = 64
"""Stretches worked out together: enough to be fast, few enough to be small."""

PLAIN = SpotTraits()


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezeGround:
    """One freeze beside a station.

    days_filled : days of it whose lowest or highest air was missing and filled
    worked_out_snow_in : snow lying on its coldest day, measured, or worked out from rain and cold [in]
    snow_is_measured : whether it was measured
    rain_fell : whether anything fell on its cold days that could have been snow
    as_recorded : the cold of an open lawn there, under that snow
    under_snow : the same under each of the depths of `_SNOW_STEPS_IN`, on the days on which snow can have lain
    traces : its hours as recorded, then under each of those depths where snow may have lain
    """

    freeze: Freeze
    days_filled: int
    worked_out_snow_in: float
    snow_is_measured: bool
    rain_fell: bool
    as_recorded: SiteCold
    under_snow: tuple[SiteCold, ...]
    traces: tuple[FreezeTrace, ...]

    @property
    def may_have_snowed(self) -> bool:
        """Whether snow lay, or something fell in the cold and nobody measured what."""
        return self.worked_out_snow_in > 0 or (self.rain_fell and not self.snow_is_measured)


def freeze_grounds(records: Sequence[DailyWeather]) -> tuple[tuple[FreezeGround, ...], ...]:
    """The freezes of each record with what the ground did in them, in the order of time.

    Parameters
    ----------
    records : sequence of DailyWeather
        The days of some stations; gaps of up to 3 days are filled, longer ones part a record. All of them are worked
        out together, so many cost little more than one.

    Returns
    -------
    tuple of tuples of FreezeGround
        For each record: hard freezes, and frosts that belong to none of them. A freeze before the ground has settled,
        or in a gap, is not there.

    Source
    ------
    rules/modelled_cold.py, rules/freezes.py.

    Checked
    -------
    tests/rules/test_nearby_cold.py.
    """
    found: list[list[FreezeGround]] = [[] for _ in records]
    rows = [row for at, record in enumerate(records) for stretch in stretches(record) for row in _rows(at, stretch)]
    for first in range(0, len(rows), _BLOCK):
        block = rows[first : first + _BLOCK]
        ground = ground_under(_together([row.places for row in block]))
        for number, row in enumerate(block):
            found[row.record].extend(_freeze_grounds(row, ground, number * _VARIANTS))
    return tuple(tuple(sorted(each, key=lambda one: one.freeze.first_on)) for each in found)


def freezes_told(whole: DailyWeather) -> tuple[Freeze, ...]:
    """The freezes of a stretch without gaps that are told: hard ones, and frosts that belong to none of them.

    Those whose coldest day comes after the ground has settled; what of one comes before is left off. [degC]
    Source: rules/freezes.py; facts SETTLING_DAYS.
    """
    return tuple(_settled(whole, _apart(freezes(whole, HARD_FREEZE_C), freezes(whole, FROST_C))))


def freeze_near(
    grounds: Sequence[FreezeGround], on: date | None, give_or_take_days: int, asked_on: date
) -> FreezeGround | None:
    """The freeze somebody means: the coldest of those near the day they name, or of the winter where they name none.

    `on` None: any of the last `LOOK_BACK_DAYS`. `asked_on` is today. Source: common practice.
    """
    if on is None:
        near = [each for each in grounds if 0 <= (asked_on - each.freeze.first_on).days <= LOOK_BACK_DAYS]
    else:
        near = [each for each in grounds if _days_off(each.freeze, on) <= give_or_take_days + SLACK_DAYS]
    return min(near, key=lambda each: each.freeze.air_min_c, default=None)


LOOK_BACK_DAYS = int(cold_facts.FREEZE_LOOK_BACK_DAYS.value)
SLACK_DAYS = int(cold_facts.FREEZE_DAY_SLACK_DAYS.value)


def cold_here(ground: FreezeGround, snow_in: float | None, air: AirHere, traits: SpotTraits) -> SiteCold:
    """The cold at a spot of a lawn some way from the station.

    Parameters
    ----------
    ground : FreezeGround
        The freeze beside the station.
    snow_in : float or None
        Snow on the grass as the owner saw it; None takes what was recorded or worked out. [in, 0 or more]
    air : AirHere
        How the air at the lawn differs.
    traits : SpotTraits
        What shifts this spot.

    Returns
    -------
    SiteCold
        Basis MODELLED. [degC, in, h]

    Source
    ------
    The share of the air's difference that reaches crown and rhizomes: rules/site_cold.py, as for a freeze that was
    only told.

    Checked
    -------
    tests/rules/test_nearby_cold.py.
    """
    cold = _recorded(ground) if snow_in is None else _between_steps(ground.under_snow, snow_in)
    pull = night_pull_fraction(cold.snow_in)
    crown = spot_shift_dc(traits) + pull * air.shift_dc
    air_sd = math.hypot(air.sd_dc, FILLED_AIR_SD_DC.value if ground.days_filled else 0.0)
    crown_sd = math.hypot(cold.crown.sd_dc, pull * air_sd)
    if cold.snow_in > 0:  # nothing under snow that lies is above freezing
        crown = min(crown, max(0.0, -cold.crown.min_c))
    return replace(
        cold,
        air_min_c=cold.air_min_c + air.shift_dc,
        crown=replace(cold.crown, min_c=cold.crown.min_c + crown, sd_dc=crown_sd),
        soil_2in_min_c=cold.soil_2in_min_c + cold_facts.SOIL_2IN_PER_AIR_FRACTION.value * air.shift_dc,
        soil_2in_sd_dc=math.hypot(cold.soil_2in_sd_dc, cold_facts.SOIL_2IN_PER_AIR_FRACTION.value * air_sd),
        rhizomes=tuple(_shifted(layer, pull * air.shift_dc, pull * air_sd) for layer in cold.rhizomes),
    )


def trace_here(ground: FreezeGround, snow_in: float | None, air: AirHere, traits: SpotTraits) -> FreezeTrace:
    """The hours of a freeze at a spot of a lawn some way from the station, as `cold_here` takes them over.

    Under snow the owner tells of: those of the nearest depth that was worked out. Parameters as `cold_here`. [degC]
    Source and checks: as `cold_here`.
    """
    trace = ground.traces[0]
    if snow_in is not None and len(ground.traces) > 1:
        steps = [abs(step - snow_in) for step in _SNOW_STEPS_IN]
        trace = ground.traces[1 + steps.index(min(steps))]
    cold = cold_here(ground, snow_in, air, traits)
    pull = night_pull_fraction(cold.snow_in)
    shift_dc = spot_shift_dc(traits) + pull * air.shift_dc
    wider_dc = NORMAL_90 * cold.crown.sd_dc
    half_dc = np.maximum((trace.crown_high_c - trace.crown_low_c) / 2, wider_dc)
    crown_c = trace.crown_c + _shift_by_hour_dc(trace, shift_dc)
    soil_c = trace.soil_2in_c + cold_facts.SOIL_2IN_PER_AIR_FRACTION.value * air.shift_dc
    soil_half_dc = np.maximum((trace.soil_high_c - trace.soil_low_c) / 2, NORMAL_90 * cold.soil_2in_sd_dc)
    return replace(
        trace,
        soil_2in_c=soil_c,
        soil_low_c=soil_c - soil_half_dc,
        soil_high_c=soil_c + soil_half_dc,
        air_c=trace.air_c + air.shift_dc,
        crown_c=crown_c,
        crown_low_c=crown_c - half_dc,
        crown_high_c=crown_c + half_dc,
    )


def _shift_by_hour_dc(trace: FreezeTrace, shift_dc: float) -> np.ndarray:
    """The shift of the crown at each hour, on days with snow held down as the lowest one is."""
    lies = np.repeat(trace.snow_in > 0, HOURS_PER_DAY)
    return np.where(lies, np.minimum(shift_dc, np.maximum(0.0, -trace.crown_c)), shift_dc)


def _shifted(layer: Layer, shift_dc: float, sd_dc: float) -> Layer:
    """A rhizome feels less of the air's difference the deeper it lies."""
    shares = {
        cold_facts.RHIZOME_SHALLOW_IN.value: cold_facts.PULL_AT_SHALLOW_FRACTION.value,
        cold_facts.RHIZOME_MIDDLE_IN.value: cold_facts.PULL_AT_MIDDLE_FRACTION.value,
    }
    share = shares.get(layer.depth_in, 0.0)
    return replace(layer, min_c=layer.min_c + share * shift_dc, sd_dc=math.hypot(layer.sd_dc, share * sd_dc))


def _recorded(ground: FreezeGround) -> SiteCold:
    """As recorded. Where snow may have lain and nobody measured it: half way between bare
    and that snow, wide enough to hold both.
    """
    if ground.snow_is_measured or not ground.may_have_snowed:
        return ground.as_recorded
    return _either(ground.under_snow[0], ground.as_recorded)


def _either(one: SiteCold, two: SiteCold) -> SiteCold:
    """One of two, and nobody knows which: their middle, with what lies between them added to the doubt."""
    middle = _mixed(one, two, 0.5)

    def wider(layer: Layer, first: Layer, second: Layer) -> Layer:
        return replace(layer, sd_dc=math.hypot(layer.sd_dc, (first.min_c - second.min_c) / 2))

    rows = zip(middle.rhizomes, one.rhizomes, two.rhizomes, strict=True)
    return replace(
        middle,
        crown=wider(middle.crown, one.crown, two.crown),
        rhizomes=tuple(wider(*row) for row in rows),
        soil_2in_sd_dc=math.hypot(middle.soil_2in_sd_dc, (one.soil_2in_min_c - two.soil_2in_min_c) / 2),
        snow_in=(one.snow_in + two.snow_in) / 2,
    )


def _between_steps(steps: tuple[SiteCold, ...], snow_in: float) -> SiteCold:
    """The cold under a depth of snow between two that were worked out; the deepest holds for all deeper."""
    deep = min(max(snow_in, 0.0), _SNOW_STEPS_IN[-1])
    above = next(at for at, step in enumerate(_SNOW_STEPS_IN) if step >= deep)
    if above == 0:
        return replace(steps[0], snow_in=snow_in)
    low, high = _SNOW_STEPS_IN[above - 1], _SNOW_STEPS_IN[above]
    return replace(_mixed(steps[above - 1], steps[above], (deep - low) / (high - low)), snow_in=snow_in)


def _mixed(one: SiteCold, two: SiteCold, part: float) -> SiteCold:
    def mix(first: float, second: float) -> float:
        return first + part * (second - first)

    def mix_layers(first: Layer, second: Layer) -> Layer:
        return replace(first, min_c=mix(first.min_c, second.min_c), sd_dc=mix(first.sd_dc, second.sd_dc))

    return replace(
        one,
        crown=mix_layers(one.crown, two.crown),
        rhizomes=tuple(mix_layers(*pair) for pair in zip(one.rhizomes, two.rhizomes, strict=True)),
        soil_2in_min_c=mix(one.soil_2in_min_c, two.soil_2in_min_c),
        soil_2in_sd_dc=mix(one.soil_2in_sd_dc, two.soil_2in_sd_dc),
        hours_near_min=mix(one.hours_near_min, two.hours_near_min),
        is_beyond_measured=one.is_beyond_measured and two.is_beyond_measured,
    )


# --- one stretch of a record ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Row:
    """A stretch of one record: its filled days, the freezes in it, and it as places under each depth of snow."""

    record: int
    daily: DailyWeather
    is_filled: np.ndarray
    freezes: tuple[Freeze, ...]
    places: DailyPlaces


_VARIANTS = 1 + len(_SNOW_STEPS_IN)


def _rows(record: int, stretch: DailyWeather) -> list[_Row]:
    whole, is_filled = filled(stretch)
    usable = freezes_told(whole)
    if not usable:
        return []
    places = _under_snow_steps(places_of(whole), usable)
    return [_Row(record=record, daily=whole, is_filled=is_filled, freezes=usable, places=places)]


def _apart(hard: tuple[Freeze, ...], frosts: tuple[Freeze, ...]) -> list[Freeze]:
    """Hard freezes, and the frosts that touch none of them."""
    alone = [each for each in frosts if all(each.last_on < one.first_on or each.first_on > one.last_on for one in hard)]
    return [*hard, *alone]


def _settled(daily: DailyWeather, found: Sequence[Freeze]) -> list[Freeze]:
    """Freezes whose coldest day comes when the ground has forgotten its start; what of one comes before is left off."""
    from_on = daily.days[0].item() + timedelta(days=int(soil_facts.SETTLING_DAYS.value))
    return [replace(each, first_on=max(each.first_on, from_on)) for each in found if each.coldest_on >= from_on]


def _days_off(freeze: Freeze, on: date) -> int:
    """How many days a day lies outside a freeze; 0 within it."""
    return max((freeze.first_on - on).days, (on - freeze.last_on).days, 0)


def _under_snow_steps(place: DailyPlaces, found: Sequence[Freeze]) -> DailyPlaces:
    """The same place as it was, and once for each depth of snow, lying when it can have lain in every freeze."""
    lies = np.zeros(len(place.days), dtype=np.bool_)
    for each in found:
        lies |= _can_lie(place, each)
    wide = place.only(np.zeros(_VARIANTS, dtype=np.int64))
    snow_m = snow_depths_m(place)
    steps_m = [np.where(lies, step * CM_PER_INCH / 100, 0.0)[:, None] for step in _SNOW_STEPS_IN]
    return replace(wide, snow_depth_m=np.concatenate([snow_m, *steps_m], axis=1))


def _can_lie(place: DailyPlaces, freeze: Freeze) -> np.ndarray:
    """The days of a freeze on which snow can have lain: where it was measured, those with snow; else from the first
    cold day on which something fell; else all of them.
    """
    days = place.days[:, 0]
    within = (days >= np.datetime64(freeze.first_on)) & (days <= np.datetime64(freeze.last_on))
    measured_m = place.snow_depth_m[:, 0]
    if np.isfinite(measured_m[within]).all() and (measured_m[within] > 0).any():
        return np.asarray(within & (measured_m > 0))
    mean_c = (place.air_min_c[:, 0] + place.air_max_c[:, 0]) / 2
    fell = within & (mean_c <= soil_facts.SNOW_BELOW_MEAN_C.value) & (np.nan_to_num(place.rain_mm[:, 0]) > 0)
    return np.asarray(within & (days >= days[np.argmax(fell)])) if fell.any() else within


def _together(parts: Sequence[DailyPlaces]) -> DailyPlaces:
    """Records of different lengths side by side: the shorter go on with their last day, which nobody reads."""
    most = max(len(part.days) for part in parts)
    return DailyPlaces(
        days=np.concatenate([_on_and_on(part.days, most) for part in parts], axis=1),
        latitude=np.concatenate([part.latitude for part in parts]),
        height_m=np.concatenate([part.height_m for part in parts]),
        **{
            name: np.concatenate([_held(getattr(part, name), most) for part in parts], axis=1)
            for name in ("air_min_c", "air_max_c", "rain_mm", "solar_mj_m2", "snow_depth_m")
        },
    )


def _on_and_on(days: np.ndarray, count: int) -> np.ndarray:
    return days[:1] + np.arange(count)[:, None]


def _held(values: np.ndarray, count: int) -> np.ndarray:
    return np.concatenate([values, np.repeat(values[-1:], count - len(values), axis=0)])


def _freeze_grounds(row: _Row, ground: Ground, place: int) -> Iterator[FreezeGround]:
    for freeze in row.freezes:
        first_on, last_on = days_around(ground, place, *_to_show(freeze))
        shown = first_on, min(last_on, row.daily.days[-1].item())  # a longer record beside it goes on
        within = _within(row.daily, freeze)
        low_c, high_c = row.daily.air_min_c[within], row.daily.air_max_c[within]
        could_be_snow = (low_c + high_c) / 2 <= soil_facts.SNOW_BELOW_MEAN_C.value
        colds = [
            modelled_site_cold(ground, place + step, freeze.first_on, freeze.last_on, PLAIN)
            for step in range(_VARIANTS)
        ]
        found = FreezeGround(
            freeze=freeze,
            days_filled=int(row.is_filled[within].sum()),
            worked_out_snow_in=colds[0].snow_in,
            snow_is_measured=bool(np.isfinite(row.daily.snow_depth_cm[within]).all()),
            rain_fell=bool((np.nan_to_num(row.daily.rain_mm[within], nan=1.0)[could_be_snow] > 0).any()),
            as_recorded=colds[0],
            under_snow=tuple(colds[1:]),
            traces=(freeze_trace(ground, place, *shown, PLAIN),),
        )
        yield _with_traces(found, ground, place, shown) if found.may_have_snowed else found


def _to_show(freeze: Freeze) -> tuple[date, date]:
    """Of a siege that lasts for weeks only the days around its coldest: more would not be readable."""
    margin = timedelta(days=int(cold_facts.SHOWN_AROUND_COLDEST_DAYS.value))
    first_on = max(freeze.first_on, freeze.coldest_on - margin)
    return first_on, min(freeze.last_on, freeze.coldest_on + margin)


def _with_traces(found: FreezeGround, ground: Ground, place: int, shown: tuple[date, date]) -> FreezeGround:
    under = (freeze_trace(ground, place + 1 + step, *shown, PLAIN) for step in range(len(_SNOW_STEPS_IN)))
    return replace(found, traces=(*found.traces, *under))


def _within(daily: DailyWeather, freeze: Freeze) -> slice:
    first = int((np.datetime64(freeze.first_on) - daily.days[0]).astype(np.int64))
    last = int((np.datetime64(freeze.last_on) - daily.days[0]).astype(np.int64))
    return slice(first, last + 1)
