"""Reading and replacing answers of a case. The only module that knows how answers are kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import wraps
from typing import TypeVar

from bot.talk.case import (
    Answer,
    AnswerValue,
    AreaTold,
    Case,
    DayTold,
    LabelTold,
    Measured,
    NamesTold,
    NotSure,
    NumberTold,
    Picked,
    PickedMany,
    Place,
    PlacesTold,
    Skipped,
    TemperatureTold,
)

Kind = TypeVar("Kind")
Result = TypeVar("Result")

LEAST_KNOWN_PLACE = Place(name="", county="", state="", zone="America/Chicago", latitude=33.0, longitude=-87.0)
"""Stands in where no place was given: inland, mid-South. Dates worked out from it are told as very rough."""


_CASES_KEPT = 4  # a turn looks at the case before it, after it, and of its side talk


def once_a_case(work: Callable[[Case], Result]) -> Callable[[Case], Result]:
    """For what is asked of the same case again and again in one turn: worked out once, and kept for the last few cases.

    A case never changes, and it is told by being that very object, so nothing kept can be of another one. What is kept
    is put back as a whole, so that another thread finds it old or new, never half.
    """
    kept: tuple[tuple[Case, Result], ...] = ()

    @wraps(work)
    def look_up(case: Case) -> Result:
        nonlocal kept
        for of_case, result in kept:
            if of_case is case:
                return result
        result = work(case)
        kept = ((case, result), *kept[: _CASES_KEPT - 1])
        return result

    return look_up


@once_a_case
def _by_question(case: Case) -> Mapping[tuple[str, str], Answer]:
    return {(answer.question, answer.spot): answer for answer in reversed(case.answers)}  # the first one counts


def find(case: Case, question: str, spot: str = "") -> Answer | None:
    """The answer to a question, if there is one."""
    return _by_question(case).get((question, spot))


def value_as(case: Case, question: str, kind: type[Kind], spot: str = "") -> Kind | None:
    """The understood value of an answer when it is of the given kind; None for "not sure", skipped or unasked."""
    answer = find(case, question, spot)
    return answer.value if answer is not None and isinstance(answer.value, kind) else None


def with_answer(case: Case, answer: Answer) -> Case:
    """The case with an answer added, or put in the place of the earlier one to the same question."""
    for index, old in enumerate(case.answers):
        if old.question == answer.question and old.spot == answer.spot:
            return replace(case, answers=(*case.answers[:index], answer, *case.answers[index + 1 :]))
    return replace(case, answers=(*case.answers, answer))


def without_last_answer(case: Case) -> Case:
    """The case without its newest answer ("back"): the one given last, also where it took the place of another."""
    if not case.answers:
        return case
    newest = max(range(len(case.answers)), key=lambda index: (case.answers[index].at, index))
    return replace(case, answers=(*case.answers[:newest], *case.answers[newest + 1 :]))


def keep_answers(case: Case, keep: Callable[[Answer], bool]) -> Case:
    """The case with only the answers that still hold."""
    kept = tuple(answer for answer in case.answers if keep(answer))
    return case if len(kept) == len(case.answers) else replace(case, answers=kept)


# --- what the answers say ----------------------------------------------------------------------------------------


def code(case: Case, question: str, spot: str = "") -> str | None:
    """The code of the picked choice."""
    picked = value_as(case, question, Picked, spot)
    return picked.code if picked else None


def codes(case: Case, question: str, spot: str = "") -> tuple[str, ...]:
    """The codes of all picked choices."""
    picked = value_as(case, question, PickedMany, spot)
    return picked.codes if picked else ()


def number(case: Case, question: str, spot: str = "") -> float | None:
    """A told number."""
    told = value_as(case, question, NumberTold, spot)
    return told.value if told else None


def candidates(case: Case) -> tuple[Place, ...]:
    """Places the answer may mean."""
    told = value_as(case, "place", PlacesTold) or value_as(case, "state", PlacesTold)
    return told.candidates if told else ()


def settled_place(case: Case) -> Place | None:
    """Where the lawn is, once it is clear."""
    places = candidates(case)
    if len(places) == 1:
        return places[0]
    picked = (code(case, "place_which") or "").removeprefix("line")
    return places[int(picked)] if picked.isascii() and picked.isdigit() and int(picked) < len(places) else None


def place_or_stand_in(case: Case) -> Place:
    """The settled place, or the stand-in that makes dates very rough."""
    return settled_place(case) or LEAST_KNOWN_PLACE


def zone(case: Case) -> str:
    """The IANA zone of the lawn: what the owner corrected it to, else the place's own."""
    return code(case, "zone") or place_or_stand_in(case).zone


def air_min(case: Case) -> TemperatureTold | None:
    """The lowest air temperature as the owner told it, if they did."""
    return value_as(case, "air_min", TemperatureTold) or value_as(case, "weather_fits", TemperatureTold)


def coldest_day(case: Case) -> DayTold | None:
    """The told day of the worst cold."""
    return value_as(case, "coldest_on", DayTold)


def measured(case: Case) -> Measured | None:
    """The freeze as it was measured near, where it is the one the owner means."""
    found = case.measured
    is_unsure = found is not None and found.is_other and code(case, "weather_other") != "yes"
    return None if is_unsure else found


def area_sqft(case: Case, spot: str = "") -> float | None:
    """The told size, in square feet."""
    told = value_as(case, "size", AreaTold, spot)
    return told.area_sqft if told else None


def bag(case: Case) -> LabelTold | None:
    """The told fertilizer analysis."""
    return value_as(case, "bag", LabelTold)


def spots(case: Case) -> tuple[str, ...]:
    """Names of the spots judged by themselves; one unnamed spot for a lawn that is all alike."""
    named = value_as(case, "spots", NamesTold)
    return named.names if named else ("",)


def is_open_ended(value: AnswerValue) -> bool:
    """Whether an answer leaves the question open (not sure, or skipped)."""
    return isinstance(value, NotSure | Skipped)
