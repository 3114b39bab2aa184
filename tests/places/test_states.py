"""Whole states, for somebody who would rather not say the town."""

from __future__ import annotations

import pytest

from bot.places import PlaceFinder
from bot.places.states import _STATES, find_state

PLACES = PlaceFinder()


@pytest.mark.parametrize("said", ["Georgia", "georgia", "GA", "ga.", "Gorgia"])
def test_a_state_is_found_by_name_letters_and_near_misses(said: str) -> None:
    """Name, letters, small slips."""
    state = find_state(said)

    assert state is not None
    assert (state.state, state.zone) == ("GA", "America/New_York")


@pytest.mark.parametrize("said", ["", "x", "somewhere", "the moon", "🦎", "a" * 100_000])
def test_anything_else_is_no_state(said: str) -> None:
    """Nonsense finds nothing, quickly."""
    assert find_state(said) is None


@pytest.mark.parametrize(("name", "letters", "latitude", "longitude", "zone"), _STATES)
def test_the_middle_of_a_state_lies_in_it(
    name: str, letters: str, latitude: float, longitude: float, zone: str
) -> None:
    """The gazetteer finds a town of the same state and zone near the middle (an independent table)."""
    near = PLACES.at(latitude, longitude)

    assert near is not None, name
    assert (near.state, near.zone) == (letters, zone)
