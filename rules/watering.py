"""How much water, and when. Rain counts, local watering limits win, and two schools disagree about spring."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from enum import StrEnum

from rules.areas import require_lawn_sqft
from rules.errors import NotEnoughData, require_range
from rules.facts import feeding as feeding_facts
from rules.facts import watering as facts
from rules.facts.care_sources import AGRILIFE_GRANT_2021, UGA_LANDRY
from rules.facts.fact import Source
from rules.units import LITRES_PER_GALLON, c_to_f, in_to_mm, sqft_to_m2


class WaterSchool(StrEnum):
    """Two views of water in the spring after a freeze."""

    A_LITTLE_EACH_WEEK = "a_little_each_week"
    NONE_UNTIL_JUNE = "none_until_june"  # water in spring feeds disease


class WaterReason(StrEnum):
    """Why water is due, or not."""

    DRY_DORMANT = "dry_dormant"
    RAIN_ENOUGH = "rain_enough"
    NOT_DRY_YET = "not_dry_yet"
    UNDER_HALF_GREEN = "under_half_green"
    OVER_HALF_GREEN = "over_half_green"
    GROWING = "growing"


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSchoolView:
    """One school and who speaks for it."""

    school: WaterSchool
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterNeed:
    """Water still due after rain. [in] `ask_local_limits`: local limits on watering come before it."""

    depth_in: float
    reason: WaterReason
    ask_local_limits: bool = True


WATER_SCHOOLS: tuple[WaterSchoolView, ...] = (
    WaterSchoolView(school=WaterSchool.A_LITTLE_EACH_WEEK, source=UGA_LANDRY),
    WaterSchoolView(school=WaterSchool.NONE_UNTIL_JUNE, source=AGRILIFE_GRANT_2021),
)


def water_volume_gal(depth_in: float, area_sqft: float) -> float:
    """Volume of a depth of water over an area. [in, sq ft -> US gal]

    `depth_in` 0 to 6, `area_sqft` 4 to 217,800. Raises OutOfRange beyond. One millimetre on a square metre is a litre.
    Source: geometry. Checked: published/watering.csv (Purdue, New Mexico State).
    """
    require_range("depth_in", depth_in, 0.0, facts.DEPTH_MAX_IN.value, "in")
    return in_to_mm(depth_in) * sqft_to_m2(require_lawn_sqft(area_sqft)) / LITRES_PER_GALLON


def water_depth_in(volume_gal: float, area_sqft: float) -> float:
    """Depth that a volume of water makes on an area. [US gal, sq ft -> in] Raises OutOfRange for 6 in and more."""
    an_inch_gal = water_volume_gal(1.0, area_sqft)
    require_range("volume_gal", volume_gal, 0.0, facts.DEPTH_MAX_IN.value * an_inch_gal, "gal")
    return volume_gal / an_inch_gal


def flow_gpm(seconds_per_gal: float) -> float:
    """Flow of a hose that fills a one-gallon bucket in some seconds. [s -> gal per minute] 0.3 to 600 s.

    Raises OutOfRange beyond. Source: Purdue Landscape Report, what is an inch of water.
    """
    a_minute = timedelta(minutes=1).total_seconds()
    fastest, slowest = a_minute / facts.FLOW_GPM.high, a_minute / facts.FLOW_GPM.low
    return a_minute / require_range("seconds_per_gal", seconds_per_gal, fastest, slowest, "s")


def minutes_from_flow(volume_gal: float, flow_rate_gpm: float) -> float:
    """How long a flow takes to give a volume. [US gal, gal per minute -> minutes] Flow 0.1 to 200; else OutOfRange."""
    require_range("volume_gal", volume_gal, 0.0, float("inf"), "gal")
    return volume_gal / require_range("flow_rate_gpm", flow_rate_gpm, facts.FLOW_GPM.low, facts.FLOW_GPM.high, "gpm")


def minutes_from_cans(depth_in: float, can_depths_in: tuple[float, ...], can_minutes: float) -> float:
    """How long to run a sprinkler for a depth, from water caught in straight cans.

    Parameters
    ----------
    depth_in : float
        Wanted. [in] 0 to 6
    can_depths_in : tuple of float
        Depth caught in each can. [in] Any number, all from the same run.
    can_minutes : float
        Length of that run. [minutes] 1 to 6,000

    Returns
    -------
    float
        Minutes to run.

    Raises
    ------
    OutOfRange
        A depth or time outside its range.
    NotEnoughData
        No cans, or nothing caught in them.

    Source
    ------
    Common practice: 5 to 9 cans, 15 to 30 minutes, the mean counts.
    """
    require_range("depth_in", depth_in, 0.0, facts.DEPTH_MAX_IN.value, "in")
    require_range("can_minutes", can_minutes, 1, facts.RUN_MINUTES_MAX.value, "minutes")
    for caught in can_depths_in:
        require_range("can_depths_in", caught, 0.0, facts.DEPTH_MAX_IN.value, "in")
    if sum(can_depths_in) == 0:
        raise NotEnoughData("no water was caught: set out cans and run the sprinkler before working out its time")
    mean_in = sum(can_depths_in) / len(can_depths_in)
    return depth_in / mean_in * can_minutes


def winter_water(days_since_rain: int, rain_two_weeks_in: float, state: str) -> WaterNeed:
    """Water for a dormant lawn.

    Parameters
    ----------
    days_since_rain : int
        Since the last rain or watering that counted, about a quarter inch. [days] 0 or more
    rain_two_weeks_in : float
        Rain and watering of the last two weeks together. [in] 0 or more; only Florida's rule uses it.
    state : str
        Two letters.

    Returns
    -------
    WaterNeed
        One inch after three dry weeks; Florida half an inch after two weeks with under three quarters.

    Raises
    ------
    OutOfRange
        A negative number.

    Source
    ------
    Clemson Univ. 2020; for Florida UF/IFAS Pasco County 2011 (its amount is ours).
    """
    require_range("days_since_rain", days_since_rain, 0, float("inf"), "days")
    require_range("rain_two_weeks_in", rain_two_weeks_in, 0.0, float("inf"), "in")
    if state.upper() == "FL":
        is_dry = rain_two_weeks_in < facts.FLORIDA_WINTER_RAIN_IN.value
        depth_in = facts.FLORIDA_WINTER_WATER_IN.value
    else:
        is_dry = days_since_rain >= facts.WINTER_DRY_DAYS.value
        depth_in = facts.WINTER_WATER_IN.value
    if not is_dry:
        return WaterNeed(depth_in=0.0, reason=WaterReason.NOT_DRY_YET)
    return WaterNeed(depth_in=depth_in, reason=WaterReason.DRY_DORMANT)


def spring_water(green_fraction: float, rain_week_in: float, school: WaterSchool | None = None) -> WaterNeed:
    """Water for one week of the spring after a freeze, less what rain gave.

    Parameters
    ----------
    green_fraction : float
        Green share of the lawn. 0..1
    rain_week_in : float
        Rain of the last seven days. [in] 0 or more
    school : WaterSchool, optional
        `none_until_june` gives nothing before the lawn is fully green; the other view otherwise.

    Returns
    -------
    WaterNeed
        A quarter inch until half is green, then half an inch; an inch once it is fully green and growing.

    Raises
    ------
    OutOfRange
        A fraction outside 0..1 or negative rain.

    Source
    ------
    Landry, Univ. of Georgia; growing season NC State; the contrary view Grant, AgriLife 2021.
    """
    require_range("green_fraction", green_fraction, 0.0, 1.0, "fraction")
    require_range("rain_week_in", rain_week_in, 0.0, float("inf"), "in")
    wanted_in, reason = _week_in(green_fraction)
    if school is WaterSchool.NONE_UNTIL_JUNE and reason is not WaterReason.GROWING:
        wanted_in = 0.0
    due_in = max(0.0, wanted_in - rain_week_in)
    is_rained_out = wanted_in > 0 and due_in == 0
    return WaterNeed(depth_in=due_in, reason=WaterReason.RAIN_ENOUGH if is_rained_out else reason)


def may_water_before_freeze(air_c: float) -> bool:
    """Whether dry soil may be watered now, the day before a freeze: only well above freezing. [degC air]

    Source: AgriLife freeze notice, above 45 F; leaves must be dry by night.
    """
    return c_to_f(air_c) > facts.WATER_BEFORE_FREEZE_ABOVE_F.value


def must_controller_be_off(air_c: float) -> bool:
    """Whether an irrigation controller must be off: water on walks and streets turns to ice. [degC air, forecast low]

    Source: a Texas city's rule, 35 F and under.
    """
    return c_to_f(air_c) <= facts.CONTROLLER_OFF_AT_F.value


def _week_in(green_fraction: float) -> tuple[float, WaterReason]:
    if green_fraction >= feeding_facts.FULLY_GREEN_FRACTION.value:
        return facts.SEASON_IN.value, WaterReason.GROWING
    if green_fraction >= facts.HALF_GREEN_FRACTION.value:
        return facts.SPRING_AFTER_IN.value, WaterReason.OVER_HALF_GREEN
    return facts.SPRING_BEFORE_IN.value, WaterReason.UNDER_HALF_GREEN
