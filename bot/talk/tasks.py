"""The tasks of a confirmed plan: making them, bringing them up when due, and what the owner does about them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from bot.talk import advice, answers, beside, local, measuring, seen, telling, telling_plan, understand
from bot.talk.case import Case, Standing, Task, TaskState
from bot.talk.effects import Choice, Urgency
from bot.talk.followup import open_tasks, urgency_of
from bot.talk.incoming import DueReminder
from bot.talk.messages import Day, Several, Text, text
from bot.talk.telling_cold import credit_parts
from bot.talk.turn import Turn
from bot.talk.understand import Unclear
from bot.talk.weather_answers import measured_values
from rules.plan import PlanTask
from rules.task_kinds import TaskKind

TOKEN_TASK = "t"
DONE, LATER, SKIP, PROBLEM = "done", "later", "skip", "problem"
VERBS = (DONE, LATER, SKIP, PROBLEM)

ERRAND_OF: dict[str, str] = {
    TaskKind.FEED_CHECK: "feed",
    TaskKind.LOOK: "look",
    TaskKind.POT_START: "pot_start",
    TaskKind.POT_READ: "pot_read",
    TaskKind.JUDGE: "judge",
    TaskKind.FIRST_PHOTO: "green",
    TaskKind.PHOTO: "green",
}
"""Kinds whose "done" opens a side talk instead of just closing the task. For pictures: the way without a camera."""


DARK_FROM_HOUR = 18  # in winter: nothing is photographed or looked at after it
COUNTED = frozenset({TaskKind.POT_READ})
ASKED_AT_ONCE = frozenset(
    {TaskKind.LOOK, TaskKind.POT_START, TaskKind.POT_READ, TaskKind.FIRST_PHOTO, TaskKind.PHOTO, TaskKind.JUDGE}
)
"""Kinds whose reminder may be answered with what it leads up to ("3 of 6", "firm"), without saying "done" first."""


def tasks_of(turn: Turn, case: Case, planned_on: date) -> tuple[Task, ...]:
    """The tasks of a plan, keeping what already happened to those that are still in it.

    A task that was moved keeps its new day unless the plan itself now puts it later; what the plan dropped is closed.
    """
    old = {task.key: task for task in case.tasks}
    planned = advice.plan_of(case, turn.known, planned_on).tasks
    kept = tuple(_merged(old.get(item.key), item) for item in planned)
    keys = {task.key for task in kept}
    gone = tuple(_dropped(task, turn.today) for task in case.tasks if task.key not in keys)
    return (*kept, *gone)


def _merged(old: Task | None, item: PlanTask) -> Task:
    fresh = Task(key=item.key, kind=str(item.kind), on=item.on, until_on=item.until_on, spot=item.spot)
    if old is None or old.state is TaskState.DROPPED or (old.state is TaskState.PASSED and old.on != item.on):
        return fresh
    if old.state is not TaskState.OPEN:
        return old
    moved_to = old.moved_to if old.moved_to and old.moved_to > item.on else None
    return replace(fresh, moved_to=moved_to, told_on=old.told_on if old.on == item.on else ())


def _dropped(task: Task, today: date) -> Task:
    if task.state is not TaskState.OPEN:
        return task
    return replace(task, state=TaskState.DROPPED, closed_on=today)


def replan(turn: Turn) -> None:
    """Work the confirmed plan of the active lawn out again after something was learned."""
    turn.put_case(_replanned(turn, turn.case))


def _replanned(turn: Turn, case: Case) -> Case:
    """From the day it was first made. The same tasks as before where nothing has changed."""
    return case if case.planned_on is None else replace(case, tasks=tasks_of(turn, case, case.planned_on))


def let_go(turn: Turn) -> None:
    """The plan of the active lawn is not wanted any more, or not ours to make: nothing of it is brought up."""
    dropped = tuple(_dropped(task, turn.today) for task in turn.case.tasks)
    turn.update_case(planned_on=None, tasks=dropped)


# --- bringing up what is due -----------------------------------------------------------------------------------------


def bring_up(turn: Turn, due: tuple[DueReminder, ...]) -> None:
    """Say at most one thing that is due today; move the rest to the next days and fold what is stale into one line.

    Nothing is said outside the homeowner's hours, to somebody who is paused, twice on one day, or while a person holds
    the talk.
    """
    turn.urgency = Urgency.REMINDER
    if turn.homeowner.standing is not Standing.ACTIVE:
        return
    for case in turn.homeowner.lawns:  # what whoever runs this has learned since may have moved the plan
        turn.keep_case(_replanned(turn, case))
    here = turn.owner_now
    today = here.date()
    due_tasks = _still_open(turn, due, today)
    if not due_tasks:
        return
    if here.hour < turn.homeowner.first_hour:
        _move_all(turn, due_tasks, today)
    elif here.hour >= turn.homeowner.last_hour or turn.homeowner.last_unasked_on == today or turn.homeowner.held_by:
        _move_all(turn, due_tasks, today + timedelta(days=1))
    else:
        news = {number: _weather_news(turn, number) for number in sorted({number for number, _ in due_tasks})}
        for number, task in due_tasks:
            news[number] += _put_off_if_banned(turn, number, task)
        _say_one(turn, _still_open(turn, due, today), today, news)


def _weather_news(turn: Turn, lawn: int) -> list[Text]:
    """Weather that came in, or a freeze that went on, after the odds of a lawn were told: taken up where it can be
    said, with what it changes.
    """
    active = turn.homeowner.active_lawn
    turn.update(active_lawn=lawn)
    before = turn.case
    turn.keep_case(measuring.caught_up(before, turn.known, turn.today))
    parts: list[Text] = []
    if turn.case.measured is not None and turn.case is not before:
        replan(turn)
        changes = telling_plan.difference_parts(turn, before)
        came = text("weather-came", **measured_values(turn.case))
        parts = [came, *(changes or [text("weather-came-same")]), *credit_parts(turn.case.measured)]
    turn.update(active_lawn=active)
    return parts


def _put_off_if_banned(turn: Turn, number: int, task: Task) -> list[Text]:
    """A feeding check that fell into the time of a local ban waits for its end; what is told of that."""
    if task.kind != TaskKind.FEED_CHECK:
        return []
    active = turn.homeowner.active_lawn
    turn.update(active_lawn=number)
    is_banned = advice.is_feeding_banned(turn.case, turn.known, turn.today)
    parts = _put_off_feeding(turn, task, turn.today) if is_banned else []
    turn.update(active_lawn=active)
    return parts


def _put_off_feeding(turn: Turn, task: Task | None, day: date) -> list[Text]:
    """Put the feeding check off to the first day after a banned one, or leave it out where that comes too late; what
    is told of it.
    """
    free_on = advice.may_feed_from(turn.case, turn.known, day)
    if task is not None and task.state is TaskState.OPEN:
        if free_on is None:
            turn.close_task(task.key, TaskState.SKIPPED)
        else:
            turn.put_task(replace(task, moved_to=free_on, told_on=_not_on(task.told_on, free_on)))
    return telling_plan.ban_parts(turn, day)


def _still_open(turn: Turn, due: tuple[DueReminder, ...], today: date) -> list[tuple[int, Task]]:
    """Due tasks that are still open and not put off by the plan meanwhile, each once, with their lawn's number, in the
    order of the plan.
    """
    asked_for = {(reminder.lawn, reminder.task) for reminder in due}
    return [
        (case.number, task)
        for case in turn.homeowner.lawns
        for task in open_tasks(case)
        if (case.number, task.key) in asked_for and task.due_on <= today
    ]


def _move_all(turn: Turn, due_tasks: list[tuple[int, Task]], day: date) -> None:
    for number, task in due_tasks:
        turn.put_task(replace(task, moved_to=day, told_on=_not_on(task.told_on, day)), number)


def _not_on(told_on: tuple[date, ...], day: date) -> tuple[date, ...]:
    return tuple(told for told in told_on if told < day)


def _say_one(turn: Turn, due_tasks: list[tuple[int, Task]], today: date, news: dict[int, list[Text]]) -> None:
    fresh = [item for item in due_tasks if _is_useful(item[1], today)]
    stale = [item for item in due_tasks if not _is_useful(item[1], today)]
    for number, task in stale:
        turn.put_task(replace(task, state=TaskState.PASSED, closed_on=today), number)
    fresh.sort(key=lambda item: urgency_of(item[1]))
    lawn = fresh[0][0] if fresh else turn.homeowner.active_lawn
    before = [*_folded(stale), *news.get(lawn, [])]
    if fresh:
        _forget_what_was_left_open(turn)
        _say_first(turn, fresh, today, *before)
    elif before:
        turn.say(*before, telling.next_line(turn.case, open_tasks(turn.case)))
    turn.update(last_unasked_on=today)


def _say_first(turn: Turn, due_tasks: list[tuple[int, Task]], today: date, *before: Text) -> None:
    """The first of them, with what is the same at other spots; the others wait for the next days."""
    (number, task), *rest = due_tasks
    others = beside.alike(task, (other for lawn, other in rest if lawn == number))
    _spread(turn, [item for item in rest if item[0] != number or item[1] not in others], today)
    turn.update(active_lawn=number)
    say_task(turn, task, others, *before)


def _forget_what_was_left_open(turn: Turn) -> None:
    """A side talk that was walked away from must not take the answer to a reminder for its own."""
    side = turn.homeowner.side
    if side is not None and side.topic in _LAPSES:
        turn.end_side()


_LAPSES = frozenset({"forget", "start_over", "person", "offer_person", "old_button"})


def _is_useful(task: Task, today: date) -> bool:
    if task.kind == TaskKind.JUDGE:
        return True
    return today <= (task.until_on if task.kind in _ONLY_IN_ITS_TIME else max(task.until_on, task.due_on))


_ONLY_IN_ITS_TIME = frozenset({TaskKind.WATER})  # put off into spring it is no winter water any more


def _spread(turn: Turn, rest: list[tuple[int, Task]], today: date) -> None:
    """The others wait for the next days, one a day."""
    for days, (number, task) in enumerate(rest, start=1):
        turn.put_task(replace(task, moved_to=today + timedelta(days=days)), number)


def _folded(stale: list[tuple[int, Task]]) -> list[Text]:
    if not stale:
        return []
    names = {(task.kind, task.spot): telling.task_name(task.kind, task.spot) for _, task in stale}
    return [text("remind-passed", tasks=Several(tuple(names.values())))]


def say_task(turn: Turn, task: Task, others: tuple[Task, ...], *before: Text) -> None:
    """Bring up one task of the active lawn, in full, with what can be answered. `others`: the same at other spots."""
    planned = planned_task(turn, task)
    if planned is None:
        raise LookupError(f"the plan has no task {task.key!r}")
    parts = list(before)
    if len(turn.homeowner.lawns) > 1:
        parts.append(text("remind-lawn", place=telling.lawn_text(turn.case, turn.homeowner.lawns)))
    spots = [task.spot, *(other.spot for other in others)]
    parts.extend(telling_plan.reminder_parts(planned, spots, turn.today, _why_again(task, turn.today)))
    if planned.water is not None:
        parts.extend(local.watering_parts(turn.case, turn.known))
    if task.kind == TaskKind.JUDGE and seen.wants_last_photo(turn.case, spots, turn.today):
        parts.append(text("remind-judge-photo", where=telling_plan.where_all(spots)))
    told = replace(task, told_on=(*task.told_on, turn.today))
    for other in others:
        turn.put_task(replace(other, told_on=(*other.told_on, turn.today)))
    if task.kind == TaskKind.DONT_JUDGE:
        turn.put_task(replace(told, state=TaskState.DONE, closed_on=turn.today))
        turn.say(*parts)
        return
    turn.put_task(told)
    turn.update(last_told_task=(turn.case.number, task.key), task_was_last=True)
    is_numbered = task.kind not in COUNTED  # there a typed number is the count
    turn.say(*parts, choices=task_choices(turn.case, told), photos=_first_photo(turn, task), numbered=is_numbered)


def _why_again(task: Task, today: date) -> str:
    """Why a task is brought up a second time: the owner asked for this day, or nothing was heard."""
    if not task.told_on:
        return ""
    return "moved" if task.moved_to is not None and task.moved_to > max(task.told_on) else "again"


def _first_photo(turn: Turn, task: Task) -> tuple[str, ...]:
    """For a weekly picture the first one of that lawn, for a judging of its spot: to find the place again."""
    if task.kind not in (TaskKind.PHOTO, TaskKind.JUDGE):
        return ()
    is_any = task.kind == TaskKind.PHOTO
    spot = spot_of(turn.case, task)
    photos = [each.photo_id for each in turn.case.checkins if each.photo_id and (is_any or each.spot == spot)]
    return tuple(photos[:1])


def planned_task(turn: Turn, task: Task) -> PlanTask | None:
    """The plan's own entry of a task: its reason, amounts and cautions as of now."""
    case = turn.case
    plan = advice.plan_of(case, turn.known, case.planned_on or turn.today)
    return next((item for item in plan.tasks if item.key == task.key), None)


