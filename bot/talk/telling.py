"""What the results of the rules are told as: the summary, the plan, and what a changed answer changed.

Message keys and values only. The order is always: what probably happened, why, what would tell us more, what to do
now, what to leave, and when judging is fair.
"""

from __future__ import annotations

from datetime import date, datetime

from bot.talk import advice, answers
from bot.talk.advice import LawnView, SpotView, snow_protected
from bot.talk.case import (
    AnswerValue,
    AreaTold,
    Case,
    DayTold,
    LabelTold,
    NumberTold,
    Picked,
    PlacesTold,
    Task,
    TaskState,
    TemperatureTold,
)
from bot.talk.messages import (
    AreaSqft,
    Chance,
    ClockTime,
    Day,
    LengthIn,
    MassLb,
    Number,
    RateLbPer1000,
    Sentences,
    Several,
    Share,
    TemperatureC,
    Text,
    Value,
    Verbatim,
    VolumeGal,
    text,
)
from bot.talk.questions import Instance, grass_code, place_text
from bot.talk.turn import Turn
from rules.facts.cautions import Caution, cautions_for
from rules.facts.repair import PLUG_SPACING_IN, PLUG_SPACING_TOLD_IN
from rules.facts.season import WARM_DAY_SOIL_C
from rules.feeding import FeedDose, FeedRefusal, RefusalReason
from rules.grasses import GrassCode, cultivar, grass
from rules.mowing import LadderReason
from rules.plan import Band, CarePlan, PlanTask, TaskKind
from rules.repair import PlantingMethod, planting_window, plugs_to_buy, seed_needed, sod_order

_LIKELY_RANGE = (0.1, 0.9)  # the range told with a share: eight chances in ten


def tell_summary(turn: Turn) -> None:
    """The first useful answer: odds by kind of injury for each spot, why, what to do now, and the judging day."""
    view = advice.lawn_view(turn.case, turn.known)
    for spot in view.spots:
        turn.say(*_spot_parts(turn.case, view, spot))
    turn.say(*_now_parts(view))


def _spot_parts(case: Case, view: LawnView, spot: SpotView) -> list[Text]:
    told = [
        text("summary-head", where=where_text(spot.name), grass=grass_text(case, view)),
        text("summary-blades", chance=Chance(spot.injuries.blades_probability)),
        text("summary-some", chance=Chance(spot.injuries.some_lost_probability), share=lost_share(spot)),
        text("summary-all", chance=Chance(spot.injuries.nearly_all_lost_probability)),
        _why(view, spot),
        *(text(f"summary-sign-{sign}") for sign in spot.signs if sign in _TOLD_SIGNS),
    ]
    if view.place_is_stand_in:
        told.append(text("summary-no-place"))
    if view.grass_is_guess:
        told.append(text("summary-grass-guess"))
    return told


_TOLD_SIGNS = frozenset({"slimy_runners", "firm_runners", "orange_rings", "tracks", "low_wet"})


def _why(view: LawnView, spot: SpotView) -> Text:
    """Why: the tolerance of the grass against what its growing points probably felt, and what protects it."""
    values: dict[str, Value] = {
        "half": TemperatureC(spot.half_die_c, spot.half_die_sd_dc),
        "felt": TemperatureC(spot.cold.crown.min_c, spot.cold.crown.sd_dc),
        "air": TemperatureC(spot.cold.air_min_c),
        "soil": TemperatureC(spot.cold.soil_2in_min_c, spot.cold.soil_2in_sd_dc),
    }
    key = "summary-why-rhizomes" if grass(view.code).has_rhizomes else "summary-why"
    return text(f"{key}-snow" if snow_protected(spot.cold) else key, **values)


def lost_share(spot: SpotView) -> Share:
    """The share of growing points that may be lost, with its likely range."""
    low, high = (spot.odds.quantile_fraction(edge) for edge in _LIKELY_RANGE)
    return Share(1 - spot.odds.quantile_fraction(0.5), 1 - high, 1 - low)


