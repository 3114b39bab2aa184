"""Published outcomes of freezes, in the field and in laboratories, with the odds our picture has to give to each.

An outcome that set a figure of ours, or placed a grass by rank, is no check of it: it has `sets` and is not counted.
The sources print the lowest air, the grass and what became of it; lengths, dates and the days around a freeze are ours
where a source prints none (`assumed` says which).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from rules.grasses import GrassCode, tolerance
from rules.lawn_soil import DailyPlaces
from rules.modelled_cold import ground_under, modelled_site_cold
from rules.site_cold import Basis, ColdTold, Layer, SiteCold, SpotTraits, told_site_cold
from rules.survival import GRID_STEPS, AliveOdds, survival, top_survival
from rules.units import f_to_c

Part = Literal["whole", "top"]
DAYS_BEFORE = 45
NOTHING = SpotTraits()
ST_AUGUSTINE, BERMUDA, ZOYSIA = GrassCode.ST_AUGUSTINE, GrassCode.BERMUDA, GrassCode.ZOYSIA
CENTIPEDE, BAHIA = GrassCode.CENTIPEDE, GrassCode.BAHIA


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """A published freeze, and the mean of the days before it as such a place has it. [degC, days, degrees north, in]"""

    air_c: float
    days: int
    latitude: float
    on: date
    before_c: float
    snow_in: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What was seen of one grass: its share alive lay between two fractions, to which we have to give such odds.

    `part`: the whole of it with what comes back from below, or what grows on top.
    """

    code: GrassCode
    low: float
    high: float
    at_least: float
    cultivar: str | None = None
    part: Part = "whole"


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldOutcome:
    """One freeze and what it did."""

    name: str
    source: str
    printed: str
    freeze: Freeze
    seen: tuple[Seen, ...]
    assumed: str = "days below freezing; the weather around"
    sets: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabOutcome:
    """Tissue at a known temperature for a known time. [degC, h, 0..1]"""

    name: str
    source: str
    printed: str
    bath_c: float
    hours: float
    hardened_fraction: float
    seen: Seen
    sets: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedLt50:
    """An LT50 printed for a cultivar that did not go into our figure of it. [degC, 0..1]"""

    source: str
    code: GrassCode
    cultivar: str
    hardened_fraction: float
    lt50_c: float


FLORIDA_1989 = Freeze(air_c=-7.9, days=3, latitude=29.5, on=date(1989, 12, 24), before_c=14.0)
COLLEGE_STATION_1968 = Freeze(air_c=-8.0, days=2, latitude=30.6, on=date(1968, 1, 8), before_c=10.0)
NORTH_CAROLINA_2018 = Freeze(air_c=f_to_c(7), days=6, latitude=35.5, on=date(2018, 1, 6), before_c=5.0)
CENTRAL_TEXAS_2024 = Freeze(air_c=f_to_c(17), days=3, latitude=30.6, on=date(2024, 1, 16), before_c=11.0)
ARKANSAS_2010 = Freeze(air_c=f_to_c(9), days=5, latitude=34.7, on=date(2010, 1, 9), before_c=4.0)
KANSAS_2021 = Freeze(air_c=f_to_c(-18), days=10, latitude=38.9, on=date(2021, 2, 15), before_c=0.0, snow_in=4)
MISSISSIPPI_2014 = Freeze(air_c=f_to_c(8), days=3, latitude=33.5, on=date(2014, 1, 7), before_c=6.0)
GEORGIA_2022 = Freeze(air_c=f_to_c(8), days=4, latitude=33.6, on=date(2022, 12, 24), before_c=8.0)
VIRGINIA_2022 = Freeze(air_c=f_to_c(19), days=3, latitude=36.9, on=date(2022, 12, 24), before_c=10.0)

