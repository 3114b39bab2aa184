"""The same task at several spots: brought up in one message, and asked about one spot after the other.

Nobody digs plugs on Saturday in front and on Sunday behind because a reminder said so.
"""

from __future__ import annotations

from collections.abc import Iterable

from bot.talk.case import Case, Task
from bot.talk.followup import open_tasks
from rules.task_kinds import TaskKind

_TOGETHER = frozenset({TaskKind.POT_START, TaskKind.POT_READ, TaskKind.JUDGE})


def alike(task: Task, others: Iterable[Task]) -> tuple[Task, ...]:
    """Those of some tasks of a lawn that are the same thing to do at another spot, in the same week of a test."""
    if task.kind not in _TOGETHER:
        return ()
    return tuple(other for other in others if other.spot != task.spot and _what(other) == _what(task))


def told_with(case: Case, task: Task | None) -> tuple[Task, ...]:
    """What was brought up together with a task and is still open."""
    if task is None or not task.told_on:
        return ()
    told = (other for other in open_tasks(case) if other.told_on and max(other.told_on) == max(task.told_on))
    return alike(task, (other for other in told if not _is_put_off(other)))


def _is_put_off(task: Task) -> bool:
    """Whether it was answered with another day since: nothing of it is left to ask about now."""
    return task.moved_to is not None and task.moved_to > max(task.told_on)


def _what(task: Task) -> tuple[str, str]:
    return task.kind, task.key.rpartition(":")[2] if task.kind == TaskKind.POT_READ else ""
