"""How far readings can be trusted, and what may be said of a spot: life early, death late and never on one photo."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from rules.errors import NotEnoughData, OutOfRange
from rules.recovery import Reading, Weeds, change, error_sd_percent, living_ratio, smallest_change_percent, trend_of
from rules.recovery_state import RecoveryState, Standing, lawn_recovery, recovery_of

JUDGED = Standing(judging_day_passed=True)
FAILED = Standing(judging_day_passed=True, pot_test_failed=True)

covers = st.floats(0, 100)
series = st.lists(
    st.builds(
        Reading,
        warm_days=st.integers(0, 120).map(float),
        cover_percent=covers,
        upload=st.sampled_from(["", "file", "mms"]),
        photos=st.integers(1, 3),
        weeds=st.sampled_from(Weeds),
    ),
    min_size=1,
    max_size=8,
)
standings = st.builds(
    Standing,
    judging_day_passed=st.booleans(),
    pot_test_failed=st.booleans(),
    plug_alive=st.booleans(),
    neighbour_accelerating=st.booleans(),
)


def weekly(*covers_percent: float, first: int = 0, **how: object) -> list[Reading]:
    return [
        Reading(warm_days=first + 7.0 * at, cover_percent=cover, **how)  # type: ignore[arg-type]
        for at, cover in enumerate(covers_percent)
    ]


@pytest.mark.parametrize(
    ("cover_percent", "sd", "smallest"),
    [(1, 2.5, 6.9), (5, 2.7, 7.5), (10, 3.0, 8.3), (20, 3.7, 10.4), (35, 5.0, 13.9), (50, 6.4, 17.7)],
)
def test_the_error_of_single_photos_is_the_simulated_one(cover_percent: float, sd: float, smallest: float) -> None:
    """regression: one photo's error and the smallest change between two of them, as the simulations gave them."""
    reading = Reading(warm_days=0, cover_percent=cover_percent)

    assert error_sd_percent(cover_percent, reading) == pytest.approx(sd, abs=0.05)
    assert smallest_change_percent(reading, reading) == pytest.approx(smallest, abs=0.06)


@given(st.builds(Reading, warm_days=st.just(0.0), cover_percent=covers, photos=st.integers(1, 5)))
def test_more_photos_narrow_a_reading_and_small_pictures_and_weeds_widen_it(reading: Reading) -> None:
    """arithmetic: each adds to or takes from the same variance."""
    at = reading.cover_percent
    sd = error_sd_percent(at, reading)
    more, small, weedy = (
        Reading(warm_days=0, cover_percent=at, photos=reading.photos + 1),
        Reading(warm_days=0, cover_percent=at, photos=reading.photos, upload="mms"),
        Reading(warm_days=0, cover_percent=at, photos=reading.photos, weeds=Weeds.SOME),
    )

    assert error_sd_percent(at, more) < sd
    assert error_sd_percent(at, small) == pytest.approx(sd + 3)
    assert error_sd_percent(at, weedy) >= sd
    assert weedy.grass_percent == pytest.approx(0.7 * at)


@given(covers, covers)
def test_a_change_is_told_only_when_chance_shows_it_one_time_in_twenty(first: float, second: float) -> None:
    """The bound is the two-sided 95 % point of the difference of two errors, the wider across kinds of upload."""
    one, two = Reading(warm_days=0, cover_percent=first), Reading(warm_days=7, cover_percent=second)
    spread = (error_sd_percent(first, one) ** 2 + error_sd_percent(second, two) ** 2) ** 0.5
    told = change(one, two)

    assert told.smallest_percent == pytest.approx(norm.ppf(0.975) * spread)
    assert told.is_worth_telling == (abs(second - first) >= told.smallest_percent)
    other_kind = Reading(warm_days=7, cover_percent=second, upload="file")
    assert smallest_change_percent(one, other_kind) > told.smallest_percent