FIELD = (
    FieldOutcome(
        name="Florida 1989",
        source="Busey 2003, HortScience 38:1439-1440",
        printed="half of St. Augustine survived at an air minimum of -7.9 degC, 24 counties",
        freeze=FLORIDA_1989,
        seen=(
            Seen(code=ST_AUGUSTINE, low=0.0, high=0.5, at_least=0.4),
            Seen(code=ST_AUGUSTINE, low=0.5, high=1.0, at_least=0.4),
        ),
        sets="how far crowns stand above the air",
    ),
    FieldOutcome(
        name="College Station 1968",
        source="Reeves, McBee, Bloodworth 1970, Agronomy Journal 62:659-662",
        printed="Tifgreen bermuda, low of -8 degC, no winterkill from any treatment",
        freeze=COLLEGE_STATION_1968,
        seen=(Seen(code=BERMUDA, cultivar="tifgreen", low=0.9, high=1.0, at_least=0.9),),
    ),
    FieldOutcome(
        name="North Carolina 2018",
        source="Miller, NC State Univ., May 2018, turffiles.ncsu.edu/2018/05/"
        "cold-temperature-damage-and-spring-green-up-of-warm-season-grasses",
        printed="single digits F; St. Augustine killed to 100 % in places, centipede damage widespread, bermuda "
        "moderately damaged, no warm-season grass escaped",
        freeze=NORTH_CAROLINA_2018,
        seen=(
            Seen(code=ST_AUGUSTINE, low=0.0, high=0.1, at_least=0.8),
            Seen(code=CENTIPEDE, low=0.0, high=0.9, at_least=0.8),
            Seen(code=BERMUDA, low=0.0, high=0.9, at_least=0.8, part="top"),
            Seen(code=BERMUDA, low=0.11, high=1.0, at_least=0.9),
            Seen(code=ZOYSIA, low=0.0, high=0.9, at_least=0.7, part="top"),
        ),
        assumed="7 F for single digits; six days; the weather around",
    ),
    FieldOutcome(
        name="Central Texas 2024",
        source="Texas A&M AgriLife Extension, Williamson County, 24 April 2024, williamson.agrilife.org/2024/04/24/"
        "st-augustine-woes",
        printed="St. Augustine still green in January, 17 F; slow or dead in April",
        freeze=CENTRAL_TEXAS_2024,
        seen=(
            Seen(code=ST_AUGUSTINE, low=0.0, high=0.9, at_least=0.6),
            Seen(code=ST_AUGUSTINE, low=0.0, high=0.1, at_least=0.15),
            Seen(code=ST_AUGUSTINE, low=0.11, high=1.0, at_least=0.15),
        ),
    ),
    FieldOutcome(
        name="Kansas 2021",
        source="Fry, Kansas State Univ., 2021, blogs.k-state.edu/turf/tag/cold-stress",
        printed="-18 F under several inches of snow; Latitude 36 and NorthBridge greened up very well",
        freeze=KANSAS_2021,
        seen=tuple(
            Seen(code=BERMUDA, cultivar=each, low=0.5, high=1.0, at_least=0.65)
            for each in ("latitude_36", "northbridge")
        ),
        assumed="4 in of snow for several; ten days from the note's 6 to 19 February",
    ),
    FieldOutcome(
        name="Mississippi 2014",
        source="Mississippi State Univ. Extension, 9 May 2014, "
        "blogs.extension.msstate.edu/turfgrass/2014/05/09/winter-kill",
        printed="Starkville 8 F; bahia, bermuda, centipede, St. Augustine and zoysia all damaged",
        freeze=MISSISSIPPI_2014,
        seen=tuple(
            Seen(code=each, low=0.0, high=0.9, at_least=0.7, part="top")
            for each in (ST_AUGUSTINE, CENTIPEDE, BERMUDA, BAHIA, ZOYSIA)
        ),
        assumed="three days, 7 January; the weather around",
    ),
    FieldOutcome(
        name="Georgia 2022",
        source="Daly, Univ. of Georgia Extension, Rockdale and Newton Citizen, 14 May 2023",
        printed="lows in the single digits F for several days in December; most bermuda and most zoysia survived, "
        "common bermuda worse than hybrids, some zoysia suffered",
        freeze=GEORGIA_2022,
        seen=(
            Seen(code=BERMUDA, cultivar="tifway", low=0.5, high=1.0, at_least=0.8),
            Seen(code=BERMUDA, cultivar="common_bermuda", low=0.0, high=0.9, at_least=0.8, part="top"),
            Seen(code=ZOYSIA, low=0.5, high=1.0, at_least=0.9),
        ),
        assumed="8 F for single digits; four days; the weather around",
    ),
    FieldOutcome(
        name="Virginia 2022",
        source="Derr and Nichols, Virginia Tech, 2023, "
        "turf.spes.vt.edu/turf-clippings/2023-St-Augustinegrass-Winter-Injury.html",
        printed="67 F on 6 December, 60 F on the 22nd, 19 F on the 24th at Norfolk; damage to St. Augustine reported",
        freeze=VIRGINIA_2022,
        seen=(
            Seen(code=ST_AUGUSTINE, low=0.0, high=0.9, at_least=0.6),
            Seen(code=ST_AUGUSTINE, low=0.11, high=1.0, at_least=0.15),
        ),
    ),
    FieldOutcome(
        name="Arkansas 2010",
        source="Univ. of Arkansas, 18 January 2010, horticulture.uark.edu winterkill-2010-part1.php",
        printed="Little Rock below 10 F, at which many St. Augustine cultivars succumb",
        freeze=ARKANSAS_2010,
        seen=(Seen(code=ST_AUGUSTINE, low=0.0, high=0.5, at_least=0.8),),
        sets="nothing, but it is a rule that people go by and not an outcome that anyone counted",
    ),
)

