"""What a question is: one row of the table or of a side talk, and how its choices are read from typed words."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from functools import lru_cache

from bot.talk import understand
from bot.talk.case import AnswerValue, Case, NotSure, NumberTold, Picked, PickedMany, Skipped
from bot.talk.known import Known
from bot.talk.messages import Text, Value, Verbatim, text
from bot.talk.understand import Unclear


class Stage(StrEnum):
    """When a question is asked."""

    FIRST = "first"
    DETAILS = "details"
    AGREE = "agree"


@dataclass(frozen=True, slots=True, kw_only=True)
class Context:
    """What a parser may look at besides the words."""

    today: date
    metric: bool
    language: str
    case: Case
    spot: str
    known: Known


Parse = Callable[["Question", str, Context], "AnswerValue | Unclear"]


ChoiceValue = Callable[[str, Context], AnswerValue]


def _picked(code: str, context: Context) -> AnswerValue:
    return Picked(code=code)


def _always(case: Case, spot: str) -> bool:
    return True


def _any_value(case: Case, value: AnswerValue) -> bool:
    return True


def _plain_label(question: Question, code: str, case: Case) -> Text:
    return _label(question.id, code)


@lru_cache(maxsize=1024)
def _label(question_id: str, code: str) -> Text:
    return text(f"{question_id}-{code}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One row of the table. `parse` reads typed words; `value` is what a pressed choice means."""

    id: str
    stage: Stage
    parse: Parse
    applies: Callable[[Case, str], bool] = _always
    holds: Callable[[Case, AnswerValue], bool] = _any_value  # whether an answer still fits after others changed
    choices: Callable[[Case], tuple[str, ...]] = lambda case: ()
    label: Callable[[Question, str, Case], Text] = _plain_label
    value: ChoiceValue = _picked
    several: bool = False
    takes_number: bool = False  # a typed number is the answer itself, not the number of a choice
    per_spot: bool = False
    may_skip: bool = False
    offers_not_sure: bool = True
    picture: str | None = None
    values: Callable[[Case, datetime], Mapping[str, Value]] | None = None  # what its wording names (a time, a place)


@dataclass(frozen=True, slots=True)
class Instance:
    """One question for one spot ("" when it is about the whole lawn)."""

    question: Question
    spot: str = ""


def spoken_choices(question: Question, context: Context) -> list[tuple[str, tuple[str, ...]]]:
    """The choices of a question with the words people type for them: the catalogue's, or the names they show."""
    spoken = []
    for code in question.choices(context.case):
        label = question.label(question, code, context.case)
        named = tuple(value.text for value in label.values.values() if isinstance(value, Verbatim))
        spoken.append((code, named if label.values else context.known.spoken(context.language, label.key)))
    return spoken


NOT_SURE = "not_sure"


SKIP = "skip"


OPEN_ENDED: Mapping[str, AnswerValue] = {NOT_SURE: NotSure(), SKIP: Skipped()}


def offered_ends(question: Question) -> tuple[str, ...]:
    """The ways out that stand behind a question's own choices, in order: "not sure", then "skip" where it may be."""
    return (*((NOT_SURE,) if question.offers_not_sure else ()), *((SKIP,) if question.may_skip else ()))


def typed_code(question: Question, said: str, context: Context) -> str | Unclear:
    """The code of a typed choice, counting "not sure" and "skip" as the last lines, as people see them numbered."""
    ends = [(code, context.known.spoken(context.language, f"choice-{code}")) for code in offered_ends(question)]
    return understand.pick_one(said, [*spoken_choices(question, context), *ends])


def parse_choice(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """A typed choice: its number, its words, or nearly its words."""
    code = typed_code(question, said, context)
    if isinstance(code, Unclear):
        return code
    return OPEN_ENDED.get(code) or question.value(code, context)


def parse_several(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    """Typed choices where any number may be picked."""
    options = spoken_choices(question, context)
    ends = [(code, context.known.spoken(context.language, f"choice-{code}")) for code in offered_ends(question)]
    picked = understand.picks(said, [*options, *ends])
    if isinstance(picked, Unclear):
        return picked
    end = next((OPEN_ENDED[code] for code in picked if code in OPEN_ENDED), None)
    own = tuple(code for code in picked if code not in OPEN_ENDED)
    return end if end is not None and not own else PickedMany(codes=own)


_NO_VALUE_AT_ALL = frozenset({"no_number", "not_a_date", "empty", "which"})  # then the words may be a choice


def choice_or(read: Callable[[str, Context], AnswerValue | Unclear]) -> Parse:
    """Read a value; where there is none, see whether one of the choices was typed.

    A bare number is the number of a choice, unless the question takes numbers.
    """

    def parse(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
        if not question.takes_number and understand.plain(said).isdigit():
            return parse_choice(question, said, context)
        value = read(said, context)
        if not isinstance(value, Unclear) or value.reason not in _NO_VALUE_AT_ALL:
            return value
        picked = parse_choice(question, said, context)
        return value if isinstance(picked, Unclear) else picked

    return parse


def yes_no(question: Question, said: str, context: Context) -> AnswerValue | Unclear:
    answer = understand.yes_no(said)
    if answer is not None:
        return Picked(code="yes" if answer else "no")
    return parse_choice(question, said, context)


def numbers(table: Mapping[str, float]) -> ChoiceValue:
    return lambda code, context: NumberTold(value=table[code])


def fixed(*codes: str) -> Callable[[Case], tuple[str, ...]]:
    return lambda case: codes
