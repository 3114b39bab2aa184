"""Outcomes out of stored homeowners: who counts, when, and what is said of those who do not."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from bot.ops.learning.fitting import curve_of, learn, outcomes_of_lawn
from bot.ops.learning.outcomes import AFTER_JUDGING, Gathered, end_of, gather
from bot.talk.advice import season_here
from bot.talk.case import Answer, NamesTold
from rules.grasses import GrassCode
from rules.lt50_evidence import Way
from tests.fakes.house import House
from tests.ops.learning.town import AFTER, BIBB, GLYNN, PLANNED_AT, case_of, green, owner, pots, settle, town_of
from tests.talk.conversation import KNOWN


async def test_lawns_count_once_their_season_is_over_whatever_came_of_them(house: House) -> None:
    """Told of or not, every planned lawn of a known grass and place counts; the others do not."""
    unplanned = replace(case_of(*pots(3)), planned_on=None)
    await settle(
        house.store,
        [owner(case_of(*pots(3))), owner(case_of(green(0.0))), owner(case_of()), owner(unplanned), owner()],
    )
    found = await gather(house.store, KNOWN, AFTER.date())

    assert [(len(each.spots), each.winter) for each in found.lawns] == [(1, 2027), (1, 2027), (0, 2027)]
    assert len(found.told) == 2
    assert found.told_by_grass == {GrassCode.ST_AUGUSTINE: 2}


def test_a_lawn_that_came_back_early_waits_for_those_that_did_not() -> None:
    """Until two weeks after the judging day a lawn counts for nothing, green or not."""
    judging_on = season_here(case_of(), KNOWN, GrassCode.ST_AUGUSTINE).judging_on
    case = case_of(green(1.0, on=judging_on - timedelta(days=10)))
    on = judging_on + AFTER_JUDGING

    assert end_of(1, case, KNOWN, on - timedelta(days=1)) is None
    end = end_of(1, case, KNOWN, on)
    assert end is not None
    assert len(end.spots) == 1


async def test_only_lawns_at_a_wanted_place_count(house: House) -> None:
    """A homeowner with lawns in two counties counts in each with the one that lies there."""
    await settle(house.store, [owner(case_of(*pots(3)), case_of(*pots(0), place=BIBB, number=2))])
    here = await gather(house.store, KNOWN, AFTER.date(), lambda place: place.county == BIBB.county)

    assert [(each.place, each.lawn) for each in here.lawns] == [(BIBB, 2)]


async def test_a_document_that_cannot_be_read_is_counted_and_passed_over(house: House) -> None:
    """One broken row does not keep a region from learning."""
    first, _ = await settle(house.store, [owner(case_of(*pots(3))), owner(case_of(*pots(1)))])
    await house.change('UPDATE homeowner SET doc = \'{"version": 1, "odd": 2}\' WHERE id = ?', first)
    found = await gather(house.store, KNOWN, AFTER.date())

    assert (found.unread, len(found.told)) == (1, 1)


async def test_a_lawn_in_two_spots_counts_as_one(house: House) -> None:
    """Each of its spots stands for a half."""
    names = Answer(question="spots", value=NamesTold(names=("front", "back")), words="", at=PLANNED_AT)
    case = case_of(*pots(3, spot="front"), *pots(0, spot="back"))
    await settle(house.store, [owner(replace(case, answers=(*case.answers, names)))])
    learned = learn(GrassCode.ST_AUGUSTINE, await gather(house.store, KNOWN, AFTER.date()))

    assert learned.fit.grass.lawns == pytest.approx(1.0)
    assert (learned.told, learned.silent, learned.ways) == (1, 0, {Way.POT_TEST: 1})


async def test_a_town_whose_grass_is_softer_is_found_out(house: House) -> None:
    """Two hundred pot-tested lawns of a grass 1.5 degC softer: enough, and the truth within the range."""
    await settle(house.store, [*town_of(200, softer_dc=1.5), *(owner(case_of()) for _ in range(30))])
    gathered = await gather(house.store, KNOWN, AFTER.date())
    learned = learn(GrassCode.ST_AUGUSTINE, gathered)
    found = learned.fit.grass

    assert found.is_enough
    assert found.found.low_dc <= 1.5 <= found.found.high_dc
    assert (learned.told, learned.silent, learned.winters) == (200, 30, (2027,))
    assert learned.if_dead_answer_dc < found.found.middle_dc < learned.if_living_answer_dc
    curve = curve_of(GrassCode.ST_AUGUSTINE, found, gathered)
    assert sum(each.lawns for each in curve.seen) == pytest.approx(200, abs=15)


def test_of_no_lawns_nothing_is_learned() -> None:
    """The prior comes back, and it is not enough."""
    learned = learn(GrassCode.ZOYSIA, Gathered())

    assert learned.fit.grass.found == learned.fit.grass.prior
    assert not learned.fit.grass.is_enough
    assert (learned.told, learned.silent, dict(learned.ways)) == (0, 0, {})


def test_what_the_rules_get_of_a_lawn_is_what_was_told() -> None:
    """Cold, cultivar and finding go over unchanged."""
    end = end_of(1, case_of(*pots(4), grass="st_augustine/raleigh", place=GLYNN), KNOWN, AFTER.date())
    assert end is not None
    (outcome,) = outcomes_of_lawn(end)

    assert (outcome.cultivar, outcome.cold, outcome.piece) == ("raleigh", end.spots[0].cold, end.spots[0].seen.piece)
    assert outcome.weight_fraction == 1.0
