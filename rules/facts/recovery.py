"""How far one photo of a spot can be trusted, how grass closes a spot, and what a trend of photos must show.

Cover in percent of the spot, growth of its logit in one a warm day. What says "simulated" was set by the project's own
simulations of spots (tests/bench/recovery_lawns.py prints them); no publication gives these numbers for lawns.
"""

from __future__ import annotations

from dataclasses import dataclass

from rules.facts.fact import Fact
from rules.facts.sources import EXPERT_JUDGEMENT, KARCHER_2005, WRIGHT_2017

SIMULATED = "set by the project's own simulations of spots and rendered turf"

# --- the error of one reading: sd^2 = floor^2 + (slope * min(cover, 100 - cover) + offset)^2 + framing^2 / photos ----

SD_FLOOR = Fact(value=1.0, unit="percent of the spot", low=0.5, high=2.0, source=EXPERT_JUDGEMENT, note=SIMULATED)
SD_SLOPE = Fact(value=0.10, unit="per percent of cover", low=0.05, high=0.15, source=EXPERT_JUDGEMENT, note=SIMULATED)
SD_OFFSET = Fact(value=1.0, unit="percent of the spot", low=0.5, high=3.0, source=EXPERT_JUDGEMENT, note=SIMULATED)
SD_FRAMING = Fact(
    value=2.0,
    unit="percent of the spot",
    low=1.1,
    high=3.5,
    source=EXPERT_JUDGEMENT,
    note=f"aiming anew, the only part that several photos of one visit share out; {SIMULATED}",
)
SMALL_UPLOADS = frozenset({"mms", "sms"})
SD_SMALL_UPLOAD = Fact(
    value=3.0,
    unit="percent of the spot, added to the sd",
    low=1.0,
    high=7.0,
    source=EXPERT_JUDGEMENT,
    note=f"small, strongly packed pictures smear colour; {SIMULATED}",
)
OUTLIER_PROBABILITY = Fact(
    value=0.05, unit="probability", low=0.02, high=0.10, source=EXPERT_JUDGEMENT, note="wrong spot, odd light, a shadow"
)
OUTLIER_SD = Fact(
    value=15.0, unit="percent of the spot", low=10.0, high=25.0, source=EXPERT_JUDGEMENT, note="how far off such one is"
)

