"""The practitioners' rule of thumb beside our odds: both are worked out, and where they differ it is said why."""

from __future__ import annotations

import pytest

from rules.grasses import GrassCode, tolerance
from rules.second_opinion import SecondOpinion, WhyDifferent, second_opinion
from rules.site_cold import SpotTraits
from rules.survival import top_survival
from rules.units import c_to_f
from tests.rules.outcomes import ARKANSAS_2010, COLLEGE_STATION_1968, FLORIDA_1989, Freeze, felt


def opinion(freeze: Freeze, code: GrassCode, cultivar: str | None = None) -> SecondOpinion | None:
    cold = felt(freeze)
    top = top_survival(cold, code, tolerance(code, cultivar), SpotTraits())
    return second_opinion(code, cultivar, cold, top)


@pytest.mark.parametrize(
    ("code", "cultivar", "low_f", "high_f"),
    [
        (GrassCode.ZOYSIA, None, 15, 17),
        (GrassCode.BERMUDA, "tifway", 18, 20),
        (GrassCode.ST_AUGUSTINE, "raleigh", 23, 24),
        (GrassCode.ST_AUGUSTINE, "palmetto", 25, 26),
        (GrassCode.ST_AUGUSTINE, "floratam", 28, 29),
        (GrassCode.ST_AUGUSTINE, None, 23, 29),
    ],
)
def test_the_rule_of_thumb_is_the_one_people_use(
    code: GrassCode, cultivar: str | None, low_f: float, high_f: float
) -> None:
    """Common practice, in degrees Fahrenheit of soil temperature."""
    told = opinion(FLORIDA_1989, code, cultivar)

    assert told is not None
    assert c_to_f(told.from_c) == pytest.approx(low_f)
    assert c_to_f(told.to_c) == pytest.approx(high_f)


def test_they_differ_where_the_crown_is_colder_than_the_soil() -> None:
    """Arkansas 2010: by 2-in soil near 32 F the rule sees nothing serious for St. Augustine; on top it froze."""
    told = opinion(ARKANSAS_2010, GrassCode.ST_AUGUSTINE, "raleigh")

    assert told is not None
    assert not told.is_serious
    assert told.odds_are_serious
    assert told.reasons == (WhyDifferent.ANOTHER_DEPTH, WhyDifferent.OTHER_PLACES)


def test_they_agree_where_it_was_mild() -> None:
    """A mild freeze is serious for zoysia by neither."""
    told = opinion(COLLEGE_STATION_1968, GrassCode.ZOYSIA)

    assert told is not None
    assert told.agrees
    assert told.reasons == ()


def test_grasses_without_a_rule_have_none() -> None:
    """Nothing is made up for centipede."""
    assert opinion(FLORIDA_1989, GrassCode.CENTIPEDE) is None
