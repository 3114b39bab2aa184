"""What may be said of one spot on one day. The waiting dates are gates: no evidence opens them early."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from rules.errors import require_range
from rules.facts import evidence as evidence_facts
from rules.facts import season as season_facts
from rules.recovery_state import Recovery, RecoveryState
from rules.season import Season


class Verdict(StrEnum):
    """The verdict on a spot."""

    TOO_EARLY = "too_early"  # before the judging day and no clear sign of life
    COMING_BACK = "coming_back"  # living green that is not weeds, or most plugs alive
    PARTLY_BACK = "partly_back"  # some life: fills by itself or with plugs
    TEST_AGAIN = "test_again"  # little or nothing yet: test again and prepare
    LIKELY_DEAD = "likely_dead"  # told as odds, never as certainty


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotEvidence:
    """The newest evidence of one spot. Fractions 0..1; None where nothing was reported.

    green_fraction : by eye; passed over where there are measured photos
    recovery : what the measured photos say, where there are any
    """

    green_fraction: float | None = None
    plugs_alive: int | None = None
    plugs_total: int | None = None
    plug_weeks: int | None = None
    recovery: Recovery | None = None

    @property
    def plug_fraction(self) -> float | None:
        """Share of plugs alive, if a pot test was counted."""
        if self.plugs_alive is None or not self.plugs_total:
            return None
        return self.plugs_alive / self.plugs_total

    @property
    def pot_test_failed(self) -> bool:
        """A pot test of enough plugs, read at four weeks or later, with none alive."""
        enough = (self.plugs_total or 0) >= evidence_facts.POT_PLUGS_ADVISED.low
        long_enough = (self.plug_weeks or 0) >= max(evidence_facts.POT_SENSITIVITY)
        return enough and long_enough and self.plugs_alive == 0


def verdict_on(day: date, season: Season, seen: SpotEvidence, lost_probability: float = 1.0) -> Verdict:
    """The verdict on a spot on a day.

    Signs of life count at once. Signs of death count only from the judging day on, and then "likely dead" needs a
    failed pot test and under 3 % green; without a pot test it needs 70 warm days and under 3 % green. Either way
    everything known together has to say so too: `lost_probability`, 0..1, that next to nothing there is alive.
    Green that is still thin on the judging day is part of a lawn, not a lawn that is back.
    A few live plugs among many are no verdict: the spot is tested again until 70 warm days have passed.
    Where photos were measured, what they say together (`recovery_state.py`) takes the place of the green seen by eye.

    Source: rules/facts/season.py and evidence.py (expert judgement; extension counsels patience without a day count).
    """
    require_range("lost_probability", lost_probability, 0.0, 1.0, "")
    if seen.recovery is not None:
        return _by_photos(day, season, seen, seen.recovery, lost_probability)
    alive = _by_signs_of_life(seen)
    if alive is Verdict.COMING_BACK and day >= season.judging_on and _is_thin(seen):
        return Verdict.PARTLY_BACK
    if alive is not None:
        return alive
    if day < season.judging_on:
        return Verdict.TEST_AGAIN if day >= season.test_again_on else Verdict.TOO_EARLY
    green, plugs = seen.green_fraction, seen.plug_fraction
    bare = green is not None and green < season_facts.LIKELY_DEAD_GREEN_FRACTION.value
    is_late = day >= season.likely_dead_on
    if plugs:
        return Verdict.PARTLY_BACK if is_late or not bare else Verdict.TEST_AGAIN
    if not bare:
        return Verdict.PARTLY_BACK if green else Verdict.TEST_AGAIN
    is_likely = lost_probability >= season_facts.LIKELY_DEAD_PROBABILITY.value
    return Verdict.LIKELY_DEAD if is_likely and (seen.pot_test_failed or is_late) else Verdict.TEST_AGAIN


def _by_photos(day: date, season: Season, seen: SpotEvidence, recovery: Recovery, lost_probability: float) -> Verdict:
    """The same gates; what grows, stalls or stays bare comes from all photos together."""
    surely = replace(seen, green_fraction=_sure_green_fraction(recovery), recovery=None)
    measured = replace(seen, green_fraction=_green_fraction(recovery), recovery=None)
    alive = _by_signs_of_life(surely)
    if alive is not None:
        is_partly = alive is Verdict.COMING_BACK and day >= season.judging_on and _is_thin(measured)
        return Verdict.PARTLY_BACK if is_partly else alive
    if day < season.judging_on:
        return Verdict.TEST_AGAIN if day >= season.test_again_on else Verdict.TOO_EARLY
    is_late = day >= season.likely_dead_on
    is_likely = lost_probability >= season_facts.LIKELY_DEAD_PROBABILITY.value
    is_bare = _green_fraction(recovery) < season_facts.LIKELY_DEAD_GREEN_FRACTION.value
    if recovery.state is RecoveryState.STALLED or (seen.plug_fraction and not is_bare):
        return Verdict.PARTLY_BACK
    if seen.plug_fraction or not is_bare:
        return Verdict.PARTLY_BACK if is_late and not is_likely else Verdict.TEST_AGAIN
    is_dead = recovery.state is RecoveryState.LIKELY_DEAD and (seen.pot_test_failed or is_late)
    return Verdict.LIKELY_DEAD if is_likely and is_dead else Verdict.TEST_AGAIN


def _green_fraction(recovery: Recovery) -> float:
    return recovery.trend.cover_now.middle_percent / 100


def _sure_green_fraction(recovery: Recovery) -> float:
    """The green that counts as a sign of life on any day: all of it where it grows, else what is there for sure."""
    if recovery.state in (RecoveryState.RECOVERED, RecoveryState.RECOVERING):
        return max(_green_fraction(recovery), evidence_facts.GREEN_COMING_BACK_FRACTION.value)
    return 0.0 if recovery.state is RecoveryState.STALLED else recovery.trend.cover_now.low_percent / 100


def _is_thin(seen: SpotEvidence) -> bool:
    """Little green, where the pot test does not say that most is alive."""
    green, plugs = seen.green_fraction, seen.plug_fraction or 0.0
    if green is None or plugs >= evidence_facts.POT_KEEP_FRACTION.value:
        return False
    return green < evidence_facts.GREEN_BACK_AT_JUDGING_FRACTION.value


def _by_signs_of_life(seen: SpotEvidence) -> Verdict | None:
    """What counts on any day: real green, or a good part of the plugs alive."""
    if (seen.green_fraction or 0.0) >= evidence_facts.GREEN_COMING_BACK_FRACTION.value:
        return Verdict.COMING_BACK
    plugs = seen.plug_fraction or 0.0
    if plugs >= evidence_facts.POT_KEEP_FRACTION.value:
        return Verdict.COMING_BACK
    return Verdict.PARTLY_BACK if plugs >= evidence_facts.POT_REPAIR_FRACTION.value else None
