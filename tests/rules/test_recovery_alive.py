"""What photos say about the share alive, as one piece beside signs, pot tests and the cold."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.combine import Cover, PotTest, Sign, combine
from rules.errors import NotEnoughData
from rules.evidence import still_bare_likelihood
from rules.recovery import Reading, living_ratio
from rules.survival import GRID_STEPS, AliveOdds

EVEN = AliveOdds((1 / (GRID_STEPS + 1),) * (GRID_STEPS + 1))


def photos(*covers_percent: float) -> Cover:
    return Cover(tuple(Reading(warm_days=7.0 * at, cover_percent=each) for at, each in enumerate(covers_percent)))


def lost(cover: Cover) -> float:
    return combine(EVEN, [cover]).odds.below_probability(0.1)


BARE = (1, 0, 2, 0.5) * 4


@given(st.lists(st.tuples(st.integers(0, 100), st.floats(0, 100)), min_size=1, max_size=6), st.randoms())
@settings(max_examples=30, deadline=None)
def test_any_photos_have_a_likelihood_and_their_order_does_not_matter(
    rows: list[tuple[int, float]], chance: object
) -> None:
    """101 positive numbers, the largest 1, the same in any order: no photo alone excludes anything."""
    readings = [Reading(warm_days=day, cover_percent=cover) for day, cover in rows]
    told = Cover(tuple(readings)).likelihood()
    chance.shuffle(readings)  # type: ignore[attr-defined]

    assert len(told) == GRID_STEPS + 1
    assert max(told) == 1
    assert min(told) > 0
    assert Cover(tuple(readings)).likelihood() == told


def test_silence_for_four_warm_weeks_says_little_and_for_twelve_a_lot() -> None:
    """The odds of loss rise with every bare week; at four a spot that returns is still likely enough."""
    odds = [lost(photos(*BARE[: weeks + 1])) for weeks in range(2, 15)]

    assert odds == sorted(odds)
    assert odds[0] < 0.25
    assert odds[2] < 0.4
    assert odds[10] > 0.5


@pytest.mark.parametrize("weeks", [2, 4, 6, 8, 10])
def test_bare_photos_agree_with_the_table_for_bare_ground(weeks: int) -> None:
    """Odds against life from weekly bare photos lie within a factor 3.5 of what "still bare" is taken for."""
    table = still_bare_likelihood(7 * weeks)
    told = photos(*BARE[: weeks + 1]).likelihood()

    for fraction in (10, 20, 50):
        ratio = (told[fraction] / told[0]) / (table[fraction] / table[0])
        assert 1 / 3.5 < ratio < 3.5


def test_growth_nearly_settles_that_something_lives() -> None:
    """Five weeks from 3 to 25 %: nothing alive is hardly left; the more green, the more alive."""
    grown = photos(3, 6, 10, 17, 25)

    assert lost(grown) < 0.05
    assert living_ratio(grown.readings) > 20
    means = [combine(EVEN, [photos(start, start * 1.3, start * 1.8)]).odds.mean_fraction for start in (1, 4, 12, 30)]
    assert means == sorted(means)


def test_photos_are_one_piece_among_the_others() -> None:
    """Cold, signs, pot test and photos end in one number, and the photos' own effect is told once."""
    bare, pot = photos(*BARE[:7]), PotTest(alive=0, total=6, weeks=4)

    told = combine(EVEN, [bare, pot, Sign("straw_blades")])
    effect = next(each for each in told.effects if each.piece == bare)

    assert len(told.effects) == 3
    assert effect.moved_fraction < 0
    assert effect.before.weights == combine(EVEN, [pot, Sign("straw_blades")]).odds.weights
    assert combine(EVEN, [bare, bare]).odds == combine(EVEN, [bare]).odds


def test_living_plugs_outweigh_bare_photos() -> None:
    """Six of six plugs green in a pot, six silent warm weeks outside: it lives and is late."""
    told = combine(EVEN, [photos(*BARE[:7]), PotTest(alive=6, total=6, weeks=4)]).odds

    assert told.below_probability(0.1) < 0.01


def test_photos_without_a_reading_are_refused() -> None:
    """There is nothing they could say."""
    with pytest.raises(NotEnoughData):
        Cover(()).likelihood()
