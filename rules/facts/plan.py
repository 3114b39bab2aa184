"""Spacing of a care plan's tasks. The gates themselves (frost, warm soil, judging day) stand in `season.py`."""

from __future__ import annotations

from rules.facts.fact import Fact, Source
from rules.facts.sources import EXPERT_JUDGEMENT

MARTIN_LOOK = Source(
    key="runner-look-after-thaw",
    who="Martin, Oklahoma State Univ.",
    title="Sub-freezing temperatures challenge bermudagrass survival",
    where="usga.org",
)
FRY_PLUGS = Source(
    key="fry-plugs",
    who="Fry, Kansas State Univ.",
    year=2021,
    title="Plugs brought inside are read in two to three weeks",
    where="blogs.k-state.edu/turf/tag/injury",
)

LOOK_AFTER_THAW_DAYS = Fact(
    value=7,
    unit="days",
    low=3,
    high=10,
    source=EXPERT_JUDGEMENT,
    others=((3, MARTIN_LOOK),),
    note="runners killed by frost need some days to turn soft and brown",
)
SECOND_LOOK_AFTER_DAYS = Fact(value=14, unit="days", low=10, high=21, source=EXPERT_JUDGEMENT)
POT_READ_FIRST_DAYS = Fact(value=14, unit="days", low=14, high=21, source=FRY_PLUGS)
POT_READ_AGAIN_DAYS = Fact(value=7, unit="days", low=7, high=7, source=EXPERT_JUDGEMENT, note="weeks 3 and 4")
POT_READS = Fact(value=3, unit="readings", low=2, high=4, source=EXPERT_JUDGEMENT, note="weeks 2, 3 and 4")
PHOTOS_FROM_BEFORE_WARM_SOIL_DAYS = Fact(
    value=14, unit="days", low=7, high=28, source=EXPERT_JUDGEMENT, note="two weekly pictures before growth can start"
)
PHOTO_EVERY_DAYS = Fact(value=7, unit="days", low=7, high=14, source=EXPERT_JUDGEMENT)
WINTER_WATER_ENDS_BEFORE_DAYS = Fact(
    value=10, unit="days", low=7, high=21, source=EXPERT_JUDGEMENT, note="then the spring watering takes over"
)
AFTER_LATE_FROST_DAYS = Fact(
    value=10, unit="days", low=7, high=14, source=EXPERT_JUDGEMENT, note="no cut this soon after a frost in spring"
)
DONT_JUDGE_AFTER_WARM_SOIL_DAYS = Fact(value=21, unit="days", low=14, high=28, source=EXPERT_JUDGEMENT)
TASK_OPEN_DAYS = Fact(
    value=10, unit="days", low=5, high=14, source=EXPERT_JUDGEMENT, note="a task stays useful this long after its day"
)
WATER_OPEN_DAYS = Fact(value=5, unit="days", low=3, high=7, source=EXPERT_JUDGEMENT)
FEED_OPEN_DAYS = Fact(value=21, unit="days", low=14, high=28, source=EXPERT_JUDGEMENT)
JUDGE_OPEN_DAYS = Fact(value=60, unit="days", low=30, high=120, source=EXPERT_JUDGEMENT)
PLAN_PHOTOS_AT_MOST = Fact(value=10, unit="pictures", low=6, high=14, source=EXPERT_JUDGEMENT)
