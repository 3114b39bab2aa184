"""The arithmetic of a fertilizer label. Percent of the product; P2O5 and K2O are oxides, as labels print them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from rules.errors import NotEnoughData, OutOfRange, require_range
from rules.facts import feeding as facts
from rules.facts.areas import RATE_AREA_SQFT


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """The analysis on a bag. [percent of the product] `slow_n_percent` is None when the bag does not say.

    Raises OutOfRange for a part outside 0 to 100, a sum over 100 or more slow nitrogen than nitrogen, and
    NotEnoughData for a product without any of the three.
    """

    n_percent: float
    p2o5_percent: float
    k2o_percent: float
    slow_n_percent: float | None = None

    def __post_init__(self) -> None:
        parts = (
            ("n_percent", self.n_percent),
            ("p2o5_percent", self.p2o5_percent),
            ("k2o_percent", self.k2o_percent),
        )
        for name, value in parts:
            require_range(name, value, 0.0, facts.LABEL_SUM_MAX_PERCENT.value, "percent")
        total, most = math.fsum(value for _, value in parts), facts.LABEL_SUM_MAX_PERCENT.value
        if total > most and not math.isclose(total, most):
            raise OutOfRange("sum of the label", total, 0.0, most, "percent")
        if total == 0:
            raise NotEnoughData("a 0-0-0 product feeds nothing: give the three numbers on the bag")
        if self.slow_n_percent is not None:
            require_range("slow_n_percent", self.slow_n_percent, 0.0, self.n_percent, "percent")


@dataclass(frozen=True, slots=True, kw_only=True)
class Nutrients:
    """What an amount of product holds. [lb, or lb per 1,000 sq ft when the amount was a rate]

    `soluble_n_lb` and `slow_n_lb` add up to `n_lb`.
    """

    n_lb: float
    soluble_n_lb: float
    slow_n_lb: float
    p2o5_lb: float
    k2o_lb: float

    @property
    def p_lb(self) -> float:
        """Elemental phosphorus. [lb]"""
        return elemental_p_lb(self.p2o5_lb)

    @property
    def k_lb(self) -> float:
        """Elemental potassium. [lb]"""
        return elemental_k_lb(self.k2o_lb)


@dataclass(frozen=True, slots=True, kw_only=True)
class Passes:
    """Spreading in two directions, half the product each time. [lb]"""

    count: int
    each_lb: float


def nutrients(label: Label, product_lb: float) -> Nutrients:
    """What an amount of product holds.

    Parameters
    ----------
    label : Label
        Unknown slow-release nitrogen counts as none: all nitrogen is then taken as soluble.
    product_lb : float
        Product, or a rate of it. [lb, lb per 1,000 sq ft] 0 or more.

    Returns
    -------
    Nutrients
        In the unit of `product_lb`.

    Raises
    ------
    OutOfRange
        A negative amount.

    Source
    ------
    Univ. of Minnesota Extension, Table 7.3.

    Checked
    -------
    tests/rules/published/feeding.csv: bags and rates of Minnesota, Florida, North Carolina.
    """
    require_range("product_lb", product_lb, 0.0, math.inf, "lb")
    nitrogen = product_lb * label.n_percent / 100
    slow = nitrogen * slow_share_fraction(label)
    return Nutrients(
        n_lb=nitrogen,
        soluble_n_lb=nitrogen - slow,
        slow_n_lb=slow,
        p2o5_lb=product_lb * label.p2o5_percent / 100,
        k2o_lb=product_lb * label.k2o_percent / 100,
    )


def bag_contents(label: Label, bag_lb: float) -> Nutrients:
    """What one bag holds. [lb] `bag_lb` up to 2,000. Raises OutOfRange beyond."""
    return nutrients(label, require_range("bag_lb", bag_lb, 0.0, facts.BAG_MAX_LB.value, "lb"))


def slow_share_fraction(label: Label) -> float:
    """Slow-release nitrogen as a share of all nitrogen. 0..1; 0 when the bag does not say or has no nitrogen.

    Source: UF/IFAS Duval County 2021: slow-release percent over total nitrogen percent.
    """
    if not label.n_percent or label.slow_n_percent is None:
        return 0.0
    return label.slow_n_percent / label.n_percent


def product_lb_per_1000_sqft(label: Label, n_lb_per_1000_sqft: float) -> float:
    """Product that carries a rate of nitrogen. [lb per 1,000 sq ft]

    `n_lb_per_1000_sqft` is 0 or more. Raises OutOfRange for less, and NotEnoughData for a label without nitrogen.
    Source: Univ. of Nebraska-Lincoln, lawn fertilizer calculations; Purdue AY-22.
    """
    require_range("n_lb_per_1000_sqft", n_lb_per_1000_sqft, 0.0, math.inf, "lb per 1,000 sq ft")
    if not label.n_percent:
        raise NotEnoughData("this label has no nitrogen: no amount of it gives a rate of nitrogen")
    return n_lb_per_1000_sqft / (label.n_percent / 100)


def potash_product_lb_per_1000_sqft(label: Label, k2o_lb_per_1000_sqft: float) -> float:
    """Product that carries a rate of potash, for a label of potash alone (as 0-0-50). [lb per 1,000 sq ft]

    `k2o_lb_per_1000_sqft` is 0 to 1.0, the design cap of one application. Raises OutOfRange beyond it or for a label
    with nitrogen or phosphate, NotEnoughData for one without potash. Source: UF ENH-73; the cap is expert judgement.
    """
    require_range("k2o_lb_per_1000_sqft", k2o_lb_per_1000_sqft, 0.0, facts.K2O_CAP.value, "lb per 1,000 sq ft")
    if not label.k2o_percent:
        raise NotEnoughData("this label has no potash: no amount of it gives a rate of potash")
    require_range("n_percent", label.n_percent, 0.0, 0.0, "percent for potash alone")
    require_range("p2o5_percent", label.p2o5_percent, 0.0, 0.0, "percent for potash alone")
    return k2o_lb_per_1000_sqft / (label.k2o_percent / 100)


def product_for_area_lb(rate_lb_per_1000_sqft: float, area_sqft: float) -> float:
    """Product for an area from its rate. [lb] Both 0 or more; raises OutOfRange otherwise."""
    require_range("rate_lb_per_1000_sqft", rate_lb_per_1000_sqft, 0.0, math.inf, "lb per 1,000 sq ft")
    require_range("area_sqft", area_sqft, 0.0, math.inf, "sq ft")
    return rate_lb_per_1000_sqft * area_sqft / RATE_AREA_SQFT.value


def bags_to_buy(product_lb: float, bag_lb: float) -> int:
    """Whole bags that hold an amount of product. [lb, lb] `bag_lb` over 0; raises OutOfRange otherwise."""
    require_range("product_lb", product_lb, 0.0, math.inf, "lb")
    require_range("bag_lb", bag_lb, 0.5, facts.BAG_MAX_LB.value, "lb")
    return math.ceil(product_lb / bag_lb)


def two_passes(product_lb: float) -> Passes:
    """Half the product up and down, half across: stripes even out. [lb] Source: Rutgers fertilizer spreader page."""
    require_range("product_lb", product_lb, 0.0, math.inf, "lb")
    return Passes(count=2, each_lb=product_lb / 2)


def elemental_p_lb(p2o5_lb: float) -> float:
    """Phosphorus in phosphate. [lb P2O5 -> lb P] Source: atomic weights; Minnesota prints 0.44."""
    return require_range("p2o5_lb", p2o5_lb, 0.0, math.inf, "lb") * facts.P_IN_P2O5_FRACTION.value


def elemental_k_lb(k2o_lb: float) -> float:
    """Potassium in potash. [lb K2O -> lb K] Source: atomic weights; Minnesota prints 0.83."""
    return require_range("k2o_lb", k2o_lb, 0.0, math.inf, "lb") * facts.K_IN_K2O_FRACTION.value
