"""The care plan as it is told: the dated list, one task on its day, feeding, and what a changed answer changed."""

from __future__ import annotations

from datetime import date, timedelta

from bot.talk import advice, local
from bot.talk.advice import LawnView, SpotView
from bot.talk.case import (
    Case,
    TaskState,
)
from bot.talk.messages import (
    AreaSqft,
    Day,
    LengthIn,
    MassLb,
    Number,
    RateLbPer1000,
    Sentences,
    Several,
    Share,
    Text,
    Value,
    VolumeGal,
    text,
    where_text,
)
from bot.talk.telling import bag_text, lost_share, task_name
from bot.talk.turn import Turn
from rules.facts.cautions import Caution, cautions_for
from rules.feeding import FeedDose, FeedRefusal, RefusalReason
from rules.grasses import GrassCode
from rules.plan import Band, CarePlan, PlanTask
from rules.task_kinds import TaskKind


def tell_plan(turn: Turn) -> None:
    """The plan: today's task first and whole, then the dated list, then what to leave until when."""
    case = turn.case
    planned_on = case.planned_on or turn.today
    plan = advice.plan_of(case, turn.known, planned_on)
    lines = [item for item in _open_items(case, plan) if _is_of_use(item, turn.today)]
    today = [item for item in lines if item[0] <= turn.today]
    later = [item for item in lines if item[0] > turn.today]
    view = advice.lawn_view(case, turn.known)
    if not _is_judged(case):
        turn.say(*odds_parts(view))
    if today:
        turn.say(text("plan-today-head"), *(part for _, task in today for part in task_parts([task], turn.today, case)))
    if later:
        turn.say(text("plan-later-head"), *_list_parts(later, case))
    turn.say(*_plan_tail(turn, case, plan, view))


def odds_parts(view: LawnView) -> list[Text]:
    """The odds with everything told, so that nobody hears later of a change they were never told."""
    if len(view.spots) == 1:
        return [text("plan-odds-whole", share=lost_share(view.spots[0]))]
    return [text("plan-odds-head"), *(_odds_of_spot(spot) for spot in view.spots)]


def _odds_of_spot(spot: SpotView) -> Text:
    return text("plan-odds", where=where_text(spot.name), share=lost_share(spot))


def _is_of_use(item: tuple[date, PlanTask], today: date) -> bool:
    """Whether a task may still be done: a judging day always, others until their last useful day."""
    day, task = item
    return task.kind is TaskKind.JUDGE or max(day, task.until_on) >= today


def _open_items(case: Case, plan: CarePlan) -> list[tuple[date, PlanTask]]:
    """Plan tasks still to do with the day they are due: where the owner moved them, or where the plan put them."""
    standing = {task.key: task for task in case.tasks}
    items = []
    for planned in plan.tasks:
        kept = standing.get(planned.key)
        if kept is not None and kept.state is not TaskState.OPEN:
            continue
        items.append((kept.due_on if kept else planned.on, planned))
    return sorted(items, key=lambda item: item[0])  # within a day as the plan has them


def _list_parts(items: list[tuple[date, PlanTask]], case: Case) -> list[Text]:
    """One part a task; the same task for several spots shares a line, and so do weekly pictures and waterings."""
    parts: list[Text] = []
    told: set[tuple[TaskKind, date | None]] = set()
    for day, task in items:
        group = (task.kind, None if task.kind in _SERIES else day)
        if group in told:
            continue
        told.add(group)
        alike = [(other, each) for other, each in items if each.kind is task.kind and group[1] in (None, other)]
        if task.kind in _SERIES:
            parts.append(_series_part(task, [other for other, _ in alike]))
        else:
            parts.extend(task_parts([each for _, each in alike], day, case))
    return parts


_SERIES = frozenset({TaskKind.PHOTO, TaskKind.WATER, TaskKind.POT_READ})