def task_choices(case: Case, task: Task) -> tuple[Choice, ...]:
    """Done (or start), later, skip, something's wrong."""
    return tuple(
        Choice(token=f"{TOKEN_TASK}:{case.number}:{task.key}:{verb}", label=_verb_label(task, verb))
        for verb in _verbs(task)
    )


def typed_verb(turn: Turn, task: Task, words: str) -> str | None:
    """The answer to a reminder that was typed: its number in the list, or its words."""
    options = [(verb, turn.known.spoken(turn.homeowner.language, _verb_label(task, verb).key)) for verb in _verbs(task)]
    picked = understand.pick_one(words, options)
    return None if isinstance(picked, Unclear) else picked


def _verbs(task: Task) -> tuple[str, ...]:
    """A judging day can be put off but not skipped."""
    return (DONE, LATER, PROBLEM) if task.kind == TaskKind.JUDGE else VERBS


def _verb_label(task: Task, verb: str) -> Text:
    return text(f"verb-{verb}-{task.kind}" if verb == DONE else f"verb-{verb}")


# --- what the owner does about a task --------------------------------------------------------------------------------


def act(turn: Turn, task: Task, verb: str) -> None:
    """One of the four answers to a reminder."""
    turn.update(last_told_task=(turn.case.number, task.key))
    if task.state is not TaskState.OPEN:
        turn.say(text("task-closed-already", task=telling.task_name(task.kind, task.spot)), _next(turn))
    elif verb == LATER:
        turn.start_side("later", task.key)
    elif verb == PROBLEM:
        turn.start_side("problem", task.key)
    elif verb == SKIP:
        skipped = (task, *beside.told_with(turn.case, task))
        for each in skipped:
            turn.close_task(each.key, TaskState.SKIPPED)
            _drop_readings(turn, each)
        _end_side_about(turn, skipped)
        turn.say(text("task-skipped", task=_named(skipped)), _next(turn))
    elif task.kind == TaskKind.FEED_CHECK and advice.is_feeding_banned(turn.case, turn.known, turn.today):
        feed_waits(turn, task, turn.today)
    elif task.kind in ERRAND_OF:
        turn.start_side(ERRAND_OF[task.kind], task.key)
    else:
        finish(turn, task)


