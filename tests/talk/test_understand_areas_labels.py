"""Lawn sizes and fertilizer bags."""

from __future__ import annotations

import pytest

from bot.talk.case import AreaTold, LabelTold
from bot.talk.reading import slow_part
from bot.talk.understand import Unclear, area, label, told_dose


@pytest.mark.parametrize(
    ("said", "sqft"),
    [
        ("2400", 2400),
        ("2,400 sq ft", 2400),
        ("2400 sqft", 2400),
        ("2400 sf", 2400),
        ("2400 ft²", 2400),
        ("2400 ft^2", 2400),
        ("about 2400 square feet", 2400),
        ("two thousand four hundred square feet", 2400),
        ("twelve hundred", 1200),
        ("2.5k", 2500),
        ("2000-2500 sq ft", 2250),
        ("2000 to 2500", 2250),
        ("40 by 60", 2400),
        ("40x60", 2400),
        ("40X60", 2400),
        ("40×60", 2400),
        ("40*60", 2400),
        ("40x60 ft", 2400),
        ("40' x 60'", 2400),
        ("40′ × 60′", 2400),
        ("40'6\" x 60'", 2430),
        ("forty by sixty", 2400),
        ("about 40 by maybe 60 feet", 2400),
        ("60 ft long and 40 wide", 2400),
        ("40 feet wide, 60 feet long", 2400),
        ("20 by 30 yards", 5400),
        ("10 ft x 3 yd", 90),
        ("300 sq yards", 2700),
        ("12m x 8m", 1033.34),
        ("12m x 8", 1033.34),
        ("200 m2", 2152.78),
        ("200 m²", 2152.78),
        ("200 square meters", 2152.78),
        ("1/4 acre", 10890),
        ("¼ acre", 10890),
        ("quarter acre", 10890),
        ("a quarter of an acre", 10890),
        ("half an acre", 21780),
        ("an acre", 43560),
        ("an acre and a half", 65340),
        ("1.5 acres", 65340),
        ("a third of an acre", 14518.55),
        ("third of an acre", 14518.55),
        ("an eighth of an acre", 5445),
        ("100 x 50 = 5000", 5000),
        ("a 10 foot strip 60 ft long", 600),
        ("0.1 hectare", 10763.91),
        ("30x20 + 10x15", 750),
        ("30 by 20 and 10 by 15", 750),
        ("30x20, 10x15", 750),
        ("front is 30 by 40, back 20 by 25", 1700),
        ("1500 sqft front and 900 back", 2400),
        ("40x60 minus 10x10", 2300),
        ("40x60, less the 10x10", 2300),
        ("less than 2000", 2000),
        ("circle 20 across", 314.16),
        ("20 ft circle", 314.16),
        ("round, radius 10", 314.16),
        ("20 ft square", 400),
        ("a triangle 30 by 40", 600),
    ],
)
def test_size_is_put_together_as_it_was_told(said: str, sqft: float) -> None:
    """Areas, rectangles, sums, fractions of an acre, circles."""
    told = area(said, metric=False)

    assert isinstance(told, AreaTold), told
    assert sqft == pytest.approx(told.area_sqft, abs=0.01)
    assert not told.paced


@pytest.mark.parametrize(
    ("said", "pace_ft", "sqft"),
    [
        ("20 paces by 30", 2.5, 3750),
        ("paced 20 by 30", 2.5, 3750),
        ("50 steps by 20 steps", 2.5, 6250),
        ("20 by 30 paces", 3.0, 5400),
    ],
)
def test_paced_size_uses_the_owners_pace_and_says_so(said: str, pace_ft: float, sqft: float) -> None:
    """What was paced is told with a wider margin later on."""
    assert AreaTold(area_sqft=sqft, paced=True) == area(said, metric=False, pace_ft=pace_ft)


def test_measured_size_that_was_paced_too_keeps_its_feet() -> None:
    """Feet said are feet, but the size is still a paced one."""
    assert AreaTold(area_sqft=2400, paced=True) == area("paced it off, 40 by 60 ft", metric=False)


