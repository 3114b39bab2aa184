"""Figures for how cold the crowns got and what that does to them."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from rules.facts.fact import Fact, FactRange, Source
from rules.facts.sources import COMMON_PRACTICE, EXPERT_JUDGEMENT, FROM_MEMORY
from rules.units import f_to_c

BUSEY_2003 = Source(
    key="busey-2003",
    who="Busey",
    year=2003,
    title="St. Augustinegrass survival in 24 Florida counties, December 1989",
    where="HortScience 38:1439-1440",
)
ANDERSON_EXPOSURE = Source(
    key="bermuda-exposure",
    who="Anderson et al.",
    year=2003,
    title="Longer exposure durations increase freeze damage to turf bermudagrasses",
    where="Crop Science 43:973-977 (volume and year from memory)",
)
USCRN = Source(
    key="uscrn",
    who="NOAA US Climate Reference Network; Diamond et al. 2013, Bell et al. 2013",
    title="daily01 soil and air temperatures of southern stations, winters 2010 to 2020 (our reading)",
    where="doi 10.1175/BAMS-D-12-00170.1, doi 10.1175/JHM-D-12-0146.1",
)
JOHNSTON_DICKENS_1977 = Source(
    key="johnston-dickens-1977",
    who="Johnston and Dickens",
    year=1977,
    title="Cold tolerance of centipedegrass",
    where="Agronomy Journal 69, doi 10.2134/agronj1977.00021962006900010026x",
)
JOHNSTON_DICKENS_1976 = Source(
    key="johnston-dickens-1976",
    who="Johnston and Dickens",
    year=1976,
    title="Centipedegrass cold tolerance as affected by environmental factors",
    where="Agronomy Journal 68:83-85",
)
REEVES_MCBEE_1972 = Source(
    key="reeves-mcbee-1972",
    who="Reeves and McBee",
    year=1972,
    title="Nutritional influences on cold hardiness of St. Augustinegrass",
    where="Agronomy Journal 64:447-450",
)
WU_2017 = Source(
    key="wu-2017",
    who="Wu, Chandra, Genovesi, Meeks",
    year=2017,
    title="Freezing tolerance of zoysiagrass",
    where="doi 10.2134/itsrj2016.05.0427",
)
WXGUYS = Source(
    key="hard-freeze",
    who="Univ. of Wisconsin weather column",
    title="What a hard freeze is (28 F)",
    where="wxguys.ssec.wisc.edu/?p=2486",
)

# --- one lawn's spread of crowns around its LT50 ----------------------------------------------------------------

LOGISTIC_SCALE_DC = Fact(
    value=0.8,
    unit="degC",
    low=0.72,
    high=0.82,
    source=ANDERSON_EXPOSURE,
    note="no slope is printed; derived from survival at a known distance above the LT50 (Riviera 83 % at 1.3, "
    "Princess 89 % at 1.5 degC above)",
)

# --- time near the minimum ---------------------------------------------------------------------------------------
# LT50 moves warmer with the hours held: about +1.0 degC at 2 h, +2.1 at 24 h, +3.0 at 72 h. Written as
# slope * log10(1 + factor * hours), which passes through zero at zero hours and within 0.3 degC of the three points.

HOLD_SLOPE_DC = Fact(
    value=1.3,
    unit="degC per tenfold time",
    low=1.0,
    high=1.6,
    source=ANDERSON_EXPOSURE,
    note="derived from survival of Princess at -5.4 degC after 0, 2, 24 and 72 h",
)
HOLD_FACTOR_PER_HOUR = Fact(
    value=1.9,
    unit="1/h",
    low=1.0,
    high=3.0,
    source=EXPERT_JUDGEMENT,
    note="makes the smooth curve pass near the derived points",
)
HOLD_CAP_DC = Fact(value=3.2, unit="degC", low=2.7, high=3.5, source=EXPERT_JUDGEMENT, note="no test ran beyond 5 days")
LAB_HOLD_HOURS_BERMUDA = Fact(
    value=0.0, unit="h", low=0.0, high=1.0, source=ANDERSON_EXPOSURE, note="ramps reach the minimum and stop"
)
LAB_HOLD_HOURS_OTHERS = Fact(
    value=3.0,
    unit="h",
    low=1.0,
    high=4.0,
    source=EXPERT_JUDGEMENT,
    others=((1.0, WU_2017), (4.0, JOHNSTON_DICKENS_1977)),
    note="laboratories held zoysia 1 h and centipede 4 h; hours beyond about 3 count",
)
HOURS_FIRST_NIGHT = Fact(
    value=4.0,
    unit="h",
    low=2.0,
    high=7.0,
    source=EXPERT_JUDGEMENT,
    note="crown within 1 degC of its lowest, clear night",
)
HOURS_EACH_FURTHER_DAY = Fact(value=2.0, unit="h", low=0.5, high=5.0, source=EXPERT_JUDGEMENT)
HOURS_MOST = Fact(value=24.0, unit="h", low=12.0, high=48.0, source=EXPERT_JUDGEMENT)

# --- hardening by the time of year, until weather is known -------------------------------------------------------

# (month, day) between which grass is taken as hardened, and as half way: expert judgement, until weather is known.
MIDWINTER_FROM, MIDWINTER_TO = (12, 15), (2, 15)
SHOULDER_FROM, SHOULDER_TO = (11, 15), (3, 10)
HARDENED_MIDWINTER_FRACTION = Fact(
    value=0.85, unit="fraction", low=0.6, high=1.0, source=EXPERT_JUDGEMENT, note="15 December to 15 February"
)
HARDENED_SHOULDER_FRACTION = Fact(
    value=0.6, unit="fraction", low=0.3, high=0.9, source=EXPERT_JUDGEMENT, note="from 15 November, and to 10 March"
)
HARDENED_EARLY_LATE_FRACTION = Fact(
    value=0.3, unit="fraction", low=0.0, high=0.6, source=EXPERT_JUDGEMENT, note="before and after that"
)
HARDENED_SD_FRACTION = Fact(value=0.2, unit="fraction", low=0.1, high=0.3, source=EXPERT_JUDGEMENT)

# --- hardening undone by warm days, where weather is known ---------------------------------------------------------

SOFTENING_AIR_MAX_C = Fact(
    value=20.0,
    unit="degC",
    low=18.0,
    high=25.0,
    source=EXPERT_JUDGEMENT,
    others=((25.0, REEVES_MCBEE_1972),),
    note="the day's highest; chambers were held at 25 degC day and night",
)
SOFTENING_WINDOW_DAYS = Fact(
    value=10,
    unit="days",
    low=5,
    high=14,
    source=JOHNSTON_DICKENS_1976,
    note="more than ten cold days hardened centipede no further: what was lost before is regained",
)
SOFTENING_FULL_DAYS = Fact(
    value=3,
    unit="warm days",
    low=2,
    high=7,
    source=REEVES_MCBEE_1972,
    others=((2, JOHNSTON_DICKENS_1976),),
    note="CALIBRATION, not evidence. St. Augustine lost most of its hardiness between 48 and 72 h at 25 degC, "
    "centipede all in 2 days of warm growth",
)
SOFTENED_MOST_FRACTION = Fact(
    value=0.8,
    unit="fraction of the hardening",
    low=0.5,
    high=1.0,
    source=REEVES_MCBEE_1972,
    others=((1.0, JOHNSTON_DICKENS_1976),),
    note="CALIBRATION, not evidence. 'The majority' and 'all'; nights outdoors are cooler than the chambers were",
)

# --- the rough way from told air temperature to crown and soil (a physical model replaces it) --------------------

WINTER_SOIL_AT_31N_C = Fact(
    value=11.0,
    unit="degC",
    low=8.0,
    high=13.5,
    source=USCRN,
    note="2-in soil before the cold at 31 N; December to February means run 8.8 to 13.5 between 30.5 and 32 N",
)
WINTER_SOIL_LATITUDE = Fact(
    value=31.0, unit="degrees north", low=31.0, high=31.0, source=USCRN, note="where the figure above belongs"
)
WINTER_SOIL_PER_DEGREE_DC = Fact(
    value=1.0, unit="degC per degree of latitude", low=0.8, high=1.4, source=USCRN, note="cooler going north"
)
WINTER_SOIL_FLOOR_C = Fact(value=0.5, unit="degC", low=0.0, high=2.0, source=EXPERT_JUDGEMENT)
HALF_DAY_RANGE_DC = Fact(
    value=7.8, unit="degC", low=5.6, high=9.4, source=USCRN, note="mean minus minimum on each winter's coldest day"
)
SOIL_RESPONSE_DAYS = Fact(
    value=4.0,
    unit="days",
    low=2.0,
    high=6.0,
    source=USCRN,
    note="2-in soil against days with frost, 137 station-winters",
)
FREEZING_CURTAIN_FRACTION = Fact(
    value=0.3,
    unit="fraction",
    low=0.2,
    high=0.7,
    source=USCRN,
    note="freezing water holds 2-in soil near 0 degC: only this share of a drop below zero appears",
)
COVER_RESISTANCE_M2K_W = Fact(
    value=0.29,
    unit="m2 K/W",
    low=0.12,
    high=0.5,
    source=EXPERT_JUDGEMENT,
    note="canopy, thatch and still air over soil",
)
SOIL_RESISTANCE_SLOW_M2K_W = Fact(
    value=0.29,
    unit="m2 K/W",
    low=0.15,
    high=0.6,
    source=USCRN,
    note="with the cover above: half of a cold day's mean reaches 2-in soil in the end",
)
SOIL_RESISTANCE_NIGHT_M2K_W = Fact(
    value=0.91,
    unit="m2 K/W",
    low=0.4,
    high=1.5,
    source=BUSEY_2003,
    note="CALIBRATION, not evidence: set so that half of St. Augustine crowns live at an air minimum of -7.9 degC "
    "(Florida, December 1989, no snow); leaves the crown about 4 degC above the air",
)
SNOW_CONDUCTIVITY_W_MK = Fact(
    value=0.10,
    unit="W/m/K",
    low=0.05,
    high=0.21,
    source=FROM_MEMORY,
    note="snow of 130 to 200 kg/m3; published formulas differ by a factor of 1.7 at 200",
)
SNOW_COUNTS_FROM_IN = Fact(
    value=1.0, unit="in", low=0.5, high=2.0, source=EXPERT_JUDGEMENT, note="thinner snow gaps: not called a blanket"
)
SNOW_EVENS_OUT_IN = Fact(
    value=1.5,
    unit="in",
    low=1.0,
    high=3.0,
    source=EXPERT_JUDGEMENT,
    note="depth at which about two thirds of the day's swing no longer reach the crown",
)
SOIL_2IN_SD_DC = Fact(
    value=1.7, unit="degC", low=1.5, high=2.2, source=USCRN, note="residual of the rough formula, 137 station-winters"
)
CROWN_SD_DC = Fact(
    value=2.5, unit="degC", low=2.0, high=3.0, source=EXPERT_JUDGEMENT, note="nobody has published crown temperatures"
)
CROWN_SD_UNDER_SNOW_DC = Fact(value=1.8, unit="degC", low=1.3, high=2.5, source=EXPERT_JUDGEMENT)

# --- depth of rhizomes -------------------------------------------------------------------------------------------

RHIZOME_SHALLOW_IN = Fact(value=0.5, unit="in", low=0.25, high=0.75, source=EXPERT_JUDGEMENT)
RHIZOME_MIDDLE_IN = Fact(value=1.0, unit="in", low=0.75, high=1.5, source=EXPERT_JUDGEMENT)
RHIZOME_DEEP_IN = Fact(value=2.0, unit="in", low=1.5, high=4.0, source=EXPERT_JUDGEMENT)
RHIZOME_MIDDLE_FRACTION = Fact(
    value=0.5, unit="fraction", low=0.3, high=0.7, source=EXPERT_JUDGEMENT, note="the rest is split above and below"
)
PULL_AT_SHALLOW_FRACTION = Fact(
    value=0.65,
    unit="fraction",
    low=0.5,
    high=0.8,
    source=EXPERT_JUDGEMENT,
    note="share of the crown's difference from 2-in soil that is left at 0.5 in",
)
PULL_AT_MIDDLE_FRACTION = Fact(
    value=0.4, unit="fraction", low=0.25, high=0.6, source=EXPERT_JUDGEMENT, note="the same at 1 in"
)

# --- what a spot does to the cold it feels (direction published, size judged) -------------------------------------

NORTH_OR_SHADE_DC = Fact(
    value=-0.7,
    unit="degC",
    low=-1.5,
    high=0.0,
    source=EXPERT_JUDGEMENT,
    note="worse on north sides and in winter shade: direction from Miss. State 2014 and Univ. of Tennessee",
)
WINDY_OPEN_DC = Fact(value=-0.3, unit="degC", low=-1.0, high=0.3, source=EXPERT_JUDGEMENT)
WET_LOW_DC = Fact(
    value=-0.5,
    unit="degC",
    low=-1.5,
    high=0.5,
    source=EXPERT_JUDGEMENT,
    note="hydrated crowns freeze easier; moist soil also holds heat: sources disagree",
)
NEW_TURF_DC = Fact(
    value=-0.8,
    unit="degC",
    low=-1.5,
    high=0.0,
    source=EXPERT_JUDGEMENT,
    others=((0.0, BUSEY_2003),),
    note="shallow roots; Oklahoma State 2014 and NC State 2018 saw more loss, Busey 2003 saw none",
)

# --- other ways to lose it all, whatever the temperature ----------------------------------------------------------

OTHER_LOSS_PROBABILITY = Fact(
    value=0.02, unit="probability", low=0.0, high=0.06, source=EXPERT_JUDGEMENT, note="drying, standing water, disease"
)
OTHER_LOSS_WET_PROBABILITY = Fact(
    value=0.10,
    unit="probability",
    low=0.03,
    high=0.2,
    source=EXPERT_JUDGEMENT,
    note="Mississippi coast 2014 lost turf to saturation with little freeze (Miss. State)",
)
OTHER_LOSS_WINDY_PROBABILITY = Fact(
    value=0.06,
    unit="probability",
    low=0.02,
    high=0.15,
    source=EXPERT_JUDGEMENT,
    note="drying named the main cause of Texas losses in 2005-06 (McAfee, Chalmers, Havlak 2006)",
)

PICTURE_WRONG_PROBABILITY = Fact(
    value=0.03,
    unit="probability",
    low=0.01,
    high=0.1,
    source=EXPERT_JUDGEMENT,
    note="another grass, a night colder or milder than anyone said: any share may live. Without it, odds near "
    "certainty could not be moved by what is found on the spot",
)

# --- blades --------------------------------------------------------------------------------------------------------

BLADES_HALF_KILLED_AT_C = Fact(
    value=-2.2, unit="degC air", low=-4.0, high=-1.0, source=WXGUYS, note="28 F, the old hard-freeze line"
)
BLADES_SCALE_DC = Fact(value=0.8, unit="degC", low=0.5, high=1.5, source=EXPERT_JUDGEMENT)

# --- when the owner cannot say ---------------------------------------------------------------------------------------

REPORTED_AIR_SD_DC = Fact(
    value=1.5, unit="degC", low=1.0, high=2.5, source=EXPERT_JUDGEMENT, note="an area's report, for one street in it"
)
SNOW_MATTERS_BELOW_C = Fact(
    value=-3.3, unit="degC air", low=-5.0, high=-2.0, source=EXPERT_JUDGEMENT, note="26 F; milder air hurts no crowns"
)
NOT_FREEZING_ABOVE_C = Fact(
    value=1.0, unit="degC air", low=0.0, high=2.0, source=EXPERT_JUDGEMENT, note="blades may frost, crowns do not"
)
AIR_MIN_UNKNOWN_C = Fact(
    value=-7.0, unit="degC", low=-12.0, high=-4.0, source=EXPERT_JUDGEMENT, note="a freeze that makes people ask"
)
AIR_MIN_UNKNOWN_SD_DC = Fact(value=3.5, unit="degC", low=2.5, high=5.0, source=EXPERT_JUDGEMENT)
DAYS_UNKNOWN = Fact(value=3.0, unit="days", low=1.0, high=7.0, source=EXPERT_JUDGEMENT)
SNOW_UNKNOWN_EXTRA_SD_DC = Fact(
    value=1.0, unit="degC", low=0.5, high=2.0, source=EXPERT_JUDGEMENT, note="snow lay or did not: unknown"
)

FREEZE_DAY_SLACK_DAYS = Fact(
    value=2, unit="days", low=1, high=4, source=EXPERT_JUDGEMENT, note="how far off people name the day of a freeze"
)
FREEZE_LOOK_BACK_DAYS = Fact(
    value=150, unit="days", low=90, high=210, source=EXPERT_JUDGEMENT, note="a freeze asked about is of this winter"
)
DIFFERENCE_TOLD_SD_DC = Fact(
    value=1.5, unit="degC", low=1.0, high=2.5, source=EXPERT_JUDGEMENT, note='"three degrees colder than that"'
)
FELT_DIFFERENCE_DC = Fact(
    value=1.5, unit="degC", low=1.0, high=3.0, source=EXPERT_JUDGEMENT, note='"it was colder here", without a number'
)
FELT_DIFFERENCE_SD_DC = Fact(value=2.0, unit="degC", low=1.5, high=3.0, source=EXPERT_JUDGEMENT)
SOIL_2IN_PER_AIR_FRACTION = Fact(
    value=0.33,
    unit="degC soil per degC air",
    low=0.2,
    high=0.5,
    source=EXPERT_JUDGEMENT,
    note="a difference of the night's lowest air reaches the lowest 2 in down by a third, as our model has it",
)
READING_FAR_OFF_DC = Fact(
    value=14.0,
    unit="degC",
    low=10.0,
    high=18.0,
    source=EXPERT_JUDGEMENT,
    note="25 F from a station near by: another night, another place, or another unit",
)
FREEZE_MISDATED_DAYS = Fact(
    value=45, unit="days", low=20, high=60, source=EXPERT_JUDGEMENT, note="how far off a freeze may be remembered"
)
SHOWN_AROUND_COLDEST_DAYS = Fact(
    value=7, unit="days", low=4, high=10, source=EXPERT_JUDGEMENT, note="as many as a phone's width can show"
)
OWN_THERMOMETER_SD_DC = Fact(
    value=1.5, unit="degC", low=1.0, high=2.5, source=EXPERT_JUDGEMENT, note="an owner's own reading, never better"
)

# --- words for shares and odds ----------------------------------------------------------------------------------------

SOME_LOSS_FRACTION = Fact(
    value=0.1, unit="fraction lost", low=0.05, high=0.2, source=EXPERT_JUDGEMENT, note="'some runners froze'"
)
NEARLY_ALL_LOST_ALIVE_FRACTION = Fact(
    value=0.1, unit="fraction alive", low=0.03, high=0.15, source=EXPERT_JUDGEMENT, note="'nearly all runners lost'"
)
MOSTLY_FINE_ALIVE_FRACTION = Fact(
    value=0.85, unit="fraction alive", low=0.7, high=0.9, source=EXPERT_JUDGEMENT, note="median above: fine"
)
MOSTLY_LOST_ALIVE_FRACTION = Fact(
    value=0.25, unit="fraction alive", low=0.15, high=0.35, source=EXPERT_JUDGEMENT, note="median below: mostly lost"
)

# Anchors for the calibration above and for the tests that use other events.
FLORIDA_1989_AIR_MIN_C = Fact(
    value=-7.9, unit="degC air", low=-9.0, high=-6.0, source=BUSEY_2003, note="half of St. Augustine lawns survived"
)

# --- the practitioners' rule of thumb -----------------------------------------------------------------------------


def _serious(low_f: float, high_f: float, note: str = "") -> FactRange:
    return FactRange(low=f_to_c(low_f), high=f_to_c(high_f), unit="degC soil", source=COMMON_PRACTICE, note=note)


SERIOUS_SOIL_C: Mapping[str, FactRange] = MappingProxyType(
    {
        "zoysia": _serious(15, 17),
        "bermuda": _serious(18, 20),
        "raleigh": _serious(23, 24),
        "palmetto": _serious(25, 26),
        "floratam": _serious(28, 29),
        "st_augustine": _serious(23, 29, "from the hardiest to the softest of its cultivars"),
    }
)
"""Soil temperature at which losses are said to become serious, by cultivar or grass."""
