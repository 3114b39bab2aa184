"""Asking a question and reading what came back, for the table's questions and for side talks alike."""

from __future__ import annotations

from zlib import crc32

from bot.talk import answers, flow, in_hand, understand
from bot.talk.case import Answer, AnswerValue, Case, Picked, PickedMany, SideTalk
from bot.talk.effects import Choice
from bot.talk.messages import Text, Value, Verbatim, text, where_text
from bot.talk.question import OPEN_ENDED, Context, Instance, offered_ends, spoken_choices
from bot.talk.turn import Turn
from bot.talk.understand import Unclear

TOKEN_QUESTION = "q"
TOKEN_SIDE = "s"


def mark_of(instance: Instance, case: Case, side: SideTalk | None) -> str:
    """What ties a button to the very asking it stood under: the number of the spot for the table's questions (with a
    digest of the places where places were listed), a digest of the side talk and how far it had come for others.
    """
    if side is not None:
        return _digest(side.topic, *side.about, str(len(side.answers)))
    names = answers.spots(case)
    spot = str(names.index(instance.spot)) if instance.spot in names else "0"
    if instance.question.id != "place_which":
        return spot
    return f"{spot}-{_digest(*(f'{place.latitude} {place.longitude}' for place in answers.candidates(case)))}"


def _digest(*parts: str) -> str:
    return f"{crc32(chr(0).join(parts).encode('utf-8', 'replace')):08x}"


def choices_of(instance: Instance, case: Case, side: SideTalk | None = None) -> tuple[Choice, ...]:
    """The buttons under a question: its own choices, then "not sure", then "skip" where it may be skipped.

    What one sends back is at most 64 bytes: whose question it is, lawn, question, mark, code.
    """
    question = instance.question
    kind = TOKEN_QUESTION if side is None else TOKEN_SIDE
    start = f"{kind}:{case.number}:{question.id}:{mark_of(instance, case, side)}"
    own = [
        Choice(token=f"{start}:{code}", label=question.label(question, code, case)) for code in question.choices(case)
    ]
    ends = [Choice(token=f"{start}:{code}", label=text(f"choice-{code}")) for code in offered_ends(question)]
    return (*own, *ends)


def ask(turn: Turn, instance: Instance, case: Case, *before: Text, side: SideTalk | None = None) -> None:
    """Say a question, after whatever goes before it in the same message."""
    step = flow.progress(case, instance) if side is None else None
    if turn.homeowner.task_was_last:
        turn.update(task_was_last=False)
    turn.say(
        *before,
        wording(instance, turn),
        choices=choices_of(instance, case, side),
        several=instance.question.several,
        numbered=bool(instance.question.choices(case)) and not instance.question.takes_number,
        step=step[0] if step else None,
        steps=step[1] if step else None,
        picture=instance.question.picture,
        photos=in_hand.shown_again(turn.case, side, turn.now),
    )


def wording(instance: Instance, turn: Turn) -> Text:
    """The words of a question; for one of several spots, with the spot's name."""
    question = instance.question
    values: dict[str, Value] = {"where": where_text(side_spot(turn))}
    if question.values is not None:
        values |= question.values(turn.case, turn.local_now)
    if instance.spot:
        return text(f"ask-{question.id}-spot", spot=Verbatim(instance.spot), **values)
    return text(f"ask-{question.id}", **values)


def side_spot(turn: Turn) -> str:
    """The spot a side talk is about: named in it, or the spot of its task; the first one otherwise."""
    names = answers.spots(turn.case)
    about = turn.homeowner.side.about if turn.homeowner.side else ()
    if len(about) > 1 and about[1] in names:
        return about[1]
    task = turn.task(about[0]) if about else None
    return task.spot if task and task.spot else names[0]


def read_words(turn: Turn, instance: Instance, case: Case, said: str) -> AnswerValue | Unclear:
    """What typed words mean as an answer to a question."""
    context = context_of(turn, case, instance.spot)
    return instance.question.parse(instance.question, said, context)


def is_choice(turn: Turn, instance: Instance, case: Case, said: str) -> bool:
    """Whether typed words are exactly those of a choice under the question."""
    options = spoken_choices(instance.question, context_of(turn, case, instance.spot))
    return understand.is_exactly(said, options)


def read_codes(turn: Turn, instance: Instance, case: Case, codes: tuple[str, ...]) -> AnswerValue | None:
    """What pressed buttons mean; None when none of the codes belongs to the question any more."""
    question = instance.question
    if len(codes) == 1 and codes[0] in offered_ends(question):
        return OPEN_ENDED[codes[0]]
    known = question.choices(case)
    valid = tuple(code for code in known if code in codes)
    if not valid:
        return None
    if question.several:
        return PickedMany(codes=valid)
    return question.value(valid[0], context_of(turn, case, instance.spot))


def context_of(turn: Turn, case: Case, spot: str) -> Context:
    """What a parser may look at."""
    return Context(
        today=turn.today,
        metric=turn.homeowner.metric,
        language=turn.homeowner.language,
        case=case,
        spot=spot,
        known=turn.known,
    )


def answer_of(turn: Turn, instance: Instance, value: AnswerValue, words: str) -> Answer:
    """A value as a kept answer: with its question, spot, words and time."""
    return Answer(question=instance.question.id, spot=instance.spot, value=value, words=words[:500], at=turn.now)


def is_yes(case: Case, question: str) -> bool:
    """Whether a yes/no question was answered with yes."""
    return answers.value_as(case, question, Picked) == Picked(code="yes")
