"""What counts as the end of a spot, for learning from it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from bot.talk.case import Answer, CheckIn, NamesTold, NotSure
from bot.talk.cover import CoverSeen
from bot.talk.outcome import outcomes_of
from rules.combine import PotTest
from rules.grasses import GrassCode
from rules.lt50_evidence import CameOf, Judged, Way
from tests.ops.learning.town import JUDGED_ON, PLANNED_AT, case_of, green, pots
from tests.talk.conversation import KNOWN

SPRING = date(2027, 3, 1)


def measured(percent: float, on: date = JUDGED_ON, weeds: str = "none") -> CheckIn:
    seen = CoverSeen(percent=percent, low=percent, high=percent, upload="web", dhash="", weeds=weeds)
    return CheckIn(on=on, spot="", task="judge:0", green=percent / 100, photo_id="p", cover=seen)


def test_a_late_pot_test_is_the_surest_end() -> None:
    """Plugs read after five weeks count, whatever was seen of the green beside."""
    (found,) = outcomes_of(case_of(*pots(2), green(0.6)), KNOWN)

    assert (found.seen.way, found.seen.piece) == (Way.POT_TEST, PotTest(alive=2, total=6, weeks=5))
    assert (found.code, found.cultivar) == (GrassCode.ST_AUGUSTINE, None)
    assert (found.seen.plugs_alive, found.seen.green_fraction) == (2, 0.6)


@pytest.mark.parametrize(("alive", "counts"), [(0, False), (2, False), (5, True)])
def test_an_early_pot_test_counts_only_where_most_lives(alive: int, counts: bool) -> None:
    """At three weeks living plugs may not show yet; where most do, waiting changes nothing."""
    start, read = pots(alive)
    early = replace(start, on=read.on - timedelta(days=21))

    assert bool(outcomes_of(case_of(early, read), KNOWN)) is counts


@pytest.mark.parametrize(
    ("share", "came_of"), [(0.0, CameOf.DEAD), (0.1, CameOf.PARTLY), (0.25, CameOf.BACK), (1.0, CameOf.BACK)]
)
def test_green_by_eye_counts_from_the_judging_day_on(share: float, came_of: CameOf) -> None:
    """The same green a month earlier is no end, unless the spot is nearly all green."""
    (found,) = outcomes_of(case_of(green(share)), KNOWN)

    assert (found.seen.way, found.seen.piece) == (Way.BY_EYE, Judged(came_of))
    assert found.seen.came_of is came_of
    assert outcomes_of(case_of(green(share, on=SPRING)), KNOWN) == ()


def test_photos_take_the_place_of_the_eye_and_weeds_are_discounted() -> None:
    """A photo's green, less what the owner called weeds, is the end."""
    (plain,) = outcomes_of(case_of(green(0.9), measured(40)), KNOWN)
    (weedy,) = outcomes_of(case_of(measured(40, weeds="most")), KNOWN)

    assert (plain.seen.way, plain.seen.piece) == (Way.PHOTOS, Judged(CameOf.BACK))
    assert weedy.seen.piece == Judged(CameOf.PARTLY)


def test_nothing_is_learned_from_what_nobody_is_sure_of() -> None:
    """A grass that is a guess, a place that is open, a lawn of which nothing was told."""
    known = case_of(*pots(3))
    for question in ("grass", "place"):
        rows = [replace(each, value=NotSure()) if each.question == question else each for each in known.answers]
        assert outcomes_of(replace(known, answers=tuple(rows)), KNOWN) == ()
    assert outcomes_of(case_of(), KNOWN) == ()
    assert len(outcomes_of(known, KNOWN)) == 1


def test_each_spot_has_its_own_end_and_knows_how_many_there_are() -> None:
    """Of three spots, two of which ended, each stands for half of the lawn."""
    told = case_of(*pots(3, spot="front"), green(0.0, spot="back"))
    names = Answer(question="spots", value=NamesTold(names=("front", "back", "side")), words="", at=PLANNED_AT)
    found = outcomes_of(replace(told, answers=(*told.answers, names)), KNOWN)

    assert [(each.spot, each.spots, each.seen.way) for each in found] == [
        ("front", 2, Way.POT_TEST),
        ("back", 2, Way.BY_EYE),
    ]


def test_a_look_at_the_runners_is_no_end() -> None:
    """Firm runners in spring are no outcome by themselves."""
    look = CheckIn(on=JUDGED_ON, spot="", task="look:0", runners="firm")

    assert outcomes_of(case_of(look), KNOWN) == ()