def _series_part(task: PlanTask, days: list[date]) -> Text:
    if len(set(days)) == 1:
        what = text(f"plan-{task_wording(task)}", day=Day(days[0]), **_detail_values(task))
        return _with_care(what, task)
    values: dict[str, Value] = {"first": Day(min(days)), "last": Day(max(days)), "n": Number(len(days))}
    what = text(f"plan-series-{task.kind}", **values, **_detail_values(task))
    return _with_care(what, task)


def task_parts(alike: list[PlanTask], day: date, case: Case) -> list[Text]:
    """One task as told, for one spot or several: the day, what, why, how much for this lawn, and its cautions."""
    task = alike[0]
    values = {"day": Day(day), "where": where_all([each.spot for each in alike]), **_detail_values(task)}
    parts = [_with_care(text(f"plan-{task_wording(task)}", **values), task)]
    if task.kind is TaskKind.FEED_CHECK:
        parts.extend(_feed_parts(task, case))
    return parts


def where_all(spots: list[str]) -> Value:
    """One spot or several in a sentence."""
    return where_text(spots[0]) if len(spots) == 1 else Several(tuple(where_text(spot) for spot in spots))


def task_wording(task: PlanTask) -> str:
    """The catalogue's name for a task: some kinds read differently with and without their details."""
    if task.key == "look:2":
        return "look-again"
    if task.kind is TaskKind.CUT and task.cut is None:
        return "cut-raise" if task.raise_to_in else "cut-same" if task.keeps_height else "cut-open"
    if task.kind is TaskKind.CUT and task.cut is not None and task.cut.bag:
        return "cut-first"
    if task.kind in (TaskKind.WATER, TaskKind.SPRING_WATER) and task.water and task.water.volume_gal is None:
        return f"{task.kind}-open"
    return str(task.kind)


def _detail_values(task: PlanTask) -> dict[str, Value]:
    values: dict[str, Value] = {}
    if task.cut is not None:
        values |= {"from": LengthIn(task.cut.from_in), "to": LengthIn(task.cut.to_in)}
    if task.raise_to_in is not None:
        values["to"] = LengthIn(task.raise_to_in)
    if task.floor_in is not None:
        values["floor"] = LengthIn(task.floor_in)
    if task.dry_weeks is not None:
        values["weeks"] = Number(task.dry_weeks)
    if task.water is not None:
        values["depth"] = LengthIn(task.water.depth_in)
        values["volume"] = VolumeGal(task.water.volume_gal or 0.0)
    if task.week is not None:
        values["week"] = Number(task.week)
    return values


def _with_care(what: Text, task: PlanTask, *, in_full: bool = False) -> Text:
    if not task.cautions:
        return text("plan-item", what=what)
    if in_full:
        return text("with-care", what=what, care=cautions_in_full(task.cautions))
    return text("plan-item-care", what=what, care=cautions_in_short(task.cautions))


def cautions_in_short(cautions: tuple[Caution, ...]) -> Several:
    """The cautions of a task for the list of a plan: all of them, each in a few words."""
    return Several(tuple(text(f"careful-{caution}") for caution in cautions))


def cautions_in_full(cautions: tuple[Caution, ...]) -> Sentences:
    """The cautions of a task where the work is done now: all of them, each a sentence."""
    return Sentences(tuple(text(f"caution-{caution}") for caution in cautions))


def _feed_parts(task: PlanTask, case: Case) -> list[Text]:
    if isinstance(task.feed, FeedDose):
        return [feed_dose_text(task.feed, case)]
    if isinstance(task.feed, FeedRefusal):
        return [feed_refusal_text(task.feed, case)]
    return []


def feed_dose_text(fed: FeedDose, case: Case, *, is_open: bool = False) -> Text:
    """A dose: product for this lawn where its size is known, and the rate it comes from. `is_open`: to be given now."""
    values: dict[str, Value] = {
        "bag": bag_text(case),
        "rate": RateLbPer1000(fed.product_lb_per_1000_sqft),
        "nitrogen": RateLbPer1000(fed.rate.n_lb),
    }
    if fed.product_lb is None or fed.area_sqft is None or fed.passes is None:
        return text("feed-dose-rate-now" if is_open else "feed-dose-rate", **values)
    return text(
        "feed-dose-now" if is_open else "feed-dose",
        mass=MassLb(fed.product_lb),
        area=AreaSqft(fed.area_sqft),
        half=MassLb(fed.product_lb / 2),
        **values,
    )


