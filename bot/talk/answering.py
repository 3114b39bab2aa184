"""The open question, and what an answer to it sets in motion: what it tells, and what is asked next."""

from __future__ import annotations

from dataclasses import replace

from bot import talk
from bot.talk import answers, asking, flow, understand
from bot.talk.case import AnswerValue, Case, SideTalk, Standing
from bot.talk.effects import ForgetHomeowner
from bot.talk.followup import open_tasks
from bot.talk.messages import Text, text
from bot.talk.question import Instance
from bot.talk.turn import Turn

# --- answers ---------------------------------------------------------------------------------------------------------


def accept(turn: Turn, instance: Instance, value: AnswerValue, words: str) -> None:
    """Keep an answer where it belongs, tell what follows from it, and ask what is open next."""
    side = turn.homeowner.side
    answer = asking.answer_of(turn, instance, value, words)
    if side is not None and side.topic != "changing":
        side = replace(side, answers=(*side.answers, answer))
        turn.update(side=side)
        if talk.errands.open_instance(turn, side) is None:
            talk.endings.end(turn, side)
        if not _has_left(turn):
            ask_open(turn)
        return
    before = turn.case
    turn.put_case(flow.settled(before, answers.with_answer(before, answer), turn.known, turn.today))
    if side is not None:
        turn.end_side()
    said_back = [*_told_more(instance, words), *talk.telling.said_back(instance, value, turn.case)]
    _tell_what_follows(turn, before, changed=side is not None, said_back=said_back)


def _has_left(turn: Turn) -> bool:
    """Whether they have just stopped or asked to be forgotten: after that word no question may come."""
    is_forgotten = any(isinstance(effect, ForgetHomeowner) for effect in turn.effects)
    return is_forgotten or turn.homeowner.standing is Standing.STOPPED


def _told_more(instance: Instance, words: str) -> list[Text]:
    """Somebody tells the whole story at the first question: only the place of it is taken, and that is said."""
    is_story = instance.question.id == "place" and understand.grass(words).grass is not None
    return [text("said-part")] if is_story else []


def _tell_what_follows(turn: Turn, before: Case, *, changed: bool, said_back: list[Text]) -> None:
    case = turn.case
    was_told = len(turn.effects)
    if not flow.is_ours(case):
        talk.tasks.let_go(turn)
        _tell_scope(turn, said_back)
        return
    if flow.first_stage_done(case) and "summary" not in case.told:
        _mark(turn, "summary")
        talk.telling.tell_summary(turn)
    elif changed and "summary" in case.told:
        if case.planned_on is not None:
            talk.tasks.replan(turn)
        talk.telling_plan.tell_difference(turn, before)
    if flow.details_done(turn.case) and "plan" not in turn.case.told and "summary" in turn.case.told:
        _mark(turn, "plan")
        talk.telling_plan.tell_plan(turn)
    _agree(turn, before)
    told_more = len(turn.effects) > was_told
    ask_open(turn, *([] if told_more else said_back))


def _mark(turn: Turn, what: str) -> None:
    turn.update_case(told=(*turn.case.told, what))


def _agree(turn: Turn, before: Case) -> None:
    """The plan was just confirmed or turned down."""
    said = answers.find(turn.case, "keep_track")
    if said is None or said == answers.find(before, "keep_track"):
        return
    if answers.code(turn.case, "keep_track") != "yes":
        talk.tasks.let_go(turn)
        turn.say(text("not-tracked"))
        return
    planned_on = turn.case.planned_on or turn.today
    turn.update_case(planned_on=planned_on, tasks=talk.tasks.tasks_of(turn, turn.case, planned_on))
    turn.update(minute_of_hour=_minute(turn))
    talk.tasks.tell_tracked(turn)


def _minute(turn: Turn) -> int:
    """Spread over the first twenty minutes of the hour, the same for the same homeowner."""
    return turn.case.opened_at.second % 20


def _tell_scope(turn: Turn, said_back: list[Text]) -> None:
    reason = flow.out_of_scope_reason(turn.case)
    token = f"scope-{reason}"
    if token not in turn.case.told:
        _mark(turn, token)
        turn.say(*said_back, text(token), text("scope-more"))
        return
    ask_open(turn, *said_back)


# --- the open question -----------------------------------------------------------------------------------------------


def open_question(turn: Turn) -> tuple[Instance | None, SideTalk | None]:
    """The question now open, and the side talk it belongs to (None: the table)."""
    side = turn.homeowner.side
    if side is not None:
        instance = talk.errands.open_instance(turn, side)
        if instance is not None:
            return instance, (side if side.topic != "changing" else None)
    return flow.next_instance(turn.case), None


def ask_open(turn: Turn, *before: Text) -> None:
    """Ask the open question again or for the first time, after whatever goes before it."""
    instance, side = open_question(turn)
    if instance is None:
        if before:
            turn.say(*before)
        elif not turn.effects:
            turn.say(talk.telling.next_line(turn.case, open_tasks(turn.case)))
        return
    case = talk.errands.scratch(turn, side) if side else turn.case
    asking.ask(turn, instance, case, *before, side=side)
