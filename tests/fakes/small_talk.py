"""A small conversation of its own, for testing the shell around it: it counts, reminds, and breaks when it is told to.

Said words and what they do:
- "remind TASK YYYY-MM-DD HH:MM [LAWN]" wants a reminder; "skip TASK" takes it back
- "plan YYYY-MM-DD COUNT" wants one a day at nine, from that day on
- "zone IANA" moves the homeowner
- "hush" wants nothing any more that was not asked for
- "two" answers with two messages; "quiet" answers nothing
- "person ..." passes the words to a person; "data" asks for a copy; "forget me" erases
- "break" raises; "bad value" leaves a homeowner that cannot be stored; "bad words" cannot be rendered
- anything else is counted
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta

from bot.talk.case import Answer, Case, Homeowner, NumberTold, Picked, Standing, Task, TaskState
from bot.talk.effects import (
    CallPerson,
    Choice,
    Effect,
    ForgetHomeowner,
    KeepPhoto,
    OfferData,
    Reminder,
    Say,
)
from bot.talk.incoming import Incoming, RemindersDue, Said, SentPhoto
from bot.talk.messages import Number, Verbatim, text
from bot.talk.ports import Known, Outcome, Rendered, RenderedChoice, Talk

ZONE = "America/New_York"


class ToldToBreak(Exception):
    """Raised on purpose, with words in it that must not reach a log."""


def reduce(homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: Known) -> Outcome:
    """Count what came in, and do what it says."""
    counted = _counted(homeowner or Homeowner(active_lawn=1), incoming, now)
    if isinstance(incoming, RemindersDue):
        return _brought_up(counted, incoming)
    if isinstance(incoming, SentPhoto):
        kept = KeepPhoto(photo_id=incoming.photo_id, lawn=1, spot="front", on=now.date())
        return Outcome(homeowner=counted, effects=(kept, _say("photo", number_of(counted))))
    if isinstance(incoming, Said):
        return _answered(counted, incoming.text, now)
    return Outcome(homeowner=counted, effects=(_say("hello", number_of(counted)),))


def number_of(homeowner: Homeowner) -> int:
    """How many things have come in from this homeowner."""
    return homeowner.misses


def lines_of(homeowner: Homeowner) -> list[str]:
    """Everything they said, in order."""
    return [answer.words for case in homeowner.lawns for answer in case.answers if answer.question == "line"]


def wanted_reminders(homeowner: Homeowner) -> frozenset[Reminder]:
    """One reminder for each open task."""
    return frozenset(
        Reminder(lawn=case.number, task=task.key, due_on=task.due_on, hour=int(hour), minute=int(minute))
        for case in homeowner.lawns
        for task in case.tasks
        if task.state is TaskState.OPEN
        for hour, minute in [task.kind.split(":")]
    )


def zone_of(homeowner: Homeowner) -> str:
    """The zone they last named."""
    named = [answer.words for case in homeowner.lawns for answer in case.answers if answer.question == "zone"]
    return named[-1] if named else ZONE


def render(say: Say, homeowner: Homeowner, *, is_short: bool = False) -> Rendered:
    """The keys and values as they are, short or not."""
    words = []
    for part in say.parts:
        if part.key == "unspeakable":
            raise ToldToBreak("these words cannot be said")
        values = " ".join(_value(value) for value in part.values.values())
        words.append(f"{part.key} {values}".strip())
    choices = tuple(RenderedChoice(token=choice.token, label=choice.label.key) for choice in say.choices)
    return Rendered(text="\n".join(words), choices=choices, several=say.several, photos=say.photos)


TALK = Talk(reduce=reduce, wanted_reminders=wanted_reminders, zone_of=zone_of, render=render)


def _value(value: object) -> str:
    if isinstance(value, Number):
        return f"{value.value:g}"
    return value.text if isinstance(value, Verbatim) else repr(value)


def _say(key: str, number: int, words: str = "") -> Say:
    return Say(
        parts=(text(key, number=Number(number), words=Verbatim(words)),),
        choices=(Choice(token="ok", label=text("ok")),),
    )


def _counted(homeowner: Homeowner, incoming: Incoming, now: datetime) -> Homeowner:
    lawns = homeowner.lawns or (Case(number=1, opened_at=now),)
    if isinstance(incoming, Said):
        line = Answer(question="line", value=NumberTold(value=homeowner.misses + 1), words=incoming.text, at=now)
        lawns = (replace(lawns[0], answers=(*lawns[0].answers, line)), *lawns[1:])
    return replace(homeowner, misses=homeowner.misses + 1, last_heard_at=now, lawns=lawns)


def _brought_up(homeowner: Homeowner, incoming: RemindersDue) -> Outcome:
    open_keys = {(case.number, task.key) for case in homeowner.lawns for task in case.tasks if task.state == "open"}
    due = [
        (reminder.lawn, reminder.task) for reminder in incoming.reminders if (reminder.lawn, reminder.task) in open_keys
    ]
    if any(task == "break" for _, task in due):
        raise ToldToBreak("a reminder that breaks")
    for lawn, task in due:
        homeowner = _with_task_state(homeowner, lawn, task, TaskState.DONE)
    if not due:
        return Outcome(homeowner=homeowner)
    named = ", ".join(f"{lawn}/{task}" for lawn, task in due)
    return Outcome(homeowner=homeowner, effects=(_say("due", number_of(homeowner), named),))


def _answered(homeowner: Homeowner, words: str, now: datetime) -> Outcome:
    verb, *rest = words.split()
    effects: tuple[Effect, ...] = (_say("counted", number_of(homeowner), words),)
    if verb == "remind":
        homeowner = _with_task(homeowner, *rest)
    elif verb == "plan":
        homeowner = _with_plan(homeowner, date.fromisoformat(rest[0]), int(rest[1]))
    elif verb == "skip":
        homeowner = _with_task_state(homeowner, 1, rest[0], TaskState.SKIPPED)
    elif verb == "zone":
        homeowner = _with_zone(homeowner, rest[0], now)
    elif verb == "hush":
        homeowner = replace(homeowner, standing=Standing.STOPPED)
    elif verb == "bad" and rest == ["value"]:
        homeowner = replace(homeowner, first_hour="nine")  # type: ignore[arg-type]
    elif verb == "break":
        raise ToldToBreak(f"cannot take {words!r}")
    else:
        effects = _effects(verb, words, number_of(homeowner)) or effects
    return Outcome(homeowner=homeowner, effects=() if verb == "quiet" else effects)


def _effects(verb: str, words: str, number: int) -> tuple[Effect, ...]:
    if verb == "two":
        return _say("first", number), _say("second", number)
    if verb == "person":
        return _say("passed", number), CallPerson(question=words, lawn=1)
    if verb == "data":
        return _say("copying", number), OfferData()
    if verb == "forget":
        return _say("farewell", number), ForgetHomeowner()
    if words == "bad words":
        return _say("fine", number), _say("unspeakable", number)
    return ()


def _with_task(homeowner: Homeowner, key: str, on: str, at: str, lawn: str = "1") -> Homeowner:
    number = int(lawn)
    if all(case.number != number for case in homeowner.lawns):
        case = Case(number=number, opened_at=homeowner.lawns[0].opened_at)
        homeowner = replace(homeowner, lawns=(*homeowner.lawns, case))
    day = date.fromisoformat(on)
    task = Task(key=key, kind=at, on=day, until_on=day)
    lawns = tuple(
        replace(case, tasks=(*(old for old in case.tasks if old.key != key), task)) if case.number == number else case
        for case in homeowner.lawns
    )
    return replace(homeowner, lawns=lawns)


def _with_plan(homeowner: Homeowner, first: date, count: int) -> Homeowner:
    for number in range(count):
        homeowner = _with_task(homeowner, f"day-{number}", (first + timedelta(days=number)).isoformat(), "09:00")
    return homeowner


def _with_task_state(homeowner: Homeowner, lawn: int, key: str, state: TaskState) -> Homeowner:
    lawns = tuple(
        replace(case, tasks=tuple(replace(t, state=state) if t.key == key else t for t in case.tasks))
        if case.number == lawn
        else case
        for case in homeowner.lawns
    )
    return replace(homeowner, lawns=lawns)


def _with_zone(homeowner: Homeowner, zone: str, now: datetime) -> Homeowner:
    answer = Answer(question="zone", value=Picked(code=zone), words=zone, at=now)
    first, *others = homeowner.lawns
    return replace(homeowner, lawns=(replace(first, answers=(*first.answers, answer)), *others))
