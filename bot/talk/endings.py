"""What a finished side talk does: each topic's ending acts on its answers and says what comes of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, timedelta

from bot.talk import advice, answers, judging, local, photos, tasks, telling, telling_plan, troubles
from bot.talk.asking import is_yes
from bot.talk.case import (
    Case,
    CheckIn,
    CountTold,
    DayTold,
    FeedGiven,
    NamesTold,
    SideTalk,
    Standing,
    TaskState,
)
from bot.talk.effects import CallPerson, ForgetHomeowner
from bot.talk.errands import is_frost_over, scratch
from bot.talk.flow import answered_instances
from bot.talk.followup import open_tasks
from bot.talk.messages import Day, Number, Text, Verbatim, text
from bot.talk.reading import index_of
from bot.talk.turn import Turn
from rules.facts.evidence import WEEDY_GREEN_KEPT_FRACTION
from rules.facts.feeding import BEFORE_NORMAL_FEED_DAYS, CENTIPEDE_CLOSED_MONTHS
from rules.feeding import FeedDose, FeedGate, FeedGates, Label, Tier, dose, feeding_tier

Ending = Callable[[Turn, SideTalk, Case], None]

FEED_AGAIN_AFTER_DAYS = (7, 14, 21)  # after each check that fails; then feeding is left out this season
WEATHER_AGAIN_AFTER_DAYS = 2
NOT_SURE_WHEN_DAYS = 3


def end(turn: Turn, side: SideTalk) -> None:
    """Close a side talk that has all its answers and do what it was for. A photo that still waits for its spot is asked
    about next.
    """
    told = scratch(turn, side)
    turn.end_side()
    ENDINGS[side.topic](turn, side, told)
    if side.topic in _SPOT_BY_SPOT and turn.homeowner.side is None:
        tasks.go_on_beside(turn, side.about[0])
    following = turn.homeowner.side
    if side.topic not in _NO_PHOTO_AFTER and (following is None or following.topic in photos.BY_EYE):
        photos.ask_for_spots(turn)


_NO_PHOTO_AFTER = frozenset({"stop", "forget", "photo_spot", "photo_weeds"})
"""Last words; and what goes on to the next photo by itself."""


_SPOT_BY_SPOT = frozenset({"pot_start", "pot_read", "judge", "repair"})


# --- about tasks ----------------------------------------------------------------------------------------------------


def _later(turn: Turn, side: SideTalk, told: Case) -> None:
    day = answers.value_as(told, "do_when", DayTold)
    on = day.on if day else turn.today + timedelta(days=NOT_SURE_WHEN_DAYS)
    tasks.move(turn, side.about[0], on, with_others=True)


def _problem(turn: Turn, side: SideTalk, told: Case) -> None:
    troubles.meet(turn, side.about[0], answers.code(told, "do_problem") or "other")


def _look(turn: Turn, side: SideTalk, told: Case) -> None:
    """What the runners of one spot look like; then of the next one. It is evidence: odds and plan follow it."""
    key, spot = side.about[0], _spot_of_side(turn, side)
    found = answers.code(told, "do_runners")
    before = turn.case
    _check_in(turn, key, spot, runners=found)
    turn.close_task(key, TaskState.DONE)
    tasks.replan(turn)
    parts = [text(f"look-{found}" if found else "look-not-sure"), *telling_plan.difference_parts(turn, before)]
    following = _spot_after(turn, spot)
    if following:
        turn.say(*parts)
        turn.start_side("look", key, following)
    else:
        turn.say(*parts, _next(turn))


def _spot_of_side(turn: Turn, side: SideTalk) -> str:
    return side.about[1] if len(side.about) > 1 else answers.spots(turn.case)[0]


def _spot_after(turn: Turn, spot: str) -> str:
    """The next spot of the lawn; "" after the last."""
    names = answers.spots(turn.case)
    following = names[names.index(spot) + 1 :] if spot in names else ()
    return following[0] if following else ""


def _green(turn: Turn, side: SideTalk, told: Case) -> None:
    """A look by eye at one spot; then at the next one, where the picture task is about the whole lawn."""
    key, spot = side.about[0], _spot_of_side(turn, side)
    green = _green_told(told)
    _check_in(turn, key, spot, green=green)
    turn.close_task(key, TaskState.DONE)
    parts = [judging.green_text(turn, spot, green), *judging.settled_early(turn, spot)]
    following = _spot_after(turn, spot)
    if following and not _has_photo_today(turn, following):
        turn.say(*parts)
        turn.start_side("green", key, following)
    else:
        turn.say(*parts, _next(turn))


def _has_photo_today(turn: Turn, spot: str) -> bool:
    return any(c.spot == spot and c.on == turn.today and c.green is not None for c in turn.case.checkins)


def _green_told(told: Case) -> float | None:
    """Green by eye, less what the owner says are weeds."""
    green = answers.number(told, "do_green")
    if green is not None and is_yes(told, "do_weeds"):
        return green * WEEDY_GREEN_KEPT_FRACTION.value
    return green


def _pot_start(turn: Turn, side: SideTalk, told: Case) -> None:
    plugs = answers.number(told, "do_plugs")
    _check_in(turn, side.about[0], plugs_total=int(plugs) if plugs else None)
    turn.close_task(side.about[0], TaskState.DONE)
    few = plugs is not None and plugs < judging.PLUGS_ADVISED
    said = text("pot-started-few" if few else "pot-started", n=Number(judging.PLUGS_ADVISED))
    turn.say(said, *tasks.next_after(turn, side.about[0]))


def _pot_read(turn: Turn, side: SideTalk, told: Case) -> None:
    counted = answers.value_as(told, "do_count", CountTold)
    key = side.about[0]
    if counted is not None:
        _check_in(turn, key, plugs_alive=counted.count, plugs_total=counted.total)
    turn.close_task(key, TaskState.DONE)
    task = turn.task(key)
    turn.say(judging.pot_text(turn, tasks.spot_of(turn.case, task), counted, key), *tasks.next_after(turn, key))


def _check_in(turn: Turn, task_key: str, spot: str | None = None, **seen: object) -> None:
    if spot is None:
        spot = tasks.spot_of(turn.case, turn.task(task_key))
    checkin = CheckIn(on=turn.today, spot=spot, task=task_key, **seen)  # type: ignore[arg-type]
    turn.update_case(checkins=(*turn.case.checkins, checkin))


# --- feeding --------------------------------------------------------------------------------------------------------


def _feed(turn: Turn, side: SideTalk, told: Case) -> None:
    """Every gate was asked about: say what is still missing, or which feed is open, and work out its dose."""
    key = side.about[0]
    gates = _gates(turn, told)
    if gates.is_blackout:
        tasks.feed_waits(turn, turn.task(key), turn.today)
        return
    decision = feeding_tier(gates)
    _check_in(turn, key)
    if decision.tier is Tier.NONE:
        _feed_later(turn, key, decision.open_gates)
        return
    turn.say(text(f"feed-open-{decision.tier}"), text("feed-by-the-calendar"))
    label = advice.label_of(turn.case)
    if label is None or label.n_percent == 0:
        green = [] if gates.green_fraction is None else [str(gates.green_fraction)]
        turn.start_side("feed_bag", key, str(decision.tier), *green)
    else:
        _give_dose(turn, key, decision.tier, label, gates.green_fraction)


def _feed_bag(turn: Turn, side: SideTalk, told: Case) -> None:
    """The bag was asked for when it was needed; it is kept like any answer. Without one, what to look for."""
    key, tier = side.about[0], Tier(side.about[1])
    label = advice.label_of(told)
    if label is None or label.n_percent == 0:
        turn.close_task(key, TaskState.DONE)
        turn.say(text("feed-what-bag"), telling_plan.feed_care_text(), _next(turn))
        return
    for answer in side.answers:
        turn.put_case(answers.with_answer(turn.case, answer))
    _give_dose(turn, key, tier, label, float(side.about[2]) if len(side.about) > 2 else None)


def _give_dose(turn: Turn, key: str, tier: Tier, label: Label, green: float | None) -> None:
    if advice.is_feeding_banned(turn.case, turn.known, turn.today):  # since the checks passed
        tasks.feed_waits(turn, turn.task(key), turn.today)
        return
    code = advice.lawn_view(turn.case, turn.known).code
    lawn = advice.fed_lawn(turn.case, turn.known, code, turn.today)
    result = dose(label, tier, lawn, judging.living_area_sqft(turn))
    turn.close_task(key, TaskState.DONE)
    if not isinstance(result, FeedDose):
        turn.say(telling_plan.feed_refusal_text(result, turn.case), text("feed-what-bag"), _next(turn))
        return
    is_last = bool(turn.case.feeds) or tier is Tier.NORMAL
    again_on = None if is_last else advice.may_feed_from(turn.case, turn.known, turn.today + _TO_NORMAL_FEED)
    _remember_feed(turn, result, green)
    if again_on is not None:
        tasks.reopen(turn, key, again_on)
    turn.say(
        telling_plan.feed_dose_text(result, turn.case, is_open=True),
        *(text(f"feed-note-{note}") for note in result.notes),
        telling_plan.feed_care_text(),
        text("feed-two-schools"),
        text("feed-next-on", day=Day(again_on)) if again_on is not None else _next(turn),
    )


_TO_NORMAL_FEED = timedelta(days=int(BEFORE_NORMAL_FEED_DAYS.value))


def _feed_later(turn: Turn, key: str, gates: tuple[FeedGate, ...]) -> None:
    """Say what is still missing and look again, each time after longer; at last leave feeding out this season."""
    to_come = [text(f"feed-gate-{gate}") for gate in gates if gate is not FeedGate.CENTIPEDE_NO_LIGHT]
    fed_on = max((feed.on for feed in turn.case.feeds), default=date.min)
    tried = sum(checkin.task == key and checkin.on > fed_on for checkin in turn.case.checkins)
    if tried > len(FEED_AGAIN_AFTER_DAYS):
        turn.close_task(key, TaskState.DONE)
        turn.say(text("feed-wait"), *to_come, text("feed-leave-out"), _next(turn))
        return
    turn.say(text("feed-wait"), *to_come, *([text("feed-two-schools")] if tried == 1 else []))
    tasks.move(turn, key, _feed_again_on(turn, gates, FEED_AGAIN_AFTER_DAYS[tried - 1]))


def _gates(turn: Turn, told: Case) -> FeedGates:
    view = advice.lawn_view(turn.case, turn.known)
    green = answers.number(told, "do_green")
    shoots = answers.code(told, "do_shoots")
    mowed = {"none": 0, "one": 1, "two": 2}.get(answers.code(told, "do_mowed") or "none", 0)
    return FeedGates(
        lawn=advice.fed_lawn(turn.case, turn.known, view.code, turn.today),
        month=turn.today.month,
        is_last_frost_past=turn.today >= advice.frost_gate(turn.case, turn.known),
        is_freeze_forecast=answers.code(told, "do_frost") != "no" and not is_frost_over(turn),
        warm_soil_days=view.season.warm_days_by(turn.today),
        is_soil_falling=False,  # nobody but a thermometer knows; the owner is told to look
        has_active_disease=answers.code(told, "do_rings") == "yes",
        is_weather_right=answers.code(told, "do_weather") == "yes",
        is_blackout=advice.is_feeding_banned(turn.case, turn.known, turn.today),
        live_plants_per_sqft=None if shoots is None else float(shoots == "yes"),
        green_fraction=green,
        has_cover_risen=_has_risen(turn.case, green),
        mowings=mowed,
    )


def _has_risen(case: Case, green: float | None) -> bool:
    """Whether it is greener than at the last feed; than at the last look where that was not told."""
    at_feed = case.feeds[-1].green if case.feeds else None
    looks = [checkin.green for checkin in case.checkins if checkin.green is not None]
    before = at_feed if at_feed is not None else looks[-1] if looks else None
    return before is not None and green is not None and green > before


def _feed_again_on(turn: Turn, gates: tuple[FeedGate, ...], after_days: int) -> date:
    soon = turn.today + timedelta(days=WEATHER_AGAIN_AFTER_DAYS if gates == (FeedGate.WEATHER,) else after_days)
    if FeedGate.CENTIPEDE_SPRING not in gates:
        return soon
    open_month = int(CENTIPEDE_CLOSED_MONTHS.high) + 1
    return max(soon, date(turn.today.year, open_month, 1))


def _remember_feed(turn: Turn, given: FeedDose, green: float | None) -> None:
    feed = FeedGiven(
        on=turn.today,
        n_lb_per_1000_sqft=given.rate.n_lb,
        p2o5_lb_per_1000_sqft=given.rate.p2o5_lb,
        soluble_n_lb_per_1000_sqft=given.rate.soluble_n_lb,
        green=green,
    )
    turn.update_case(feeds=(*turn.case.feeds, feed))


# --- judging and repair ----------------------------------------------------------------------------------------------


def _judge(turn: Turn, side: SideTalk, told: Case) -> None:
    key = side.about[0]
    green = _green_told(told)
    _check_in(turn, key, green=green)
    judging.judge(turn, key)


def _repair(turn: Turn, side: SideTalk, told: Case) -> None:
    judging.repair(turn, side.about[0], told)


# --- about the talk itself --------------------------------------------------------------------------------------------


def _forget(turn: Turn, side: SideTalk, told: Case) -> None:
    if not is_yes(told, "do_forget"):
        turn.say(text("forget-kept"))
        return
    turn.say(text("forget-done"))
    turn.want(ForgetHomeowner())


def _start_over(turn: Turn, side: SideTalk, told: Case) -> None:
    if not is_yes(told, "do_start_over"):
        turn.say(text("start-over-kept"))
        return
    turn.put_case(Case(number=turn.case.number, opened_at=turn.now))
    turn.update(last_told_task=None)
    turn.say(text("start-over-done"))


def _stop(turn: Turn, side: SideTalk, told: Case) -> None:
    if is_yes(told, "do_stop"):
        turn.update(standing=Standing.STOPPED)
        turn.say(text("stopped"))
    else:
        turn.update(standing=Standing.ACTIVE)
        turn.say(text("stop-not-meant"))


def _person(turn: Turn, side: SideTalk, told: Case) -> None:
    note = answers.value_as(told, "do_note", NamesTold)
    pass_on(turn, note.names[0] if note else "")


def pass_on(turn: Turn, question: str) -> None:
    """Pass words on to a person, and say what happens now."""
    turn.want(CallPerson(question=question, lawn=turn.homeowner.active_lawn or None))
    contact = local.contact_line(turn.homeowner.lawn, turn.known)
    turn.say(text("person-passed-on"), *([text("person-contact", line=Verbatim(contact))] if contact else []))


def _offer_person(turn: Turn, side: SideTalk, told: Case) -> None:
    if is_yes(told, "do_person"):
        pass_on(turn, side.about[0] if side.about else "")
    else:
        turn.say(text("person-not-needed"))


def _hours(turn: Turn, side: SideTalk, told: Case) -> None:
    code = answers.code(told, "do_hours") or "morning"
    first, last = HOURS[code] if code in HOURS else (int(hour) for hour in code.split("-"))
    set_hours(turn, first, last)


HOURS: Mapping[str, tuple[int, int]] = {"morning": (9, 12), "midday": (11, 15), "evening": (17, 20)}
EARLIEST_HOUR, LATEST_HOUR = 8, 21


def set_hours(turn: Turn, first: int, last: int) -> None:
    """Set the local hours in which we may start a message, never outside 8:00 to 21:00."""
    first = min(max(first, EARLIEST_HOUR), LATEST_HOUR - 1)
    last = min(max(last, first + 1), LATEST_HOUR)
    turn.update(first_hour=first, last_hour=last)
    turn.say(text("hours-set", **telling.hours_values(turn.local_now, first, last)))


def _change(turn: Turn, side: SideTalk, told: Case) -> None:
    picked = index_of(answers.code(told, "do_which"))
    listed = answered_instances(turn.case)
    if picked is not None and picked < len(listed):
        chosen = listed[picked]
        turn.start_side("changing", chosen.question.id, chosen.spot)
    else:
        turn.say(text("change-kept"))


def _old_button(turn: Turn, side: SideTalk, told: Case) -> None:
    if is_yes(told, "do_change_it"):
        turn.start_side("changing", *side.about)
    else:
        turn.say(text("change-kept"))


def _which_lawn(turn: Turn, side: SideTalk, told: Case) -> None:
    picked = index_of(answers.code(told, "do_lawn"))
    if picked is not None and picked < len(turn.homeowner.lawns):
        turn.update(active_lawn=turn.homeowner.lawns[picked].number)
        turn.say(text("lawn-switched", place=telling.lawn_text(turn.case, turn.homeowner.lawns)))


def _next(turn: Turn) -> Text:
    return telling.next_line(turn.case, open_tasks(turn.case))


def _pull(turn: Turn, side: SideTalk, told: Case) -> None:
    """A pull proves neither life nor death, so nothing is noted: it is told what it may point to."""
    turn.say(text(f"pull-{answers.code(told, 'do_pull') or 'not_sure'}"))


ENDINGS: Mapping[str, Ending] = {
    "later": _later,
    "problem": _problem,
    "feed": _feed,
    "feed_bag": _feed_bag,
    "look": _look,
    "green": _green,
    "pot_start": _pot_start,
    "pot_read": _pot_read,
    "judge": _judge,
    "repair": _repair,
    "forget": _forget,
    "start_over": _start_over,
    "stop": _stop,
    "person": _person,
    "offer_person": _offer_person,
    "old_button": _old_button,
    "hours": _hours,
    "change": _change,
    "pull": _pull,
    "photo_spot": photos.spot_told,
    "photo_weeds": photos.weeds_told,
    "which_lawn": _which_lawn,
}
