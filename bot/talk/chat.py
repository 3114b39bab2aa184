"""What people say besides answers: thanks, a greeting, a question about care. The plan's own lines answer it.

Looked at last: nothing here may stand in the way of an answer, a wish or a warning.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date

from bot.talk import advice, answers, flow, local, telling, telling_plan, understand
from bot.talk.followup import next_due_on, open_tasks
from bot.talk.messages import Day, TemperatureC, Text, text
from bot.talk.telling_cold import cold_parts
from bot.talk.turn import Turn
from rules.restraint import RestraintCode
from rules.task_kinds import TaskKind

_RESTRAINT_OF: Mapping[str, RestraintCode] = {
    "seed": RestraintCode.SOD_OR_SEED,
    "rake": RestraintCode.DETHATCH,
    "aerate": RestraintCode.CORE_AERATE,
    "topdress": RestraintCode.TOPDRESS,
    "weed_killer": RestraintCode.POST_EMERGENT_WEED_CONTROL,
    "preventer": RestraintCode.ROOT_PRUNING_PREEMERGENT,
    "weed_and_feed": RestraintCode.WEED_AND_FEED,
    "lime": RestraintCode.LIME,
    "traffic": RestraintCode.TRAFFIC,
    "feed": RestraintCode.NITROGEN,
}


def courtesy(words: str) -> Text | None:
    """The answer to thanks or a greeting; None for anything else."""
    kind = understand.pleasantry(words)
    return text(f"chat-{kind}") if kind is not None else None


def early_question(words: str) -> Text | None:
    """A question about care while we are still asking: it is promised an answer."""
    return text("chat-first-answers") if understand.topic(words) is not None else None


_ASKS = re.compile(
    r"\?|^(?:can|should|may|could|do|does|when|is|will|would|shall)\b|\b(?:says?|said|told me|wants me) to\b"
)


def asks_about_care(words: str) -> bool:
    """Whether words ask what to do, instead of telling what was done ("should I scalp it", not "I scalped it")."""
    return bool(_ASKS.search(understand.plain(words))) and understand.topic(words) is not None


def takes_words(turn: Turn, words: str) -> bool:
    """Answer a courtesy or a question about care, when nothing is being asked. True when the words were such."""
    said = courtesy(words)
    if said is not None:
        turn.update(misses=0)
        turn.say(said, telling.next_line(turn.case, open_tasks(turn.case)))
        return True
    topic = understand.topic(words)
    if topic is None or not flow.is_ours(turn.case) or not flow.details_done(turn.case):
        return False
    turn.update(misses=0)
    turn.say(*_answer(turn, topic))
    return True


def _answer(turn: Turn, topic: str) -> list[Text]:
    if topic == "feed" and advice.is_feeding_banned(turn.case, turn.known, turn.today):
        return telling_plan.ban_parts(turn, turn.today)
    if topic in _RESTRAINT_OF:
        told = telling_plan.ban_parts(turn, turn.today) if topic == "feed" else []
        return [_when(turn, _RESTRAINT_OF[topic]), *told]
    return _ANSWERS[topic](turn)


def _when(turn: Turn, code: RestraintCode) -> Text:
    """From when a thing may be done, as the plan has it."""
    view = advice.lawn_view(turn.case, turn.known)
    plan = advice.plan_of(turn.case, turn.known, turn.case.planned_on or turn.today)
    restraint = next((each for each in plan.not_now if each.code is code), None)
    if restraint is None:
        return text("chat-may", thing=text(f"not-now-{code}"))
    if restraint.until_on is None:
        return text(f"not-now-{code}-{restraint.gate}")
    if restraint.until_on <= turn.today:
        return text("chat-may", thing=text(f"not-now-{code}"))
    return text("chat-not-before", thing=text(f"not-now-{code}"), day=Day(restraint.until_on, view.season.is_about))


def _dead(turn: Turn) -> list[Text]:
    view = advice.lawn_view(turn.case, turn.known)
    odds = telling_plan.odds_parts(view)
    if turn.today >= view.season.judging_on:
        return [*odds, text("chat-judging-passed"), text("moved-ask")]
    return [*odds, text("moved-ask"), text("summary-judging", day=Day(view.season.judging_on, view.season.is_about))]


def _cold(turn: Turn) -> list[Text]:
    """How cold it got, once more: as it was measured, or what the odds rest on instead."""
    view = advice.lawn_view(turn.case, turn.known)
    if view.measured is not None:
        return cold_parts(turn, view, view.measured)
    air = answers.air_min(turn.case)
    return [text("summary-cold-guess") if air is None else text("chat-cold-told", air=TemperatureC(air.mean_c))]


def _next_of(*kinds: TaskKind) -> Callable[[Turn], date | None]:
    def on(turn: Turn) -> date | None:
        days = (next_due_on(task) for task in open_tasks(turn.case) if task.kind in kinds)
        return min((day for day in days if day is not None), default=None)

    return on


def _mow(turn: Turn) -> list[Text]:
    day = _next_of(TaskKind.CUT)(turn)
    return [text("chat-mow", day=Day(day)) if day else text("chat-mow-none")]


def _water(turn: Turn) -> list[Text]:
    day = _next_of(TaskKind.WATER, TaskKind.SPRING_WATER)(turn)
    rule = local.watering_parts(turn.case, turn.known)
    return [text("chat-water", day=Day(day)) if day else text("chat-water-none"), *rule]


_ANSWERS: Mapping[str, Callable[[Turn], list[Text]]] = {
    "dead": _dead,
    "cold": _cold,
    "mow": _mow,
    "water": _water,
    "scalp": lambda turn: [text("chat-scalp"), *_mow(turn)],
    "photo": lambda turn: [text("chat-photo")],
    "tonic": lambda turn: [text("plan-seaweed")],
    "fed": lambda turn: [text("chat-fed")],
}
TOPICS_ANSWERED = frozenset(_RESTRAINT_OF) | frozenset(_ANSWERS)
