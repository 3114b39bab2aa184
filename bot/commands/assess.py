"""`afterfrost assess`: one described lawn without a chat, as text or as JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import click
from pydantic import BaseModel, ValidationError

from bot.clock import SystemClock
from bot.conversation import RegionalFacts, known_of
from bot.errors import AfterfrostError
from bot.lawn_file import EXAMPLE, LawnFile
from bot.talk import advice, measuring, telling, telling_plan
from bot.talk.advice import LawnView, SpotView
from bot.talk.case import Case, Homeowner, Measured
from bot.talk.effects import Say
from bot.talk.known import Known, NearWeather
from bot.talk.messages import Verbatim, text
from bot.talk.turn import Turn
from bot.words import Words
from rules.combine import Effect, Sign
from rules.facts.soil import NORMAL_90
from rules.feeding import FeedDose, FeedRefusal
from rules.plan import CarePlan, PlanTask
from rules.second_opinion import second_opinion

if TYPE_CHECKING:
    from bot.weather.book import WeatherBook
    from bot.weather.shelf import Kept


class LawnFileError(AfterfrostError):
    """The lawn file cannot be used; the message names the field and what is allowed."""


class Range(BaseModel):
    """A value with its likely range (eight chances in ten for fractions, nine in ten for temperatures)."""

    low: float
    middle: float
    high: float


class RuleOfThumbOut(BaseModel):
    """The practitioners' rule for the grass: soil temperature at which losses are said to become serious."""

    serious_from_c: float
    serious_to_c: float
    is_serious: bool
    agrees_with_odds: bool
    differs_because: list[str]


class MovedOut(BaseModel):
    """One piece of evidence: the expected alive fraction without it, and with it and everything else."""

    what: str
    alive_fraction_before: float
    alive_fraction_after: float
    direction: str


class SpotOut(BaseModel):
    """What probably happened at one spot."""

    name: str
    air_min_c: float
    crown_min_c: Range
    soil_2in_min_c: Range
    half_of_crowns_die_c: Range
    alive_fraction: Range
    blades_dead_probability: float
    some_lost_probability: float
    nearly_all_lost_probability: float
    band: str
    rule_of_thumb: RuleOfThumbOut | None
    moved_by: list[MovedOut]
    temperatures_are: str


class WeatherOut(BaseModel):
    """The measured freeze the cold was worked out from. Temperatures in degC, distances in km.

    air_doubt_c : half the width of the range in which the lawn's lowest air lies nine times in ten
    """

    station: str
    network: str
    distance_km: float
    is_thermometer: bool
    credit: str
    first_on: date
    coldest_on: date
    last_on: date
    air_min_c: float
    air_doubt_c: float
    days_below_freezing: int
    days_filled: int
    snow_in: float


class TaskOut(BaseModel):
    """One task of the plan."""

    key: str
    kind: str
    on: date
    until_on: date
    spot: str
    text: str
    cautions: list[str]
    cut_from_in: float | None = None
    cut_to_in: float | None = None
    bag_clippings: bool | None = None
    water_in: float | None = None
    water_gal: float | None = None
    feed: dict[str, Any] | None = None


class Assessment(BaseModel):
    """Everything `afterfrost assess --json` prints."""

    grass: str
    cultivar: str | None
    weather: WeatherOut | None
    spots: list[SpotOut]
    last_frost_on: date
    cutting_from_on: date
    warm_soil_on: date
    judging_on: date
    likely_dead_not_before_on: date
    dates_are_about: bool
    plan: list[TaskOut]
    not_now: list[dict[str, Any]]
    cutting: dict[str, Any] | None
    text: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherWanted:
    """Where measured weather may come from: files, or else what is kept in a data folder."""

    files: tuple[Path, ...] = ()
    data: Path | None = None


def assess_command(
    file: Path | None,
    *,
    as_json: bool = False,
    schema: bool = False,
    example: bool = False,
    metric: bool = False,
    weather: WeatherWanted = WeatherWanted(),
) -> str:
    """What the command prints. Raises LawnFileError naming the field and the allowed range, WeatherFileError naming the
    line.
    """
    if schema:
        return json.dumps(LawnFile.model_json_schema(), indent=2)
    if example:
        return EXAMPLE.model_dump_json(indent=2)
    if file is None:
        raise LawnFileError("Give a lawn file, or --example to see one: afterfrost assess --example > lawn.json")
    lawn = read_lawn(file.read_text(encoding="utf-8"))
    book = _book(lawn, weather)
    assessment = assess(lawn, SystemClock().now().astimezone().date(), metric=metric, weather=book)
    return assessment.model_dump_json(indent=2) if as_json else "\n\n".join(assessment.text)


