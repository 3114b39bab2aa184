"""Which reminders a homeowner wants, worked out from the tasks of their confirmed plans.

A task is brought up on its day; once more three days later if nothing was answered; then it is left alone. Silence is
no failure, and a reminder nobody wants is worse than none.
"""

from __future__ import annotations

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.talk import answers
from bot.talk.case import Case, Homeowner, Standing, Task, TaskState
from bot.talk.effects import Reminder
from rules.task_kinds import TaskKind

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


HELD_TASK, NO_LAWN = "held", 0
"""The reminder of our own that a talk is held by a person: what it is known by."""
SILENT_AT_MOST = timedelta(hours=24)
"""How long a person who holds a talk may say nothing: a working day and a night. Longer would cost a day's task too."""


def wanted_reminders(homeowner: Homeowner) -> frozenset[Reminder]:
    """Every reminder wanted from now on: of tasks, but for those who paused or stopped; and of a held talk."""
    return _of_tasks(homeowner) | _of_a_held_talk(homeowner)


def _of_a_held_talk(homeowner: Homeowner) -> frozenset[Reminder]:
    """Nobody is left in silence for ever. For those who want quiet too: then it is done without a word."""
    until = held_until(homeowner)
    if until is None:
        return frozenset()
    reminder = Reminder(lawn=NO_LAWN, task=HELD_TASK, due_on=until.date(), hour=until.hour, minute=until.minute)
    return frozenset({reminder})


def held_until(homeowner: Homeowner) -> datetime | None:
    """When we tell a homeowner that the person who holds the talk is silent: in their hours, on a day without another
    message nobody asked for. Local time; None while the bot holds the talk.
    """
    if not homeowner.held_by or homeowner.held_heard_at is None:
        return None
    silent_at = (homeowner.held_heard_at + SILENT_AT_MOST).astimezone(ZoneInfo(zone_of(homeowner)))
    until = silent_at.replace(second=0, microsecond=0) + timedelta(minutes=1)
    opens_at = until.replace(hour=homeowner.first_hour, minute=0)
    if until.hour >= homeowner.last_hour or until.date() == homeowner.last_unasked_on:
        return opens_at + timedelta(days=1)
    return max(until, opens_at)


def _of_tasks(homeowner: Homeowner) -> frozenset[Reminder]:
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
