"""What an operator may know of each lawn at a glance: roughly where, what grows, how far along, how cold, what odds.

Everything is worked out anew from the stored answers; nothing here is exact enough to find a house by.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from bot.talk import advice, answers, flow
from bot.talk.advice import LawnView, SpotView
from bot.talk.case import Case, Homeowner, Standing, TaskState
from bot.talk.followup import next_due_on
from bot.talk.known import Known
from rules.task_kinds import TaskKind

PLACE_DECIMALS = 2  # of a degree: about a kilometre


class Stage(StrEnum):
    """How far along a lawn is.

    asking : questions are open before its plan can be told
    planned : its plan was told, and nobody agreed to be reminded (yet)
    waiting : its plan is under way, and no spot's judging was brought up
    judging : a spot's judging was brought up and is not settled
    judged : every spot is settled, and other tasks are still to come
    repairing : what to do with a spot that did not return is being asked, or was chosen
    resting : nothing will be brought up any more, or it is no lawn we compute for
    handed over : a person holds the talk
    """

    ASKING = "asking"
    PLANNED = "planned"
    WAITING = "waiting"
    JUDGING = "judging"
    JUDGED = "judged"
    REPAIRING = "repairing"
    RESTING = "resting"
    HANDED_OVER = "handed over"


@dataclass(frozen=True, slots=True, kw_only=True)
class Glance:
    """One lawn at a glance.

    latitude, longitude : rounded to a hundredth of a degree; None where no place is settled or only its state is known
    zip_code, county, state : as told; empty where not known. `county` is a name
    grass, cultivar : codes; None while the owner is not sure which it is
    is_quiet : its owner wants nothing they did not ask for
    crown_min_c, soil_min_c : estimated minima of its coldest spot, at the crown and 2 in down [degC]; None while
        nothing is known of the cold
    alive_fraction : the middle of that spot's odds, as a share of its growing points (0..1)
    """

    lawn: int
    latitude: float | None
    longitude: float | None
    zip_code: str
    county: str
    state: str
    zone: str
    language: str
    grass: str | None
    cultivar: str | None
    stage: Stage
    is_quiet: bool
    crown_min_c: float | None
    soil_min_c: float | None
    alive_fraction: float | None


def glances_of(homeowner: Homeowner, known: Known) -> tuple[Glance, ...]:
    """Each lawn of a homeowner at a glance, in the order in which they were opened."""
    return tuple(_glance(homeowner, case, known) for case in homeowner.lawns)


def stage_of(homeowner: Homeowner, case: Case) -> Stage:
    """How far along a lawn is. It changes only by something that happened, never by a day that passed."""
    if homeowner.held_by:
        return Stage.HANDED_OVER
    if not flow.is_ours(case):
        return Stage.RESTING
    if case.planned_on is None:
        return Stage.PLANNED if flow.details_done(case) else Stage.ASKING
    return _stage_under_way(homeowner, case)


def _stage_under_way(homeowner: Homeowner, case: Case) -> Stage:
    if _is_repairing(homeowner, case):
        return Stage.REPAIRING
    to_judge = [task for task in case.tasks if task.kind == TaskKind.JUDGE and task.state is TaskState.OPEN]
    if any(task.told_on for task in to_judge):
        return Stage.JUDGING
    if to_judge:
        return Stage.WAITING
    is_more_to_come = any(next_due_on(task) is not None for task in case.tasks)
    return Stage.JUDGED if is_more_to_come else Stage.RESTING


def _is_repairing(homeowner: Homeowner, case: Case) -> bool:
    asked = (homeowner.side, *homeowner.parked)
    is_asked = any(side is not None and side.topic == "repair" and side.lawn == case.number for side in asked)
    return is_asked or any(checkin.area_sqft is not None for checkin in case.checkins)


def _glance(homeowner: Homeowner, case: Case, known: Known) -> Glance:
    place = answers.settled_place(case)
    is_somewhere = place is not None and not place.is_rough
    view = advice.lawn_view(case, known)
    coldest = _coldest(case, known, view)
    is_certain = not view.grass_is_guess
    return Glance(
        lawn=case.number,
        latitude=round(place.latitude, PLACE_DECIMALS) if place and is_somewhere else None,
        longitude=round(place.longitude, PLACE_DECIMALS) if place and is_somewhere else None,
        zip_code=(place.zip_code or "") if place else "",
        county=place.county if place else "",
        state=place.state if place else "",
        zone=answers.zone(case),
        language=homeowner.language,
        grass=view.code.value if is_certain else None,
        cultivar=view.cultivar if is_certain else None,
        stage=stage_of(homeowner, case),
        is_quiet=homeowner.standing is not Standing.ACTIVE,
        crown_min_c=coldest.cold.crown.min_c if coldest else None,
        soil_min_c=coldest.cold.soil_2in_min_c if coldest else None,
        alive_fraction=coldest.odds.quantile_fraction(0.5) if coldest else None,
    )


def _coldest(case: Case, known: Known, view: LawnView) -> SpotView | None:
    """The spot whose crowns got coldest; None where the lawn is not ours or nobody has told how cold it was."""
    is_known = view.measured is not None or advice.cold_told(case, known).air_min_c is not None
    if not (flow.is_ours(case) and is_known):
        return None
    return min(view.spots, key=lambda spot: spot.cold.crown.min_c)
