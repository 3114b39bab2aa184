"""What came of each spot of a lawn, as far as its owner told: for learning from many lawns. Pure.

What was seen and tested counts, never a verdict that the bot worked out: that one already holds the published limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bot.talk import advice, answers
from bot.talk.case import Case, Place
from bot.talk.known import Known
from bot.talk.seen import readings_of, spot_evidence
from rules.combine import Evidence, PotTest
from rules.facts.evidence import (
    GREEN_BACK_AT_JUDGING_FRACTION,
    POT_KEEP_FRACTION,
    POT_SENSITIVITY,
    SETTLED_GREEN_FRACTION,
)
from rules.facts.season import LIKELY_DEAD_GREEN_FRACTION
from rules.grasses import GrassCode
from rules.lt50_evidence import CameOf, Judged, Way
from rules.season import Season
from rules.site_cold import SiteCold, SpotTraits

SURE_WEEKS = max(POT_SENSITIVITY)
"""A pot test counts once it was read so late, or where most of it lived already."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen of one spot at its end.

    way, piece : the surest thing that is known of it, as the rules take it
    seen_on : the day of that
    green_fraction, plugs_alive, plugs_total : the newest of each, None where there is none
    """

    way: Way
    piece: Evidence
    seen_on: date
    green_fraction: float | None
    plugs_alive: int | None
    plugs_total: int | None

    @property
    def came_of(self) -> CameOf:
        """In one word, for whoever reads a table."""
        green, plugs = self.green_fraction or 0.0, 0.0
        if self.plugs_total and self.plugs_alive is not None:
            plugs = self.plugs_alive / self.plugs_total
        if green >= GREEN_BACK_AT_JUDGING_FRACTION.value or plugs >= POT_KEEP_FRACTION.value:
            return CameOf.BACK
        return CameOf.PARTLY if green >= LIKELY_DEAD_GREEN_FRACTION.value or plugs > 0 else CameOf.DEAD


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotOutcome:
    """What came of one spot after one freeze.

    place : where its lawn is; spots : how many spots of that lawn have an outcome
    """

    spot: str
    spots: int
    place: Place
    code: GrassCode
    cultivar: str | None
    freeze_on: date
    cold: SiteCold
    traits: SpotTraits
    seen: Seen


def outcomes_of(case: Case, known: Known) -> tuple[SpotOutcome, ...]:
    """The spots of a lawn whose end is known; none of a lawn whose grass or place nobody is sure of."""
    place = answers.settled_place(case)
    if not case.checkins or place is None:
        return ()
    code, is_guess = advice.lawn_grass(case)
    if is_guess:
        return ()
    season = advice.season_here(case, known, code)
    seen = {spot: found for spot in answers.spots(case) if (found := seen_of(case, spot, season)) is not None}
    return tuple(
        SpotOutcome(
            spot=spot,
            spots=len(seen),
            place=place,
            code=code,
            cultivar=advice.cultivar_of(case, code),
            freeze_on=advice.freeze_on(case, known),
            cold=advice.cold_of(case, known, advice.traits_of(case, spot)),
            traits=advice.traits_of(case, spot),
            seen=found,
        )
        for spot, found in seen.items()
    )


def seen_of(case: Case, spot: str, season: Season) -> Seen | None:
    """What was seen of a spot at its end; None while that has not come.

    The end is a pot test read late or mostly alive, or green measured or told on the judging day or after it. Most of
    a spot green in warm soil needs no judging day. Looks at the runners are no end, and say too little to learn from.
    """
    end = _pots(case, spot) or _green(case, spot, season)
    if end is None:
        return None
    newest = spot_evidence(case, spot)
    return Seen(
        way=end[0],
        piece=end[1],
        seen_on=end[2],
        green_fraction=newest.green_fraction,
        plugs_alive=newest.plugs_alive,
        plugs_total=newest.plugs_total,
    )


_End = tuple[Way, Evidence, date]


def _pots(case: Case, spot: str) -> _End | None:
    seen = spot_evidence(case, spot)
    if seen.plugs_alive is None or not seen.plugs_total or seen.plug_weeks is None:
        return None
    if seen.plug_weeks < SURE_WEEKS and (seen.plug_fraction or 0.0) < POT_KEEP_FRACTION.value:
        return None
    read_on = max(each.on for each in case.checkins if each.spot == spot and each.plugs_alive is not None)
    return Way.POT_TEST, PotTest(alive=seen.plugs_alive, total=seen.plugs_total, weeks=seen.plug_weeks), read_on


def _green(case: Case, spot: str, season: Season) -> _End | None:
    """The newest green, weeds discounted; measured on photos where there are any, of which one visit may hold more."""
    readings = readings_of(case, spot, season)
    if readings:
        on, green, way = date.fromordinal(readings[-1].visit), readings[-1].grass_percent / 100, Way.PHOTOS
    else:
        told = [each for each in case.checkins if each.spot == spot and each.green is not None]
        if not told:
            return None
        on, green, way = told[-1].on, told[-1].green or 0.0, Way.BY_EYE
    return (way, Judged(_judged(green)), on) if _is_end(on, green, season) else None


def _is_end(on: date, green_fraction: float, season: Season) -> bool:
    is_settled = green_fraction >= SETTLED_GREEN_FRACTION.value and on >= season.warm_soil_on
    return is_settled or on >= season.judging_on


def _judged(green_fraction: float) -> CameOf:
    if green_fraction >= GREEN_BACK_AT_JUDGING_FRACTION.value:
        return CameOf.BACK
    return CameOf.PARTLY if green_fraction >= LIKELY_DEAD_GREEN_FRACTION.value else CameOf.DEAD