def _book(lawn: LawnFile, wanted: WeatherWanted) -> WeatherBook | None:
    """The weather around the lawn's freeze, if there is any."""
    from bot.weather.book import book_of
    from bot.weather.shelf import Shelf, kept_of

    kept = _one_a_station([kept_of(file) for file in wanted.files])
    if not kept and wanted.data is not None:
        kept, broken = Shelf(wanted.data).all()
        for each in broken:
            click.echo(Words().text(text("near-unreadable", why=Verbatim(each.why))), err=True)
    return book_of(kept, lawn.freeze.coldest_on + _AFTER_FREEZE) if kept else None


def _one_a_station(kept: Sequence[Kept]) -> tuple[Kept, ...]:
    """Files of one station as one record, as the shelf would keep them."""
    from bot.weather.shelf import merged

    found: dict[tuple[str, str], Kept] = {}
    for each in kept:
        key = each.daily.station.network, each.daily.station.code
        found[key] = replace(each, daily=merged(found[key].daily, each.daily)) if key in found else each
    return tuple(found.values())


_AFTER_FREEZE = timedelta(days=15)


def read_lawn(text: str) -> LawnFile:
    """A lawn file from its text. Raises LawnFileError with a line for each field that is wrong."""
    try:
        return LawnFile.model_validate_json(text)
    except ValidationError as error:
        lines = [_fault_line(dict(fault)) for fault in error.errors()]
        raise LawnFileError("The lawn file cannot be used:\n" + "\n".join(lines)) from error


def _fault_line(fault: dict[str, Any]) -> str:
    where = ".".join(str(part) for part in fault["loc"]) or "the file"
    message = str(fault["msg"]).removeprefix("Value error, ")
    limits = fault.get("ctx", {})
    allowed = ", ".join(f"{name} {limits[name]}" for name in ("ge", "gt", "le", "lt") if name in limits)
    words = (
        allowed.replace("ge", "at least").replace("gt", "more than").replace("le", "at most").replace("lt", "less than")
    )
    hint = f" (allowed: {_described(fault['loc']) or words or 'see afterfrost assess --schema'})"
    return f"  {where}: {message}{hint}"


def _described(location: tuple[Any, ...]) -> str:
    """What a field may hold: its range and its description, from the models themselves."""
    model: Any = LawnFile
    text = ""
    for part in location:
        field = getattr(model, "model_fields", {}).get(part) if isinstance(part, str) else None
        if field is None:
            continue
        bounds = {name: getattr(item, name) for item in field.metadata for name in ("ge", "le") if hasattr(item, name)}
        low, high = bounds.get("ge"), bounds.get("le")
        ranged = f"{low:g} to {high:g}" if low is not None and high is not None else ""
        text = "; ".join(each for each in (ranged, field.description or "") if each)
        model = next((arg for arg in _models_in(field.annotation)), None)
    return text


def _models_in(annotation: Any) -> list[Any]:
    candidates = [annotation, *getattr(annotation, "__args__", ())]
    return [each for each in candidates if isinstance(each, type) and issubclass(each, BaseModel)]


def assess(lawn: LawnFile, today: date, *, metric: bool = False, weather: NearWeather | None = None) -> Assessment:
    """The assessment and plan of one described lawn, from measured weather where there is any near."""
    words = Words()
    case = lawn.case(today)
    known = known_of(words, RegionalFacts(**lawn.dates.model_dump()), weather=weather)
    case = replace(case, measured=measuring.found(case, known, today))
    view = advice.lawn_view(case, known)
    plan = advice.plan_of(case, known, case.planned_on or today)
    season = view.season
    return Assessment(
        grass=view.code,
        cultivar=view.cultivar,
        weather=_weather_out(view.measured),
        spots=[_spot_out(spot, view) for spot in view.spots],
        last_frost_on=season.last_frost_on,
        cutting_from_on=season.frost_gate_on,
        warm_soil_on=season.warm_soil_on,
        judging_on=season.judging_on,
        likely_dead_not_before_on=season.likely_dead_on,
        dates_are_about=season.is_about,
        plan=[_task_out(task, case, words, metric=metric) for task in plan.tasks],
        not_now=[_restraint_out(each) for each in plan.not_now],
        cutting=_cutting_out(plan),
        text=_told(case, known, words, metric=metric),
    )


def _moved_out(effect: Effect) -> MovedOut:
    return MovedOut(
        what=effect.piece.code if isinstance(effect.piece, Sign) else type(effect.piece).__name__,
        alive_fraction_before=round(effect.before.mean_fraction, 4),
        alive_fraction_after=round(effect.after.mean_fraction, 4),
        direction=effect.direction,
    )


def _weather_out(measured: Measured | None) -> WeatherOut | None:
    if measured is None:
        return None
    told = {name: getattr(measured, name) for name in WeatherOut.model_fields if name != "air_doubt_c"}
    return WeatherOut(**told, air_doubt_c=round(NORMAL_90.value * measured.air_sd_dc, 2))


