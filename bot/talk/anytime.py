"""What works at any time, whatever is being asked: help in an emergency, stopping, going back, changing, the plan.

`first_things` comes before everything else. `grant` comes before the open question is read, so that no question can
take these words for an answer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from bot.talk import answers, errands, flow, tasks, telling, telling_plan, understand
from bot.talk.advice import fed_lawn, is_feeding_banned, lawn_view
from bot.talk.answering import accept, ask_open, open_question
from bot.talk.case import Case, LabelTold, NotSure, Skipped, Standing, TaskState
from bot.talk.effects import OfferData, OfferMove
from bot.talk.endings import set_hours
from bot.talk.followup import open_tasks
from bot.talk.messages import AreaSqft, Day, Number, RateLbPer1000, Several, Text, Value, text
from bot.talk.reading import index_of
from bot.talk.telling_evidence import moved_parts
from bot.talk.turn import Turn
from bot.talk.understand import Unclear, Wish
from bot.talk.understand.move_codes import move_code
from rules.facts.areas import RATE_AREA_SQFT
from rules.facts.feeding import CENTIPEDE_CLOSED_MONTHS
from rules.feeding import Label, check_told_dose
from rules.grasses import GrassCode
from rules.plan import FEED_CHECK_KEY

Grant = Callable[[Turn], None]


def first_things(turn: Turn, words: str) -> bool:
    """Emergencies and wishes to stop. True when the message was one."""
    alarm = understand.emergency(words)
    if alarm is not None:
        turn.say(text(f"emergency-{alarm}"))
        return True
    wanted = understand.wish(words)
    if wanted is Wish.STOP:
        turn.end_side()
        turn.update(standing=Standing.STOPPED)
        turn.say(text("stopped"))
        return True
    if wanted is Wish.STOP_DOUBTFUL and turn.homeowner.standing is Standing.ACTIVE:
        turn.update(standing=Standing.PAUSED)
        turn.start_side("stop")
        ask_open(turn)
        return True
    return False


def may_go_on(turn: Turn, words: str) -> bool:
    """Somebody who stopped writes again: "start" wakes us; anything else gets one short line. True: go on reading."""
    wanted = understand.wish(words)
    if wanted is Wish.START:
        turn.update(standing=Standing.ACTIVE)
        return True
    if wanted in _WHILE_QUIET or turn.homeowner.side is not None:
        return True  # their data, an erasure, a person; or the answer to what we asked about it
    turn.say(text("stopped-still"))
    return False


ALWAYS_WISHES = frozenset({Wish.BACK, Wish.HELP, Wish.WHY, Wish.DATA})
"""Wishes that no choice of a question may take the place of."""
_WHILE_QUIET = frozenset({Wish.FORGET_ME, Wish.DATA, Wish.HELP, Wish.PERSON})


def grant(turn: Turn, words: str) -> bool:
    """Do what a wish asks for, and ask what is open then. False when the words were no such wish."""
    if _moves(turn, words):
        return True
    wanted = understand.wish(words)
    if wanted is None:
        return False
    turn.update(misses=0)
    if wanted in (Wish.NOT_SURE, Wish.SKIP):
        _open_ended(turn, NotSure() if wanted is Wish.NOT_SURE else Skipped())
        return True
    if wanted is Wish.HOURS and not isinstance(hours := understand.hours_of_day(words), Unclear):
        set_hours(turn, *hours)
    elif wanted is Wish.CHANGE:
        _change(turn, words)
    elif wanted is Wish.LATER:
        _later(turn, words)
    else:
        _GRANTS[wanted](turn)
    ask_open(turn)
    return True


# --- the talk -----------------------------------------------------------------------------------------------


def _back(turn: Turn) -> None:
    side = turn.homeowner.side
    if side is not None:
        shorter = errands.without_last(side)
        if shorter is None:
            turn.end_side()
        else:
            turn.update(side=shorter)
        return
    if not turn.case.answers:
        turn.say(text("back-first"))
        return
    turn.put_case(flow.settled(turn.case, answers.without_last_answer(turn.case), turn.known, turn.today))
    turn.say(text("back-done"))


def _open_ended(turn: Turn, value: NotSure | Skipped) -> None:
    """ "not sure" and "skip": an answer to the open question; "skip" to a reminder where that was said last."""
    instance, _ = open_question(turn)
    task = tasks.told_task(turn)
    if task is not None and isinstance(value, Skipped) and (instance is None or turn.homeowner.task_was_last):
        tasks.act_on_told(turn, task, tasks.SKIP)
        return
    if instance is None:
        turn.say(telling.next_line(turn.case, open_tasks(turn.case)))
        return
    question = instance.question
    if not question.offers_not_sure:
        ask_open(turn, text("need-answer"))
        return
    if isinstance(value, Skipped) and not question.may_skip:
        value = NotSure()
    accept(turn, instance, value, "")


def _why(turn: Turn) -> None:
    """Why a question is asked; where none is open, what moved the odds."""
    instance, _ = open_question(turn)
    if instance is not None:
        turn.say(text(f"why-{instance.question.id}"))
    elif "summary" in turn.case.told and flow.is_ours(turn.case):
        turn.say(*moved_parts(lawn_view(turn.case, turn.known)))
    else:
        turn.say(text("help"))


def _pull(turn: Turn) -> None:
    turn.start_side("pull")


def _change(turn: Turn, words: str) -> None:
    """Which answer, if it was not named at once ("change size", "fix 3")."""
    listed = flow.answered_instances(turn.case)
    if not listed:
        turn.say(text("change-none"))
        return
    named = understand.pick_one(_CHANGE_WORDS.sub("", words), errands.change_options(turn))
    place = None if isinstance(named, Unclear) else index_of(named)
    if place is None:
        turn.start_side("change")
    else:
        turn.start_side("changing", listed[place].question.id, listed[place].spot)


_CHANGE_WORDS = re.compile(
    r"^\W*(?:change|edit|fix|correct|update)\b(?:\s+(?:the|my|answer|line|number|question|no|#)\b)*", re.I
)


def _never_mind(turn: Turn) -> None:
    """Whatever was being asked aside is left; a wish for quiet that was in doubt is taken as none."""
    side = turn.homeowner.side
    if side is None:
        turn.say(telling.next_line(turn.case, open_tasks(turn.case)))
        return
    if side.topic == "stop":
        turn.update(standing=Standing.ACTIVE)
    turn.end_side()
    turn.say(text("never-mind"))


def _start_over(turn: Turn) -> None:
    turn.start_side("start_over")


def _help(turn: Turn) -> None:
    turn.say(text("help"))


def _person(turn: Turn) -> None:
    turn.start_side("person")


def _start(turn: Turn) -> None:
    turn.end_side()
    turn.say(text("welcome-back"))


def _moves(turn: Turn, words: str) -> bool:
    """A wish to move, or a code: where one opens something, it never gets here. Nothing is asked after either.

    Whoever wants to move is on their way to the other chat, which asks what is open.
    """
    if move_code(words) is not None:
        turn.say(text("move-unknown"))
        return True
    if understand.wish(words) is not Wish.MOVE:
        return False
    turn.update(misses=0)
    if any(case.answers for case in turn.homeowner.lawns):
        turn.want(OfferMove())
    else:
        turn.say(text("move-nothing"))
    return True


# --- the plan -----------------------------------------------------------------------------------------------


def _plan(turn: Turn) -> None:
    if not flow.is_ours(turn.case) or not flow.details_done(turn.case):
        turn.say(text("plan-not-yet"))
        return
    telling_plan.tell_plan(turn)


def _feed(turn: Turn) -> None:
    """The feeding check, asked for by the owner: not before its day, and then as often as they like."""
    if turn.case.planned_on is None:
        turn.say(text("feed-no-plan"))
        return
    tasks.replan(turn)  # what is said of the region may have moved it
    task = turn.task(FEED_CHECK_KEY)
    is_banned = is_feeding_banned(turn.case, turn.known, turn.today)
    if task is None or task.state is TaskState.DROPPED or is_banned:
        tasks.feed_waits(turn, task, turn.today)
    elif turn.today < task.on:
        told = telling_plan.ban_parts(turn, turn.today)
        early = text("local-not-before", day=Day(task.on)) if told else text("feed-too-early", day=Day(task.on, True))
        turn.say(early, *told)
    else:
        task = replace(task, state=TaskState.OPEN, closed_on=None)
        turn.put_task(task)
        tasks.act(turn, task, tasks.DONE)


def _verb(verb: str) -> Grant:
    def grant_verb(turn: Turn) -> None:
        task = tasks.told_task(turn)
        if task is None:
            turn.say(text("no-task-told"), telling.next_line(turn.case, open_tasks(turn.case)))
        else:
            tasks.act_on_told(turn, task, verb)

    return grant_verb


def _later(turn: Turn, words: str) -> None:
    """ "Later" about the task last brought up; with a day in it ("remind me Saturday") that day is taken."""
    side = turn.homeowner.side
    task = turn.task(side.about[0]) if side is not None and side.topic == "later" else tasks.told_task(turn)
    day = understand.later_day(words, turn.today)
    if task is None or isinstance(day, Unclear):
        _verb(tasks.LATER)(turn)
        return
    if side is not None and side.topic == "later":
        turn.end_side()
    elif turn.homeowner.last_told_task is not None:
        turn.update(active_lawn=turn.homeowner.last_told_task[0])
    tasks.move(turn, task.key, day, with_others=True)


def _problem(turn: Turn) -> None:
    if tasks.told_task(turn) is None:
        turn.start_side("person")
    else:
        _verb(tasks.PROBLEM)(turn)


# --- the homeowner ------------------------------------------------------------------------------------------


def _metric(turn: Turn) -> None:
    turn.update(metric=True)
    turn.say(text("units-metric"))


def _us_units(turn: Turn) -> None:
    turn.update(metric=False)
    turn.say(text("units-us"))


def _hours(turn: Turn) -> None:
    turn.start_side("hours")


def _data(turn: Turn) -> None:
    turn.say(text("data-offer"))
    turn.want(OfferData())


def _forget(turn: Turn) -> None:
    turn.start_side("forget")


def _new_lawn(turn: Turn) -> None:
    number = max((case.number for case in turn.homeowner.lawns), default=0) + 1
    first = turn.homeowner.lawns[0] if turn.homeowner.lawns else None
    shared = tuple(answer for answer in first.answers if answer.question in _SAME_TOWN) if first else ()
    turn.end_side()
    turn.put_case(Case(number=number, opened_at=turn.now, answers=shared))
    turn.say(text("new-lawn-same-town" if shared else "new-lawn", n=Number(number)))


_SAME_TOWN = frozenset(
    {"place", "place_which", "state", "coldest_on", "air_min", "days_cold", "snow", "time_ok", "zone"}
)


def _lawns(turn: Turn) -> None:
    if len(turn.homeowner.lawns) < 2:
        turn.say(text("lawns-one"))
        return
    turn.start_side("which_lawn")


def _nothing(turn: Turn) -> None:
    turn.say(text("help"))


_GRANTS: Mapping[Wish, Grant] = {
    Wish.BACK: _back,
    Wish.PERSON: _person,
    Wish.PLAN: _plan,
    Wish.FEED: _feed,
    Wish.HELP: _help,
    Wish.WHY: _why,
    Wish.START_OVER: _start_over,
    Wish.NEW_LAWN: _new_lawn,
    Wish.LAWNS: _lawns,
    Wish.DONE: _verb(tasks.DONE),
    Wish.PROBLEM: _problem,
    Wish.METRIC: _metric,
    Wish.US_UNITS: _us_units,
    Wish.DATA: _data,
    Wish.FORGET_ME: _forget,
    Wish.START: _start,
    Wish.HOURS: _hours,
    Wish.MORE: _help,
    Wish.PULL: _pull,
    Wish.NEVER_MIND: _never_mind,
    Wish.STOP_DOUBTFUL: _nothing,
}


# --- a dose somebody was told -------------------------------------------------------------------------------


def told_dose(turn: Turn, words: str) -> bool:
    """Words like "the store said 15 lb of 16-4-8": what that would mean on this lawn. True when they were such."""
    told = understand.told_dose(words)
    if told is None or not flow.is_ours(turn.case):
        return False
    area = RATE_AREA_SQFT.value if told.per_1000_sqft else answers.area_sqft(turn.case)
    if area is None:
        turn.say(text("dose-needs-size"))
        return True
    warned = [text("dose-kills-weeds")] if told.kills_weeds else []
    turn.say(*_dose_parts(turn, told.product_lb, told.label, area), *warned)
    return True


def _dose_parts(turn: Turn, product_lb: float, bag: LabelTold, area: float) -> list[Text]:
    view = lawn_view(turn.case, turn.known)
    label = Label(
        n_percent=bag.n_percent,
        p2o5_percent=bag.p2o5_percent,
        k2o_percent=bag.k2o_percent,
        slow_n_percent=bag.slow_n_percent,
    )
    meant = check_told_dose(label, product_lb, area, fed_lawn(turn.case, turn.known, view.code, turn.today))
    values: dict[str, Value] = {
        "area": AreaSqft(area),
        "rate": RateLbPer1000(meant.rate.n_lb),
        "times": Number(round(meant.times_light, 1)),
        "day": Day(view.season.warm_soil_on, view.season.is_about),
    }
    parts = [text("dose-means", **values)]
    is_closed = view.code is GrassCode.CENTIPEDE and turn.today.month <= CENTIPEDE_CLOSED_MONTHS.high
    if is_closed:
        parts.append(text("dose-centipede"))
    if meant.broken:
        parts.append(
            text("dose-broken", reasons=Several(tuple(telling_plan.refusal_text(each) for each in meant.broken)))
        )
    if is_feeding_banned(turn.case, turn.known, turn.today):
        parts.extend(telling_plan.ban_parts(turn, turn.today))
    elif not is_closed:
        parts.append(text("dose-wait" if turn.today < view.season.warm_soil_on else "dose-check", **values))
    parts.append(text("dose-second-opinion"))
    return parts