def _now_parts(view: LawnView) -> list[Text]:
    season = view.season
    return [
        text("summary-more"),
        text("summary-now", gate=Day(season.frost_gate_on, season.is_about)),
        text("summary-judging", day=Day(season.judging_on, season.is_about)),
    ]


def where_text(spot: str) -> Text:
    """A spot in a sentence: "the lawn", or its name."""
    return text("where-spot", name=Verbatim(spot)) if spot else text("where-lawn")


def grass_text(case: Case, view: LawnView) -> Text:
    """The grass in a sentence, with the cultivar where it is known."""
    name = text(f"grass-name-{view.code}")
    if view.grass_is_guess:
        return text("grass-guessed", name=name)
    if view.cultivar is not None:
        return text("grass-with-cultivar", name=name, cultivar=Verbatim(cultivar(view.cultivar).name))
    return text("grass-plain", name=name)


# --- the plan -----------------------------------------------------------------------------------------------


def tell_plan(turn: Turn) -> None:
    """The plan: today's task first and whole, then the dated list, then what to leave until when."""
    case = turn.case
    planned_on = case.planned_on or turn.today
    plan = advice.plan_of(case, turn.known, planned_on)
    lines = [item for item in _open_items(case, plan) if _is_of_use(item, turn.today)]
    today = [item for item in lines if item[0] <= turn.today]
    later = [item for item in lines if item[0] > turn.today]
    view = advice.lawn_view(case, turn.known)
    if today:
        turn.say(text("plan-today-head"), *(part for _, task in today for part in task_parts([task], turn.today, case)))
    if later:
        turn.say(text("plan-later-head"), *_list_parts(later, case))
    turn.say(*_plan_tail(turn, case, plan, view))


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
    return sorted(items, key=lambda item: (item[0], item[1].key))


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
        return "cut-same" if task.keeps_height else "cut-open"
    if task.kind is TaskKind.CUT and task.cut is not None and task.cut.bag:
        return "cut-first"
    if task.kind in (TaskKind.WATER, TaskKind.SPRING_WATER) and task.water and task.water.volume_gal is None:
        return f"{task.kind}-open"
    return str(task.kind)


def _detail_values(task: PlanTask) -> dict[str, Value]:
    values: dict[str, Value] = {}
    if task.cut is not None:
        values |= {"from": LengthIn(task.cut.from_in), "to": LengthIn(task.cut.to_in)}
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


