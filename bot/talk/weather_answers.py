"""What owners answer to the weather that was measured near them, and what their questions name."""

from __future__ import annotations

import re

from bot.talk import answers, understand
from bot.talk.case import AnswerValue, Case, Picked, TemperatureTold
from bot.talk.messages import Day, DistanceMiles, Number, TemperatureC, Value, Verbatim
from bot.talk.question import Context, Question, choice_or, parse_choice
from bot.talk.understand import Unclear
from rules.facts.cold import DIFFERENCE_TOLD_SD_DC, READING_FAR_OFF_DC
from rules.units import KM_PER_MILE

_SNOW = re.compile(r"\b(?:snow\w*|sleet\w*)\b", re.IGNORECASE)
_NO_SNOW = re.compile(r"\b(?:no|not|never|without|didn'?t|wasn'?t|zero)\b[\w\s]{0,12}\bsnow", re.IGNORECASE)
_PLAIN_NO = re.compile(r"\W*(?:hell |oh |well )?(?:no(?: way)?|nope|nah|not really|not quite|no it doesn'?t)\W*", re.I)
_NO_VALUE = frozenset({"no_number", "not_a_date", "empty", "which"})


def read_fits(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """Yes; colder or milder, with a difference or without; a reading of their own; snow that only fell here."""
    told = _difference(said, context)
    if told is not None:
        return told
    if _SNOW.search(said) and not _NO_SNOW.search(said):
        return Picked(code="snowed")
    plain = understand.plain(said)
    if plain.isdigit() and int(plain) <= len(question.choices(context.case)) + 1:
        return parse_choice(question, said, context)
    if _PLAIN_NO.fullmatch(said):
        return Unclear("which_way")
    if understand.yes_no(said) is True and not any(each.isdigit() for each in said):
        return Picked(code="fits")
    value = understand.temperature(understand.own_part(said), context.metric)
    if isinstance(value, Unclear) and value.reason in _NO_VALUE:
        picked = parse_choice(question, said, context)
        return Unclear("which_way") if isinstance(picked, Unclear) and understand.yes_no(said) is False else picked
    return _near_enough(value, context)


def read_air(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """The lowest air; after "colder" or "milder" it may be a difference from what was measured."""
    told = _difference(said, context)
    if told is not None:
        return told

    def read(words: str, _: Context) -> AnswerValue | Unclear:
        return understand.temperature(understand.own_part(words), context.metric)

    return _near_enough(choice_or(read)(question, said, context), context)


def _difference(said: str, context: Context) -> AnswerValue | Unclear | None:
    shift_dc = understand.difference_dc(said, metric=context.metric)
    if shift_dc is None:
        return None
    measured = answers.measured(context.case)
    if measured is None:
        return Unclear("colder_than_what")
    return TemperatureTold(mean_c=measured.air_min_c + shift_dc, sd_dc=DIFFERENCE_TOLD_SD_DC.value)


def _near_enough(value: AnswerValue | Unclear, context: Context) -> AnswerValue | Unclear:
    """A reading that cannot be of the same night and yard is asked for again."""
    measured = answers.measured(context.case)
    if measured is None or not isinstance(value, TemperatureTold):
        return value
    is_far = abs(value.mean_c - measured.air_min_c) > READING_FAR_OFF_DC.value
    return Unclear("far_off") if is_far else value


def measured_values(case: Case) -> dict[str, Value]:
    """What was measured near a lawn, for its questions and for what is told of it."""
    measured = case.measured
    if measured is None:
        return {}
    told = answers.coldest_day(case)
    return {
        "station": Verbatim(measured.station),
        "distance": DistanceMiles(measured.distance_km / KM_PER_MILE),
        "air": TemperatureC(measured.air_min_c),
        "day": Day(measured.coldest_on),
        "told": Day(told.on if told else measured.coldest_on),
        "kind": Verbatim("thermometer" if measured.is_thermometer else "model"),
        "filled": Number(measured.days_filled),
        "credit": Verbatim(measured.credit),
    }
