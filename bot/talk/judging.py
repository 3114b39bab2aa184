"""Readings, verdicts and repair as the conversation tells them. The gates are in `rules/verdict.py`."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

from bot.talk import advice, answers, tasks, telling, telling_repair
from bot.talk.case import AreaTold, Case, CheckIn, CountTold, Task, TaskState
from bot.talk.followup import open_tasks
from bot.talk.messages import Cover, Day, Number, Share, Text, Value, text, where_text
from bot.talk.seen import MOST_WARM_DAYS, readings_of, recoveries, spot_evidence
from bot.talk.turn import Turn
from rules.combine import StillBare, combine
from rules.evidence import plug_interval
from rules.facts.evidence import (
    POT_PLUGS_ADVISED,
    RETURNS_FROM_ALIVE_FRACTION,
    SEEN_BY_EYE_FRACTION,
    SETTLED_GREEN_FRACTION,
)
from rules.facts.season import LIKELY_DEAD_GREEN_FRACTION
from rules.grasses import is_seedable
from rules.plan import FEED_CHECK_KEY
from rules.repair import RepairReason, repair_advice
from rules.season import Season
from rules.survival import AliveOdds
from rules.task_kinds import TaskKind
from rules.verdict import SpotEvidence, Verdict, verdict_on

PLUGS_ADVISED = int(POT_PLUGS_ADVISED.value)
_RETURNS = RETURNS_FROM_ALIVE_FRACTION.value
_SOON = timedelta(days=7)
_IN_TWO_WEEKS = timedelta(days=14)
_IN_THREE_WEEKS = timedelta(days=21)


def odds_now(turn: Turn, spot: str) -> AliveOdds:
    """The odds of a spot after the cold, the signs, the pot test, the photos, and what stayed bare until today."""
    view = advice.lawn_view(turn.case, turn.known)
    odds = next(each.odds for each in view.spots if each.name == spot)
    seen = spot_evidence(turn.case, spot)
    if readings_of(turn.case, spot, view.season):
        return odds  # they hold the photos, which say all that the bare ground says
    if seen.green_fraction is not None and seen.green_fraction < LIKELY_DEAD_GREEN_FRACTION.value:
        odds = combine(odds, [StillBare(min(view.season.warm_days_by(turn.today), MOST_WARM_DAYS))]).odds
    return odds


def evidence_now(turn: Turn, spot: str) -> SpotEvidence:
    """The newest evidence of a spot, with what its photos say together."""
    season = advice.lawn_view(turn.case, turn.known).season
    recovery = recoveries(turn.case, season, turn.today).get(spot)
    return replace(spot_evidence(turn.case, spot), recovery=recovery)


def green_text(turn: Turn, spot: str, green: float | None) -> Text:
    """A reported green share, beside the one before it, without praise for a change too small to see."""
    if green is None:
        return text("green-unknown")
    seen = [c.green for c in turn.case.checkins if c.spot == spot and c.green is not None]
    values: dict[str, Value] = {"where": where_text(spot), "now": Cover(green)}
    season = advice.lawn_view(turn.case, turn.known).season
    if green == 0 and turn.today < season.judging_on:
        is_early = turn.today < season.test_again_on and not spot_evidence(turn.case, spot).pot_test_failed
        key = "green-none" if is_early else "green-none-yet"
        return text(key, day=Day(season.judging_on, season.is_about), **values)
    if len(seen) < 2:
        return text("green-first", **values)
    before = seen[-2] or 0.0
    if before == 0 < green:
        return text("green-begun", **values)
    grown = green - before >= SEEN_BY_EYE_FRACTION.value
    return text("green-grown" if grown else "green-same", before=Cover(before), **values)


def settled_early(turn: Turn, spot: str) -> list[Text]:
    """Most of a spot is green and it is the grass: no need to wait for its judging day, or for more pictures of it."""
    green = spot_evidence(turn.case, spot).green_fraction
    waiting = [task for task in open_tasks(turn.case) if task.kind == TaskKind.JUDGE]
    own = [task for task in waiting if tasks.spot_of(turn.case, task) == spot]
    season = advice.lawn_view(turn.case, turn.known).season
    if green is None or green < SETTLED_GREEN_FRACTION.value or turn.today < season.warm_soil_on or not own:
        return []
    done_with = {task.key for task in own}
    if len(own) == len(waiting):
        done_with |= {task.key for task in open_tasks(turn.case) if task.kind in _ONLY_TO_JUDGE}
    for key in done_with:
        turn.close_task(key, TaskState.DONE)
    return [text("settled-early", where=where_text(spot))]


_ONLY_TO_JUDGE = (TaskKind.PHOTO, TaskKind.DONT_JUDGE, TaskKind.LOOK, TaskKind.POT_START, TaskKind.POT_READ)


def pot_text(turn: Turn, spot: str, counted: CountTold | None, key: str) -> Text:
    """A pot reading: what it says about the spot, and that it is read again where more may come."""
    if counted is None:
        return text("pot-not-counted")
    odds = odds_now(turn, spot)
    values: dict[str, Value] = {
        "alive": Number(counted.count),
        "total": Number(counted.total),
        "share": Share(odds.quantile_fraction(0.5), odds.quantile_fraction(0.1), odds.quantile_fraction(0.9)),
        "where": where_text(spot),
        "most": Number(math.ceil(10 * plug_interval(counted.count, counted.total)[1])),
    }
    prefix = key.rpartition(":")[0]
    last = not any(task.key.startswith(prefix) and task.due_on > turn.today for task in open_tasks(turn.case))
    if counted.count == 0 and not last:
        return text("pot-none-yet", **values)
    return text("pot-none" if counted.count == 0 else "pot-some", **values)


def due(turn: Turn, spot: str) -> Task | None:
    """The judging of a spot whose day has come, while nobody has judged it."""
    waiting = (task for task in open_tasks(turn.case) if task.kind == TaskKind.JUDGE and task.due_on <= turn.today)
    return next((task for task in waiting if tasks.spot_of(turn.case, task) == spot), None)


# --- the verdict -----------------------------------------------------------------------------------------------------


def judge(turn: Turn, key: str) -> None:
    """Tell the verdict of one spot on this day, and what to do with it."""
    spot = tasks.spot_of(turn.case, turn.task(key))
    season = advice.lawn_view(turn.case, turn.known).season
    seen = evidence_now(turn, spot)
    lost = odds_now(turn, spot).below_probability(_RETURNS)
    verdict = verdict_on(turn.today, season, seen, lost)
    values: dict[str, Value] = {
        "where": where_text(spot),
        "chances": Number(min(19, round(20 * lost))),
        "day": Day(season.likely_dead_on, season.is_about),
    }
    if verdict in (Verdict.TEST_AGAIN, Verdict.TOO_EARLY):
        _judge_again(turn, key, season, text(f"verdict-{verdict}", **values), text("verdict-no-answer", **values))
        return
    turn.close_task(key, TaskState.DONE)
    if verdict is Verdict.COMING_BACK:
        turn.say(text("verdict-coming_back", **values), *tasks.next_after(turn, key))
        return
    said = (
        text("verdict-likely_dead-tested", **values) if seen.pot_test_failed else text("verdict-likely_dead", **values)
    )
    told = said if verdict is Verdict.LIKELY_DEAD else text("verdict-partly_back", **values)
    doubt = [text("verdict-pot-or-look")] if verdict is Verdict.LIKELY_DEAD and _looked_firm(turn, spot) else []
    turn.say(told, *doubt, _repair_advice(turn, seen))
    turn.start_side("repair", key)


def _looked_firm(turn: Turn, spot: str) -> bool:
    """Whether any look at the runners of a spot found firm ones."""
    return any(seen.spot == spot and seen.runners in ("firm", "mixed") for seen in turn.case.checkins)


def _judge_again(turn: Turn, key: str, season: Season, told: Text, no_answer: Text) -> None:
    """Ask again in two weeks, at the latest on the last date; after it once more, and then leave it to a person."""
    if turn.today < season.likely_dead_on:
        turn.say(told)
        tasks.move(turn, key, max(turn.today + _SOON, min(season.likely_dead_on, turn.today + _IN_TWO_WEEKS)))
        return
    late = [c for c in turn.case.checkins if c.task == key and c.on >= season.likely_dead_on]
    turn.say(no_answer)
    if len(late) < _LATE_TRIES:
        tasks.move(turn, key, turn.today + _IN_TWO_WEEKS)
        return
    turn.close_task(key, TaskState.DONE)
    turn.start_side("repair", key)


_LATE_TRIES = 2


def _repair_advice(turn: Turn, seen: SpotEvidence) -> Text:
    """What the rules would do with such a spot; the owner chooses."""
    green, plugs = _green(seen), seen.plug_fraction or 0.0
    code = advice.lawn_view(turn.case, turn.known).code
    advised = repair_advice(code, 1 - max(green, plugs), _LIVE_PLANTS_PER_SQFT if green > 0 else None)
    if advised.reason is RepairReason.BERMUDA_REFILLS:
        return text("repair-advice-bermuda_refills")
    return text(f"repair-advice-{advised.code}")


def _green(seen: SpotEvidence) -> float:
    """How much is green: by the photos together, else by eye."""
    if seen.recovery is not None:
        return seen.recovery.trend.cover_now.middle_percent / 100
    return seen.green_fraction or 0.0


_LIVE_PLANTS_PER_SQFT = 1.0  # what "a few blades" stands for


def living_area_sqft(turn: Turn) -> float | None:
    """The lawn without the spots that were judged lost and whose size was told: dead ground is not fed."""
    whole = answers.area_sqft(turn.case)
    if whole is None:
        return None
    sizes = {c.spot: c.area_sqft for c in turn.case.checkins if c.area_sqft is not None}
    lost = sum(size for spot, size in sizes.items() if verdict_now(turn, spot) is Verdict.LIKELY_DEAD)
    return whole - lost if whole > lost else None


def verdict_now(turn: Turn, spot: str) -> Verdict:
    """What may be said of a spot today."""
    season = advice.lawn_view(turn.case, turn.known).season
    lost = odds_now(turn, spot).below_probability(_RETURNS)
    return verdict_on(turn.today, season, evidence_now(turn, spot), lost)


# --- repair ----------------------------------------------------------------------------------------------------------


def repair(turn: Turn, key: str, told: Case) -> None:
    """What the owner wants done with a spot that did not return: amounts, window, cautions."""
    choice = answers.code(told, "do_repair")
    if choice == "person":
        turn.start_side("person")
        return
    if choice not in ("sod", "plugs", "seed"):
        again_on = turn.today + _IN_THREE_WEEKS
        tasks.reopen(turn, key, again_on)
        turn.say(text("repair-wait", day=Day(again_on)))
        return
    view = advice.lawn_view(turn.case, turn.known)
    if choice == "seed" and not is_seedable(view.code, view.cultivar):
        turn.say(text("repair-no-seed", grass=telling.named_grass(view.code, view.cultivar or "")))
        turn.start_side("repair", key)
        return
    spot = tasks.spot_of(turn.case, turn.task(key))
    size = answers.value_as(told, "do_size", AreaTold)
    area_sqft = size.area_sqft if size else answers.area_sqft(turn.case) if not spot else None
    if area_sqft is not None:
        checkin = CheckIn(on=turn.today, spot=spot, task=key, area_sqft=area_sqft)
        turn.update_case(checkins=(*turn.case.checkins, checkin))
    turn.say(*telling_repair.repair_parts(choice, view, area_sqft, turn.today))
    if all(verdict_now(turn, each) is Verdict.LIKELY_DEAD for each in answers.spots(turn.case)):
        turn.close_task(FEED_CHECK_KEY, TaskState.SKIPPED)  # new turf is not fed in its first month