def _spot_out(spot: SpotView, view: LawnView) -> SpotOut:
    crown, odds = spot.cold.crown, spot.odds
    return SpotOut(
        name=spot.name,
        air_min_c=round(spot.cold.air_min_c, 2),
        crown_min_c=_around(crown.min_c, crown.sd_dc),
        soil_2in_min_c=_around(spot.cold.soil_2in_min_c, spot.cold.soil_2in_sd_dc),
        half_of_crowns_die_c=_around(spot.half_die_c, spot.half_die_sd_dc),
        alive_fraction=Range(
            low=odds.quantile_fraction(0.1), middle=odds.quantile_fraction(0.5), high=odds.quantile_fraction(0.9)
        ),
        blades_dead_probability=round(spot.injuries.blades_probability, 4),
        some_lost_probability=round(spot.injuries.some_lost_probability, 4),
        nearly_all_lost_probability=round(spot.injuries.nearly_all_lost_probability, 4),
        band=spot.band,
        rule_of_thumb=_rule_of_thumb(spot, view),
        moved_by=[_moved_out(effect) for effect in spot.effects],
        temperatures_are=spot.cold.basis,
    )


def _rule_of_thumb(spot: SpotView, view: LawnView) -> RuleOfThumbOut | None:
    told = second_opinion(view.code, view.cultivar, spot.cold, spot.top)
    if told is None:
        return None
    return RuleOfThumbOut(
        serious_from_c=round(told.from_c, 2),
        serious_to_c=round(told.to_c, 2),
        is_serious=told.is_serious,
        agrees_with_odds=told.agrees,
        differs_because=list(told.reasons),
    )


def _around(middle: float, sd: float) -> Range:
    spread = NORMAL_90.value * sd
    return Range(low=round(middle - spread, 2), middle=round(middle, 2), high=round(middle + spread, 2))


def _task_out(task: PlanTask, case: Case, words: Words, *, metric: bool) -> TaskOut:
    parts = telling_plan.task_parts([task], task.on, case)
    return TaskOut(
        key=task.key,
        kind=task.kind,
        on=task.on,
        until_on=task.until_on,
        spot=task.spot,
        text=" ".join(words.text(part, metric=metric) for part in parts),
        cautions=list(task.cautions),
        cut_from_in=task.cut.from_in if task.cut else None,
        cut_to_in=task.cut.to_in if task.cut else None,
        bag_clippings=task.cut.bag if task.cut else None,
        water_in=task.water.depth_in if task.water else None,
        water_gal=round(task.water.volume_gal, 1) if task.water and task.water.volume_gal else None,
        feed=_feed_out(task.feed),
    )


def _feed_out(feed: FeedDose | FeedRefusal | None) -> dict[str, Any] | None:
    if isinstance(feed, FeedDose):
        return {
            "tier": feed.tier,
            "product_lb_per_1000_sqft": round(feed.product_lb_per_1000_sqft, 3),
            "product_lb": None if feed.product_lb is None else round(feed.product_lb, 2),
            "n_lb_per_1000_sqft": round(feed.rate.n_lb, 3),
            "soluble_n_lb_per_1000_sqft": round(feed.rate.soluble_n_lb, 3),
            "p2o5_lb_per_1000_sqft": round(feed.rate.p2o5_lb, 3),
            "k2o_lb_per_1000_sqft": round(feed.rate.k2o_lb, 3),
            "notes": list(feed.notes),
        }
    if isinstance(feed, FeedRefusal):
        reasons = [{"code": each.code, "value": each.value, "limit": each.limit} for each in feed.reasons]
        return {"refused": reasons, "best_n_lb_per_1000_sqft": feed.best_n_lb_per_1000_sqft}
    return None


def _restraint_out(restraint: Any) -> dict[str, Any]:
    return {
        "what": restraint.code,
        "until_on": restraint.until_on,
        "lifted_by": restraint.gate,
        "why": restraint.reason_code,
        "source": str(restraint.source),
    }


def _cutting_out(plan: CarePlan) -> dict[str, Any] | None:
    if plan.ladder is None:
        return None
    return {
        "floor_in": plan.ladder.floor_in,
        "reason": plan.ladder.reason_code,
        "raise_to_in": plan.ladder.raise_to_in,
        "cuts": len(plan.ladder.cuts),
    }


def _told(case: Case, known: Known, words: Words, *, metric: bool) -> list[str]:
    """The summary and plan as a homeowner would read them."""
    homeowner = Homeowner(metric=metric, lawns=(case,), active_lawn=case.number)
    start = datetime.combine(case.planned_on or case.opened_at.date(), time(12), tzinfo=ZoneInfo("America/New_York"))
    turn = Turn(homeowner=homeowner, now=start, known=known)
    telling.tell_summary(turn)
    telling_plan.tell_plan(turn)
    return [words.render(effect, homeowner).text for effect in turn.effects if isinstance(effect, Say)]


__all__ = ["Assessment", "LawnView", "assess", "assess_command", "read_lawn"]
