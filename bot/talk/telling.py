"""What the results of the rules are told as: the summary, the plan, and what a changed answer changed.

Message keys and values only. The order is always: what probably happened, why, what would tell us more, what to do
now, what to leave, and when judging is fair.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from bot.talk import advice, answers, beside, local
from bot.talk.advice import LawnView, SpotView, snow_protected
from bot.talk.applies import grass_code
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
    TemperatureTold,
)
from bot.talk.followup import next_due_on
from bot.talk.messages import (
    AreaSqft,
    Chance,
    ClockTime,
    Day,
    LengthIn,
    Number,
    Several,
    Share,
    TemperatureC,
    Text,
    Value,
    Verbatim,
    text,
    where_text,
)
from bot.talk.question import Instance
from bot.talk.questions import place_text
from bot.talk.telling_cold import cold_parts, local_parts, tell_cold
from bot.talk.turn import Turn
from rules.facts.soil import NORMAL_90
from rules.grasses import cultivar, grass
from rules.identify import Runners
from rules.second_opinion import second_opinion
from rules.survival import AliveOdds

_LIKELY_RANGE = (0.1, 0.9)  # the range told with a share: eight chances in ten


def tell_summary(turn: Turn) -> None:
    """The first useful answer: odds by kind of injury for each spot, why, what to do now, and the judging day."""
    view = advice.lawn_view(turn.case, turn.known)
    for spot in view.spots:
        turn.say(*_spot_parts(turn, view, spot))
    if view.measured is not None:
        tell_cold(turn, view, view.measured)
        for spot in view.spots:
            turn.say_any(_rule_of_thumb(view, spot))  # after the soil it speaks of was told
    turn.say(*_now_parts(turn, view))


def _spot_parts(turn: Turn, view: LawnView, spot: SpotView) -> list[Text]:
    told = [
        text("summary-head", where=where_text(spot.name), grass=grass_text(turn.case, view)),
        text(_blades_key(spot), chance=Chance(spot.injuries.blades_probability)),
        _some_lost(view, spot),
        text("summary-all", chance=Chance(spot.injuries.nearly_all_lost_probability)),
        *([] if view.measured else [_why(view, spot), *local_parts(view)]),
        *([] if view.measured else _rule_of_thumb(view, spot)),
        *(text(f"summary-sign-{sign}") for sign in spot.signs if sign in _TOLD_SIGNS),
    ]
    if answers.air_min(turn.case) is None and view.measured is None:
        is_reported = local.freeze_report(turn.case, turn.known) is not None
        told.append(text("summary-cold-reported" if is_reported else "summary-cold-guess"))
    if view.place_is_stand_in:
        told.append(text("summary-no-place"))
    if view.grass_is_guess:
        told.append(text("summary-grass-guess"))
        if answers.code(turn.case, "key_runners") == Runners.NONE:
            told.append(text("summary-maybe-cool"))
    return told


def _blades_key(spot: SpotView) -> str:
    """Where the blades most likely lived through it, brown is the rest of winter."""
    return "summary-blades" if spot.injuries.blades_probability >= _EVEN else "summary-blades-few"


_EVEN = 0.5
_TOLD_SIGNS = frozenset({"slimy_runners", "firm_runners", "orange_rings", "tracks", "low_wet"})


def _why(view: LawnView, spot: SpotView) -> Text:
    """Why: the tolerance of the grass against what its growing points probably felt, and what protects it."""
    felt = TemperatureC(spot.cold.crown.min_c, NORMAL_90.value * spot.cold.crown.sd_dc)
    if len(spot.half_die_range_c) > 1:
        low_c, high_c = spot.half_die_range_c
        return text("summary-why-unsure", low=TemperatureC(low_c), high=TemperatureC(high_c), felt=felt)
    values: dict[str, Value] = {
        "half": TemperatureC(spot.half_die_c, NORMAL_90.value * spot.half_die_sd_dc),
        "felt": felt,
        "air": TemperatureC(spot.cold.air_min_c),
        "soil": TemperatureC(spot.cold.soil_2in_min_c, NORMAL_90.value * spot.cold.soil_2in_sd_dc),
    }
    key = "summary-why-rhizomes" if grass(view.code).has_rhizomes else "summary-why"
    return text(f"{key}-snow" if snow_protected(spot.cold) else key, **values)


def why_parts(turn: Turn, view: LawnView, spot: SpotView) -> list[Text]:
    """Why the odds of a spot are what they are, for whoever asks again: the cold, and what this grass takes."""
    if view.measured is not None:
        return cold_parts(turn, view, view.measured)
    return [_why(view, spot), *local_parts(view)]


def _rule_of_thumb(view: LawnView, spot: SpotView) -> list[Text]:
    """What practitioners go by, where it says something else than the odds, and why."""
    if view.grass_is_guess or spot.cold.is_beyond_measured:
        return []
    told = second_opinion(view.code, view.cultivar, spot.cold, spot.top)
    if told is None or told.agrees:
        return []
    values: dict[str, Value] = {
        "from": TemperatureC(told.from_c),
        "to": TemperatureC(told.to_c),
        "soil": TemperatureC(told.soil_2in_min_c),
    }
    return [text(f"summary-thumb-{told.reasons[0]}", **values)]


def _some_lost(view: LawnView, spot: SpotView) -> Text:
    """Runners that froze; for grasses that live below as well, what froze on top."""
    key = "summary-some-top" if grass(view.code).has_rhizomes else "summary-some"
    return text(key, chance=Chance(spot.injuries.some_lost_probability), share=_share_lost(spot.top))


def lost_share(spot: SpotView) -> Share:
    """The share of growing points that may be lost for good, with its likely range."""
    return _share_lost(spot.odds)


def _share_lost(odds: AliveOdds) -> Share:
    low, high = (odds.quantile_fraction(edge) for edge in _LIKELY_RANGE)
    return Share(1 - odds.quantile_fraction(0.5), 1 - high, 1 - low)


def _now_parts(turn: Turn, view: LawnView) -> list[Text]:
    season = view.season
    gate_on = advice.frost_gate(turn.case, turn.known)
    judging = text("summary-judging", day=Day(season.judging_on, season.is_about))
    return [
        text("summary-more"),
        text("summary-now", gate=Day(gate_on, season.is_about)) if turn.today < gate_on else text("summary-now-late"),
        judging if turn.today < season.judging_on else text("chat-judging-passed"),
    ]


def named_grass(code: str, cultivar_code: str) -> Text:
    """A grass by its code, with its cultivar where one is given ("" for none)."""
    name = text(f"grass-name-{code}")
    if not cultivar_code:
        return name
    return text("grass-with-cultivar", name=name, cultivar=Verbatim(cultivar(cultivar_code).name))


def grass_text(case: Case, view: LawnView) -> Text:
    """The grass in a sentence, with the cultivar where it is known."""
    name = text(f"grass-name-{view.code}")
    if view.grass_is_guess:
        several = len(advice.possible_grasses(case)) > 1
        return text("grass-open") if several else text("grass-guessed", name=name)
    if view.cultivar is not None:
        return text("grass-with-cultivar", name=name, cultivar=Verbatim(cultivar(view.cultivar).name))
    return text("grass-plain", name=name)


def bag_text(case: Case) -> Text:
    """The bag as its three numbers."""
    bag = answers.bag(case)
    if bag is None:
        return text("bag-unknown")
    return text("bag-numbers", n=Number(bag.n_percent), p=Number(bag.p2o5_percent), k=Number(bag.k2o_percent))


def task_name(kind: str, *spots: str) -> Text:
    """A task in a few words, with its spots where it has any."""
    name = text(f"task-{kind}")
    named = tuple(Verbatim(spot) for spot in spots if spot)
    return text("task-at-spot", task=name, spot=Several(named) if len(named) > 1 else named[0]) if named else name


def next_line(case: Case, tasks: tuple[Task, ...]) -> Text:
    """What will be brought up next, in one line."""
    coming = [(day, task) for task in tasks if (day := next_due_on(task)) is not None]
    if not coming:
        return text("next-nothing")
    day, task = min(coming, key=lambda item: item[0])
    others = beside.alike(task, (other for on, other in coming if on == day))
    return text("next-task", task=task_name(task.kind, task.spot, *(other.spot for other in others)), day=Day(day))


def lawn_text(case: Case, lawns: Sequence[Case]) -> Text:
    """A lawn in a sentence: its place where that tells it from the others, else its number."""
    named = _place_name(case)
    if named is None or any(_place_name(other) == named for other in lawns if other.number != case.number):
        return text("lawn-numbered", n=Number(case.number))
    return text("lawn-at", place=Verbatim(named))


def _place_name(case: Case) -> str | None:
    place = answers.settled_place(case)
    return None if place is None else place.name or place.county or place.state


# --- saying back what was understood ------------------------------------------------------------------------


def _key_result(case: Case) -> Text:
    """What the questions about an unknown grass led to."""
    possible = advice.possible_grasses(case)
    if len(possible) == 1:
        return text("key-result", grass=text(f"grass-name-{possible[0]}"))
    return text("key-result-open", grasses=Several(tuple(text(f"grass-name-{code}") for code in possible)))


def said_back(instance: Instance, value: AnswerValue, case: Case) -> list[Text]:
    """One short line that shows what was understood, for answers that are easily misread."""
    question_id = instance.question.id
    if question_id == LAST_OF_KEY:
        return [_key_result(case)]
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
        case NumberTold(value=slow) if question_id == "bag_slow" and (bag := answers.bag(case)) and bag.n_percent > 0:
            return [text("said-slow", percent=Number(round(100 * slow / bag.n_percent)))]
        case AreaTold(area_sqft=area):
            return [text("said-area", value=AreaSqft(area))]
        case LabelTold():
            return [text("said-bag", value=bag_text(case))]
        case Picked(code=code) if question_id == "grass" and grass_code(case):
            return [text("said-grass", value=named_grass(grass_code(case) or "", code.partition("/")[2]))]
        case _:
            return []


LAST_OF_KEY = "key_feel"
_LOOSE_DC = 1.2  # a looser reading than this is said back with its range


def tracked_parts(local_now: datetime, first_hour: int, last_hour: int) -> list[Text]:
    """What a confirmed plan means: when we write, and how to change or stop it."""
    return [text("tracked", **hours_values(local_now, first_hour, last_hour)), text("tracked-how")]


def hours_values(local_now: datetime, first_hour: int, last_hour: int) -> dict[str, Value]:
    """The hours in which we may write, as times of day."""
    day = local_now.replace(minute=0, second=0, microsecond=0)
    return {"first": ClockTime(day.replace(hour=first_hour)), "last": ClockTime(day.replace(hour=last_hour))}
