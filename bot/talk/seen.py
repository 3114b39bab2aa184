"""What the owner has reported of each spot since, as the rules take it: looks, pot counts, green shares, photos."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType

from bot.talk import answers
from bot.talk.case import Case, CheckIn, TaskState
from bot.talk.cover import CoverSeen
from rules.combine import Cover, Evidence, PotTest, Sign
from rules.facts.season import LIKELY_DEAD_GREEN_FRACTION
from rules.recovery import Reading, Weeds
from rules.recovery_state import Recovery, Standing, lawn_recovery
from rules.season import Season
from rules.task_kinds import TaskKind
from rules.verdict import SpotEvidence

FEWEST_WEEKS, MOST_WEEKS = 2, 60
MOST_WARM_DAYS = 365  # more tell nothing new
PHOTO_FRESH = timedelta(days=8)
MOST_PHOTOS = 50  # of one visit

SIGNS_OF_LOOK: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {"firm": ("firm_runners",), "mixed": ("firm_runners", "slimy_runners"), "soft": ("slimy_runners",)}
)
"""What each answer to a look at the runners is as signs."""


def signs_of(case: Case, spot: str) -> tuple[str, ...]:
    """The signs reported for a spot; the first spot's were told for the whole lawn. The newest look counts too."""
    own = answers.find(case, "see_spot", spot)
    told = answers.codes(case, "see_spot", spot) if own is not None else answers.codes(case, "see")
    looks = [checkin.runners for checkin in case.checkins if checkin.spot == spot and checkin.runners]
    seen = SIGNS_OF_LOOK[looks[-1]] if looks else ()
    return tuple(dict.fromkeys((*told, *seen)))


def spot_evidence(case: Case, spot: str) -> SpotEvidence:
    """The newest reported green share and the newest pot count of a spot."""
    green = [c for c in case.checkins if c.spot == spot and c.green is not None]
    pots = [c for c in case.checkins if c.spot == spot and c.plugs_alive is not None]
    newest = pots[-1] if pots else None
    return SpotEvidence(
        green_fraction=green[-1].green if green else None,
        plugs_alive=newest.plugs_alive if newest else None,
        plugs_total=newest.plugs_total if newest else None,
        plug_weeks=_weeks_of(case, newest) if newest else None,
    )


def readings_of(case: Case, spot: str, season: Season) -> tuple[Reading, ...]:
    """The green measured on the photos of a spot, one reading a visit; photos of one day that came one way count
    together. The owner's word on weeds goes with each.
    """
    visits: dict[tuple[date, str], list[CoverSeen]] = {}
    for checkin in case.checkins:
        if checkin.spot == spot and checkin.cover is not None and not checkin.cover.reason:
            visits.setdefault((checkin.on, checkin.cover.upload), []).append(checkin.cover)
    return tuple(
        Reading(
            warm_days=min(season.warm_days_by(on), MOST_WARM_DAYS),
            visit=on.toordinal(),
            cover_percent=sum(each.percent for each in seen) / len(seen),
            upload=upload,
            photos=min(len(seen), MOST_PHOTOS),
            weeds=Weeds(next((each.weeds for each in reversed(seen) if each.weeds), Weeds.NONE)),
        )
        for (on, upload), seen in visits.items()
    )


def recoveries(case: Case, season: Season, today: date | None = None) -> dict[str, Recovery]:
    """What the photos of each spot say together, beside the pot tests; nothing of spots without a measured photo.

    The judging day counts as passed as of the newest photo; as of today where that is a week old and nothing is green.
    """
    readings = {spot: found for spot in answers.spots(case) if (found := readings_of(case, spot, season))}
    pots = {spot: spot_evidence(case, spot) for spot in readings}
    standings = {
        spot: Standing(
            judging_day_passed=_seen_until(readings[spot], seen, today) >= season.judging_on,
            pot_test_failed=seen.pot_test_failed,
            plug_alive=bool(seen.plugs_alive),
        )
        for spot, seen in pots.items()
    }
    return lawn_recovery(readings, standings)


def _seen_until(readings: tuple[Reading, ...], seen: SpotEvidence, today: date | None) -> date:
    newest_on = date.fromordinal(readings[-1].visit)
    is_fresh = today is not None and today - newest_on <= PHOTO_FRESH
    is_bare = seen.green_fraction is not None and seen.green_fraction < LIKELY_DEAD_GREEN_FRACTION.value
    return today if today is not None and is_fresh and is_bare else newest_on


def wants_last_photo(case: Case, spots: Sequence[str], today: date) -> bool:
    """Whether to ask for a last photo before these spots are judged: where photos were sent of them, or were asked for
    and not turned down, and today's is missing.
    """
    photos = [each for each in case.checkins if each.photo_id and each.spot in spots]
    readable_today = {each.spot for each in photos if each.on == today and each.cover and not each.cover.reason}
    were_asked_for = any(
        task.kind in (TaskKind.FIRST_PHOTO, TaskKind.PHOTO) and task.told_on and task.state is not TaskState.SKIPPED
        for task in case.tasks
    )
    return not readable_today.issuperset(spots) and (bool(photos) or were_asked_for)


def pieces_of(case: Case, spot: str, season: Season) -> tuple[Evidence, ...]:
    """Everything reported of a spot that bears on what is alive there: signs, looks, the newest pot count, photos."""
    seen = spot_evidence(case, spot)
    readings = readings_of(case, spot, season)
    photos: tuple[Evidence, ...] = (Cover(readings),) if readings else ()
    pots: tuple[Evidence, ...] = ()
    if seen.plugs_total and seen.plugs_alive is not None and seen.plug_weeks is not None:
        pots = (PotTest(alive=seen.plugs_alive, total=seen.plugs_total, weeks=seen.plug_weeks),)
    return (*map(Sign, signs_of(case, spot)), *pots, *photos)


def plugs_potted(case: Case, spot: str) -> int | None:
    """How many plugs the newest pot test of a spot was started with, where it was told."""
    starts = [c for c in case.checkins if c.spot == spot and c.task.endswith(":start") and c.plugs_total]
    return starts[-1].plugs_total if starts else None


def _weeks_of(case: Case, reading: CheckIn) -> int:
    """Weeks between taking the plugs and a reading; by its task's name where the start was not reported."""
    starts = [c.on for c in case.checkins if c.task.endswith(":start") and c.spot == reading.spot]
    if starts:
        return min(max(FEWEST_WEEKS, (reading.on - starts[-1]).days // 7), MOST_WEEKS)
    tail = reading.task.rpartition("week")[2]
    return int(tail) if tail.isascii() and tail.isdigit() else FEWEST_WEEKS