def feed_refusal_text(refused: FeedRefusal, case: Case) -> Text:
    """Why this bag cannot be used, every reason in words."""
    reasons = tuple(refusal_text(reason) for reason in refused.reasons)
    return text("feed-refused", bag=bag_text(case), reasons=Several(reasons))


def refusal_text(reason: RefusalReason) -> Text:
    """One reason against a dose."""
    return text(f"feed-no-{reason.code}", value=Number(reason.value), limit=Number(reason.limit))


def _plan_tail(turn: Turn, case: Case, plan: CarePlan, view: LawnView) -> list[Text]:
    not_now = _not_now_parts(plan, view, turn, case)
    parts = [text("plan-not-now-head"), *not_now] if not_now else []
    parts.append(text("plan-seaweed"))
    if view.code is GrassCode.CENTIPEDE:
        parts.append(text("plan-centipede-no-feed"))
    parts.append(_cutting_note(plan))
    parts.extend(_local_parts(turn, case, plan))
    if _is_judged(case):
        return [*parts, text("plan-judged")]
    if any(band is Band.MOSTLY_LOST for _, band in plan.bands):
        parts.append(text("plan-mostly-lost"))
    parts.append(text("plan-judging", day=Day(view.season.judging_on, view.season.is_about)))
    return parts


def _local_parts(turn: Turn, case: Case, plan: CarePlan) -> list[Text]:
    """What holds in the region beside the plan."""
    free_on = None if plan.is_feeding_out else advice.may_feed_from(case, turn.known, turn.today)
    waters = any(task.water is not None for task in plan.tasks)
    return local.plan_parts(case, turn.known, turn.today, next_feeding_on=free_on, waters=waters)


def ban_parts(turn: Turn, day: date) -> list[Text]:
    """What a local ban says of feeding on a day, and from when it comes in question again."""
    free_on = advice.may_feed_from(turn.case, turn.known, day)
    return local.ban_parts(local.rules_here(turn.case, turn.known), day, free_on)


def _is_judged(case: Case) -> bool:
    """Whether every spot of a confirmed plan has had its verdict."""
    judging = [task for task in case.tasks if task.kind == TaskKind.JUDGE]
    return bool(judging) and all(task.state is not TaskState.OPEN for task in judging)


def _not_now_parts(plan: CarePlan, view: LawnView, turn: Turn, case: Case) -> list[Text]:
    """What to leave alone, one line for each day that lifts it, then what no day lifts this spring."""
    by_day: dict[date, list[Text]] = {}
    for restraint in plan.not_now:
        if restraint.until_on is not None and restraint.until_on > turn.today:
            by_day.setdefault(restraint.until_on, []).append(text(f"not-now-{restraint.code}"))
    parts = []
    for day, things in sorted(by_day.items()):
        is_end_of_ban = advice.is_feeding_banned(case, turn.known, day - timedelta(days=1))  # known to the day
        told = Day(day, view.season.is_about and not is_end_of_ban)
        parts.append(text("not-now-until", things=Several(tuple(things)), day=told))
    parts.extend(text(f"not-now-{each.code}-{each.gate}") for each in plan.not_now if each.until_on is None)
    return parts


def _cutting_note(plan: CarePlan) -> Text:
    if plan.ladder is None:
        floors = [task.floor_in for task in plan.tasks if task.floor_in is not None]
        return text("cutting-open", floor=LengthIn(floors[0])) if floors else text("cutting-stopped")
    return text(
        f"cutting-{plan.ladder.reason_code}",
        floor=LengthIn(plan.ladder.floor_in),
        to=LengthIn(plan.ladder.raise_to_in or plan.ladder.floor_in),
        n=Number(len(plan.ladder.cuts)),
    )