# Another kind of upload reads a little higher or lower, the more the more green there is. Its step against the others
# is not known, so it is averaged over: a normal of this sd around none.
STEP_SD_BASE = Fact(value=0.5, unit="percent of the spot", low=0.1, high=2.0, source=EXPERT_JUDGEMENT, note=SIMULATED)
STEP_SD_SLOPE = Fact(
    value=0.07,
    unit="per percent of cover",
    low=0.01,
    high=0.12,
    source=EXPERT_JUDGEMENT,
    note=f"2 points at 28 percent, 4 at 57, when a chat app packs the picture; {SIMULATED}",
)
STEP_NODES = Fact(value=7, unit="points of equal probability", low=5, high=15, source=EXPERT_JUDGEMENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class WeedDiscount:
    """What part of the green is taken as the grass, and how unsure that is (a standard deviation, both fractions)."""

    kept: Fact
    sd: Fact


def _discount(kept: float, sd: float, note: str) -> WeedDiscount:
    return WeedDiscount(
        kept=Fact(
            value=kept,
            unit="fraction of the green",
            low=max(0.0, kept - 0.2),
            high=min(1.0, kept + 0.2),
            source=EXPERT_JUDGEMENT,
            note=note,
        ),
        sd=Fact(value=sd, unit="fraction of the green", low=0.0, high=2 * sd, source=EXPERT_JUDGEMENT),
    )


WEED_DISCOUNTS = {
    "none": _discount(1.0, 0.0, "the owner saw no weeds"),
    "some": _discount(0.7, 0.15, "less than half of the green"),
    "most": _discount(0.25, 0.15, "more than half of the green"),
    "not_sure": _discount(0.85, 0.15, "green grass and green weeds look alike in a photo"),
}

# --- the trend: logit cover = level + growth * warm days -------------------------------------------------------------

GROWING_PER_DAY = Fact(
    value=0.015,
    unit="logit per warm day",
    low=0.01,
    high=0.02,
    source=EXPERT_JUDGEMENT,
    note="slower, a spot needs 146 warm days from a tenth to half cover",
)
GROWTH_LOW_PER_DAY = Fact(
    value=-0.05, unit="logit per warm day", low=-0.1, high=-0.02, source=EXPERT_JUDGEMENT, note="dying back"
)
GROWTH_HIGH_PER_DAY = Fact(
    value=0.20, unit="logit per warm day", low=0.15, high=0.3, source=EXPERT_JUDGEMENT, note="doubles in four days"
)
GROWING_BEFORE_PROBABILITY = Fact(
    value=0.75,
    unit="probability",
    low=0.5,
    high=0.85,
    source=EXPERT_JUDGEMENT,
    note="before any photo: about even over all paces",
)
LEVEL_LOW_PERCENT = Fact(value=0.05, unit="percent of the spot", low=0.01, high=0.2, source=EXPERT_JUDGEMENT)
LEVEL_HIGH_PERCENT = Fact(value=99.5, unit="percent of the spot", low=98.0, high=99.9, source=EXPERT_JUDGEMENT)

# How finely the posterior is worked out: no agronomy in it.
GRID_LEVELS = Fact(value=96, unit="grid points", low=40, high=200, source=EXPERT_JUDGEMENT)
GRID_GROWTHS = Fact(value=48, unit="grid points", low=40, high=200, source=EXPERT_JUDGEMENT)
SEARCH_LEVELS = Fact(value=26, unit="grid points", low=20, high=80, source=EXPERT_JUDGEMENT)
SEARCH_GROWTHS = Fact(value=26, unit="grid points", low=20, high=80, source=EXPERT_JUDGEMENT)
SEARCH_KEEPS_LOG = Fact(
    value=14.0, unit="natural log of the odds", low=10.0, high=20.0, source=EXPERT_JUDGEMENT, note="below the best"
)

OUTLOOK_WARM_DAYS = Fact(value=28, unit="warm days", low=14, high=42, source=EXPERT_JUDGEMENT, note="four warm weeks")
INTERVAL_PROBABILITY = Fact(value=0.90, unit="probability", low=0.8, high=0.95, source=EXPERT_JUDGEMENT)
HALF_COVER_PERCENT = Fact(value=50.0, unit="percent of the spot", low=50.0, high=50.0, source=KARCHER_2005)
HALF_COVER_INTERVAL_PROBABILITY = Fact(value=0.80, unit="probability", low=0.5, high=0.9, source=EXPERT_JUDGEMENT)
FURTHEST_WARM_DAYS = Fact(
    value=365, unit="warm days", low=200, high=400, source=EXPERT_JUDGEMENT, note="beyond this: not in sight"
)
CHANGE_PROBABILITY = Fact(
    value=0.95,
    unit="probability",
    low=0.9,
    high=0.99,
    source=EXPERT_JUDGEMENT,
    note="a change is told only when chance alone passes it one time in twenty",
)

# --- states ----------------------------------------------------------------------------------------------------------

FEWEST_READINGS = Fact(
    value=4, unit="readings", low=3, high=6, source=EXPERT_JUDGEMENT, others=((3, WRIGHT_2017),), note=SIMULATED
)
FEWEST_WARM_DAYS = Fact(value=21, unit="warm days", low=14, high=28, source=EXPERT_JUDGEMENT, note=SIMULATED)
RECOVERED_PERCENT = Fact(value=75.0, unit="percent of the spot", low=60.0, high=90.0, source=EXPERT_JUDGEMENT)
RECOVERING_PROBABILITY = Fact(value=0.90, unit="probability", low=0.8, high=0.95, source=EXPERT_JUDGEMENT)
RECOVERING_PERCENT = Fact(
    value=8.0,
    unit="percent of the spot",
    low=4.0,
    high=10.0,
    source=EXPERT_JUDGEMENT,
    note=f"or a gain that can be told from chance: weeds that creep in stay below; {SIMULATED}",
)
RECOVERING_READINGS = Fact(
    value=2, unit="readings", low=1, high=3, source=EXPERT_JUDGEMENT, note="with 5 percent or more among the newest"
)
RECOVERING_OF_READINGS = Fact(value=3, unit="readings", low=2, high=4, source=EXPERT_JUDGEMENT)
STALLED_WARM_DAYS = Fact(value=28, unit="warm days", low=21, high=42, source=EXPERT_JUDGEMENT, note=SIMULATED)
STALLED_PROBABILITY = Fact(value=0.20, unit="probability", low=0.1, high=0.3, source=EXPERT_JUDGEMENT, note=SIMULATED)
BARE_PERCENT = Fact(value=5.0, unit="percent of the spot", low=3.0, high=8.0, source=EXPERT_JUDGEMENT, note=SIMULATED)
BARE_PROBABILITY = Fact(value=0.80, unit="probability", low=0.7, high=0.9, source=EXPERT_JUDGEMENT, note=SIMULATED)
NO_REGROWTH_PROBABILITY = Fact(
    value=0.85,
    unit="probability",
    low=0.5,
    high=0.9,
    source=EXPERT_JUDGEMENT,
    note="of growth, from which on a bare spot is no longer told as one without regrowth",
)
DEAD_GROWING_PROBABILITY = Fact(
    value=0.6, unit="probability", low=0.3, high=0.75, source=EXPERT_JUDGEMENT, note=f"of growth, at most; {SIMULATED}"
)
DEAD_RATIO = Fact(
    value=0.055,
    unit="likelihood ratio",
    low=0.03,
    high=0.1,
    source=EXPERT_JUDGEMENT,
    note=f"photos alone: at most so much better explained by a spot that returns than by a dead one; {SIMULATED}",
)
DEAD_RATIO_TESTED = Fact(
    value=0.5,
    unit="likelihood ratio",
    low=0.3,
    high=0.8,
    source=EXPERT_JUDGEMENT,
    note=f"the same, where a pot test failed as well; {SIMULATED}",
)
DEAD_LAST_READINGS = Fact(
    value=2, unit="readings", low=2, high=3, source=EXPERT_JUDGEMENT, note="so that no single photo decides"
)

# --- what photos say about the share of growing points alive ---------------------------------------------------------
# A spot that returns: nothing for a lag, then logit cover rises from a start at a steady pace. The more is alive, the
# sooner, the greener and the faster it starts. All expert judgement: no publication ties cover to the share alive.

LAG_MEAN_WARM_DAYS = Fact(
    value=17.0,
    unit="warm days",
    low=7.0,
    high=28.0,
    source=EXPERT_JUDGEMENT,
    note="with next to nothing alive; late starters show nothing for four warm weeks",
)
LAG_SOONER_WARM_DAYS = Fact(value=10.0, unit="warm days sooner, all alive", low=0.0, high=20.0, source=EXPERT_JUDGEMENT)
LAG_LONGEST_WARM_DAYS = Fact(value=84.0, unit="warm days", low=56.0, high=112.0, source=EXPERT_JUDGEMENT)
START_LOW_PERCENT = Fact(value=0.3, unit="percent of the spot", low=0.1, high=1.0, source=EXPERT_JUDGEMENT)
START_HIGH_PERCENT = Fact(
    value=3.0, unit="percent of the spot, next to nothing alive", low=1.5, high=6.0, source=EXPERT_JUDGEMENT
)
START_HIGH_ALIVE_PERCENT = Fact(
    value=50.0, unit="percent of the spot, all alive", low=20.0, high=80.0, source=EXPERT_JUDGEMENT
)
START_ANY_PROBABILITY = Fact(
    value=0.15,
    unit="probability",
    low=0.05,
    high=0.3,
    source=EXPERT_JUDGEMENT,
    note="that the cover at the start tells nothing of the share alive: growth began before, or runs from the edges",
)
PACE_MEDIAN_PER_DAY = Fact(
    value=0.05, unit="logit per warm day, next to nothing alive", low=0.03, high=0.08, source=EXPERT_JUDGEMENT
)
PACE_MEDIAN_ALIVE_PER_DAY = Fact(
    value=0.08, unit="logit per warm day, all alive", low=0.05, high=0.12, source=EXPERT_JUDGEMENT
)
PACE_LOG_SD = Fact(value=0.5, unit="natural log", low=0.3, high=0.8, source=EXPERT_JUDGEMENT)
PACE_LOW_PER_DAY = Fact(value=0.01, unit="logit per warm day", low=0.005, high=0.02, source=EXPERT_JUDGEMENT)
STALLS_PROBABILITY = Fact(
    value=0.05,
    unit="probability",
    low=0.02,
    high=0.2,
    source=EXPERT_JUDGEMENT,
    note="a living spot that greens a little and stays so: shade, drought, disease",
)
DEAD_GREEN_HIGH_PERCENT = Fact(
    value=2.0,
    unit="percent of the spot",
    low=1.0,
    high=4.0,
    source=EXPERT_JUDGEMENT,
    note="moss, weeds, and what a photo takes for green where no grass lives",
)
DEAD_WEEDS_PROBABILITY = Fact(
    value=0.03,
    unit="probability",
    low=0.01,
    high=0.2,
    source=EXPERT_JUDGEMENT,
    note="dead ground that greens with weeds nobody told of",
)
ALIVE_STARTS = Fact(value=14, unit="grid points", low=6, high=30, source=EXPERT_JUDGEMENT)
ALIVE_PACES = Fact(value=12, unit="grid points", low=6, high=30, source=EXPERT_JUDGEMENT)
ALIVE_LAGS = Fact(value=13, unit="grid points", low=7, high=40, source=EXPERT_JUDGEMENT)
