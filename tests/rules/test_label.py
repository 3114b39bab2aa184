"""The arithmetic of a fertilizer label."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rules.errors import NotEnoughData, OutOfRange
from rules.label import (
    Label,
    bag_contents,
    bags_to_buy,
    nutrients,
    potash_product_lb_per_1000_sqft,
    product_for_area_lb,
    product_lb_per_1000_sqft,
    slow_share_fraction,
    two_passes,
)
from tests.rules.strategies import labels


@given(labels(), st.floats(0, 100))
def test_nutrients_add_up(label: Label, product: float) -> None:
    """Soluble and slow make all nitrogen, nutrients never outweigh the product, elements never their oxides."""
    held = nutrients(label, product)

    assert held.soluble_n_lb + held.slow_n_lb == pytest.approx(held.n_lb)
    assert held.n_lb + held.p2o5_lb + held.k2o_lb <= product * (1 + 1e-9)
    assert 0 <= held.soluble_n_lb <= held.n_lb + 1e-12
    assert held.p_lb <= held.p2o5_lb
    assert held.k_lb <= held.k2o_lb


@given(labels(), st.floats(0.05, 1))
def test_product_for_a_rate_carries_that_rate(label: Label, n_lb: float) -> None:
    """From nitrogen to product and back."""
    assume(label.n_percent > 0)
    product = product_lb_per_1000_sqft(label, n_lb)

    assert nutrients(label, product).n_lb == pytest.approx(n_lb)


@given(labels(), st.floats(1, 100), st.floats(1, 100))
def test_bags_are_enough_and_not_one_too_many(label: Label, product: float, bag: float) -> None:
    """The bags to buy hold the product; one bag less would not."""
    count = bags_to_buy(product, bag)

    assert count * bag >= product
    assert (count - 1) * bag < product
    assert bag_contents(label, bag).n_lb == pytest.approx(bag * label.n_percent / 100)


def test_a_bag_that_does_not_say_counts_as_all_soluble() -> None:
    """Unknown slow-release nitrogen is none; a label without nitrogen has no share of it."""
    assert slow_share_fraction(Label(n_percent=16, p2o5_percent=4, k2o_percent=8)) == 0
    assert slow_share_fraction(Label(n_percent=0, p2o5_percent=0, k2o_percent=50, slow_n_percent=0)) == 0
    assert nutrients(Label(n_percent=16, p2o5_percent=4, k2o_percent=8), 10).soluble_n_lb == pytest.approx(1.6)


@pytest.mark.parametrize(
    ("n", "p", "k", "slow"),
    [
        (101, 0, 0, None),
        (-1, 0, 0, None),
        (50, 40, 20, None),
        (16, 4, 8, 17),
        (16, 4, 8, -1),
        (float("nan"), 0, 0, None),
    ],
)
def test_impossible_labels_are_refused(n: float, p: float, k: float, slow: float | None) -> None:
    """Outside 0 to 100, more than the bag holds, or more slow nitrogen than nitrogen."""
    with pytest.raises(OutOfRange):
        Label(n_percent=n, p2o5_percent=p, k2o_percent=k, slow_n_percent=slow)


def test_zero_zero_zero_is_no_fertilizer() -> None:
    """A label of three zeros is refused with a word on what to give."""
    with pytest.raises(NotEnoughData, match="three numbers"):
        Label(n_percent=0, p2o5_percent=0, k2o_percent=0)


def test_potash_alone_has_its_own_way_and_cap() -> None:
    """0-0-50 is no feed: no nitrogen rate, a potash rate up to one pound, and not for a label with nitrogen."""
    potash = Label(n_percent=0, p2o5_percent=0, k2o_percent=50)

    assert potash_product_lb_per_1000_sqft(potash, 1.0) == 2.0
    with pytest.raises(NotEnoughData):
        product_lb_per_1000_sqft(potash, 0.5)
    with pytest.raises(OutOfRange):
        potash_product_lb_per_1000_sqft(potash, 1.01)
    with pytest.raises(OutOfRange):
        potash_product_lb_per_1000_sqft(Label(n_percent=16, p2o5_percent=4, k2o_percent=8), 0.5)
    with pytest.raises(NotEnoughData):
        potash_product_lb_per_1000_sqft(Label(n_percent=21, p2o5_percent=0, k2o_percent=0), 0.5)


def test_amounts_below_nothing_are_refused() -> None:
    """No negative products, rates or areas, and no bag of no size."""
    label = Label(n_percent=16, p2o5_percent=4, k2o_percent=8)
    with pytest.raises(OutOfRange):
        nutrients(label, -1)
    with pytest.raises(OutOfRange):
        product_lb_per_1000_sqft(label, -0.1)
    with pytest.raises(OutOfRange):
        product_for_area_lb(1, -1)
    with pytest.raises(OutOfRange):
        bags_to_buy(10, 0)


def test_two_passes_carry_half_each() -> None:
    """Half up and down, half across."""
    passes = two_passes(10.9)

    assert passes.count * passes.each_lb == 10.9
