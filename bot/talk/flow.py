"""Where a talk stands, worked out from the answers: the next question, the progress, what no longer holds."""

from __future__ import annotations

from datetime import date

from bot import talk
from bot.talk import answers, applies
from bot.talk.case import Answer, Case
from bot.talk.known import Known
from bot.talk.question import Instance, Stage
from bot.talk.questions import BY_ID, FIRST_ANSWER_WITHIN, QUESTIONS

_ALL = tuple(Instance(question) for question in QUESTIONS)


@answers.once_a_case
def instances(case: Case) -> tuple[Instance, ...]:
    """Every question that applies to the case as it stands, in order, once per spot where it is asked per spot."""
    found: list[Instance] = []
    for instance in _ALL:
        question = instance.question
        if question.per_spot:
            found += [Instance(question, spot) for spot in answers.spots(case) if question.applies(case, spot)]
        elif question.applies(case, ""):
            found.append(instance)
    return tuple(found)


def next_instance(case: Case) -> Instance | None:
    """The first question that applies and has no answer; None when nothing is open."""
    for instance in instances(case):
        if answers.find(case, instance.question.id, instance.spot) is None:
            return instance
    return None


def first_stage_done(case: Case) -> bool:
    """Whether enough is known for the first useful answer: all first questions answered, or eight of them."""
    first = [instance for instance in instances(case) if instance.question.stage is Stage.FIRST]
    answered = [i for i in first if answers.find(case, i.question.id, i.spot) is not None]
    return len(answered) == len(first) or len(answered) >= FIRST_ANSWER_WITHIN


def details_done(case: Case) -> bool:
    """Whether the plan can be told: nothing is open before the agreement."""
    following = next_instance(case)
    return following is None or following.question.stage is Stage.AGREE


def is_ours(case: Case) -> bool:
    """Whether this lawn is one we compute for."""
    return applies.is_ours(case)


def out_of_scope_reason(case: Case) -> str:
    """Why a lawn is not ours to compute: the kind of lawn, or that it never froze."""
    return applies.out_of_scope(case) or "not_frost"


def progress(case: Case, instance: Instance) -> tuple[int, int] | None:
    """Which question of about how many this is, within its stage; None in the agreement."""
    stage = instance.question.stage
    if stage is Stage.AGREE:
        return None
    of_stage = [i for i in instances(case) if i.question.stage is stage]
    step = of_stage.index(instance) + 1
    return step, len(of_stage)


def settled(before: Case, case: Case, known: Known, today: date) -> Case:
    """The case after its answers changed: the weather looked up again where that changes it, and nothing stale left."""
    case = without_stale(case)
    looked_up = talk.measuring.looked_up(before, case, known, today)
    return case if looked_up == case else without_stale(looked_up)


def without_stale(case: Case) -> Case:
    """Drop answers whose question no longer applies after something else changed."""
    while True:
        kept = _standing_only(case)
        if len(kept.answers) == len(case.answers):
            return kept
        case = kept


def _standing_only(case: Case) -> Case:
    standing = {(i.question.id, i.spot) for i in instances(case)}
    return answers.keep_answers(case, lambda answer: _holds(case, answer, standing))


def answered_instances(case: Case) -> tuple[Instance, ...]:
    """The answered questions in the order of the table: the numbered list behind "change"."""
    return tuple(i for i in instances(case) if answers.find(case, i.question.id, i.spot) is not None)


def _holds(case: Case, answer: Answer, standing: set[tuple[str, str]]) -> bool:
    question = BY_ID.get(answer.question)
    asked = (answer.question, answer.spot) in standing
    return question is not None and asked and question.holds(case, answer.value)
