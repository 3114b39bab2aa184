"""From the answers of a case to the arguments of `rules`, and back to results the conversation can tell.

No words here and no arithmetic of its own: what an answer means in the terms of the rules, nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from bot.talk import answers, local, measuring
from bot.talk.applies import grass_code, traits_told
from bot.talk.case import Case, Measured
from bot.talk.known import Known
from bot.talk.seen import pieces_of, signs_of
from rules.combine import Effect, Sign, combine
from rules.facts.cold import REPORTED_AIR_SD_DC, SNOW_COUNTS_FROM_IN
from rules.feed_bans import banned
from rules.feeding import FedLawn, Label
from rules.grasses import GrassCode, Tolerance, tolerance
from rules.identify import Candidate, candidates, is_certain, strictest
from rules.lt50_shift import LimitShift, corrected
from rules.plan import Band, CarePlan, LawnFacts, SpotFacts, band_of, care_plan, frost_gate_on, next_feeding_on
from rules.season import Season, season_of
from rules.site_cold import ColdTold, SiteCold, SpotTraits, told_site_cold
from rules.survival import AliveOdds, Injuries, effective_lt50_c, injuries, survival, top_survival


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotView:
    """What probably happened at one spot, and what it rests on."""

    name: str
    cold: SiteCold
    odds: AliveOdds  # of coming back from anywhere
    top: AliveOdds  # of what grows on top alone
    injuries: Injuries
    band: Band
    half_die_c: float
    half_die_sd_dc: float
    half_die_range_c: tuple[float, ...] = ()  # lowest and highest, where the grass may be several
    signs: tuple[str, ...]
    effects: tuple[Effect, ...] = ()  # what each piece of evidence did to the odds, strongest first


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnView:
    """The whole assessment of one lawn. `local_shift` is what operators adopted for this grass here, if anything."""

    code: GrassCode
    cultivar: str | None
    grass_is_guess: bool
    place_is_stand_in: bool
    measured: Measured | None
    season: Season
    spots: tuple[SpotView, ...]
    local_shift: LimitShift | None = None


def lawn_view(case: Case, known: Known) -> LawnView:
    """Work out everything that can be said about a lawn from the answers so far."""
    code, is_guess = lawn_grass(case)
    cultivar = cultivar_of(case, code)
    season = season_here(case, known, code)
    possible = possible_grasses(case) if is_guess else (code,)
    cultivars = {each: cultivar if each is code else None for each in possible}
    tolerances = {each: tolerance_here(case, known, each, of_it) for each, of_it in cultivars.items()}
    views = tuple(_spot_view(case, known, spot, code, season, tolerances) for spot in answers.spots(case))
    return LawnView(
        code=code,
        cultivar=cultivar,
        grass_is_guess=is_guess,
        place_is_stand_in=answers.settled_place(case) is None,
        measured=answers.measured(case),
        season=season,
        spots=views,
        local_shift=None if is_guess else known.shift_at(answers.settled_place(case), code, cultivar),
    )


def tolerance_here(case: Case, known: Known, code: GrassCode, cultivar: str | None) -> Tolerance:
    """What cold a grass stands, as published or as operators adopted it for where this lawn is."""
    return corrected(tolerance(code, cultivar), known.shift_at(answers.settled_place(case), code, cultivar))


def lawn_grass(case: Case) -> tuple[GrassCode, bool]:
    """The grass to compute with, and whether it is only the key's best guess (then the strictest rules apply)."""
    told = grass_code(case)
    if told is not None:
        return GrassCode(told), False
    return strictest(_best_candidates(case)), not is_certain(traits_told(case))


def possible_grasses(case: Case) -> tuple[GrassCode, ...]:
    """Every grass that fits best what was seen, while the owner is not sure: the odds are a mixture of theirs."""
    return tuple(each.grass for each in _best_candidates(case))


def _best_candidates(case: Case) -> tuple[Candidate, ...]:
    possible = candidates(traits_told(case))
    return tuple(each for each in possible if each.score == possible[0].score)