def tell_difference(turn: Turn, before: Case) -> None:
    """What an altered answer did to the odds and the plan, or that it did nothing."""
    turn.say(*(difference_parts(turn, before) or [text("change-nothing")]))


def difference_parts(turn: Turn, before: Case) -> list[Text]:
    """What is different in the odds and the plan; empty when nothing is."""
    old = advice.lawn_view(before, turn.known)
    new = advice.lawn_view(turn.case, turn.known)
    return [*_odds_changes(old, new), *_date_changes(old, new), *_task_changes(turn, before)]


def _odds_changes(old: LawnView, new: LawnView) -> list[Text]:
    earlier = {spot.name: spot for spot in old.spots}
    changes = []
    for spot in new.spots:
        was = earlier.get(spot.name)
        if was is None:
            changes.append(text("change-new-spot", where=where_text(spot.name), share=lost_share(spot)))
        elif round(lost_share(was).fraction * 10) != round(lost_share(spot).fraction * 10):
            changes.append(
                text(
                    "change-odds",
                    where=where_text(spot.name),
                    old=Share(lost_share(was).fraction),
                    new=lost_share(spot),
                )
            )
    return changes


def _date_changes(old: LawnView, new: LawnView) -> list[Text]:
    if old.season.judging_on == new.season.judging_on:
        return []
    about = new.season.is_about
    return [text("change-judging", old=Day(old.season.judging_on), new=Day(new.season.judging_on, about))]


def _task_changes(turn: Turn, before: Case) -> list[Text]:
    day = before.planned_on or turn.today
    old = _still_to_do(advice.plan_of(before, turn.known, day), before, turn.today)
    plan = advice.plan_of(turn.case, turn.known, day)
    new, planned = _still_to_do(plan, turn.case, turn.today), {task.key for task in plan.tasks}
    changes, renumbered = [], []
    for key, task in new.items():
        was = old.get(key)
        if was is None and task.kind not in _SERIES:
            changes.append(text("change-task-new", what=_short(task), day=Day(task.on)))
        elif was is not None and task.kind not in _SERIES and was.on != task.on:
            changes.append(text("change-task-moved", what=_short(task), old=Day(was.on), new=Day(task.on)))
        elif was is not None and (was.cut, was.feed) != (task.cut, task.feed):
            renumbered.extend(task_parts([task], task.on, turn.case))
    gone = [task for key, task in old.items() if key not in planned and task.kind not in _SERIES]
    changes.extend(text("change-task-gone", what=_short(task)) for task in gone)
    return [*changes, text("change-task-numbers"), *renumbered] if renumbered else changes


def _still_to_do(plan: CarePlan, case: Case, today: date) -> dict[str, PlanTask]:
    """The tasks of a plan that are neither settled nor, before it is confirmed, over already."""
    standing = {task.key: task.state for task in case.tasks}
    return {
        task.key: task
        for task in plan.tasks
        if standing.get(task.key, TaskState.OPEN) is TaskState.OPEN and (standing or task.until_on >= today)
    }


def _short(task: PlanTask) -> Text:
    return task_name(str(task.kind), task.spot)


def reminder_parts(task: PlanTask, spots: list[str], today: date, before: str) -> list[Text]:
    """A task as brought up on its day: what to do now and where, its amounts and cautions. `before`: why once more.

    A feeding check only asks; its cautions come with the dose, where they are needed.
    """
    values = {"day": Day(today), "where": where_all(spots), **_detail_values(task)}
    what = text(f"remind-{task_wording(task)}", **values)
    parts = [text(f"remind-{before}")] if before else []
    parts.append(what if task.kind is TaskKind.FEED_CHECK else _with_care(what, task, in_full=True))
    return parts


def feed_care_text() -> Text:
    """The cautions of spreading fertilizer, in one paragraph."""
    return text("with-care", what=text("feed-how"), care=cautions_in_full(cautions_for("feed_check")))