def _end_side_about(turn: Turn, skipped: tuple[Task, ...]) -> None:
    """What was being asked about a task that is skipped is not asked any more."""
    side = turn.homeowner.side
    if side is not None and side.lawn == turn.case.number and {each.key for each in skipped} & set(side.about):
        turn.end_side()


def _drop_readings(turn: Turn, task: Task) -> None:
    """A pot test that is not done has nothing to count."""
    if task.kind != TaskKind.POT_START:
        return
    test = task.key.removesuffix("start")
    for reading in open_tasks(turn.case):
        if reading.kind == TaskKind.POT_READ and reading.key.startswith(test):
            turn.close_task(reading.key, TaskState.DROPPED)


def finish(turn: Turn, task: Task) -> None:
    """A task without questions is done: say so, and what comes next."""
    turn.close_task(task.key, TaskState.DONE)
    turn.say(text(f"done-{task.kind}"), _next(turn))


def feed_waits(turn: Turn, task: Task | None, day: date) -> None:
    """A local code forbids feeding on the day it is wanted for: say so, and from when it comes in question again."""
    parts = _put_off_feeding(turn, task, day)
    turn.say(*(parts or [text("feed-no-plan")]), _next(turn))


def move(turn: Turn, key: str, day: date, *, with_others: bool = False) -> None:
    """Move a task to another day, and say so; `with_others`: and what was brought up together with it."""
    task = turn.task(key)
    if task is None:
        return
    following = _picture_soon(turn, task, day)
    if following is not None:
        turn.close_task(key, TaskState.SKIPPED)
        turn.say(text("photo-joined", day=Day(following.due_on)))
        return
    if task.kind == TaskKind.FEED_CHECK and advice.is_feeding_banned(turn.case, turn.known, day):
        feed_waits(turn, task, day)
        return
    moved = (task, *(beside.told_with(turn.case, task) if with_others else ()))
    for each in moved:
        turn.put_task(replace(each, moved_to=day, told_on=_not_on(each.told_on, day)))
    is_late = day > task.until_on and task.kind != TaskKind.FEED_CHECK  # a late feeding is no harm
    turn.say(text("task-moved-late" if is_late else "task-moved", task=_named(moved), day=Day(day)))


