"""Dates of a southern spring until weather is known, and how long to wait before judging."""

from __future__ import annotations

from rules.facts.fact import Fact, Source
from rules.facts.sources import EXPERT_JUDGEMENT, FROM_MEMORY

UGA_MSU_PATIENCE = Source(
    key="uga-msu-patience",
    who="Waltz (Univ. of Georgia); Nagel (Mississippi State) 1996",
    title="Spring greenup problems; Damaged lawns struggle to recover: both counsel patience, no day count is printed",
    where="ugaurbanag.com/spring-greenup-problems; extension.msstate.edu/news/feature-story/1996/"
    "damaged-lawns-struggle-recover",
)
WALTZ_SOIL_65 = Source(
    key="waltz-soil-65",
    who="Waltz, Univ. of Georgia",
    title="Spring green-up and timing nitrogen applications to soil temperature",
    where="ugaurbanag.com/spring-green-timing-nitrogen-applications-temperature",
)
FROST_NORMALS = Source(
    key="frost-normals",
    who="NOAA station normals as reprinted in seed-sowing tables",
    title="Dates with a 50 percent chance of a later 32 F night",
    where="yesitsme2.tripod.com/frostdates.html",
)
WAIT_AFTER_MEAN = Source(
    key="wait-after-mean-frost",
    who="Texas garden column (Sperry)",
    title="Wait a couple of weeks after the average last freeze",
    where="neilsperry.com/faq/where-frost-free-dates-county-how-planting-flowers-vegetables-10007",
)

# Mean date of the last 32 F night by latitude (degrees north -> day of the year), inland and within 30 miles of the
# Gulf or the Atlantic. Expert judgement drawn through published station dates, which tests compare within two weeks:
# Mobile, New Orleans, Tampa, Savannah, Monroe, Vicksburg, Columbus, Pine Bluff, Athens (source FROST_NORMALS).
LAST_FROST_SOURCE = EXPERT_JUDGEMENT
LAST_FROST_INLAND_DAY = (
    (26.0, 15),
    (28.0, 34),
    (29.0, 46),
    (30.0, 57),
    (31.0, 62),
    (32.0, 68),
    (33.0, 77),
    (34.0, 86),
    (35.0, 92),
    (36.0, 98),
    (37.0, 103),
    (38.0, 108),
    (39.0, 112),
    (40.0, 116),
)
LAST_FROST_COAST_DAY = (
    (26.0, 5),
    (28.0, 28),
    (29.0, 38),
    (30.0, 51),
    (31.0, 59),
    (32.0, 67),
    (33.0, 70),
    (34.0, 79),
    (35.0, 84),
    (36.0, 87),
    (37.0, 89),
    (38.0, 94),
    (40.0, 100),
)
# First day from which 4-in soil usually stays at or above 65 F (degrees north -> day of the year). Expert judgement
# drawn through US Climate Reference Network soil at 10 cm in late March, carried on at its own rate of warming
# (Titusville 5 Mar, Newton GA 21 Mar, Fairhope 29 Mar, Palestine 2 Apr, Selma 7 Apr, Blackville 9 Apr,
# Stillwater 23 Apr, Watkinsville 24 Apr, Asheville 4 May).
WARM_SOIL_SOURCE = EXPERT_JUDGEMENT
WARM_SOIL_DAY = (
    (26.0, 15),
    (27.0, 46),
    (28.0, 63),
    (29.0, 71),
    (30.0, 79),
    (31.0, 85),
    (32.0, 93),
    (33.0, 100),
    (34.0, 108),
    (35.0, 116),
    (36.0, 123),
    (37.0, 128),
    (38.0, 133),
    (39.0, 138),
    (40.0, 142),
)
# Mean date of the first 32 F night of autumn (degrees north -> day of the year), for planting windows.
FIRST_FALL_FROST_SOURCE = EXPERT_JUDGEMENT
FIRST_FALL_FROST_INLAND_DAY = (
    (26.0, 365),
    (28.0, 355),
    (29.0, 340),
    (30.0, 328),
    (31.0, 320),
    (32.0, 315),
    (33.0, 309),
    (34.0, 307),
    (35.0, 303),
    (36.0, 299),
    (38.0, 293),
    (40.0, 287),
)
TABLE_GIVE_OR_TAKE_DAYS = Fact(
    value=14, unit="days", low=10, high=21, source=EXPERT_JUDGEMENT, note="all table dates are told as about"
)
FROST_GATE_AFTER_MEAN_DAYS = Fact(
    value=14, unit="days", low=10, high=21, source=WAIT_AFTER_MEAN, note="half of all springs frost after the mean date"
)
COAST_WITHIN_KM = Fact(value=48.0, unit="km", low=25.0, high=80.0, source=EXPERT_JUDGEMENT, note="30 miles")
COAST_FALL_FROST_LATER_DAYS = Fact(value=12, unit="days", low=5, high=25, source=EXPERT_JUDGEMENT)
COAST_WARM_SOIL_EARLIER_DAYS = Fact(value=2, unit="days", low=0, high=7, source=EXPERT_JUDGEMENT)
HIGH_PLAINS_WEST_OF_LONGITUDE = Fact(
    value=-100.0, unit="degrees east", low=-101.0, high=-99.0, source=EXPERT_JUDGEMENT, note="the land rises from here"
)
HIGH_PLAINS_LATER_DAYS = Fact(
    value=12, unit="days", low=5, high=20, source=EXPERT_JUDGEMENT, note="frost lingers on high ground north of 31 N"
)
HIGH_PLAINS_FROM_LATITUDE = Fact(value=31.0, unit="degrees north", low=30.0, high=32.0, source=EXPERT_JUDGEMENT)

