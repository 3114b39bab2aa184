"""The open dates of a confirmed plan as a calendar file, for whoever does not leave the page open for weeks.

Whole days, because a task is meant for a day; with an alarm at the hour in which we would have written. A task keeps
its name (UID) when it is moved, so putting the file in again moves it in the calendar too.
"""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta

from icalendar import Alarm, Calendar, Event

from bot.talk.answers import settled_place
from bot.talk.case import Case, Homeowner, Task
from bot.talk.followup import open_tasks
from bot.talk.messages import Text, Verbatim, text
from bot.words import Words


def plan_calendar(homeowner: Homeowner, address: str, now: datetime, words: Words, page: str) -> bytes | None:
    """The open tasks of every confirmed plan; None when there are none. `page` is where the page is found."""
    calendar = Calendar()
    calendar.add("prodid", "-//Afterfrost//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", words.text(text("page-calendar-name"), language=homeowner.language))
    for case in homeowner.lawns:
        if case.planned_on is None:
            continue
        for task in open_tasks(case):
            summary = words.text(_summary(homeowner, case, task), language=homeowner.language)
            note = words.text(text("page-calendar-note"), language=homeowner.language)
            event = _event(case, task, address, now)
            event.add("summary", summary)
            event.add("description", note)
            event.add("url", page)
            event.add_component(_alarm(homeowner.first_hour, summary))
            calendar.add_component(event)
    return bytes(calendar.to_ical()) if calendar.subcomponents else None


def _event(case: Case, task: Task, address: str, now: datetime) -> Event:
    event = Event()
    event.add("uid", f"{_uid(address, case.number, task.key)}@afterfrost")
    event.add("dtstamp", now)
    event.add("dtstart", task.due_on)
    event.add("dtend", task.due_on + timedelta(days=1))
    event.add("transp", "TRANSPARENT")  # it does not make the day a busy one
    return event


def _uid(address: str, lawn: int, task: str) -> str:
    """The same for the same task of the same homeowner, and nothing of the address can be read from it."""
    return hashlib.sha256(f"{address}\0{lawn}\0{task}".encode()).hexdigest()[:32]


def _alarm(hour: int, summary: str) -> Alarm:
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", summary)
    alarm.add("trigger", timedelta(hours=hour))
    return alarm


def _summary(homeowner: Homeowner, case: Case, task: Task) -> Text:
    name = text(f"task-{task.kind}")
    if task.spot:
        name = text("task-at-spot", task=name, spot=Verbatim(task.spot))
    place = settled_place(case)
    if len(homeowner.lawns) > 1 and place is not None:
        return text("page-calendar-entry-at", task=name, place=Verbatim(place.name))
    return text("page-calendar-entry", task=name)
