"""The gates of a verdict: life counts at once, death only after its dates and with its tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from rules.grasses import GrassCode
from rules.recovery import Reading
from rules.recovery_state import Standing, recovery_of
from rules.season import season_of
from rules.verdict import SpotEvidence, Verdict, verdict_on

SEASON = season_of(latitude=31.2, longitude=-81.5, code=GrassCode.ST_AUGUSTINE, freeze_on=date(2027, 1, 16))
DAY = timedelta(days=1)

evidence = st.builds(
    SpotEvidence,
    green_fraction=st.none() | st.floats(0, 1),
    plugs_alive=st.none() | st.integers(0, 6),
    plugs_total=st.none() | st.integers(0, 8),
    plug_weeks=st.none() | st.integers(2, 12),
)


@given(st.integers(-120, 200), evidence, st.floats(0, 1))
def test_nothing_is_likely_dead_before_the_judging_day(offset: int, seen: SpotEvidence, lost: float) -> None:
    """Whatever was seen: no "likely dead" before the date, on green ground, or against the odds."""
    day = SEASON.judging_on + offset * DAY

    if verdict_on(day, SEASON, seen, lost) is Verdict.LIKELY_DEAD:
        assert lost >= 0.6
        assert not seen.plug_fraction
        assert day >= SEASON.judging_on
        assert seen.green_fraction is not None
        assert seen.green_fraction < 0.03
        assert seen.pot_test_failed or day >= SEASON.likely_dead_on


def test_before_70_warm_days_likely_dead_needs_a_failed_pot_test_and_bare_ground() -> None:
    """On the judging day bare ground alone is not enough, and a failed pot test alone is not either."""
    day = SEASON.judging_on
    failed = {"plugs_alive": 0, "plugs_total": 6, "plug_weeks": 4}

    assert verdict_on(day, SEASON, SpotEvidence(green_fraction=0.0)) is Verdict.TEST_AGAIN
    assert verdict_on(day, SEASON, SpotEvidence(**failed)) is Verdict.TEST_AGAIN
    assert verdict_on(day, SEASON, SpotEvidence(green_fraction=0.0, **failed)) is Verdict.LIKELY_DEAD
    assert verdict_on(SEASON.likely_dead_on, SEASON, SpotEvidence(green_fraction=0.0)) is Verdict.LIKELY_DEAD


def test_a_pot_test_counts_as_failed_only_with_enough_plugs_and_weeks() -> None:
    """Two plugs, or two weeks, prove nothing."""
    for alive, total, weeks in ((0, 2, 6), (0, 6, 2), (1, 6, 6)):
        assert not SpotEvidence(plugs_alive=alive, plugs_total=total, plug_weeks=weeks).pot_test_failed


def test_four_warm_weeks_with_few_live_plugs_give_no_verdict() -> None:
    """They mean: test again and prepare."""
    assert verdict_on(SEASON.test_again_on, SEASON, SpotEvidence(green_fraction=0.0)) is Verdict.TEST_AGAIN


def test_few_live_plugs_are_tested_again_until_the_last_date() -> None:
    """One of six is no verdict on the judging day; when 70 warm days have passed it is partly back, never dead."""
    one = SpotEvidence(green_fraction=0.0, plugs_alive=1, plugs_total=6, plug_weeks=4)

    assert verdict_on(SEASON.test_again_on, SEASON, one) is Verdict.TEST_AGAIN
    assert verdict_on(SEASON.judging_on, SEASON, one) is Verdict.TEST_AGAIN
    assert verdict_on(SEASON.likely_dead_on, SEASON, one) is Verdict.PARTLY_BACK


def test_a_hardy_lawn_is_not_called_dead_against_the_odds() -> None:
    """Bare for 70 warm days, but the cold was mild for this grass: something else may be wrong; test again."""
    bare = SpotEvidence(green_fraction=0.0)

    assert verdict_on(SEASON.likely_dead_on, SEASON, bare, 0.3) is Verdict.TEST_AGAIN
    assert verdict_on(SEASON.likely_dead_on, SEASON, bare, 0.9) is Verdict.LIKELY_DEAD


def test_life_counts_at_once() -> None:
    """Real green or most plugs alive settle it on any day; some life is partly back."""
    winter = date(2027, 2, 20)

    assert verdict_on(winter, SEASON, SpotEvidence(green_fraction=0.4)) is Verdict.COMING_BACK
    assert verdict_on(winter, SEASON, SpotEvidence(plugs_alive=5, plugs_total=6, plug_weeks=3)) is Verdict.COMING_BACK
    assert verdict_on(winter, SEASON, SpotEvidence(plugs_alive=3, plugs_total=6, plug_weeks=3)) is Verdict.PARTLY_BACK
    assert verdict_on(winter, SEASON, SpotEvidence()) is Verdict.TOO_EARLY


def test_thin_green_on_the_judging_day_is_only_partly_back() -> None:
    """A tenth green in winter is a good sign; a tenth after all the warm weeks is not a lawn that is back."""
    thin = SpotEvidence(green_fraction=0.1)

    assert verdict_on(SEASON.judging_on - DAY, SEASON, thin) is Verdict.COMING_BACK
    assert verdict_on(SEASON.judging_on, SEASON, thin) is Verdict.PARTLY_BACK
    assert verdict_on(SEASON.judging_on, SEASON, SpotEvidence(green_fraction=0.5)) is Verdict.COMING_BACK
    tested = SpotEvidence(green_fraction=0.1, plugs_alive=6, plugs_total=6, plug_weeks=4)
    assert verdict_on(SEASON.judging_on, SEASON, tested) is Verdict.COMING_BACK


# --- with measured photos --------------------------------------------------------------------------------------------

BARE_WEEKS = (1, 0, 2, 0.5, 1, 0, 1, 0.5, 0, 1, 0.5, 1, 0, 0.5, 1)


def by_photos(*covers_percent: float, **known: bool) -> SpotEvidence:
    """Weekly photos from the first warm day on; the eye says the contrary and is passed over."""
    readings = [Reading(warm_days=7.0 * at, cover_percent=each) for at, each in enumerate(covers_percent)]
    return SpotEvidence(green_fraction=0.0, recovery=recovery_of(readings, Standing(**known)))


def test_photos_take_the_place_of_the_green_seen_by_eye() -> None:
    """What grows is coming back at once; after the judging day thin green is partly back; 40 % is a sign of life."""
    growing = by_photos(4, 7, 10, 15, 22)

    assert verdict_on(SEASON.test_again_on, SEASON, growing) is Verdict.COMING_BACK
    assert verdict_on(SEASON.judging_on, SEASON, growing) is Verdict.PARTLY_BACK
    assert verdict_on(SEASON.judging_on, SEASON, by_photos(9, 15, 24, 36, 50)) is Verdict.COMING_BACK
    assert verdict_on(SEASON.warm_soil_on, SEASON, by_photos(40)) is Verdict.COMING_BACK
    stalled = by_photos(20, 18, 21, 19, 20, 20, 19)
    assert verdict_on(SEASON.judging_on, SEASON, stalled) is Verdict.PARTLY_BACK


def test_bare_photos_wait_for_their_dates_and_tests() -> None:
    """Dead on photos alone only from 70 warm days, with a failed pot test from the judging day; odds must agree."""
    bare = by_photos(*BARE_WEEKS, judging_day_passed=True)

    assert verdict_on(SEASON.test_again_on, SEASON, by_photos(*BARE_WEEKS[:5])) is Verdict.TEST_AGAIN
    assert verdict_on(SEASON.judging_on, SEASON, bare) is Verdict.TEST_AGAIN
    assert verdict_on(SEASON.likely_dead_on, SEASON, bare) is Verdict.LIKELY_DEAD
    assert verdict_on(SEASON.likely_dead_on, SEASON, bare, 0.3) is Verdict.TEST_AGAIN
    tested = by_photos(*BARE_WEEKS[:8], judging_day_passed=True, pot_test_failed=True)
    failed = replace(tested, plugs_alive=0, plugs_total=6, plug_weeks=4)
    assert verdict_on(SEASON.judging_on, SEASON, failed) is Verdict.LIKELY_DEAD
    held = by_photos(*BARE_WEEKS, judging_day_passed=True, neighbour_accelerating=True)
    assert verdict_on(SEASON.likely_dead_on, SEASON, held) is Verdict.TEST_AGAIN


def test_one_bare_photo_is_no_series() -> None:
    """However late it is."""
    assert verdict_on(SEASON.likely_dead_on + 20 * DAY, SEASON, by_photos(0)) is Verdict.TEST_AGAIN


@given(
    st.lists(st.floats(0, 100), min_size=1, max_size=12),
    st.integers(-60, 100),
    st.booleans(),
    st.booleans(),
    st.none() | st.integers(0, 6),
)
@settings(max_examples=60, deadline=None)
def test_photos_open_no_gate_early(
    covers_percent: list[float], offset: int, failed: bool, judged: bool, alive: int | None
) -> None:
    """Whatever the photos show and the caller claims: no "likely dead" before the day, or where a plug lives."""
    seen = by_photos(*covers_percent, judging_day_passed=judged, pot_test_failed=failed)
    seen = replace(seen, plugs_alive=alive, plugs_total=6 if alive is not None else None, plug_weeks=4)
    day = SEASON.judging_on + offset * DAY

    if verdict_on(day, SEASON, seen) is Verdict.LIKELY_DEAD:
        assert day >= SEASON.judging_on
        assert not alive
        assert seen.pot_test_failed or day >= SEASON.likely_dead_on
        assert seen.recovery is not None
        assert seen.recovery.trend.cover_now.middle_percent < 3
