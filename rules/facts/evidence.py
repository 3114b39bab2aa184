"""How much each thing an owner sees or tests says about the fraction of growing points alive."""

from __future__ import annotations

from dataclasses import dataclass

from rules.facts.fact import Fact, Source
from rules.facts.sources import CLOPPER_PEARSON_1934, EXPERT_JUDGEMENT

RUNNER_LOOK = Source(
    key="runner-look",
    who="Martin, Oklahoma State Univ.",
    title="Sub-freezing temperatures challenge bermudagrass survival: firm and green, white or purple is alive, "
    "soft and brown is dead",
    where="usga.org",
)
PLUG_TEST = Source(
    key="plug-test",
    who="Fry, Kansas State Univ.",
    year=2021,
    title="Bring several plugs inside and read them in two to three weeks",
    where="blogs.k-state.edu/turf/tag/injury",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class SignLikelihood:
    """How likely a sign is to be reported when everything is dead, and when everything is alive.

    In between it is taken as a straight line. Both are expert judgement; `why` is the published observation behind it.
    """

    if_all_dead: Fact
    if_all_alive: Fact
    why: str = ""


def _sign(dead: float, alive: float, why: str = "", source: Source = EXPERT_JUDGEMENT) -> SignLikelihood:
    def fact(value: float) -> Fact:
        return Fact(
            value=value,
            unit="probability",
            low=max(0.0, value - 0.15),
            high=min(1.0, value + 0.15),
            source=EXPERT_JUDGEMENT,
            others=() if source is EXPERT_JUDGEMENT else ((value, source),),
        )

    return SignLikelihood(if_all_dead=fact(dead), if_all_alive=fact(alive), why=why)


SIGNS = {
    "straw_blades": _sign(0.80, 0.85, "normal dormancy and drying look alike; says almost nothing"),
    "limp_dark_blades": _sign(0.50, 0.30, "blades froze; crowns may or may not have"),
    "slimy_runners": _sign(0.60, 0.08, "soft, brown, sour-smelling runners are dead", RUNNER_LOOK),
    "firm_runners": _sign(0.10, 0.65, "firm runners, white, green or purple inside, are alive", RUNNER_LOOK),
    "patches": _sign(0.25, 0.35, "part of the lawn differs; says little about the whole"),
    "north_or_shade": _sign(0.30, 0.30, "where the damage is worst, not how bad it is"),
    "low_wet": _sign(0.25, 0.18, "wet low spots lose more crowns (Univ. of Tennessee, Kansas State)"),
    "tracks": _sign(0.15, 0.15, "prints on frosted blades are mostly cosmetic (Virginia Tech)"),
    "orange_rings": _sign(0.05, 0.06, "expanding orange or dark rings point to disease, not frost"),
}

POT_SENSITIVITY = {
    2: Fact(value=0.70, unit="probability", low=0.5, high=0.9, source=EXPERT_JUDGEMENT, others=((0.7, PLUG_TEST),)),
    3: Fact(value=0.85, unit="probability", low=0.7, high=0.95, source=EXPERT_JUDGEMENT, others=((0.85, PLUG_TEST),)),
    4: Fact(
        value=0.95, unit="probability", low=0.85, high=1.0, source=EXPERT_JUDGEMENT, note="research reads at 4 to 6 wk"
    ),
}
POT_FALSE_ALIVE = Fact(
    value=0.02, unit="probability", low=0.0, high=0.05, source=EXPERT_JUDGEMENT, note="a weed taken for the grass"
)
POT_PLUGS_ADVISED = Fact(
    value=6, unit="plugs per spot", low=4, high=10, source=EXPERT_JUDGEMENT, others=((3, PLUG_TEST),), note="never one"
)
POT_KEEP_FRACTION = Fact(value=0.7, unit="fraction of plugs", low=0.5, high=0.8, source=EXPERT_JUDGEMENT)
POT_REPAIR_FRACTION = Fact(value=0.3, unit="fraction of plugs", low=0.2, high=0.4, source=EXPERT_JUDGEMENT)
PLUG_INTERVAL_PROBABILITY = Fact(value=0.95, unit="probability", low=0.9, high=0.99, source=CLOPPER_PEARSON_1934)
WEEDY_GREEN_KEPT_FRACTION = Fact(
    value=0.5, unit="fraction of the green seen", low=0.2, high=0.8, source=EXPERT_JUDGEMENT, note="with weeds in it"
)
SEEN_BY_EYE_FRACTION = Fact(
    value=0.15, unit="fraction of the spot", low=0.1, high=0.2, source=EXPERT_JUDGEMENT, note="two looks differ by this"
)
SETTLED_GREEN_FRACTION = Fact(
    value=0.7,
    unit="fraction of the spot",
    low=0.5,
    high=0.9,
    source=EXPERT_JUDGEMENT,
    note="this green, nobody needs a judging day; Virginia Tech lets feeding start at half to three quarters",
)
GREEN_COMING_BACK_FRACTION = Fact(
    value=0.1,
    unit="fraction of the spot",
    low=0.05,
    high=0.2,
    source=EXPERT_JUDGEMENT,
    note="green by eye that is not weeds; one live plant a square foot fills in time (Miss. State 1996)",
)
GREEN_BACK_AT_JUDGING_FRACTION = Fact(
    value=0.25,
    unit="fraction of the spot",
    low=0.15,
    high=0.4,
    source=EXPERT_JUDGEMENT,
    note="less than this after all the warm days and the spot is only partly back, whatever lives in it",
)

# How often a spot that will return still shows no green (under 3 %) after so many warm days. A spot with every growing
# point dead never does. Late starters exist: nothing for four warm weeks, then full recovery.
STILL_BARE_PROBABILITY = (
    (14, Fact(value=0.80, unit="probability", low=0.6, high=0.95, source=EXPERT_JUDGEMENT)),
    (28, Fact(value=0.45, unit="probability", low=0.3, high=0.7, source=EXPERT_JUDGEMENT)),
    (42, Fact(value=0.20, unit="probability", low=0.1, high=0.4, source=EXPERT_JUDGEMENT)),
    (56, Fact(value=0.10, unit="probability", low=0.05, high=0.25, source=EXPERT_JUDGEMENT)),
    (70, Fact(value=0.05, unit="probability", low=0.01, high=0.15, source=EXPERT_JUDGEMENT)),
)
RETURNS_FROM_ALIVE_FRACTION = Fact(
    value=0.1,
    unit="fraction alive",
    low=0.03,
    high=0.2,
    source=EXPERT_JUDGEMENT,
    note="with fewer growing points alive a spot may stay under 3 % green for weeks although something lives",
)

TOLD_FROM_FRACTION = Fact(
    value=0.02,
    unit="expected fraction alive",
    low=0.01,
    high=0.05,
    source=EXPERT_JUDGEMENT,
    note="a piece of evidence that moved the odds by less is told as having said hardly anything",
)
OPERATOR_SD_FRACTION = Fact(
    value=0.1, unit="fraction", low=0.05, high=0.2, source=EXPERT_JUDGEMENT, note="a trained eye on the spot"
)