_EXPOSURE = "Anderson, Taliaferro, Martin 2003, Crop Science 43:973-977, second set of experiments"
_HELD = "U-3 and Riviera fell to 25 % or less at -7.0 degC for 2 or 5 days"
_PRINCESS = "Princess at -5.4 degC: 89, 67, 30 and 11 % alive after 0, 2, 24 and 72 h"


def _held(cultivar: str, days: int, at_least: float) -> LabOutcome:
    return LabOutcome(
        name=f"{cultivar} held {days} days",
        source=_EXPOSURE,
        printed=_HELD,
        bath_c=-7.0,
        hours=24.0 * days,
        hardened_fraction=1.0,
        seen=Seen(code=BERMUDA, cultivar=cultivar, low=0.0, high=0.25, at_least=at_least, part="top"),
    )


def _princess(hours: float, alive: float) -> LabOutcome:
    return LabOutcome(
        name=f"princess held {hours:g} h",
        source=_EXPOSURE,
        printed=_PRINCESS,
        bath_c=-5.4,
        hours=hours,
        hardened_fraction=1.0,
        seen=Seen(
            code=BERMUDA,
            cultivar="princess",
            low=max(0.0, alive - 0.25),
            high=min(1.0, alive + 0.25),
            at_least=0.4,
            part="top",
        ),
        sets="what hours near the minimum do",
    )


LABORATORY = (
    _held("riviera", 2, 0.5),
    _held("riviera", 5, 0.65),
    _held("u_3", 2, 0.35),
    _held("u_3", 5, 0.5),
    LabOutcome(
        name="u_3 not held",
        source=_EXPOSURE,
        printed="U-3 100 % alive when removed as soon as it had come to -7.0 degC",
        bath_c=-7.0,
        hours=0.0,
        hardened_fraction=1.0,
        seen=Seen(code=BERMUDA, cultivar="u_3", low=0.9, high=1.0, at_least=0.4, part="top"),
    ),
    *(_princess(hours, alive) for hours, alive in ((0, 0.89), (2, 0.67), (24, 0.30), (72, 0.11))),
)

_CHAMBER = "Gatschet, Taliaferro, Anderson, Porter, Anderson 1994, J. Amer. Soc. Hort. Sci. 119 (pages not seen)"
_CROWNS = "Anderson, Kenna, Taliaferro 1988 (year and authors from memory), HortScience, journals.ashs.org"
PRINTED_LT50S = (
    PrintedLt50(source=_CHAMBER, code=BERMUDA, cultivar="midiron", hardened_fraction=1.0, lt50_c=-11.3),
    PrintedLt50(source=_CHAMBER, code=BERMUDA, cultivar="midiron", hardened_fraction=0.0, lt50_c=-6.5),
    PrintedLt50(source=_CHAMBER, code=BERMUDA, cultivar="tifgreen", hardened_fraction=0.0, lt50_c=-3.6),
    PrintedLt50(source=_CROWNS, code=BERMUDA, cultivar="midiron", hardened_fraction=1.0, lt50_c=-11.0),
    PrintedLt50(source=_CROWNS, code=BERMUDA, cultivar="tifgreen", hardened_fraction=1.0, lt50_c=-7.0),
)
"""Crowns from growth chambers, hardened and not, and from the field in December and January."""
TIFGREEN_HARDENED = PrintedLt50(source=_CHAMBER, code=BERMUDA, cultivar="tifgreen", hardened_fraction=1.0, lt50_c=-8.5)
"""The one of the six that lies outside our 90 % range: our doubt about Tifgreen is too small."""


