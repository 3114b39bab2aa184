"""Figures for heat in the ground: water and ice, minerals, thatch, snow, the sky above, and what was fitted."""

from __future__ import annotations

from rules.facts.cold import BUSEY_2003, USCRN
from rules.facts.fact import Fact, Source, SourceKind
from rules.facts.sources import EXPERT_JUDGEMENT, FROM_MEMORY

FSM_NOTES = Source(
    key="fsm-constants",
    who="Essery, Factorial Snow Model notes",
    title="constants of soil and snow",
    where="repository jannefiluren/FSM.jl",
)

JOHANSEN = Source(
    key="johansen-1975",
    who="Johansen 1975 as given by Farouki 1981, CRREL Monograph 81-1",
    kind=SourceKind.FROM_MEMORY,
)
DE_VRIES = Source(key="de-vries-1963", who="de Vries 1963, thermal properties of soils", kind=SourceKind.FROM_MEMORY)
STURM_1997 = Source(
    key="sturm-1997",
    who="Sturm, Holmgren, Koenig and Morris",
    year=1997,
    title="The thermal conductivity of seasonal snow",
    where="Journal of Glaciology 43(143):26-41",
)
USCRN_FIT = Source(
    key="uscrn-fit",
    who="our fit to 2-in soil temperatures of the US Climate Reference Network (NOAA)",
    title="daily01, southern stations, winters 2010 to 2020; tests/bench/soil_winters.py",
    where="doi 10.1175/BAMS-D-12-00170.1, doi 10.1175/JHM-D-12-0146.1",
)

# --- freezing ---------------------------------------------------------------------------------------------------

FREEZING_POINT_C = Fact(
    value=-0.05, unit="degC", low=-0.5, high=0.0, source=EXPERT_JUDGEMENT, note="soil water holds some salts"
)
FREEZING_WIDTH_DC = Fact(
    value=1.0, unit="degC", low=0.2, high=2.0, source=EXPERT_JUDGEMENT, note="films and fine pores freeze last"
)
WATER_DENSITY_KG_M3 = Fact(value=1000.0, unit="kg/m3", low=999.0, high=1000.0, source=FROM_MEMORY)
LATENT_J_KG = Fact(value=0.334e6, unit="J/kg", low=0.333e6, high=0.335e6, source=FSM_NOTES)

# --- the sun and the sky ----------------------------------------------------------------------------------------

ALMANAC = Source(
    key="almanac-low-precision",
    who="Astronomical Almanac, low-precision formulas for the sun",
    kind=SourceKind.FROM_MEMORY,
)
FAO_56 = Source(
    key="fao-56",
    who="Allen, Pereira, Raes and Smith, FAO Irrigation and Drainage Paper 56 (1998), eq. 21, 37, 39 and 50",
    kind=SourceKind.FROM_MEMORY,
)


def _almanac(value: float, unit: str) -> Fact:
    spread = abs(value) * 1e-3
    return Fact(value=value, unit=unit, low=value - spread, high=value + spread, source=ALMANAC)


SUN_MEAN_LONGITUDE_DEGREES = _almanac(280.460, "degrees on 1 January 2000, noon")
SUN_MEAN_LONGITUDE_A_DAY_DEGREES = _almanac(0.9856474, "degrees a day")
SUN_ANOMALY_DEGREES = _almanac(357.528, "degrees on 1 January 2000, noon")
SUN_ANOMALY_A_DAY_DEGREES = _almanac(0.9856003, "degrees a day")
SUN_CENTRE_DEGREES = _almanac(1.915, "degrees")
SUN_CENTRE_TWICE_DEGREES = _almanac(0.020, "degrees")
ECLIPTIC_DEGREES = _almanac(23.439, "degrees")
SUNRISE_ALTITUDE_DEGREES = _almanac(-0.833, "degrees, upper limb with refraction")

