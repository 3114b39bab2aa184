"""What makes a reading doubtful that could be true by its size alone: it stands still, or it leaps."""

from __future__ import annotations

from rules.facts.fact import Fact, FactRange, Source
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT

MADIS = Source(
    key="madis-surface-qc",
    who="NOAA Meteorological Assimilation Data Ingest System (MADIS)",
    title="Meteorological surface quality control checks",
    where="madis.ncep.noaa.gov/madis_sfc_qc_notes.shtml",
)
UW_QC = Source(
    key="uw-observations-qc",
    who="Univ. of Washington, Atmospheric Sciences, after Shafer et al. 2000 (Oklahoma Mesonet)",
    title="Observations QC documentation",
    where="atmos.uw.edu/~jbaars/qc_documentation.html",
)

MOST_CHANGE_DC_PER_HOUR = Fact(
    value=15.0,
    unit="Celsius degrees from one hour to the next",
    low=10.0,
    high=19.5,
    source=UW_QC,
    others=((10.0, UW_QC), (19.4, MADIS)),
    note="the step called a warning; 10 is called suspect there. MADIS refuses more than 35 Fahrenheit degrees",
)
LONGEST_SAME_HOURS = Fact(
    value=12,
    unit="hours",
    low=6,
    high=24,
    source=EXPERT_JUDGEMENT,
    others=((24, UW_QC),),
    note="fog can hold whole degrees for long; a sensor that hangs does it for days",
)
ZERO_CURTAIN_C = FactRange(
    low=-1.0,
    high=1.0,
    unit="degC",
    source=EXPERT_JUDGEMENT,
    note="soil that freezes or thaws stands still near 0 for days, in truth",
)
LONGEST_BRIDGE_HOURS = Fact(
    value=3,
    unit="hours",
    low=1,
    high=6,
    source=COMMON_PRACTICE,
    note="a straight line misses little of the day's course in so short a time",
)