def odds_of(cold: SiteCold, seen: Seen, traits: SpotTraits = NOTHING) -> AliveOdds:
    """The odds of the part that was seen."""
    worked_out = survival if seen.part == "whole" else top_survival
    return worked_out(cold, seen.code, tolerance(seen.code, seen.cultivar), traits)


def given_probability(odds: AliveOdds, seen: Seen) -> float:
    """What the odds give to the range that was seen, both ends counted."""
    return sum(odds.weights[round(seen.low * GRID_STEPS) : round(seen.high * GRID_STEPS) + 1])


def blind_probability(seen: Seen) -> float:
    """What somebody who knows nothing would give to it: every share alive is as likely."""
    return (round(seen.high * GRID_STEPS) - round(seen.low * GRID_STEPS) + 1) / (GRID_STEPS + 1)


def told_cold(freeze: Freeze, traits: SpotTraits = NOTHING) -> SiteCold:
    """The freeze as an owner would tell it."""
    told = ColdTold(
        air_min_c=freeze.air_c,
        air_sd_dc=1.0,
        days_below_freezing=freeze.days,
        snow_in=freeze.snow_in,
        coldest_on=freeze.on,
    )
    return told_site_cold(told, freeze.latitude, traits)


def told_odds(freeze: Freeze, code: GrassCode, cultivar: str | None = None, traits: SpotTraits = NOTHING) -> AliveOdds:
    """The odds of the whole of a grass after a told freeze."""
    return survival(told_cold(freeze, traits), code, tolerance(code, cultivar), traits)


def bath_cold(bath_c: float, hours: float, hardened_fraction: float) -> SiteCold:
    """Tissue in a bath: the same temperature throughout, known to a few tenths of a degree."""
    return SiteCold(
        air_min_c=bath_c,
        crown=Layer(depth_in=0.0, share_fraction=1.0, min_c=bath_c, sd_dc=0.3),
        rhizomes=(Layer(depth_in=1.0, share_fraction=1.0, min_c=bath_c, sd_dc=0.3),),
        soil_2in_min_c=bath_c,
        soil_2in_sd_dc=0.3,
        hours_near_min=hours,
        hardened_fraction=hardened_fraction,
        snow_in=0.0,
        basis=Basis.TOLD,
    )


def weather(freeze: Freeze) -> DailyPlaces:
    """Mild days at the place's mean, then the freeze with its worst night in the middle."""
    count = DAYS_BEFORE + freeze.days + 5
    low, high = np.full(count, freeze.before_c - 5.5), np.full(count, freeze.before_c + 5.5)
    cold = slice(DAYS_BEFORE, DAYS_BEFORE + freeze.days)
    worst = DAYS_BEFORE + freeze.days // 2
    low[cold], high[cold] = freeze.air_c + 2.5, freeze.air_c + 13
    low[worst] = freeze.air_c
    snow = np.zeros(count)
    snow[cold] = freeze.snow_in * 0.0254
    first = np.datetime64(freeze.on, "D") - worst
    return DailyPlaces(
        days=(first + np.arange(count))[:, None],
        air_min_c=low[:, None],
        air_max_c=high[:, None],
        rain_mm=np.zeros((count, 1)),
        latitude=np.array([freeze.latitude]),
        height_m=np.array([100.0]),
        solar_mj_m2=np.full((count, 1), np.nan),
        snow_depth_m=snow[:, None],
    )


def felt(freeze: Freeze, traits: SpotTraits = NOTHING) -> SiteCold:
    """The cold worked out from that weather."""
    ground = ground_under(weather(freeze))
    days = ground.places.days[:, 0]
    first, last = (days[at].astype(object) for at in (DAYS_BEFORE, DAYS_BEFORE + freeze.days - 1))
    return modelled_site_cold(ground, 0, first, last, traits)
