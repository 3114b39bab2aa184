"""A correction that operators adopted: it moves the odds, and is told in one clause where it matters."""

from __future__ import annotations

from dataclasses import replace

import pytest

from bot.talk.advice import lawn_view
from bot.talk.case import Place
from bot.talk.known import Known
from bot.talk.telling_cold import local_parts
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift
from tests.ops.learning.town import GLYNN, case_of
from tests.talk.conversation import FIRST, KNOWN, Conversation, talked_to_first_answer


def knowing(shift_dc: float) -> Known:
    def shift_at(place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        return LimitShift(shift_dc=shift_dc, sd_dc=0.9) if code is GrassCode.ST_AUGUSTINE else None

    return replace(KNOWN, shift_at=shift_at)


@pytest.mark.parametrize(
    ("shift_dc", "key"), [(-1.5, "summary-local-better"), (1.5, "summary-local-worse"), (0.2, None)]
)
def test_a_shift_that_matters_is_told_in_one_clause(shift_dc: float, key: str | None) -> None:
    """Better or worse than published, and nothing where it is too small to matter."""
    told = local_parts(lawn_view(case_of(), knowing(shift_dc)))

    assert [each.key for each in told] == ([key] if key else [])
    assert local_parts(lawn_view(case_of(), KNOWN)) == []


def test_the_odds_and_the_limit_move_with_it() -> None:
    """A hardier grass has a lower limit and better odds; another grass keeps its own."""
    plain, hardier = (lawn_view(case_of(), known).spots[0] for known in (KNOWN, knowing(-1.5)))
    other, same = (lawn_view(case_of(grass="centipede"), known).spots[0] for known in (KNOWN, knowing(-1.5)))

    assert hardier.half_die_c == pytest.approx(plain.half_die_c - 1.5)
    assert hardier.odds.mean_fraction > plain.odds.mean_fraction
    assert other.odds == same.odds


def test_the_place_the_grass_and_the_cultivar_are_asked_for() -> None:
    """What is adopted is looked up by where the lawn lies and what grows on it."""
    asked = []

    def shift_at(place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        asked.append((place, code, cultivar))
        return None

    lawn_view(case_of(grass="st_augustine/raleigh"), replace(KNOWN, shift_at=shift_at))

    assert set(asked) == {(GLYNN, GrassCode.ST_AUGUSTINE, "raleigh")}


def test_the_talk_says_it_with_the_odds() -> None:
    """In a talk the clause stands once among the reasons, in plain words."""
    plain, talk = talked_to_first_answer(), Conversation(known=knowing(-1.5))
    talk.arrive()
    talk.say(*FIRST)

    assert "Lawns like yours" not in plain.text
    assert talk.text.count("Lawns like yours came through better than the books say. I count that in.") == 1
