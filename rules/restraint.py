"""What not to do, and until when. Each is a code with the gate that lifts it and the source that says so.

`until_on` is the day before which it is not done however things look; the gate must have been seen as well. None
means that no date lifts it this spring.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

from rules.facts import feeding as feeding_facts
from rules.facts import restraint as facts
from rules.facts.care_sources import (
    AGRILIFE_WOODSON_2010,
    AUBURN_TAKE_ALL,
    MSU_WILBER_2022,
    PURDUE_WINTERKILL,
    UF_DUVAL_2021,
    UGA_AERATE_2010,
    UGA_LANDRY,
    UGA_MACON_2018,
    UGA_TWO_WEEKS,
)
from rules.facts.fact import Source
from rules.facts.sources import NC_CENTIPEDE
from rules.grasses import GrassCode, grass


class RestraintCode(StrEnum):
    """What is left alone for now."""

    NITROGEN = "nitrogen"
    ROOT_PRUNING_PREEMERGENT = "root_pruning_preemergent"
    POST_EMERGENT_WEED_CONTROL = "post_emergent_weed_control"
    WEED_AND_FEED = "weed_and_feed"
    DETHATCH = "dethatch"
    CORE_AERATE = "core_aerate"
    TOPDRESS = "topdress"
    TRAFFIC = "traffic"
    SOD_OR_SEED = "sod_or_seed"
    LIME = "lime"


class RestraintGate(StrEnum):
    """What must have been seen before it may be done."""

    WARM_SOIL_HELD = "warm_soil_held"
    GROWING_WELL = "growing_well"
    THREE_WEEKS_GREEN = "three_weeks_green"
    JUDGED = "judged"
    NEXT_SEASON = "next_season"
    SOIL_TEST = "soil_test"


class RestraintReason(StrEnum):
    """Why it waits."""

    ROOTS_CANNOT_TAKE_IT = "roots_cannot_take_it"
    STOPS_NEW_ROOTS = "stops_new_roots"
    HURTS_GREENING_TURF = "hurts_greening_turf"
    WRONG_TIME_FOR_BOTH = "wrong_time_for_both"
    TEARS_NEW_RUNNERS = "tears_new_runners"
    BURIES_SHOOTS = "buries_shoots"
    CRUSHES_NEW_SHOOTS = "crushes_new_shoots"
    TOO_EARLY_TO_KNOW = "too_early_to_know"
    FAVOURS_ROOT_ROT = "favours_root_rot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Restraint:
    """One thing left alone: until which day at the earliest, which gate lifts it, why, and who says so."""

    code: RestraintCode
    until_on: date | None
    gate: RestraintGate
    reason_code: RestraintReason
    source: Source


def restraints(
    code: GrassCode,
    last_frost_on: date,
    warm_soil_on: date,
    judging_on: date,
    *,
    feed_check_on: date | None = None,
    is_feeding_out: bool = False,
) -> tuple[Restraint, ...]:
    """What to leave alone on one lawn, soonest lifted first; what no date lifts comes last.

    Parameters
    ----------
    code : GrassCode
        Centipede waits for nitrogen until June; stolon-only grasses get no root-pruning weed preventer this spring.
    last_frost_on, warm_soil_on, judging_on : date
        The lawn's gates: last frost, first day of warm soil (65 F at 4 in), and the day it may be judged.
    feed_check_on : date or None
        When the plan checks if it may be fed; nitrogen waits at least until then.
    is_feeding_out : bool
        A local code forbids feeding for the whole time in which it could be done: no day lifts it this season.

    Returns
    -------
    tuple of Restraint
        One for each code.

    Source
    ------
    Each restraint names its own. That growth has set in four weeks after warm soil is expert judgement.
    """
    growing_on = warm_soil_on + timedelta(days=facts.GROWING_WELL_AFTER_WARM_SOIL_DAYS.value)
    growing_on = max(growing_on, last_frost_on)
    green_on = growing_on + timedelta(days=facts.WEED_CONTROL_AFTER_GREEN_UP_DAYS.value)
    nitrogen = _nitrogen(code, last_frost_on, warm_soil_on, feed_check_on)
    found = (
        replace(nitrogen, until_on=None, gate=RestraintGate.NEXT_SEASON) if is_feeding_out else nitrogen,
        _preemergent(code, judging_on),
        *_weeds(green_on),
        *_ground_work(growing_on),
        Restraint(
            code=RestraintCode.SOD_OR_SEED,
            until_on=judging_on,
            gate=RestraintGate.JUDGED,
            reason_code=RestraintReason.TOO_EARLY_TO_KNOW,
            source=UGA_MACON_2018,
        ),
        Restraint(
            code=RestraintCode.LIME,
            until_on=None,
            gate=RestraintGate.SOIL_TEST,
            reason_code=RestraintReason.FAVOURS_ROOT_ROT,
            source=AUBURN_TAKE_ALL,
        ),
    )
    return tuple(sorted(found, key=lambda each: (each.until_on is None, each.until_on or judging_on)))


def nitrogen_until_on(code: GrassCode, last_frost_on: date, warm_soil_on: date) -> date:
    """The day before which no nitrogen is given: warm soil held two weeks and past the last frost; centipede June.

    Source: Univ. of Georgia (65 F for two weeks); NC State (centipede, none March to May).
    """
    held_on = warm_soil_on + timedelta(days=feeding_facts.SOIL_HELD_DAYS.value)
    until_on = max(held_on, last_frost_on)
    if code is not GrassCode.CENTIPEDE:
        return until_on
    open_month = int(feeding_facts.CENTIPEDE_CLOSED_MONTHS.high) + 1
    return max(until_on, date(warm_soil_on.year, open_month, 1))


def _nitrogen(code: GrassCode, last_frost_on: date, warm_soil_on: date, feed_check_on: date | None) -> Restraint:
    soil_on = nitrogen_until_on(code, last_frost_on, warm_soil_on)
    return Restraint(
        code=RestraintCode.NITROGEN,
        until_on=max(soil_on, feed_check_on or soil_on),
        gate=RestraintGate.WARM_SOIL_HELD,
        reason_code=RestraintReason.ROOTS_CANNOT_TAKE_IT,
        source=NC_CENTIPEDE if code is GrassCode.CENTIPEDE else UGA_TWO_WEEKS,
    )


def _preemergent(code: GrassCode, judging_on: date) -> Restraint:
    """Runners must peg new roots; where nothing lives below them it is left out for the whole spring."""
    is_rooted_below = grass(code).has_rhizomes
    return Restraint(
        code=RestraintCode.ROOT_PRUNING_PREEMERGENT,
        until_on=judging_on if is_rooted_below else None,
        gate=RestraintGate.JUDGED if is_rooted_below else RestraintGate.NEXT_SEASON,
        reason_code=RestraintReason.STOPS_NEW_ROOTS,
        source=MSU_WILBER_2022,
    )


def _weeds(green_on: date) -> tuple[Restraint, ...]:
    return (
        Restraint(
            code=RestraintCode.POST_EMERGENT_WEED_CONTROL,
            until_on=green_on,
            gate=RestraintGate.THREE_WEEKS_GREEN,
            reason_code=RestraintReason.HURTS_GREENING_TURF,
            source=NC_CENTIPEDE,
        ),
        Restraint(
            code=RestraintCode.WEED_AND_FEED,
            until_on=None,
            gate=RestraintGate.NEXT_SEASON,
            reason_code=RestraintReason.WRONG_TIME_FOR_BOTH,
            source=UF_DUVAL_2021,
        ),
    )


def _ground_work(growing_on: date) -> tuple[Restraint, ...]:
    rows = (
        (RestraintCode.DETHATCH, RestraintReason.TEARS_NEW_RUNNERS, UGA_LANDRY),
        (RestraintCode.CORE_AERATE, RestraintReason.TEARS_NEW_RUNNERS, UGA_AERATE_2010),
        (RestraintCode.TOPDRESS, RestraintReason.BURIES_SHOOTS, AGRILIFE_WOODSON_2010),
        (RestraintCode.TRAFFIC, RestraintReason.CRUSHES_NEW_SHOOTS, PURDUE_WINTERKILL),
    )
    return tuple(
        Restraint(code=code, until_on=growing_on, gate=RestraintGate.GROWING_WELL, reason_code=reason, source=source)
        for code, reason, source in rows
    )
