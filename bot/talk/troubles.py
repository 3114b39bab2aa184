"""What goes wrong with a task, and what follows: from the list under a reminder, or in somebody's own words."""

from __future__ import annotations

from datetime import timedelta

from bot.talk import tasks, telling, telling_plan
from bot.talk.case import Case, TaskState
from bot.talk.followup import open_tasks
from bot.talk.messages import Text, text
from bot.talk.turn import Turn
from rules.task_kinds import TaskKind

AGAIN_AFTER_DAYS = 7
_NEEDS_A_TASK = frozenset({"too_wet", "frost_ahead"})  # said of nothing in particular they change nothing


def takes_words(turn: Turn, code: str | None) -> bool:
    """Whether trouble told in somebody's own words concerns a confirmed plan; then it is met."""
    task = tasks.told_task(turn)
    if code is None or turn.case.planned_on is None or (task is None and code in _NEEDS_A_TASK):
        return False
    if task is not None and turn.homeowner.last_told_task is not None:
        turn.update(active_lawn=turn.homeowner.last_told_task[0])
    turn.update(misses=0)
    meet(turn, task.key if task else "", code)
    return True


def meet(turn: Turn, key: str, code: str) -> None:
    """Do what a trouble asks for: stop lowering, move the plan, put a task off, or call a person."""
    if code == "brown_stem":
        _stop_lowering(turn, key)
    elif code == "frost_again":
        before = turn.case
        turn.update_case(cold_again_on=turn.today)
        _say_change(turn, before, text("problem-frost-again"))
    elif code in ("no_green", "too_wet", "no_means", "frost_ahead"):
        turn.say(text(f"problem-{code.replace('_', '-')}"))
        tasks.move(turn, key, turn.today + timedelta(days=AGAIN_AFTER_DAYS), with_others=True)
    else:
        turn.start_side("person")


def _stop_lowering(turn: Turn, key: str) -> None:
    """A cut that showed brown stems counts as done, and no other goes lower."""
    before = turn.case
    task = turn.task(key)
    if task is not None and task.kind == TaskKind.CUT:
        turn.close_task(key, TaskState.DONE)
    turn.update_case(stopped_cutting_on=turn.today)
    _say_change(turn, before, text("problem-brown-stem"))


def _say_change(turn: Turn, before: Case, said: Text) -> None:
    tasks.replan(turn)
    following = telling.next_line(turn.case, open_tasks(turn.case))
    turn.say(said, *telling_plan.difference_parts(turn, before), following)