def _picture_soon(turn: Turn, task: Task, day: date) -> Task | None:
    """The next weekly picture, where one that is put off would come along with it."""
    if task.kind != TaskKind.PHOTO:
        return None
    others = (each for each in open_tasks(turn.case) if each.kind == TaskKind.PHOTO and each.key != task.key)
    return next((each for each in others if abs((each.due_on - day).days) <= PICTURES_APART_DAYS), None)


PICTURES_APART_DAYS = 3


def _named(alike: tuple[Task, ...]) -> Text:
    return telling.task_name(alike[0].kind, *(task.spot for task in alike))


def reopen(turn: Turn, key: str, day: date) -> None:
    """Bring a task up once more on a later day, although it was done."""
    task = turn.task(key)
    if task is not None:
        told_on = _not_on(task.told_on, day)
        turn.put_task(replace(task, state=TaskState.OPEN, closed_on=None, moved_to=day, told_on=told_on))


def told_task(turn: Turn) -> Task | None:
    """The task a bare "done" is about: the one last brought up, if it is still open, of whichever lawn."""
    lawn, key = turn.homeowner.last_told_task or (0, "")
    tasks = (task for case in turn.homeowner.lawns if case.number == lawn for task in case.tasks)
    return next((task for task in tasks if task.key == key and task.state is TaskState.OPEN), None)