SOLAR_CONSTANT_MJ_M2_MINUTE = Fact(value=0.0820, unit="MJ/m2/min", low=0.0815, high=0.0822, source=FAO_56)
SUN_DISTANCE_SWING = Fact(value=0.033, unit="fraction", low=0.03, high=0.035, source=FAO_56)
HARGREAVES = Fact(value=0.16, unit="per root degC", low=0.14, high=0.19, source=FAO_56, note="0.19 at the coast")
CLEAR_SKY_FRACTION = Fact(value=0.75, unit="of the sun above the air", low=0.72, high=0.78, source=FAO_56)
STEFAN_BOLTZMANN_MJ_DAY = Fact(value=4.903e-9, unit="MJ/K4/m2/day", low=4.9e-9, high=4.91e-9, source=FAO_56)
SKY_DRY = Fact(value=0.34, unit="fraction", low=0.34, high=0.34, source=FAO_56)
SKY_PER_ROOT_KPA = Fact(value=0.14, unit="per root kPa", low=0.14, high=0.14, source=FAO_56)
SKY_CLOUD_SLOPE = Fact(value=1.35, unit="fraction", low=1.35, high=1.35, source=FAO_56)
SKY_CLOUD_OFFSET = Fact(value=0.35, unit="fraction", low=0.35, high=0.35, source=FAO_56)
VAPOUR_KPA = Fact(value=0.6108, unit="kPa", low=0.61, high=0.612, source=FAO_56)
VAPOUR_SLOPE = Fact(value=17.27, unit="fraction", low=17.2, high=17.3, source=FAO_56)
VAPOUR_OFFSET_C = Fact(value=237.3, unit="degC", low=237.0, high=237.5, source=FAO_56)
LEAST_CLEARNESS = Fact(value=0.3, unit="fraction", low=0.25, high=0.35, source=FAO_56, note="thick cloud all day")

KELVIN_AT_0_C = Fact(value=273.16, unit="K", low=273.15, high=273.16, source=FAO_56)
DAYS_A_YEAR = Fact(value=365.25, unit="days", low=365.2, high=365.3, source=FROM_MEMORY)

# --- what a lawn's ground is taken to be ------------------------------------------------------------------------

THATCH_M = Fact(value=0.012, unit="m", low=0.005, high=0.03, source=EXPERT_JUDGEMENT)
THATCH_W_MK = Fact(value=0.15, unit="W/m/K", low=0.1, high=0.25, source=EXPERT_JUDGEMENT)
THATCH_J_M3K = Fact(value=1.2e6, unit="J/m3/K", low=0.6e6, high=2e6, source=EXPERT_JUDGEMENT)
THATCH_WATER_FRACTION = Fact(value=0.2, unit="m3/m3", low=0.1, high=0.3, source=EXPERT_JUDGEMENT)
SOIL_TOP_CELL_M = Fact(value=0.01, unit="m", low=0.005, high=0.02, source=EXPERT_JUDGEMENT)
SOIL_CELL_GROWTH = Fact(value=1.27, unit="ratio", low=1.1, high=1.4, source=EXPERT_JUDGEMENT)
LOAM_UNFROZEN_W_MK = Fact(
    value=1.2, unit="W/m/K", low=0.8, high=1.6, source=JOHANSEN, note="water 0.30 of 0.45 pore space"
)
LOAM_FROZEN_W_MK = Fact(value=1.6, unit="W/m/K", low=1.2, high=2.4, source=JOHANSEN)
LOAM_J_M3K = Fact(value=2.4e6, unit="J/m3/K", low=1.8e6, high=3.0e6, source=DE_VRIES)
LOAM_WATER_FRACTION = Fact(value=0.25, unit="m3/m3 that freezes", low=0.15, high=0.35, source=EXPERT_JUDGEMENT)

# --- the year's wave in the ground ------------------------------------------------------------------------------

