"""Which reminders a homeowner wants, worked out from the tasks of their confirmed plans.

A task is brought up on its day; once more three days later if nothing was answered; then it is left alone. Silence is
no failure, and a reminder nobody wants is worse than none.
"""

from __future__ import annotations

from datetime import date, timedelta

from bot.talk import answers
from bot.talk.case import Case, Homeowner, Standing, Task, TaskState
from bot.talk.effects import Reminder
from rules.plan import TaskKind

NUDGE_AFTER_DAYS = 3
TOLD_AT_MOST = 2
URGENT_FIRST = (
    TaskKind.JUDGE,
    TaskKind.CUT,
    TaskKind.FEED_CHECK,
    TaskKind.POT_READ,
    TaskKind.POT_START,
    TaskKind.FIRST_PHOTO,
    TaskKind.LOOK,
    TaskKind.SPRING_WATER,
    TaskKind.WATER,
    TaskKind.PHOTO,
    TaskKind.DONT_JUDGE,
)
"""Which of several tasks of one day is brought up on it; the others follow on the next days."""
ONCE_ONLY = frozenset({"photo", "dont_judge", "water"})  # kinds that are not brought up a second time


def wanted_reminders(homeowner: Homeowner) -> frozenset[Reminder]:
    """Every reminder wanted from now on. Empty while the homeowner is paused or has stopped."""
    if homeowner.standing is not Standing.ACTIVE:
        return frozenset()
    return frozenset(
        Reminder(
            lawn=case.number,
            task=task.key,
            due_on=due_on,
            hour=homeowner.first_hour,
            minute=homeowner.minute_of_hour,
        )
        for case in homeowner.lawns
        for task in case.tasks
        if (due_on := next_due_on(task)) is not None
    )


def next_due_on(task: Task) -> date | None:
    """The next day a task should be brought up; None when it should not be any more."""
    if task.state is not TaskState.OPEN:
        return None
    if not task.told_on:
        return task.due_on
    last = max(task.told_on)
    if task.moved_to is not None and task.moved_to > last:
        return task.moved_to
    nudge_on = last + timedelta(days=NUDGE_AFTER_DAYS)
    if task.kind in ONCE_ONLY or len(task.told_on) >= TOLD_AT_MOST or nudge_on > task.until_on:
        return None
    return nudge_on


def zone_of(homeowner: Homeowner) -> str:
    """The zone in which a homeowner's days and hours are meant: the first lawn's with a plan, or the active one's."""
    planned = [case for case in homeowner.lawns if case.planned_on is not None]
    case: Case | None = planned[0] if planned else homeowner.lawn
    return answers.zone(case) if case else answers.LEAST_KNOWN_PLACE.zone


def open_tasks(case: Case) -> tuple[Task, ...]:
    """Tasks still open, in order of their day and, within a day, as they are brought up."""
    tasks = (task for task in case.tasks if task.state is TaskState.OPEN)
    return tuple(sorted(tasks, key=lambda task: (task.due_on, urgency_of(task))))  # spots stay in their order


def urgency_of(task: Task) -> int:
    """Sorts tasks that are due together, the one to bring up first in front."""
    return URGENT_FIRST.index(TaskKind(task.kind))