def freeze_on(case: Case, known: Known) -> date:
    """The day of the worst cold: as measured, as told, or as the operator named it. Where it is not known: the day the
    case was opened, or the middle of the winter before it when that was later, so that grass of January is not taken
    for grass of April.
    """
    told = answers.coldest_day(case)
    measured = answers.measured(case)
    if measured is not None:
        return measured.coldest_on
    if told is not None:
        return told.on
    report = local.freeze_report(case, known)
    if report is not None and report.coldest_on is not None:
        return report.coldest_on
    opened_on = case.opened_at.astimezone(ZoneInfo(answers.zone(case))).date()
    midwinter = date(opened_on.year, *MIDWINTER)
    return midwinter if opened_on > midwinter and opened_on.month < _NEXT_WINTER_FROM else opened_on


MIDWINTER = (1, 15)
_NEXT_WINTER_FROM = 9  # a freeze told from here on is the coming winter's


def plan_of(case: Case, known: Known, planned_on: date) -> CarePlan:
    """The care plan of a lawn, worked out from the answers and a day."""
    return care_plan(_lawn_facts(case, known, planned_on))


def frost_gate(case: Case, known: Known) -> date:
    """The day from which hard frost is rare, or later where the owner reported frost again."""
    return frost_gate_on(_lawn_facts(case, known, case.opened_at.date()))


def may_feed_from(case: Case, known: Known, day: date) -> date | None:
    """The first day from a given one on which feeding comes in question under a local ban, None: no day of this season
    any more; the day itself where nothing is banned.
    """
    if local.rules_here(case, known).nitrogen_ban is None:
        return day
    return next_feeding_on(_lawn_facts(case, known, day), day)


def is_feeding_banned(case: Case, known: Known, day: date) -> bool:
    """Whether a local code forbids feeding the lawn on a day."""
    return banned(local.rules_here(case, known).nitrogen_ban, day)


def _lawn_facts(case: Case, known: Known, planned_on: date) -> LawnFacts:
    view = lawn_view(case, known)
    bag = answers.bag(case)
    signs = {sign for spot in view.spots for sign in spot.signs}
    rules = local.rules_here(case, known)
    return LawnFacts(
        code=view.code,
        cultivar=view.cultivar,
        state=answers.place_or_stand_in(case).state,
        season=view.season,
        freeze_on=freeze_on(case, known),
        planned_on=planned_on,
        spots=tuple(SpotFacts(name=spot.name, odds=spot.odds, top=spot.top) for spot in view.spots),
        mowing_height_in=answers.number(case, "mow_height"),
        notch_in=answers.number(case, "notch"),
        area_sqft=answers.area_sqft(case),
        label=label_of(case) if bag else None,
        has_disease_signs="orange_rings" in signs,
        must_not_lower=case.stopped_cutting_on is not None,
        frost_again_on=case.cold_again_on,
        pots_from_on=_pots_from(case),
        nitrogen_ban=rules.nitrogen_ban,
        phosphorus_ban=rules.phosphorus_ban,
    )


def fed_lawn(case: Case, known: Known, code: GrassCode, today: date) -> FedLawn:
    """The lawn and what it was given this year, for the caps."""
    given = [feed for feed in case.feeds if feed.on.year == today.year]
    return FedLawn(
        grass=code,
        state=answers.place_or_stand_in(case).state,
        n_this_year_lb_per_1000_sqft=sum(feed.n_lb_per_1000_sqft for feed in given),
        light_n_lb_per_1000_sqft=sum(feed.n_lb_per_1000_sqft for feed in given),
        p2o5_this_year_lb_per_1000_sqft=sum(feed.p2o5_lb_per_1000_sqft for feed in given),
        days_since_feed=min(((today - feed.on).days for feed in given), default=None),
        is_p_banned=banned(local.rules_here(case, known).phosphorus_ban, today),
    )


def _pots_from(case: Case) -> date | None:
    """A pot test that a look at the runners brought about begins after it; one under way keeps its dates."""
    if any(checkin.plugs_total is not None for checkin in case.checkins):
        return None
    return max((checkin.on for checkin in case.checkins if checkin.runners), default=None)


def label_of(case: Case) -> Label | None:
    """The bag's analysis as the rules take it, with the slow-release share where it was told."""
    bag = answers.bag(case)
    if bag is None:
        return None
    slow = answers.number(case, "bag_slow")
    return Label(
        n_percent=bag.n_percent,
        p2o5_percent=bag.p2o5_percent,
        k2o_percent=bag.k2o_percent,
        slow_n_percent=bag.slow_n_percent if slow is None else slow,
    )