MEAN_AIR_AT_26N_C = Fact(
    value=24.8, unit="degC", low=23.5, high=25.5, source=FROM_MEMORY, note="Miami's mean of the year"
)
MEAN_AIR_PER_DEGREE_DC = Fact(value=0.95, unit="degC per degree north", low=0.8, high=1.1, source=FROM_MEMORY)
MEAN_AIR_PER_KM_DC = Fact(value=5.0, unit="degC per km up", low=4.0, high=6.5, source=FROM_MEMORY)
WAVE_AT_26N_DC = Fact(value=4.8, unit="degC", low=4.0, high=6.0, source=FROM_MEMORY)
WAVE_PER_DEGREE_DC = Fact(value=0.6, unit="degC per degree north", low=0.4, high=0.8, source=FROM_MEMORY)
WAVE_LATITUDE = Fact(value=25.8, unit="degrees north", low=25.0, high=26.5, source=FROM_MEMORY)
WAVE_PEAK_DAY = Fact(value=202, unit="day of the year", low=195, high=212, source=FROM_MEMORY)
WAVE_DAMPING_M = Fact(value=2.3, unit="m", low=1.8, high=2.8, source=EXPERT_JUDGEMENT)
DEEP_OVER_AIR_DC = Fact(
    value=1.5, unit="degC", low=1.0, high=2.0, source=EXPERT_JUDGEMENT, note="ground under grass over the year's air"
)

# --- snow -------------------------------------------------------------------------------------------------------

SNOW_KG_M3 = Fact(value=130.0, unit="kg/m3", low=80.0, high=250.0, source=EXPERT_JUDGEMENT, note="southern, fresh")
SNOW_W_MK = Fact(
    value=0.06, unit="W/m/K", low=0.045, high=0.1, source=STURM_1997, note="at 130 kg/m3; formulas differ by 1.7 times"
)
SNOW_BELOW_MEAN_C = Fact(value=0.5, unit="degC", low=0.0, high=1.5, source=EXPERT_JUDGEMENT, note="rain falls as snow")
MELT_MM_PER_DEGREE_DAY = Fact(value=3.0, unit="mm/degC/day", low=2.0, high=5.0, source=EXPERT_JUDGEMENT)
SNOW_SUN_KEPT_FRACTION = Fact(value=0.3, unit="fraction", low=0.15, high=0.5, source=EXPERT_JUDGEMENT)

# --- the surface: three numbers fitted to measured winters -------------------------------------------------------

AIR_W_M2K = Fact(value=15.0, unit="W/m2/K", low=8.0, high=25.0, source=EXPERT_JUDGEMENT, note="not told apart by data")
COVER_M2K_W = Fact(value=0.0866, unit="m2K/W", low=0.02, high=0.5, source=USCRN_FIT)
SUN_PER_W_M2_DC = Fact(value=0.0224, unit="degC per W/m2", low=0.0, high=0.06, source=USCRN_FIT)
SKY_PER_W_M2_DC = Fact(value=0.0467, unit="degC per W/m2", low=0.0, high=0.12, source=USCRN_FIT)
CROWN_EXPOSED_FRACTION = Fact(
    value=0.87,
    unit="of the way from thatch to canopy",
    low=0.3,
    high=1.0,
    source=BUSEY_2003,
    note="calibration: half of St. Augustine lawns alive at an air minimum of -7.9 degC, Florida, December 1989; no "
    "crown has been measured",
)
WARMEST_HOUR = Fact(value=14.5, unit="h after midnight by the sun", low=13.5, high=15.5, source=EXPERT_JUDGEMENT)

# --- physics and regression together ------------------------------------------------------------------------------

SMOOTHING_DAYS = tuple(
    Fact(value=days, unit="days", low=days, high=days, source=EXPERT_JUDGEMENT) for days in (1, 2, 4, 8, 16, 32)
)
SWING_SMOOTHING_DAYS = Fact(value=4, unit="days", low=2, high=8, source=EXPERT_JUDGEMENT)
SMOOTHING_START_DAYS = Fact(value=10, unit="days", low=5, high=20, source=EXPERT_JUDGEMENT)
WINTER_DAYS = Fact(value=151, unit="days", low=149, high=152, source=EXPERT_JUDGEMENT, note="November to March")
SEASON_FROM_DAY = Fact(value=304, unit="day of the year", low=304, high=305, source=EXPERT_JUDGEMENT, note="1 November")
COLD_GROUND_C = Fact(value=3.0, unit="degC", low=2.0, high=5.0, source=EXPERT_JUDGEMENT)
COLDEST_MEASURED_2IN_C = Fact(
    value=-2.0,
    unit="degC",
    low=-2.0,
    high=-1.6,
    source=USCRN,
    note="91 freezes in the humid South, lowest daily mean 2 in down under grass -1.6",
)


