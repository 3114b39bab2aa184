"""Fewer of many photos."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from bot.album.thinning import thinned


@given(st.integers(0, 60), st.integers(0, 12))
def test_never_more_than_wanted_and_in_order(count: int, most: int) -> None:
    """As many as there are, up to the limit, each once and in its order."""
    kept = thinned(range(count), most)

    assert len(kept) == min(count, most)
    assert list(kept) == sorted(set(kept))


@given(st.integers(2, 60), st.integers(2, 12))
def test_first_and_newest_stay_and_the_others_are_spread(count: int, most: int) -> None:
    """No gap between two that are kept is more than one longer than another."""
    kept = thinned(range(count), most)
    gaps = {later - earlier for earlier, later in pairwise(kept)}

    assert (kept[0], kept[-1]) == (0, count - 1)
    assert max(gaps) - min(gaps) <= 1


def test_of_one_the_newest_stays() -> None:
    """Where only one may be shown it is how things stand now."""
    assert thinned("abc", 1) == ("c",)
