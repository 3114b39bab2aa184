"""One case at a glance, out of a homeowner's lawns: what happened under the brown, why, what was seen since, the plan.

Pure: message keys and values. It says what the talk and the album say, since it asks the same functions. Nothing in it
is finer than county and ZIP code.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from bot.album.season import PlanDate, Report, Shot, plan_dates, reports_of, shots_of, state_of
from bot.talk import advice, answers, flow, telling
from bot.talk.advice import LawnView, SpotView
from bot.talk.case import Case, Homeowner, Standing
from bot.talk.followup import open_tasks
from bot.talk.glance import Stage, stage_of
from bot.talk.known import Known
from bot.talk.messages import Chance, TemperatureC, Text, text, where_text
from bot.talk.questions import place_text
from bot.talk.seen import recoveries
from bot.talk.telling_evidence import moved_parts
from bot.talk.turn import Turn
from rules.facts.soil import NORMAL_90
from rules.plan import Band


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotStory:
    """One spot: its odds, why they are so, how it stands today, and what was seen of it. `band` is a code."""

    name: str
    where: Text
    band: str
    odds: tuple[Text, ...]
    why: tuple[Text, ...]
    state: Text
    shots: tuple[Shot, ...] = ()
    reports: tuple[Report, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnStory:
    """One lawn. Without `spots` nothing can be said of it yet, or it is no lawn we compute for."""

    number: int
    place: Text | None
    zip_code: str
    grass: Text
    stage: Stage
    is_ours: bool
    local_now: datetime
    spots: tuple[SpotStory, ...] = ()
    moved: tuple[Text, ...] = ()
    plan: tuple[PlanDate, ...] = ()
    next: Text | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """All lawns of a homeowner, the one being talked about first, and how their talk stands.

    misses : how often in a row they were not understood
    """

    is_quiet: bool
    held_by: str
    held_heard_at: datetime | None
    heard_at: datetime | None
    misses: int = 0
    lawns: tuple[LawnStory, ...] = field(default=())


def story_of(homeowner: Homeowner, known: Known, now: datetime, own_photos: Collection[str]) -> Story:
    """The story of a homeowner's lawns. `own_photos`: the ids of those they sent; no others are named."""
    in_order = sorted(homeowner.lawns, key=lambda case: (case.number != homeowner.active_lawn, case.number))
    return Story(
        is_quiet=homeowner.standing is not Standing.ACTIVE,
        held_by=homeowner.held_by,
        held_heard_at=homeowner.held_heard_at,
        heard_at=homeowner.last_heard_at,
        misses=homeowner.misses,
        lawns=tuple(_lawn(homeowner, case, known, now, own_photos) for case in in_order),
    )


def _lawn(homeowner: Homeowner, case: Case, known: Known, now: datetime, own_photos: Collection[str]) -> LawnStory:
    turn = Turn(homeowner=homeowner, now=now, known=known)
    turn.put_case(case)
    view = advice.lawn_view(case, known)
    is_told = flow.is_ours(case) and flow.first_stage_done(case)
    place = answers.settled_place(case)
    return LawnStory(
        number=case.number,
        place=None if place is None else place_text(case),
        zip_code=(place.zip_code or "") if place else "",
        grass=telling.grass_text(case, view),
        stage=stage_of(homeowner, case),
        is_ours=flow.is_ours(case),
        local_now=turn.local_now,
        spots=tuple(_spot(turn, view, spot, own_photos) for spot in view.spots) if is_told else (),
        moved=tuple(moved_parts(view)) if is_told else (),
        plan=plan_dates(case),
        next=telling.next_line(case, open_tasks(case)) if case.planned_on is not None else None,
    )


def _spot(turn: Turn, view: LawnView, spot: SpotView, own_photos: Collection[str]) -> SpotStory:
    recovery = recoveries(turn.case, view.season).get(spot.name)
    return SpotStory(
        name=spot.name,
        where=where_text(spot.name),
        band=str(spot.band),
        odds=_odds(spot),
        why=tuple(telling.why_parts(turn, view, spot)),
        state=state_of(turn, spot.name, view.season, recovery),
        shots=shots_of(turn.case, spot.name, own_photos),
        reports=reports_of(turn.case, spot.name),
    )


def _odds(spot: SpotView) -> tuple[Text, ...]:
    lost = telling.lost_share(spot)
    return (
        text(_BANDS[spot.band]),
        text("cases-odds", share=lost, chance=Chance(spot.injuries.nearly_all_lost_probability)),
        text(
            "cases-cold",
            air=TemperatureC(spot.cold.air_min_c),
            felt=TemperatureC(spot.cold.crown.min_c, NORMAL_90.value * spot.cold.crown.sd_dc),
            soil=TemperatureC(spot.cold.soil_2in_min_c, NORMAL_90.value * spot.cold.soil_2in_sd_dc),
        ),
    )


_BANDS: Mapping[Band, str] = {
    Band.MOSTLY_FINE: "cases-band-mostly_fine",
    Band.MIXED: "cases-band-mixed",
    Band.MOSTLY_LOST: "cases-band-mostly_lost",
}
STAGES: Mapping[Stage, str] = {
    Stage.ASKING: "cases-stage-asking",
    Stage.PLANNED: "cases-stage-planned",
    Stage.WAITING: "cases-stage-waiting",
    Stage.JUDGING: "cases-stage-judging",
    Stage.JUDGED: "cases-stage-judged",
    Stage.REPAIRING: "cases-stage-repairing",
    Stage.RESTING: "cases-stage-resting",
    Stage.HANDED_OVER: "cases-stage-handed_over",
}
"""How far along a lawn is, in words for people of ours."""