def act_on_told(turn: Turn, task: Task, verb: str) -> None:
    """One of the four answers to the reminder last said; the talk turns to its lawn."""
    if turn.homeowner.last_told_task is not None:
        turn.update(active_lawn=turn.homeowner.last_told_task[0])
    act(turn, task, verb)


def photo_task(turn: Turn) -> Task | None:
    """The open picture task that a photo sent now answers."""
    kinds = (TaskKind.FIRST_PHOTO, TaskKind.PHOTO)
    due = [t for t in open_tasks(turn.case) if t.kind in kinds and t.due_on <= turn.today + timedelta(days=2)]
    return due[0] if due else None


def next_after(turn: Turn, key: str) -> tuple[Text, ...]:
    """What comes next after a task; nothing where the same at another spot is asked about right away."""
    return () if beside.told_with(turn.case, turn.task(key)) else (_next(turn),)


def go_on_beside(turn: Turn, key: str) -> None:
    """One spot is settled: go on with the next one that was brought up with it."""
    others = beside.told_with(turn.case, turn.task(key))
    if others:
        turn.update(last_told_task=(turn.case.number, others[0].key))
        turn.start_side(ERRAND_OF[others[0].kind], others[0].key)


def _next(turn: Turn) -> Text:
    return telling.next_line(turn.case, open_tasks(turn.case))


def spot_of(case: Case, task: Task | None) -> str:
    """The spot a task is about; the first spot where it is about the whole lawn."""
    return task.spot if task and task.spot else answers.spots(case)[0]


def tell_tracked(turn: Turn) -> None:
    """The plan is confirmed: say how it will go on, and bring up what can be done today."""
    turn.say(*telling.tracked_parts(turn.local_now, turn.homeowner.first_hour, turn.homeowner.last_hour))
    today = [(turn.case.number, task) for task in open_tasks(turn.case) if task.due_on <= turn.today]
    if today and turn.local_now.hour >= DARK_FROM_HOUR:
        _move_all(turn, today, turn.today + timedelta(days=1))
        turn.say(_next(turn))
    elif today:
        _say_first(turn, today, turn.today)
    else:
        turn.say(_next(turn))