def test_one_week_of_plain_growth_is_not_commented_on() -> None:
    """A tenth growing at 0.05 a day gains less than four points in a week: chance does as much."""
    told = recovery_of(weekly(10, 13.6))

    assert told.since_previous is not None
    assert not told.since_previous.is_worth_telling


@given(series, standings, st.randoms())
@settings(max_examples=40, deadline=None)
def test_the_order_in_which_readings_come_does_not_matter(
    readings: list[Reading], standing: Standing, chance: object
) -> None:
    """Exactly the same trend and state."""
    shuffled = list(readings)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]

    assert recovery_of(shuffled, standing) == recovery_of(readings, standing)


@given(series, standings)
@settings(max_examples=80, deadline=None)
def test_likely_dead_needs_everything(readings: list[Reading], standing: Standing) -> None:
    """Judging day, bare newest photos, the pot test or 70 warm days, no live plug, no neighbour that speeds up."""
    told = recovery_of(readings, standing)

    if told.state is RecoveryState.LIKELY_DEAD:
        assert standing.judging_day_passed
        assert not standing.plug_alive
        assert not standing.neighbour_accelerating
        assert told.trend.warm_days >= (42 if standing.pot_test_failed else 70)
        assert told.trend.cover_now.middle_percent < 3
        assert len(readings) >= 4
    low, middle, high = told.trend.cover_now.low_percent, told.trend.cover_now.middle_percent, told.trend.cover_now
    assert 0 <= low <= middle <= high.high_percent <= 100
    assert 0 <= told.trend.growing_probability <= 1


@given(st.lists(st.floats(70, 95), min_size=4, max_size=10), covers, st.integers(0, 10), standings)
@settings(max_examples=60, deadline=None)
def test_a_recovered_spot_never_turns_dead_on_one_photo(
    greens: list[float], odd: float, place: int, standing: Standing
) -> None:
    """Whatever one photo shows, first, last or between."""
    covers_percent = [*greens[:place], odd, *greens[place:]]
    readings = weekly(*covers_percent, first=42)

    assert recovery_of(readings, standing).state not in (RecoveryState.LIKELY_DEAD, RecoveryState.NO_REGROWTH_SEEN)
    assert living_ratio(readings) > 1


@given(st.integers(0, 12))
@settings(max_examples=13, deadline=None)
def test_one_green_photo_does_not_make_bare_ground_recover(place: int) -> None:
    """An outlier among twelve bare photos is an outlier."""
    covers_percent = [1.0] * 12
    covers_percent.insert(place, 16.0)

    told = recovery_of(weekly(*covers_percent), JUDGED).state

    assert told in (RecoveryState.NO_REGROWTH_SEEN, RecoveryState.LIKELY_DEAD, RecoveryState.TOO_EARLY)


BARE = (1, 0, 2, 0.5, 1, 0, 1, 0.5, 0, 1, 0.5, 1, 0, 0.5, 1)


@pytest.mark.parametrize("weeks", range(1, 15))
def test_bare_ground_is_not_dead_before_its_time(weeks: int) -> None:
    """Photos alone need 70 warm days, with a failed pot test 42; neither says it before the judging day."""
    readings = weekly(*BARE[: weeks + 1])

    assert recovery_of(readings).state is not RecoveryState.LIKELY_DEAD
    alone, tested = (recovery_of(readings, each).state for each in (JUDGED, FAILED))
    if 7 * weeks < 70:
        assert alone is not RecoveryState.LIKELY_DEAD
    assert (tested is RecoveryState.LIKELY_DEAD) == (weeks >= 6)
    assert weeks < 14 or alone is RecoveryState.LIKELY_DEAD


