"""Figures for learning from outcomes how far the LT50 of a grass lies off its published figure."""

from __future__ import annotations

from rules.facts.fact import Fact
from rules.facts.sources import EXPERT_JUDGEMENT, GOPINATH_2021

REGION_MINIMA_SD_DC = Fact(
    value=0.5,
    unit="degC",
    low=0.3,
    high=1.0,
    source=EXPERT_JUDGEMENT,
    note="what the estimated minima of all lawns of a region may be off together; laboratory figures laid beside one "
    "freeze (Florida, December 1989) put the crown 2 to 3.4 degC above the air",
)
LAB_TO_LAWN_SD_DC = Fact(
    value=1.0,
    unit="degC",
    low=0.5,
    high=1.5,
    source=EXPERT_JUDGEMENT,
    note="beyond the spread between laboratories: what pieces of runner in a freezer stand is not what a lawn stands; "
    "whole plants in pots died 1 to 3 degC warmer (see grasses_st_augustine.py)",
)
CULTIVAR_SD_DC = Fact(
    value=0.5,
    unit="degC",
    low=0.3,
    high=0.8,
    source=GOPINATH_2021,
    note="how far the shift of a cultivar lies off its grass's; derived: three batches of one paper lie 0.7 and 1.2 "
    "degC apart, which is 1.7 standard deviations",
)

# --- when a fit may be adopted -------------------------------------------------------------------------------------

INTERVAL_PROBABILITY = Fact(value=0.9, unit="probability", low=0.8, high=0.95, source=EXPERT_JUDGEMENT)
ENOUGH_NEAR_LAWNS = Fact(value=100, unit="lawns near the limit", low=50, high=200, source=EXPERT_JUDGEMENT)
NEAR_LIMIT_DC = Fact(
    value=4.0,
    unit="degC",
    low=3.0,
    high=5.0,
    source=EXPERT_JUDGEMENT,
    note="five logistic scales: farther off all or none of the crowns live, whatever the shift",
)
ENOUGH_WIDTH_FRACTION = Fact(
    value=0.5,
    unit="fraction of the prior's interval",
    low=0.3,
    high=0.7,
    source=EXPERT_JUDGEMENT,
    note="outcomes must have said at least as much as all papers did",
)
TOLD_FROM_DC = Fact(
    value=0.5, unit="degC", low=0.3, high=1.0, source=EXPERT_JUDGEMENT, note="1 F: less is not worth a sentence"
)
ANSWERS_TIMES = Fact(
    value=2,
    unit="times as often",
    low=1.5,
    high=3,
    source=EXPERT_JUDGEMENT,
    note="what if owners of a living lawn, or of a dead one, answer so much oftener than the others",
)

# --- what a look at the end of the season says -----------------------------------------------------------------------

JUDGED_AT_FRACTION = tuple(
    Fact(value=value, unit="fraction alive", low=value, high=value, source=EXPERT_JUDGEMENT)
    for value in (0.0, 0.1, 0.3, 0.6, 1.0)
)


def _said(value: float) -> Fact:
    return Fact(
        value=value,
        unit="probability",
        low=max(0.0, value - 0.15),
        high=min(1.0, value + 0.15),
        source=EXPERT_JUDGEMENT,
        note="from green at the end of the season",
    )


# How often each is said where so much is alive; at every share the three add up to 1.
JUDGED_BACK = tuple(map(_said, (0.005, 0.14, 0.5, 0.9, 0.985)))
JUDGED_PARTLY = tuple(map(_said, (0.02, 0.55, 0.44, 0.09, 0.01)))
JUDGED_DEAD = tuple(map(_said, (0.975, 0.31, 0.06, 0.01, 0.005)))

SEEN_SD_DC = Fact(
    value=0.7,
    unit="degC",
    low=0.4,
    high=1.2,
    source=EXPERT_JUDGEMENT,
    note="what green at the end makes of an LT50 may be off for all lawns together: called back from a tenth alive "
    "instead of three tenths moves it by 1.1 degC. Pot tests count what lives and have no such error",
)
MISSEEN_PROBABILITY = tuple(
    Fact(
        value=value, unit="probability", low=0.0, high=0.3, source=EXPERT_JUDGEMENT, note="each as likely as the others"
    )
    for value in (0.0, 0.03, 0.08, 0.2)
)

# --- the survival curve --------------------------------------------------------------------------------------------

CURVE_STEP_DC = Fact(value=0.25, unit="degC", low=0.1, high=0.5, source=EXPERT_JUDGEMENT, note="of the drawn curve")
CURVE_REACH_DC = Fact(value=7.0, unit="degC", low=5.0, high=10.0, source=EXPERT_JUDGEMENT, note="to each side")
BIN_DC = Fact(value=1.0, unit="degC", low=0.5, high=2.0, source=EXPERT_JUDGEMENT, note="lawns that share a dot")
BIN_LEAST_LAWNS = Fact(
    value=5, unit="lawns", low=3, high=10, source=EXPERT_JUDGEMENT, note="fewer say nothing as a dot"
)
BIN_ROUNDS = Fact(value=60, unit="rounds", low=30, high=200, source=EXPERT_JUDGEMENT, note="numerical")

# --- how finely it is worked out -----------------------------------------------------------------------------------

LIKELIHOOD_STEP_DC = Fact(value=0.3, unit="degC", low=0.05, high=0.4, source=EXPERT_JUDGEMENT, note="numerical")
REACH_SDS = Fact(value=6, unit="sd", low=5, high=8, source=EXPERT_JUDGEMENT, note="numerical")
NODE_STEP_SDS = Fact(value=0.4, unit="sd", low=0.2, high=0.5, source=EXPERT_JUDGEMENT, note="numerical")
NODE_REACH_SDS = Fact(value=4, unit="sd", low=3.5, high=5, source=EXPERT_JUDGEMENT, note="numerical")
FINE_POINTS = Fact(value=161, unit="points", low=151, high=1001, source=EXPERT_JUDGEMENT, note="numerical")
OFFSET_POINTS = Fact(value=15, unit="points", low=11, high=61, source=EXPERT_JUDGEMENT, note="numerical")
QUANTILE_POINTS = Fact(value=2401, unit="points", low=1001, high=5001, source=EXPERT_JUDGEMENT, note="numerical")
LOST_LOG = Fact(
    value=30.0, unit="log odds", low=25, high=60, source=EXPERT_JUDGEMENT, note="numerical: less counts as none"
)
REFINEMENTS = Fact(value=3, unit="rounds", low=2, high=5, source=EXPERT_JUDGEMENT, note="numerical")
BLOCK_LAWNS = Fact(value=128, unit="lawns", low=32, high=1024, source=EXPERT_JUDGEMENT, note="numerical: fits a cache")