def _fitted(value: float) -> Fact:
    return Fact(value=value, unit="weight of a term", low=value, high=value, source=USCRN_FIT)


_BLEND = (0.1719, -0.1957, 0.2506, -0.3771, 0.4763, -0.1744, -0.011, -0.1626, 1.2403, 1.2665, 0.7843, -0.182)
BLEND = tuple(map(_fitted, _BLEND))
"""Weights of the terms of `soil_blend.blend_terms`, in their order."""
_REGRESSION = (0.2362, 0.3919, -0.2466, 0.2719, 0.0621, 0.2316, -0.0389, -3.3274, 4.8146, 2.5034)
REGRESSION = tuple(map(_fitted, _REGRESSION))
"""Weights of the terms of `soil_blend.air_terms`, in their order."""

COLD_SHIFT_DC = Fact(
    value=-0.15,
    unit="degC",
    low=-0.35,
    high=0.0,
    source=USCRN_FIT,
    note="the lowest of many days comes out a third of a degree too warm; half of that is taken off cold days",
)

NORMAL_90 = Fact(
    value=1.645, unit="standard deviations", low=1.64, high=1.65, source=FROM_MEMORY, note="half of a 90 % interval"
)

# What was left over on stations the fit had not seen: its 5 and 95 % points, where the ground is said cold and else.
COLD_LOW_DC = Fact(value=-1.7, unit="degC", low=-2.1, high=-1.4, source=USCRN_FIT)
COLD_HIGH_DC = Fact(value=1.7, unit="degC", low=1.4, high=2.2, source=USCRN_FIT)
MILD_LOW_DC = Fact(value=-1.8, unit="degC", low=-2.2, high=-1.5, source=USCRN_FIT)
MILD_HIGH_DC = Fact(value=1.8, unit="degC", low=1.5, high=2.2, source=USCRN_FIT)
LOWEST_HOUR_SD_DC = Fact(
    value=0.5,
    unit="degC",
    low=0.2,
    high=1.0,
    source=EXPERT_JUDGEMENT,
    note="how far the lowest hour 2 in down may be off beyond what the day's mean is",
)
SETTLING_DAYS = Fact(
    value=30, unit="days", low=20, high=60, source=EXPERT_JUDGEMENT, note="until the ground has forgotten its start"
)

# --- what stays the same at one station, and what changes from day to day -----------------------------------------
# Errors of the daily mean on stations the fit had not seen, in three parts that add: one of the station, one that fades
# over weeks, one over days. Around a station's own mean their correlation is 0.75 after one day, 0.53 after 3, 0.42
# after 7, 0.37 after 14, 0.23 after 30 and none after 60.

STATION_SD_DC = Fact(
    value=0.6,
    unit="degC",
    low=0.5,
    high=0.7,
    source=USCRN_FIT,
    note="means of 17 stations left out spread by 0.51; with 0.6 later winters came out best and the interval held",
)
OFFSET_WHOLE_ABOVE_C = Fact(
    value=10.0,
    unit="degC",
    low=8.0,
    high=12.0,
    source=USCRN_FIT,
    note="what earlier winters taught was found again whole above 8, half of it at 3 to 8, and none of it in soil "
    "below 3 degC",
)
SLOW_SD_DC = Fact(value=0.65, unit="degC", low=0.55, high=0.75, source=USCRN_FIT)
SLOW_DAYS = Fact(
    value=45.0,
    unit="days",
    low=25.0,
    high=60.0,
    source=USCRN_FIT,
    note="until a third of it is left; leaves a winter's mean 0.43 off",
)
FAST_SD_DC = Fact(value=0.72, unit="degC", low=0.6, high=0.8, source=USCRN_FIT)
FAST_DAYS = Fact(value=1.7, unit="days", low=1.0, high=3.0, source=USCRN_FIT)
READING_SD_DC = Fact(
    value=1.0,
    unit="degC",
    low=0.5,
    high=2.0,
    source=EXPERT_JUDGEMENT,
    note="a soil thermometer, read once, for the mean of the day: the hour, the depth and the dial",
)