@pytest.mark.parametrize(
    ("said", "sqft"),
    [("200", 2152.78), ("12 x 8", 1033.34), ("8,5 x 10", 914.93), ("20 ft x 10 ft", 200), ("200 sq ft", 200)],
)
def test_bare_size_is_metric_for_metric_owners(said: str, sqft: float) -> None:
    """Metres and square metres, unless the unit says otherwise."""
    told = area(said, metric=True)

    assert isinstance(told, AreaTold)
    assert sqft == pytest.approx(told.area_sqft, abs=0.01)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("big", "no_number"),
        ("less than an acre", "no_number"),
        ("40 ft", "one_side"),
        ("20 paces", "one_side"),
        ("40 x 60 x 10", "three_sides"),
        ("40 60", "several_numbers"),
        ("0", "zero"),
        ("1 by 2", "too_small"),
        ("-40", "negative"),
        ("10x10 minus 40x60", "negative"),
        ("6 acres", "too_big"),
        ("9" * 300, "too_big"),
    ],
)
def test_size_out_of_reason_is_unclear(said: str, reason: str) -> None:
    """From a doormat to five acres; the limits come along."""
    told = area(said, metric=False)

    assert isinstance(told, Unclear)
    assert reason == told.reason
    assert said == "" or (4, 5 * 43_560) == (told.low, told.high)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("16-4-8", (16, 4, 8, None)),
        ("16 4 8", (16, 4, 8, None)),
        ("16/4/8", (16, 4, 8, None)),
        ("16 - 4 - 8", (16, 4, 8, None)),
        ("16–4–8", (16, 4, 8, None)),
        ("16,4,8", (16, 4, 8, None)),
        ("sixteen four eight", (16, 4, 8, None)),
        ("it says 16-4-8 on the bag", (16, 4, 8, None)),
        ("16.5-4-8", (16.5, 4, 8, None)),
        ("16% nitrogen 4% phosphate 8% potash", (16, 4, 8, None)),
        ("n 16 p 4 k 8", (16, 4, 8, None)),
        ("nitrogen 16, phosphorus 4, potassium 8", (16, 4, 8, None)),
        ("0-0-62", (0, 0, 62, None)),
        ("46-0-0", (46, 0, 0, None)),
        ("15-0-15 with 7% slow release", (15, 0, 15, 7)),
        ("15-0-15 (7.5% slow release nitrogen)", (15, 0, 15, 7.5)),
        ("16-4-8 5.6 % slow-release", (16, 4, 8, 5.6)),
        ("16-4-8, 8% slowly available nitrogen", (16, 4, 8, 8)),
        ("8-8-8 slow release 4%", (8, 8, 8, 4)),
        ("16-4-8, half slow release", (16, 4, 8, 8)),
        ("16-4-8 half of the nitrogen is slow release", (16, 4, 8, 8)),
        ("16-4-8, 50% of the nitrogen is slow", (16, 4, 8, 8)),
        ("16-4-8 all slow", (16, 4, 8, 16)),
        ("16-4-8 no slow release", (16, 4, 8, 0)),
        ("16-4-8 not slow release", (16, 4, 8, 0)),
        ("16-4-8 quick release only", (16, 4, 8, 0)),
        ("16-4-8 slow release", (16, 4, 8, None)),
    ],
)
def test_analysis_is_read_as_percent_of_the_product(
    said: str, expected: tuple[float, float, float, float | None]
) -> None:
    """Slow-release nitrogen told as a share of the nitrogen becomes percent of the product."""
    told = label(said)

    assert isinstance(told, LabelTold), told
    assert expected == (told.n_percent, told.p2o5_percent, told.k2o_percent, told.slow_n_percent)


@pytest.mark.parametrize(
    ("said", "reason"),
    [
        ("", "empty"),
        ("a green bag", "no_number"),
        ("16", "three_numbers"),
        ("16-4", "three_numbers"),
        ("0-0-0", "analysis_zero"),
        ("50-40-30", "analysis_over_100"),
        ("999999999-1-1", "analysis_over_100"),
        ("16-4-8 with 20% slow release", "slow_over_total"),
        ("16-4-8, 150% of the nitrogen is slow", "slow_over_total"),
        ("weed and feed 29-0-4", "kills_weeds"),
        ("16-4-8 with weed preventer", "kills_weeds"),
    ],
)
def test_impossible_analysis_is_unclear(said: str, reason: str) -> None:
    """A bag cannot hold nothing, more than itself, or more slow nitrogen than nitrogen. Weed killer is no feed."""
    assert reason == getattr(label(said), "reason", None)


@pytest.mark.parametrize(
    ("said", "percent"),
    [("30%", 4.8), ("50", 8), ("half", 8), ("4.8%", 4.8), ("5", 5), ("30 % of the nitrogen", 4.8), ("none", 0)],
)
def test_slow_part_is_of_the_product_unless_it_can_only_be_a_share(said: str, percent: float) -> None:
    """A bag of 16-4-8 prints a few percent; 30 can only be a share of its nitrogen."""
    bag = LabelTold(n_percent=16, p2o5_percent=4, k2o_percent=8, slow_n_percent=None)

    assert getattr(slow_part(said, bag), "value", None) == pytest.approx(percent)


def test_slow_release_over_the_nitrogen_tells_the_limit() -> None:
    """The words can say that it is at most the nitrogen itself."""
    told = label("16-4-8 with 50% slow release nitrogen")

    assert Unclear("slow_over_total", 0, 16) == told


LABEL = LabelTold(n_percent=16, p2o5_percent=4, k2o_percent=8)


@pytest.mark.parametrize(
    ("said", "pounds"),
    [
        ("15 lbs of 16-4-8", 15),
        ("the guy at the store said put 15 lbs of 16-4-8 down today", 15),
        ("put 10 pounds 16-4-8 down", 10),
        ("16-4-8, 15 lbs", 15),
        ("a 40 lb bag of 16-4-8", 40),
        ("a 40-lb bag of 16-4-8", 40),
        ("two 40 lb bags of 16-4-8", 80),
        ("3 bags of 50 lb 16-4-8", 150),
        ("two bags of 16-4-8, 40 lb each", 80),
        ("fifteen pounds of 16-4-8", 15),
        ("7 kg of 16-4-8", 15.432),
    ],
)
def test_dose_somebody_named_is_found(said: str, pounds: float) -> None:
    """Weight and analysis, in either order, bags counted."""
    dose = told_dose(said)

    assert dose is not None
    assert LABEL == dose.label
    assert pounds == pytest.approx(dose.product_lb, abs=1e-3)
    assert not dose.per_1000_sqft


@pytest.mark.parametrize(
    "said", ["4 lb of 16-4-8 per 1,000 sq ft", "16-4-8 at 4 lbs per 1000", "4 pounds 16-4-8 for every 1000 square feet"]
)
def test_dose_for_each_thousand_square_feet_is_no_total(said: str) -> None:
    """A rate must not be taken for all there is."""
    dose = told_dose(said)

    assert dose is not None
    assert (4, True) == (dose.product_lb, dose.per_1000_sqft)


@pytest.mark.parametrize(
    "said", ["", "15 lbs", "16-4-8", "0 lb of 16-4-8", "5 lbs of 0-0-0", "99999999 lbs of 16-4-8", "hello", "40 by 60"]
)
def test_no_dose_where_weight_or_analysis_is_missing(said: str) -> None:
    """Half a dose is none."""
    assert told_dose(said) is None