def traits_of(case: Case, spot: str) -> SpotTraits:
    """What makes a spot colder or riskier, from the site question and from where the damage is seen."""
    site = set(answers.codes(case, "site", spot))
    return SpotTraits(
        is_north_or_shaded=bool(site & {"north_shade", "slope_north"}),
        is_windy="windy" in site,
        is_wet="low_wet" in site,
        is_new="new_turf" in site,
    )


def cold_told(case: Case, known: Known) -> ColdTold:
    """The freeze as told; an operator's report stands in where the owner is not sure."""
    air = answers.air_min(case)
    days = answers.number(case, "days_cold")
    snow = answers.number(case, "snow")
    report = local.freeze_report(case, known)
    if air is None and report is not None and report.air_min_c is not None:
        return ColdTold(
            air_min_c=report.air_min_c,
            air_sd_dc=REPORTED_AIR_SD_DC.value,
            days_below_freezing=report.days_below_freezing if days is None else days,
            snow_in=report.snow_in if snow is None else snow,
            coldest_on=freeze_on(case, known),
        )
    return ColdTold(
        air_min_c=air.mean_c if air else None,
        air_sd_dc=air.sd_dc if air else 0.0,
        days_below_freezing=days,
        snow_in=snow if snow is not None or _snow_was_asked(case) else 0.0,
        coldest_on=freeze_on(case, known),
    )


def cold_of(case: Case, known: Known, traits: SpotTraits) -> SiteCold:
    """What a spot like this felt: from the weather that was measured near, else from what was told."""
    latitude = _within(answers.place_or_stand_in(case).latitude, 18.0, 45.0)
    measured = answers.measured(case)
    if measured is not None:
        return measuring.measured_cold(case, measured, known, traits, latitude)
    return told_site_cold(cold_told(case, known), latitude, traits)


def season_here(case: Case, known: Known, code: GrassCode) -> Season:
    """The spring of a lawn of this grass."""
    place, hit_on = answers.place_or_stand_in(case), freeze_on(case, known)
    return season_of(
        latitude=_within(place.latitude, 18.0, 45.0),
        longitude=_within(place.longitude, -125.0, -60.0),
        code=code,
        freeze_on=hit_on,
        told=local.season_dates(case, known, hit_on),
    )


def _spot_view(
    case: Case, known: Known, spot: str, code: GrassCode, season: Season, tolerances: Mapping[GrassCode, Tolerance]
) -> SpotView:
    """One spot. Where the grass is a guess the odds are a mixture over what it may be, each as likely as the others."""
    traits = traits_of(case, spot)
    cold = cold_of(case, known, traits)
    signs = signs_of(case, spot)
    odds = AliveOdds.mixed([survival(cold, each, known_of, traits) for each, known_of in tolerances.items()])
    top = AliveOdds.mixed([top_survival(cold, each, known_of, traits) for each, known_of in tolerances.items()])
    combined = combine(odds, pieces_of(case, spot, season))
    odds = combined.odds
    top = combine(top, map(Sign, signs)).odds
    half_die_c, sd_dc = effective_lt50_c(cold, code, tolerances[code])
    return SpotView(
        name=spot,
        cold=cold,
        odds=odds,
        top=top,
        injuries=injuries(cold, odds, top),
        band=band_of(odds),
        half_die_c=half_die_c,
        half_die_sd_dc=sd_dc,
        half_die_range_c=_half_die_range(cold, tolerances),
        signs=signs,
        effects=combined.effects,
    )


def _half_die_range(cold: SiteCold, tolerances: Mapping[GrassCode, Tolerance]) -> tuple[float, ...]:
    if len(tolerances) < 2:
        return ()
    limits = [effective_lt50_c(cold, each, known_of)[0] for each, known_of in tolerances.items()]
    return min(limits), max(limits)


def _snow_was_asked(case: Case) -> bool:
    return answers.find(case, "snow") is not None


def snow_protected(cold: SiteCold) -> bool:
    """Whether enough snow lay to count."""
    return cold.snow_in >= SNOW_COUNTS_FROM_IN.value


def cultivar_of(case: Case, code: GrassCode) -> str | None:
    """The code of the lawn's cultivar, where the owner named one."""
    told = answers.code(case, "grass") or ""
    if "/" in told and told.split("/")[0] == code:
        return told.split("/")[1]
    return answers.code(case, "cultivar")


def _within(value: float, low: float, high: float) -> float:
    return min(max(value, low), high)