def test_a_live_plug_and_a_neighbour_that_speeds_up_hold_it_back() -> None:
    """The same photos, with a plug that lived or beside a spot that grows from 4 to 30 %."""
    bare, growing = weekly(*BARE), weekly(*(4 + 1.8 * at for at in range(15)))
    plug = Standing(judging_day_passed=True, plug_alive=True)

    assert recovery_of(bare, plug).state is RecoveryState.NO_REGROWTH_SEEN
    assert lawn_recovery({"bare": bare}, {"bare": JUDGED})["bare"].state is RecoveryState.LIKELY_DEAD
    told = lawn_recovery({"bare": bare, "growing": growing}, {"bare": FAILED, "growing": JUDGED})
    assert told["growing"].trend.is_accelerating
    assert told["bare"].state is RecoveryState.NO_REGROWTH_SEEN
    assert told["bare"].is_held_by_neighbour
    assert not told["growing"].is_held_by_neighbour


def test_a_neighbour_that_has_closed_holds_nothing_back() -> None:
    """Beyond half cover it no longer gains more every day."""
    bare, closed = weekly(*BARE), weekly(*(min(92, 10 + 9 * at) for at in range(15)))

    told = lawn_recovery({"bare": bare, "closed": closed}, {"bare": JUDGED, "closed": JUDGED})

    assert told["closed"].state is RecoveryState.RECOVERED
    assert told["bare"].state is RecoveryState.LIKELY_DEAD


def test_the_states_of_plain_courses() -> None:
    """Growing, closed, standing still, bare, and too few photos."""
    assert recovery_of(weekly(5, 8, 11, 16, 22)).state is RecoveryState.RECOVERING
    assert recovery_of(weekly(60, 70, 80, 85)).state is RecoveryState.RECOVERED
    assert recovery_of(weekly(20, 18, 21, 19, 20, 20, 19)).state is RecoveryState.STALLED
    assert recovery_of(weekly(1, 0, 1, 2, 1)).state is RecoveryState.NO_REGROWTH_SEEN
    assert recovery_of(weekly(5, 12, 25)).state is RecoveryState.TOO_EARLY
    assert recovery_of([Reading(warm_days=80, cover_percent=0)], FAILED).state is RecoveryState.TOO_EARLY


def test_weeds_are_not_taken_for_recovery() -> None:
    """The same green, most of it weeds, stays below what counts; clear growth to 6 % is not told as recovering."""
    greens = (2, 5, 9, 14, 20)

    assert recovery_of(weekly(*greens)).state is RecoveryState.RECOVERING
    assert recovery_of(weekly(*greens, weeds=Weeds.MOST)).state is not RecoveryState.RECOVERING
    assert recovery_of(weekly(1, 1, 2, 3, 4, 5, 6, 6)).state is not RecoveryState.RECOVERING


def test_greener_readings_never_lower_the_odds_of_cover() -> None:
    """More green on every photo: more cover now, and no less told."""
    lows = [trend_of(weekly(*(share * cover for cover in (4, 6, 9, 13, 18)))) for share in (0.5, 1, 1.5, 2, 3)]

    middles = [each.cover_now.middle_percent for each in lows]
    assert middles == sorted(middles)
    bare = [each.bare_probability for each in lows]
    assert bare == sorted(bare, reverse=True)


def test_another_kind_of_upload_may_lie_a_step_off() -> None:
    """A jump where the kind changes says less of growth than the same jump within one kind."""
    same = weekly(20, 20, 20, 26, 26, 26)
    mixed = [
        Reading(warm_days=each.warm_days, cover_percent=each.cover_percent, upload="file" if at < 3 else "photo")
        for at, each in enumerate(same)
    ]

    assert trend_of(mixed).growing_probability < trend_of(same).growing_probability
    assert trend_of(mixed).growth_per_day.high > trend_of(same).growth_per_day.low  # type: ignore[operator]


def test_impossible_readings_are_refused() -> None:
    """No reading at all, cover over 100 %, a visit without a photo."""
    with pytest.raises(NotEnoughData):
        trend_of([])
    for wrong in ({"cover_percent": 101}, {"cover_percent": float("nan")}, {"photos": 0}, {"warm_days": -1}):
        with pytest.raises(OutOfRange):
            Reading(**{"warm_days": 0, "cover_percent": 5, **wrong})  # type: ignore[arg-type]
