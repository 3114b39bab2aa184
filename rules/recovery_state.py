"""What may be said of a spot after its newest photo.

Life is told early, death late. "Recovering" needs odds of growth, green that weeds do not explain, and more than one
photo that shows it. "Likely dead" needs all of this: the judging day of the care plan has passed; the ground is bare on
the newest photos, not on one; a pot test failed, or 70 warm days went by and a late start no longer explains the
photos; no plug lived; no other spot of the lawn still speeds up. So a lawn that greens late is not called dead early.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from rules.facts import recovery as facts
from rules.facts import season as season_facts
from rules.recovery import Change, Reading, Trend, error_sd_percent, living_ratio, trend_of


class RecoveryState(StrEnum):
    """What may be said of a spot after its newest photo."""

    RECOVERED = "recovered"
    RECOVERING = "recovering"
    TOO_EARLY = "too_early"  # nothing can be told yet
    STALLED = "stalled"  # green, and hardly growing
    NO_REGROWTH_SEEN = "no_regrowth_seen"  # bare so far: look at a runner, start a pot test
    LIKELY_DEAD = "likely_dead"  # told as odds, never as certainty


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What is known beside the photos, on the day of the newest one.

    judging_day_passed : by the care plan
    pot_test_failed : enough plugs, four weeks or more, none alive
    plug_alive : any plug of the newest pot test lives
    neighbour_accelerating : another spot of the same lawn grows and gains more every day
    """

    judging_day_passed: bool = False
    pot_test_failed: bool = False
    plug_alive: bool = False
    neighbour_accelerating: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Recovery:
    """The recovery of one spot.

    is_held_by_neighbour : it would be called likely dead, were no other spot of the lawn still speeding up
    """

    trend: Trend
    state: RecoveryState
    since_first: Change | None
    since_previous: Change | None
    is_held_by_neighbour: bool


def recovery_of(readings: Iterable[Reading], standing: Standing = Standing()) -> Recovery:
    """Trend and state of one spot. Arguments and source as `trend_of` and `state_of`."""
    return _recovery(trend_of(readings), standing)


def lawn_recovery(
    spots: Mapping[str, Sequence[Reading]], standings: Mapping[str, Standing] | None = None
) -> dict[str, Recovery]:
    """The recovery of every spot of one lawn: spots that still speed up hold back a "likely dead" of the others."""
    trends = {name: trend_of(readings) for name, readings in spots.items()}
    told = standings or {}
    found = {}
    for name, trend in trends.items():
        beside = any(other.is_accelerating for spot, other in trends.items() if spot != name)
        standing = told.get(name, Standing())
        held = replace(standing, neighbour_accelerating=standing.neighbour_accelerating or beside)
        found[name] = _recovery(trend, held)
    return found


def _recovery(trend: Trend, standing: Standing) -> Recovery:
    state = state_of(trend, standing)
    alone = state_of(trend, replace(standing, neighbour_accelerating=False))
    return Recovery(
        trend=trend,
        state=state,
        is_held_by_neighbour=alone is RecoveryState.LIKELY_DEAD and state is not alone,
        since_first=trend.since_first,
        since_previous=trend.since_previous,
    )


def state_of(trend: Trend, standing: Standing) -> RecoveryState:
    """What may be said of a spot.

    Recovered at 75 % cover. Recovering needs odds of growth and green that weeds do not explain. Stalled is green that
    does not grow. Bare ground is "no regrowth seen" until everything that "likely dead" needs is there.

    Source: rules/facts/recovery.py and season.py (expert judgement, set by simulations).
    """
    if trend.recovered_probability >= 0.5:
        return RecoveryState.RECOVERED
    if _is_likely_dead(trend, standing):
        return RecoveryState.LIKELY_DEAD
    if _is_too_early(trend):
        return RecoveryState.TOO_EARLY
    if _is_recovering(trend):
        return RecoveryState.RECOVERING
    return _without_clear_growth(trend)


def _is_too_early(trend: Trend) -> bool:
    few = len(trend.readings) < facts.FEWEST_READINGS.value
    return few or trend.warm_days < facts.FEWEST_WARM_DAYS.value


def _is_recovering(trend: Trend) -> bool:
    if trend.growing_probability < facts.RECOVERING_PROBABILITY.value:
        return False
    newest = trend.readings[-int(facts.RECOVERING_OF_READINGS.value) :]
    shown = sum(reading.grass_percent >= facts.BARE_PERCENT.value for reading in newest)
    if shown < facts.RECOVERING_READINGS.value:
        return False
    now, first = trend.cover_now.middle_percent, trend.since_first
    gained = now - first.from_percent if first else 0.0
    is_gain = first is not None and gained >= first.smallest_percent
    return now >= facts.RECOVERING_PERCENT.value or is_gain


def _without_clear_growth(trend: Trend) -> RecoveryState:
    growing = trend.growing_probability
    if trend.cover_now.middle_percent < facts.BARE_PERCENT.value:
        is_doubtful = growing >= facts.NO_REGROWTH_PROBABILITY.value
        return RecoveryState.TOO_EARLY if is_doubtful else RecoveryState.NO_REGROWTH_SEEN
    is_stalled = trend.warm_days >= facts.STALLED_WARM_DAYS.value and growing <= facts.STALLED_PROBABILITY.value
    return RecoveryState.STALLED if is_stalled else RecoveryState.TOO_EARLY


def _is_likely_dead(trend: Trend, standing: Standing) -> bool:
    """Every condition has to hold; each of them alone holds it back."""
    if not standing.judging_day_passed or standing.neighbour_accelerating or standing.plug_alive:
        return False
    return not _is_too_early(trend) and _is_bare(trend) and _is_waited_for(trend, standing)


def _is_waited_for(trend: Trend, standing: Standing) -> bool:
    """Warm days as of the newest photo: what was not looked at for weeks was not seen bare. And a spot that returns
    late would have had to show by now; after a failed pot test the photos have less to prove.
    """
    growing = trend.growing_probability
    if standing.pot_test_failed and trend.warm_days >= season_facts.JUDGING_WARM_DAYS.value:
        is_still = growing < facts.NO_REGROWTH_PROBABILITY.value
        return is_still and living_ratio(trend.readings) <= facts.DEAD_RATIO_TESTED.value
    if trend.warm_days < season_facts.LIKELY_DEAD_WARM_DAYS.value or growing >= facts.DEAD_GROWING_PROBABILITY.value:
        return False
    return living_ratio(trend.readings) <= facts.DEAD_RATIO.value


def _is_bare(trend: Trend) -> bool:
    """Under 3 % now, surely under 5 %, and the newest photos each say so."""
    limit_percent = 100 * season_facts.LIKELY_DEAD_GREEN_FRACTION.value
    newest = trend.readings[-int(facts.DEAD_LAST_READINGS.value) :]
    each_bare = all(
        reading.grass_percent <= limit_percent + error_sd_percent(limit_percent, reading) for reading in newest
    )
    is_low = trend.cover_now.middle_percent < limit_percent
    return is_low and each_bare and trend.bare_probability >= facts.BARE_PROBABILITY.value