WARM_DAY_SOIL_C = Fact(
    value=18.33, unit="degC", low=17.8, high=18.9, source=WALTZ_SOIL_65, note="65 F, mean of the day at 4 in"
)
JUDGING_WARM_DAYS = Fact(
    value=42, unit="warm days", low=28, high=56, source=EXPERT_JUDGEMENT, others=((42, UGA_MSU_PATIENCE),)
)
JUDGING_WARM_DAYS_RHIZOMES = Fact(
    value=56,
    unit="warm days",
    low=42,
    high=70,
    source=EXPERT_JUDGEMENT,
    note="bermuda and zoysia: rhizomes come late; zoysia still in June in North Carolina 2009 and 2018 (NC State)",
)
LIKELY_DEAD_WARM_DAYS = Fact(
    value=70,
    unit="warm days",
    low=56,
    high=84,
    source=EXPERT_JUDGEMENT,
    note="before this, likely dead also needs a failed pot test and green cover under 3 percent",
)
LIKELY_DEAD_PROBABILITY = Fact(
    value=0.6,
    unit="probability",
    low=0.5,
    high=0.8,
    source=EXPERT_JUDGEMENT,
    note="nothing is called likely dead while everything known together says it more likely lives",
)
LIKELY_DEAD_GREEN_FRACTION = Fact(value=0.03, unit="fraction", low=0.01, high=0.05, source=EXPERT_JUDGEMENT)
UPPER_SOUTH_FROM_LATITUDE = Fact(
    value=34.5,
    unit="degrees north",
    low=34.0,
    high=35.5,
    source=EXPERT_JUDGEMENT,
    note="north of it: not before 1 June",
)
UPPER_SOUTH_NOT_BEFORE_MONTH = Fact(value=6, unit="month of the year", low=5, high=7, source=EXPERT_JUDGEMENT)
WINTER_FROM_MONTH = Fact(
    value=9,
    unit="month of the year",
    low=8,
    high=10,
    source=EXPERT_JUDGEMENT,
    note="a frost from here on belongs to the coming spring",
)
TEST_AGAIN_WARM_DAYS = Fact(
    value=28,
    unit="warm days",
    low=21,
    high=35,
    source=EXPERT_JUDGEMENT,
    note="few live plugs by then: test and prepare",
)

# The Gulf and Atlantic shore from Brownsville to Cape May, coarsely (latitude, longitude). Enough to tell a town
# within 30 miles of the sea from one that is not.
COAST_SOURCE = FROM_MEMORY
COAST_POINTS = (
    (25.96, -97.15),
    (27.80, -97.10),
    (28.60, -95.95),
    (29.30, -94.80),
    (29.70, -93.85),
    (29.55, -92.30),
    (29.25, -91.20),
    (29.10, -90.20),
    (29.90, -89.60),
    (30.38, -88.90),
    (30.25, -88.00),
    (30.38, -86.50),
    (29.95, -85.60),
    (29.70, -84.90),
    (30.08, -84.00),
    (29.15, -83.03),
    (28.00, -82.80),
    (27.30, -82.56),
    (26.45, -82.05),
    (25.20, -81.10),
    (25.20, -80.40),
    (26.70, -80.03),
    (28.40, -80.58),
    (29.90, -81.29),
    (30.70, -81.44),
    (31.15, -81.38),
    (32.00, -80.85),
    (32.75, -79.87),
    (33.70, -78.85),
    (33.85, -78.00),
    (34.20, -77.80),
    (34.65, -76.55),
    (35.25, -75.53),
    (36.85, -75.97),
    (37.90, -75.35),
    (38.93, -74.95),
)
