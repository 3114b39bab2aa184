"""The freeze as it was measured near a lawn: looked up when place and day are known, kept with the case."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from bot.talk import answers, local
from bot.talk.case import Case, DayTold, Measured, TemperatureTold
from bot.talk.chart import HalfDie, TraceChart
from bot.talk.known import Known
from rules.facts.cold import FELT_DIFFERENCE_DC, FELT_DIFFERENCE_SD_DC, FREEZE_MISDATED_DAYS
from rules.site_cold import ColdTold, OwnReading, SiteCold, SpotTraits, air_here, told_site_cold

_ASKED_FOR = ("place", "place_which", "state", "coldest_on")
_ABOUT_WEATHER = frozenset({"weather_fits", "weather_other"})
_COLDER_DC = 0.5  # news worth telling


def looked_up(before: Case, case: Case, known: Known, today: date) -> Case:
    """The case with what the weather at hand says of its freeze.

    Looked up again when place or day changed (what was said of another freeze's weather goes with it), and at every
    answer until the odds are told, since weather may come in meanwhile.
    """
    is_same = all(answers.find(before, each) == answers.find(case, each) for each in _ASKED_FOR)
    was_told = "summary" in case.told
    if is_same and (case.measured is not None or was_told):
        return case
    if not is_same:
        case = answers.keep_answers(case, lambda answer: answer.question not in _ABOUT_WEATHER)
    was_late = was_told and (before.measured is None or before.measured.came_late)
    late = was_late or answers.find(case, "air_min") is not None
    now = found(case, known, today) or (None if late else found_another_day(case, known, today))
    return replace(case, measured=_marked(now, came_late=late))


def _marked(measured: Measured | None, *, came_late: bool) -> Measured | None:
    return None if measured is None else replace(measured, came_late=came_late)


def found(case: Case, known: Known, today: date) -> Measured | None:
    """What the weather at hand says; None where place or day are open, the place is rough, or no station is near."""
    place, day = answers.settled_place(case), answers.find(case, "coldest_on")
    if known.weather is None or place is None or place.is_rough or day is None:
        return None
    if isinstance(day.value, DayTold):
        return known.weather.freeze_near(place, day.value.on, day.value.give_or_take_days, today)
    report = local.freeze_report(case, known)
    named_on = report.coldest_on if report else None
    return known.weather.freeze_near(place, named_on, 0, today)


def found_another_day(case: Case, known: Known, today: date) -> Measured | None:
    """The winter's coldest freeze where the station read no frost on the day the owner named, and that near it that
    they may mean it.
    """
    place, told = answers.settled_place(case), answers.coldest_day(case)
    if known.weather is None or place is None or place.is_rough or told is None:
        return None
    other = known.weather.freeze_near(place, None, 0, today)
    if other is None or other.record_first_on is None or other.record_last_on is None:
        return None
    was_read = other.record_first_on <= told.on <= other.record_last_on
    is_near = abs((other.coldest_on - told.on).days) <= FREEZE_MISDATED_DAYS.value
    return replace(other, is_other=True) if was_read and is_near else None


def caught_up(case: Case, known: Known, today: date) -> Case:
    """A case whose odds were told, with the weather that has come in since: where there was none, or colder nights of
    a freeze that went on. The same case where there is no news.
    """
    if "summary" not in case.told:
        return case
    now = found(case, known, today)
    old = case.measured
    if now is None or (old is not None and not _is_news(old, now)):
        return case
    return replace(case, measured=replace(now, came_late=old is None or old.came_late))


def _is_news(old: Measured, now: Measured) -> bool:
    """The same station's same freeze, with a colder night than the one that was told."""
    is_same = (now.code, now.network) == (old.code, old.network)
    overlaps = now.first_on <= old.last_on and old.first_on <= now.last_on
    return is_same and overlaps and now.air_min_c < old.air_min_c - _COLDER_DC


def measured_cold(case: Case, measured: Measured, known: Known, traits: SpotTraits, latitude: float) -> SiteCold:
    """What a spot felt in a measured freeze. Where its hours are no longer at hand: roughly, from what is kept."""
    snow_in, own = answers.number(case, "snow"), _own_reading(case)
    cold = known.weather.cold_here(measured, snow_in, own, traits) if known.weather else None
    if cold is not None:
        return cold
    air = air_here(measured.air_min_c, measured.air_sd_dc, own)
    rough = ColdTold(
        air_min_c=measured.air_min_c + air.shift_dc,
        air_sd_dc=air.sd_dc,
        days_below_freezing=measured.days_below_freezing,
        snow_in=measured.snow_in if snow_in is None else snow_in,
        coldest_on=measured.coldest_on,
    )
    return told_site_cold(rough, latitude, traits)


def chart(case: Case, known: Known, traits: SpotTraits, half_die: HalfDie) -> TraceChart | None:
    """The hours of a measured freeze at a spot, as a picture; None where they are not at hand."""
    measured = answers.measured(case)
    if measured is None or known.weather is None:
        return None
    snow_in = answers.number(case, "snow")
    return known.weather.chart_here(measured, snow_in, _own_reading(case), traits, half_die)


def _own_reading(case: Case) -> OwnReading | None:
    """What the owner read; where they only felt that it was colder or milder, some degrees of that."""
    told, measured = answers.air_min(case), answers.measured(case)
    if told is not None:
        return OwnReading(air_c=told.mean_c, sd_dc=told.sd_dc)
    ways = {"colder": -1, "milder": 1}
    way = ways.get(answers.code(case, "weather_fits") or "", 0)
    if measured is None or not way:
        return None
    return OwnReading(air_c=measured.air_min_c + way * FELT_DIFFERENCE_DC.value, sd_dc=FELT_DIFFERENCE_SD_DC.value)


def air_here_c(case: Case) -> TemperatureTold | None:
    """The lowest air of the freeze as far as it is known: as the owner read it, else as it was measured."""
    told, measured = answers.air_min(case), answers.measured(case)
    if told is not None or measured is None:
        return told
    return TemperatureTold(mean_c=measured.air_min_c, sd_dc=measured.air_sd_dc)
