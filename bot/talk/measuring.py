"""The freeze as it was measured near a lawn: looked up when place and day are known, kept with the case."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.talk import answers
from bot.talk.case import Case, DayTold, Measured, TemperatureTold
from bot.talk.chart import HalfDie, TraceChart
from bot.talk.known import Known
from rules.site_cold import ColdTold, OwnReading, SiteCold, SpotTraits, told_site_cold

_ASKED_FOR = ("place", "place_which", "state", "coldest_on")


def looked_up(before: Case, case: Case, known: Known, today: date) -> Case:
    """The case with what the weather at hand says of its freeze, looked up again when place or day changed."""
    if all(answers.find(before, each) == answers.find(case, each) for each in _ASKED_FOR):
        return case
    return replace(case, measured=found(case, known, today))


def found(case: Case, known: Known, today: date) -> Measured | None:
    """What the weather at hand says; None where place or day are open, or no station is near."""
    place, day = answers.settled_place(case), answers.find(case, "coldest_on")
    if known.weather is None or place is None or day is None:
        return None
    if isinstance(day.value, DayTold):
        return known.weather.freeze_near(place, day.value.on, day.value.give_or_take_days, today)
    named_on = known.freeze.coldest_on if known.freeze else None
    return known.weather.freeze_near(place, named_on, 0, today)


def caught_up(case: Case, known: Known, today: date) -> Case:
    """A case that was told its odds without weather, with the weather that has come in since."""
    if case.measured is not None or "summary" not in case.told:
        return case
    late = found(case, known, today)
    return case if late is None else replace(case, measured=replace(late, came_late=True))


def measured_cold(case: Case, measured: Measured, known: Known, traits: SpotTraits, latitude: float) -> SiteCold:
    """What a spot felt in a measured freeze. Where its hours are no longer at hand: roughly, from what is kept."""
    told, snow_in = answers.air_min(case), answers.number(case, "snow")
    cold = known.weather.cold_here(measured, snow_in, _own_reading(case), traits) if known.weather else None
    if cold is not None:
        return cold
    rough = ColdTold(
        air_min_c=told.mean_c if told else measured.air_min_c,
        air_sd_dc=told.sd_dc if told else measured.air_sd_dc,
        days_below_freezing=measured.days_below_freezing,
        snow_in=measured.snow_in if snow_in is None else snow_in,
        coldest_on=measured.coldest_on,
    )
    return told_site_cold(rough, latitude, traits)


def chart(case: Case, known: Known, traits: SpotTraits, half_die: HalfDie) -> TraceChart | None:
    """The hours of a measured freeze at a spot, as a picture; None where they are not at hand."""
    if case.measured is None or known.weather is None:
        return None
    snow_in = answers.number(case, "snow")
    return known.weather.chart_here(case.measured, snow_in, _own_reading(case), traits, half_die)


def _own_reading(case: Case) -> OwnReading | None:
    told = answers.air_min(case)
    return OwnReading(air_c=told.mean_c, sd_dc=told.sd_dc) if told else None


def air_here_c(case: Case) -> TemperatureTold | None:
    """The lowest air of the freeze as far as it is known: as the owner read it, else as it was measured."""
    told, measured = answers.air_min(case), case.measured
    if told is not None or measured is None:
        return told
    return TemperatureTold(mean_c=measured.air_min_c, sd_dc=measured.air_sd_dc)