def feed_dose_text(fed: FeedDose, case: Case) -> Text:
    """A dose: product for this lawn where its size is known, and the rate it comes from."""
    values: dict[str, Value] = {
        "bag": bag_text(case),
        "rate": RateLbPer1000(fed.product_lb_per_1000_sqft),
        "nitrogen": RateLbPer1000(fed.rate.n_lb),
    }
    if fed.product_lb is None or fed.area_sqft is None or fed.passes is None:
        return text("feed-dose-rate", **values)
    return text(
        "feed-dose",
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


def bag_text(case: Case) -> Text:
    """The bag as its three numbers."""
    bag = answers.bag(case)
    if bag is None:
        return text("bag-unknown")
    return text("bag-numbers", n=Number(bag.n_percent), p=Number(bag.p2o5_percent), k=Number(bag.k2o_percent))


def _plan_tail(turn: Turn, case: Case, plan: CarePlan, view: LawnView) -> list[Text]:
    parts = [text("plan-not-now-head"), *_not_now_parts(plan, view)]
    parts.append(text("plan-seaweed"))
    if view.code is GrassCode.CENTIPEDE:
        parts.append(text("plan-centipede-no-feed"))
    parts.append(_cutting_note(plan))
    if any(band is Band.MOSTLY_LOST for _, band in plan.bands):
        parts.append(text("plan-mostly-lost"))
    parts.append(text("plan-judging", day=Day(view.season.judging_on, view.season.is_about)))
    return parts


def _not_now_parts(plan: CarePlan, view: LawnView) -> list[Text]:
    """What to leave alone, one line for each day that lifts it, then what no day lifts this spring."""
    by_day: dict[date, list[Text]] = {}
    for restraint in plan.not_now:
        if restraint.until_on is not None:
            by_day.setdefault(restraint.until_on, []).append(text(f"not-now-{restraint.code}"))
    parts = [
        text("not-now-until", things=Several(tuple(things)), day=Day(day, view.season.is_about))
        for day, things in sorted(by_day.items())
    ]
    parts.extend(text(f"not-now-{each.code}-{each.gate}") for each in plan.not_now if each.until_on is None)
    return parts


def _cutting_note(plan: CarePlan) -> Text:
    if plan.ladder is None:
        return text("cutting-stopped" if any(task.keeps_height for task in plan.tasks) else "cutting-open")
    return text(
        f"cutting-{plan.ladder.reason_code}",
        floor=LengthIn(plan.ladder.floor_in),
        to=LengthIn(plan.ladder.raise_to_in or plan.ladder.floor_in),
        n=Number(len(plan.ladder.cuts)),
    )


LADDER_REASONS = tuple(LadderReason)


# --- what a changed answer changed --------------------------------------------------------------------------


def tell_difference(turn: Turn, before: Case) -> None:
    """What an altered answer did to the odds and the plan, or that it did nothing."""
    old = advice.lawn_view(before, turn.known)
    new = advice.lawn_view(turn.case, turn.known)
    parts = [*_odds_changes(old, new), *_date_changes(old, new), *_task_changes(turn, before)]
    turn.say(*(parts or [text("change-nothing")]))


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
    old = {task.key: task for task in advice.plan_of(before, turn.known, day).tasks}
    new = {task.key: task for task in advice.plan_of(turn.case, turn.known, day).tasks}
    changes = []
    for key, task in new.items():
        was = old.get(key)
        if was is None and task.kind not in _SERIES:
            changes.append(text("change-task-new", what=_short(task), day=Day(task.on)))
        elif was is not None and task.kind not in _SERIES and was.on != task.on:
            changes.append(text("change-task-moved", what=_short(task), old=Day(was.on), new=Day(task.on)))
        elif was is not None and (was.cut, was.feed) != (task.cut, task.feed):
            changes.extend(task_parts([task], task.on, turn.case))
    gone = [task for key, task in old.items() if key not in new and task.kind not in _SERIES]
    changes.extend(text("change-task-gone", what=_short(task)) for task in gone)
    return changes


def _short(task: PlanTask) -> Text:
    return task_name(str(task.kind), task.spot)


def task_name(kind: str, spot: str) -> Text:
    """A task in a few words, with its spot where it has one."""
    name = text(f"task-{kind}")
    return text("task-at-spot", task=name, spot=Verbatim(spot)) if spot else name


def next_line(case: Case, tasks: tuple[Task, ...]) -> Text:
    """What comes next, in one line."""
    if not tasks:
        return text("next-nothing")
    return text("next-task", task=task_name(tasks[0].kind, tasks[0].spot), day=Day(tasks[0].due_on))


def lawn_text(case: Case) -> Text:
    """A lawn in a sentence: its place where it is known."""
    place = answers.settled_place(case)
    if place is None:
        return text("lawn-numbered", n=Number(case.number))
    return text("lawn-at", place=Verbatim(place.name or place.county or place.state))


def reminder_parts(task: PlanTask, today: date, before: str) -> list[Text]:
    """A task as brought up on its day: what to do now, its amounts and cautions. `before`: why it comes up again."""
    key = f"remind-{task_wording(task)}"
    values = {"day": Day(today), "where": where_text(task.spot), **_detail_values(task)}
    parts = [text(f"remind-{before}")] if before else []
    parts.append(_with_care(text(key, **values), task, in_full=True))
    return parts


def feed_care_text() -> Text:
    """The cautions of spreading fertilizer, in one paragraph."""
    return text("with-care", what=text("feed-how"), care=cautions_in_full(cautions_for("feed_check")))


def repair_parts(choice: str, view: LawnView, area_sqft: float | None, today: date) -> list[Text]:
    """Amounts for replacing a spot, whether the season still allows it, how to start it, and cautions."""
    method = PlantingMethod(choice)
    soil_c = WARM_DAY_SOIL_C.value if today >= view.season.warm_soil_on else None
    window = planting_window(method, view.code, today, view.season.first_fall_frost_on, soil_c)
    parts = [_amount_part(method, view, area_sqft)]
    if today > window.last_on:
        parts.append(text("repair-too-late"))
    else:
        parts.append(text("repair-until", day=Day(window.last_on, True)))
    parts.append(text(f"repair-how-{choice}"))
    parts.append(text("with-care", what=text("repair-safety"), care=cautions_in_full(cautions_for(choice))))
    parts.append(text("repair-hardier"))
    return parts


def _amount_part(method: PlantingMethod, view: LawnView, area_sqft: float | None) -> Text:
    if area_sqft is None:
        return text(f"repair-{method}-open")
    area = AreaSqft(area_sqft)
    if method is PlantingMethod.SOD:
        order = sod_order(area_sqft)
        return text(
            "repair-sod",
            area=area,
            buy=AreaSqft(order.with_waste_sqft),
            pieces=Number(order.slabs),
            weight=MassLb(order.laid_lb),
        )
    if method is PlantingMethod.PLUGS:
        spacing_in = PLUG_SPACING_IN[view.code].high if view.code in PLUG_SPACING_IN else PLUG_SPACING_TOLD_IN.low
        plugs = plugs_to_buy(area_sqft, spacing_in)
        return text("repair-plugs", area=area, n=Number(plugs), spacing=LengthIn(spacing_in))
    need = seed_needed(area_sqft, view.code)
    if need is None:
        return text("repair-no-seed", grass=text(f"grass-name-{view.code}"))
    return text("repair-seed", area=area, low=MassLb(need.low), high=MassLb(need.high))


# --- saying back what was understood ------------------------------------------------------------------------


def said_back(instance: Instance, value: AnswerValue, case: Case) -> list[Text]:
    """One short line that shows what was understood, for answers that are easily misread."""
    question_id = instance.question.id
    match value:
        case PlacesTold() | Picked() if question_id in ("place", "place_which", "state") and answers.settled_place(
            case
        ):
            return [text("said-place", place=place_text(case))]
        case TemperatureTold(mean_c=mean_c, sd_dc=sd_dc):
            return [text("said-temperature", value=TemperatureC(mean_c, sd_dc if sd_dc > _LOOSE_DC else 0.0))]
        case DayTold(on=on, give_or_take_days=give_or_take):
            return [text("said-day", value=Day(on, bool(give_or_take)))]
        case NumberTold(value=number) if question_id in ("mow_height", "notch"):
            return [text("said-length", value=LengthIn(number))]
        case AreaTold(area_sqft=area):
            return [text("said-area", value=AreaSqft(area))]
        case LabelTold():
            return [text("said-bag", value=bag_text(case))]
        case Picked() if question_id == "grass" and grass_code(case):
            return [text("said-grass", value=text(f"grass-name-{grass_code(case)}"))]
        case _:
            return []


_LOOSE_DC = 1.2  # a looser reading than this is said back with its range


def tracked_parts(local_now: datetime, first_hour: int, last_hour: int) -> list[Text]:
    """What a confirmed plan means: when we write, and how to change or stop it."""
    return [text("tracked", **hours_values(local_now, first_hour, last_hour)), text("tracked-how")]


def hours_values(local_now: datetime, first_hour: int, last_hour: int) -> dict[str, Value]:
    """The hours in which we may write, as times of day."""
    day = local_now.replace(minute=0, second=0, microsecond=0)
    return {"first": ClockTime(day.replace(hour=first_hour)), "last": ClockTime(day.replace(hour=last_hour))}
