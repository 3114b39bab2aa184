"""Telling grasses apart, and being careful while it is not settled."""

from __future__ import annotations

from itertools import chain

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.errors import NotEnoughData
from rules.facts.identify import TRAITS
from rules.grasses import GrassCode, grass
from rules.identify import (
    BladeTip,
    BladeWidth,
    Candidate,
    Colour,
    Feel,
    Hairs,
    Runners,
    SeedHead,
    ShootBase,
    Traits,
    candidates,
    is_certain,
    next_trait,
    strictest,
    traits_of,
)

KINDS = (Runners, BladeWidth, BladeTip, ShootBase, Feel, Hairs, SeedHead, Colour)
traits = st.builds(
    Traits,
    runners=st.none() | st.sampled_from(Runners),
    blade_width=st.none() | st.sampled_from(BladeWidth),
    blade_tip=st.none() | st.sampled_from(BladeTip),
    shoot=st.none() | st.sampled_from(ShootBase),
    feel=st.none() | st.sampled_from(Feel),
    hairs=st.none() | st.sampled_from(Hairs),
    seed_head=st.none() | st.sampled_from(SeedHead),
    colour=st.none() | st.sampled_from(Colour),
)


def test_every_answer_stands_in_the_key_once() -> None:
    """No answer is missing, none is alike in two questions, and each fits some grass."""
    answers = [str(answer) for answer in chain.from_iterable(KINDS)]

    assert len(set(answers)) == len(answers)
    assert {str(answer) for answer in TRAITS} == set(answers)
    assert all(fits.grasses for fits in TRAITS.values())


@pytest.mark.parametrize(
    ("seen", "is_it"),
    [
        (
            Traits(runners=Runners.ON_TOP, blade_width=BladeWidth.PENCIL, colour=Colour.BLUE_GREEN),
            GrassCode.ST_AUGUSTINE,
        ),
        (Traits(runners=Runners.ON_TOP, seed_head=SeedHead.ONE_SPIKE, colour=Colour.APPLE_GREEN), GrassCode.CENTIPEDE),
        (Traits(runners=Runners.UNDER_TOO, seed_head=SeedHead.FINGERS), GrassCode.BERMUDA),
        (Traits(runners=Runners.UNDER_TOO, feel=Feel.PRICKLY), GrassCode.ZOYSIA),
        (Traits(runners=Runners.NONE, seed_head=SeedHead.TALL_V), GrassCode.BAHIA),
        (Traits(runners=Runners.ON_TOP, feel=Feel.SOFT_CURLY), GrassCode.BUFFALO),
        (Traits(runners=Runners.UNDER_TOO, seed_head=SeedHead.TWO_SPIKES), GrassCode.SEASHORE_PASPALUM),
        (Traits(blade_tip=BladeTip.ROUNDED, seed_head=SeedHead.FINGERS_ON_TALL_STALK), GrassCode.CARPETGRASS),
    ],
)
def test_typical_answers_lead_to_the_grass(seen: Traits, is_it: GrassCode) -> None:
    """Each of the eight grasses is found, and for certain, from its own traits."""
    assert candidates(seen)[0] == Candidate(is_it, 1.0)
    assert is_certain(seen)


@given(traits)
def test_scores_are_shares_in_falling_order(seen: Traits) -> None:
    """Scores lie in 0..1, fall, and name a grass once."""
    found = candidates(seen)
    scores = [each.score for each in found]

    assert scores == sorted(scores, reverse=True)
    assert all(0 <= score <= 1 for score in scores)
    assert len({each.grass for each in found}) == len(found)


@given(traits)
def test_the_strictest_of_the_candidates_rules(seen: Traits) -> None:
    """While a stolon-only grass is possible its rules hold; otherwise the highest floor of the strictest habit."""
    found = candidates(seen)
    chosen = strictest(found)
    possible = [each.grass for each in found] or list(GrassCode)

    assert chosen in possible
    if any(not grass(code).has_rhizomes for code in possible):
        assert not grass(chosen).has_rhizomes


def test_nothing_known_means_the_strictest_of_all() -> None:
    """With no answers every grass is possible and St. Augustine's rules hold: no rhizomes, highest floor."""
    assert len(candidates(Traits())) == len(GrassCode)
    assert strictest(candidates(Traits())) is GrassCode.ST_AUGUSTINE
    assert strictest(()) is GrassCode.ST_AUGUSTINE


def test_one_answer_or_a_tie_is_not_certain() -> None:
    """A single trait never settles it, nor do two that fit several grasses."""
    assert not is_certain(Traits(runners=Runners.NONE))
    assert not is_certain(Traits(runners=Runners.ON_TOP, blade_width=BladeWidth.PENCIL))


def test_one_wrong_answer_lowers_a_grass_and_does_not_drop_it() -> None:
    """St. Augustine with a misjudged tip is still a candidate."""
    seen = Traits(runners=Runners.ON_TOP, blade_width=BladeWidth.PENCIL, blade_tip=BladeTip.POINTED)

    assert Candidate(GrassCode.ST_AUGUSTINE, 2 / 3) in candidates(seen)


def test_codes_of_a_conversation_become_traits() -> None:
    """Known codes are taken, unknown ones refused, missing ones left open."""
    seen = traits_of({"runners": "on_top", "blade_tip": None})

    assert seen == Traits(runners=Runners.ON_TOP)
    with pytest.raises(NotEnoughData):
        traits_of({"runners": "sideways"})
    with pytest.raises(NotEnoughData):
        traits_of({"smell": "hay"})


def test_runners_are_asked_about_first() -> None:
    """The question that separates best comes first; with all answered there is none left."""
    everything = Traits(
        runners=Runners.ON_TOP,
        blade_width=BladeWidth.PENCIL,
        blade_tip=BladeTip.ROUNDED,
        shoot=ShootBase.FLAT,
        feel=Feel.NONE_OF_THESE,
        hairs=Hairs.FRINGE,
        seed_head=SeedHead.ONE_SPIKE,
        colour=Colour.BLUE_GREEN,
    )

    assert next_trait(Traits()) == "runners"
    assert next_trait(Traits(runners=Runners.ON_TOP)) == "blade_width"
    assert next_trait(everything) is None
