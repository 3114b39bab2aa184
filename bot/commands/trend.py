"""`afterfrost trend`: a CSV of cover readings in, the recovery of each spot out, as a table or as JSON."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from pydantic import BaseModel

from bot.commands.trend_file import Row, TrendFileError, read_rows, visits
from bot.talk.messages import Day, Number, Text, Value, Verbatim, text
from bot.words import Words
from rules.evidence import plug_interval
from rules.grasses import GrassCode
from rules.recovery import Change, CoverRange, Likely, Reading
from rules.recovery_state import Recovery, RecoveryState, Standing, lawn_recovery
from rules.season import Season, SeasonDates, judging_warm_days, season_of
from rules.verdict import SpotEvidence

NEW_YEAR = (1, 1)
_POT = re.compile(r"(?:(?P<spot>.*)=)?(?P<alive>\d{1,3})/(?P<total>\d{1,3})@(?P<weeks>\d{1,2})", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class PotCount:
    """A pot test of a spot: so many plugs alive of all, after some weeks."""

    spot: str
    alive: int
    total: int
    weeks: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendWanted:
    """What is known beside the file. `place`: ZIP code, town and state, or coordinates."""

    grass: GrassCode | None = None
    place: str | None = None
    warm_soil_on: date | None = None
    judging_on: date | None = None
    judging_warm_days: int | None = None
    pots: tuple[PotCount, ...] = ()


class RangeOut(BaseModel):
    """A middle with its likely range; null where it lies beyond a year."""

    low: float | None
    middle: float | None
    high: float | None


class ChangeOut(BaseModel):
    """A change between two visits, in percent of the spot, weeds discounted."""

    from_percent: float
    to_percent: float
    smallest_percent: float
    is_worth_telling: bool


class VisitOut(BaseModel):
    """A reading as it was used: rows of one visit together."""

    date: date | None
    warm_day: float
    cover_percent: float
    grass_percent: float
    upload: str
    photos: int
    weeds: str


class PlugsOut(BaseModel):
    """A pot test, and the share of such plugs that may live (exact, 95 %)."""

    alive: int
    total: int
    weeks: int
    low_fraction: float
    high_fraction: float
    has_failed: bool


class SpotTrend(BaseModel):
    """The recovery of one spot as of its newest visit. Cover in percent of the spot, growth of its logit a warm day.

    cover_now, cover_in_28_warm_days, growth_per_warm_day : nine times in ten
    half_cover_in_warm_days : eight times in ten, from the newest visit on
    """

    spot: str
    state: RecoveryState
    growing_probability: float
    growth_per_warm_day: RangeOut
    cover_now_percent: RangeOut
    cover_in_28_warm_days_percent: RangeOut
    half_cover_in_warm_days: RangeOut
    since_first: ChangeOut | None
    since_previous: ChangeOut | None
    judging_day_passed: bool
    held_by_neighbour: bool
    pot_test: PlugsOut | None
    visits: list[VisitOut]


class Trends(BaseModel):
    """Everything `afterfrost trend --json` prints."""

    warm_soil_on: date | None
    judging_on: date | None
    judging_warm_days: int
    dates_are_about: bool
    weeds_were_asked: bool
    spots: list[SpotTrend]


def pot_of(typed: str) -> PotCount:
    """A pot test as typed, [SPOT=]ALIVE/TOTAL@WEEKS. Raises ValueError."""
    found = _POT.fullmatch(typed.strip())
    if found is None:
        raise ValueError(f'"{typed}" is no pot test: give plugs alive, plugs, and weeks, like front=0/6@4 or 0/6@4.')
    alive, total, weeks = (int(found[name]) for name in ("alive", "total", "weeks"))
    if not 1 <= total or alive > total:
        raise ValueError(f'"{typed}" is no pot test: {alive} of {total} plugs cannot live.')
    return PotCount(spot=(found["spot"] or "").strip(), alive=alive, total=total, weeks=weeks)


def trend_command(file: Path, wanted: TrendWanted, *, as_json: bool) -> str:
    """What the command prints. Raises TrendFileError naming the line, PlaceNotClear."""
    found = trends(read_rows(file), wanted)
    return found.model_dump_json(indent=2) if as_json else "\n".join(_told(found))


# --- from rows to recoveries ---------------------------------------------------------------------------------------


def trends(rows: tuple[Row, ...], wanted: TrendWanted) -> Trends:
    """The recovery of every spot in some rows. Raises TrendFileError, PlaceNotClear."""
    dates = _Dates.of(rows, wanted)
    spots = visits(rows, dates.warm_day)
    pots = _pots_by_spot(wanted.pots, spots)
    standings = {
        name: _standing(dates.is_judged(pairs[-1][0], pairs[-1][1]), pots.get(name)) for name, pairs in spots.items()
    }
    readings = {name: [reading for reading, _ in pairs] for name, pairs in spots.items()}
    found = lawn_recovery(readings, standings)
    return Trends(
        warm_soil_on=dates.warm_soil_on,
        judging_on=dates.judging_on,
        judging_warm_days=dates.judging_warm_days,
        dates_are_about=dates.is_about,
        weeds_were_asked=all(row.weeds is not None for row in rows),
        spots=[_spot_out(name, found[name], standings[name], pots.get(name), pairs) for name, pairs in spots.items()],
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Dates:
    """From when warm days count, and when a spot may be judged."""

    warm_soil_on: date | None
    judging_on: date | None
    judging_warm_days: int
    is_about: bool  # from the table, give or take two weeks

    @classmethod
    def of(cls, rows: Sequence[Row], wanted: TrendWanted) -> _Dates:
        days = wanted.judging_warm_days or judging_warm_days(wanted.grass or GrassCode.BERMUDA)
        first_on = min((row.on for row in rows if row.on is not None), default=None)
        season = _season(wanted, first_on) if wanted.place and first_on else None
        warm_soil_on = wanted.warm_soil_on or (season.warm_soil_on if season else None)
        judging_on = wanted.judging_on
        if judging_on is None and warm_soil_on is not None:
            judging_on = warm_soil_on + timedelta(days=days)
            if season and wanted.judging_warm_days is None:
                judging_on = season.judging_on
        is_about = season is not None and wanted.warm_soil_on is None
        return cls(warm_soil_on=warm_soil_on, judging_on=judging_on, judging_warm_days=days, is_about=is_about)

    def warm_day(self, row: Row) -> float:
        """Warm days at a row: as it says, or each day from warm soil on."""
        if row.warm_day is not None:
            return row.warm_day
        if self.warm_soil_on is None or row.on is None:
            raise TrendFileError(
                f"{row.at}: it has a date and no warm_day. Give --warm-soil, the first day with 65 °F (18 °C) "
                "in soil 4 in (10 cm) down, or --place to take it from a table."
            )
        passed = (row.on - self.warm_soil_on).days
        if passed > 400:
            raise TrendFileError(f"{row.at}: {row.on} is more than 400 days after {self.warm_soil_on}.")
        return float(max(0, passed))

    def is_judged(self, reading: Reading, row: Row) -> bool:
        """Whether a spot may be judged on a reading's day."""
        if self.judging_on is not None and row.on is not None:
            return row.on >= self.judging_on
        return reading.warm_days >= self.judging_warm_days


def _season(wanted: TrendWanted, first_on: date) -> Season:
    from bot.commands.weather_shelf import where_is

    place = where_is(wanted.place or "")
    return season_of(
        latitude=place.latitude,
        longitude=place.longitude,
        code=wanted.grass or GrassCode.BERMUDA,
        freeze_on=date(first_on.year, *NEW_YEAR),
        told=SeasonDates(warm_soil_on=wanted.warm_soil_on),
    )


def _pots_by_spot(pots: Iterable[PotCount], spots: Mapping[str, object]) -> dict[str, PotCount]:
    found: dict[str, PotCount] = {}
    for pot in pots:
        name = next(iter(spots)) if not pot.spot and len(spots) == 1 else pot.spot
        if name not in spots:
            named = ", ".join(spot or '""' for spot in spots)
            raise TrendFileError(f'The pot test is of "{pot.spot}". Spots in the file: {named}.')
        if name not in found or pot.weeks >= found[name].weeks:  # asked again: the latest count
            found[name] = pot
    return found


def _standing(is_judged: bool, pot: PotCount | None) -> Standing:
    return Standing(
        judging_day_passed=is_judged,
        pot_test_failed=pot is not None and _has_failed(pot),
        plug_alive=pot is not None and pot.alive > 0,
    )


def _has_failed(pot: PotCount) -> bool:
    seen = SpotEvidence(plugs_alive=pot.alive, plugs_total=pot.total, plug_weeks=pot.weeks)
    return seen.pot_test_failed


# --- JSON ------------------------------------------------------------------------------------------------------------


def _spot_out(
    name: str, recovery: Recovery, standing: Standing, pot: PotCount | None, pairs: Sequence[tuple[Reading, Row]]
) -> SpotTrend:
    trend = recovery.trend
    return SpotTrend(
        spot=name,
        state=recovery.state,
        growing_probability=round(trend.growing_probability, 4),
        growth_per_warm_day=_range_out(trend.growth_per_day, 4),
        cover_now_percent=_cover_out(trend.cover_now),
        cover_in_28_warm_days_percent=_cover_out(trend.cover_later),
        half_cover_in_warm_days=_range_out(trend.half_cover_in_warm_days, 1),
        since_first=_change_out(recovery.since_first),
        since_previous=_change_out(recovery.since_previous),
        judging_day_passed=standing.judging_day_passed,
        held_by_neighbour=recovery.is_held_by_neighbour,
        pot_test=_plugs_out(pot) if pot else None,
        visits=[_visit_out(reading, row) for reading, row in pairs],
    )


def _range_out(likely: Likely, digits: int) -> RangeOut:
    def shown(value: float | None) -> float | None:
        return None if value is None else round(value, digits)

    return RangeOut(low=shown(likely.low), middle=shown(likely.middle), high=shown(likely.high))


def _cover_out(cover: CoverRange) -> RangeOut:
    return RangeOut(
        low=round(cover.low_percent, 1), middle=round(cover.middle_percent, 1), high=round(cover.high_percent, 1)
    )


def _change_out(change: Change | None) -> ChangeOut | None:
    if change is None:
        return None
    return ChangeOut(
        from_percent=round(change.from_percent, 1),
        to_percent=round(change.to_percent, 1),
        smallest_percent=round(change.smallest_percent, 1),
        is_worth_telling=change.is_worth_telling,
    )


def _plugs_out(pot: PotCount) -> PlugsOut:
    low, high = plug_interval(pot.alive, pot.total)
    return PlugsOut(
        alive=pot.alive,
        total=pot.total,
        weeks=pot.weeks,
        low_fraction=round(low, 4),
        high_fraction=round(high, 4),
        has_failed=_has_failed(pot),
    )


def _visit_out(reading: Reading, row: Row) -> VisitOut:
    return VisitOut(
        date=row.on,
        warm_day=reading.warm_days,
        cover_percent=round(reading.cover_percent, 2),
        grass_percent=round(reading.grass_percent, 2),
        upload=reading.upload,
        photos=reading.photos,
        weeds=reading.weeds,
    )


# --- text ------------------------------------------------------------------------------------------------------------


def _told(found: Trends) -> Iterator[str]:
    """A table with a line a spot, what it means, and what was taken for granted."""
    words = Words()
    heads = [words.text(text(key)) for key in _HEADS]
    yield from _aligned([heads, *([words.text(cell) for cell in _cells(spot)] for spot in found.spots)])
    for spot in found.spots:
        yield ""
        yield from (words.text(line) for line in _lines(spot))
    yield ""
    yield from (words.text(note) for note in _notes(found))


_HEADS = (
    "trend-head-spot",
    "trend-head-photos",
    "trend-head-days",
    "trend-head-now",
    "trend-head-later",
    "trend-head-half",
    "trend-head-growing",
    "trend-head-state",
)
_STATES: Mapping[RecoveryState, str] = {
    RecoveryState.RECOVERED: "trend-state-recovered",
    RecoveryState.RECOVERING: "trend-state-recovering",
    RecoveryState.TOO_EARLY: "trend-state-too_early",
    RecoveryState.STALLED: "trend-state-stalled",
    RecoveryState.NO_REGROWTH_SEEN: "trend-state-no_regrowth_seen",
    RecoveryState.LIKELY_DEAD: "trend-state-likely_dead",
}
_MEANS: Mapping[RecoveryState, str] = {
    RecoveryState.RECOVERED: "trend-say-recovered",
    RecoveryState.RECOVERING: "trend-say-recovering",
    RecoveryState.TOO_EARLY: "trend-say-too_early",
    RecoveryState.STALLED: "trend-say-stalled",
    RecoveryState.NO_REGROWTH_SEEN: "trend-say-no_regrowth_seen",
    RecoveryState.LIKELY_DEAD: "trend-say-likely_dead",
}


def _aligned(rows: list[list[str]]) -> Iterator[str]:
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def _cells(spot: SpotTrend) -> list[Text]:
    return [
        text("trend-plain", what=_name(spot)),
        text("trend-plain", what=Number(len(spot.visits))),
        text("trend-plain", what=Number(round(spot.visits[-1].warm_day))),
        _percent_cell(spot.cover_now_percent),
        _percent_cell(spot.cover_in_28_warm_days_percent),
        _half_cell(spot),
        text("trend-chance", n=Number(min(99, max(1, round(100 * spot.growing_probability))))),
        text(_STATES[spot.state]),
    ]


def _name(spot: SpotTrend) -> Value:
    return Verbatim(spot.spot) if spot.spot else text("trend-whole")


def _percent_cell(cover: RangeOut) -> Text:
    return text(
        "trend-range",
        middle=Number(round(cover.middle or 0)),
        low=Number(round(cover.low or 0)),
        high=Number(round(cover.high or 0)),
    )


def _half_cell(spot: SpotTrend) -> Text:
    """Days to half green; not for a spot that does not grow, whose few fast courses would read like a promise."""
    days = spot.half_cover_in_warm_days
    if days.middle == 0:
        return text("trend-days-there")
    if days.middle is None or days.low is None or spot.state in _NOT_GROWING:
        return text("trend-days-none")
    middle, low = Number(round(days.middle)), Number(round(days.low))
    if days.high is None:
        return text("trend-days-open", middle=middle, low=low)
    return text("trend-days", middle=middle, low=low, high=Number(round(days.high)))


_NOT_GROWING = (RecoveryState.STALLED, RecoveryState.NO_REGROWTH_SEEN, RecoveryState.LIKELY_DEAD)


def _lines(spot: SpotTrend) -> Iterator[Text]:
    yield text("trend-say-held" if spot.held_by_neighbour else _MEANS[spot.state], spot=_name(spot))
    if spot.since_first is not None:
        yield _change_text("trend-since-first", spot.since_first)
    if spot.since_previous is not None and len(spot.visits) > 2:
        yield _change_text("trend-since-previous", spot.since_previous)
    if spot.pot_test is not None:
        yield text(
            "trend-plugs",
            alive=Number(spot.pot_test.alive),
            total=Number(spot.pot_test.total),
            low=Number(round(100 * spot.pot_test.low_fraction)),
            high=Number(round(100 * spot.pot_test.high_fraction)),
        )


def _change_text(key: str, change: ChangeOut) -> Text:
    values: dict[str, Value] = {
        "from": Number(round(change.from_percent)),
        "to": Number(round(change.to_percent)),
        "smallest": Number(round(change.smallest_percent)),
        "told": Verbatim("yes" if change.is_worth_telling else "no"),
    }
    return text(key, **values)


def _notes(found: Trends) -> Iterator[Text]:
    yield text("trend-note-range")
    if found.warm_soil_on is not None:
        yield text("trend-note-warm-soil", day=Day(found.warm_soil_on, found.dates_are_about))
    if found.judging_on is not None:
        yield text("trend-note-judging-day", day=Day(found.judging_on, found.dates_are_about))
    else:
        yield text("trend-note-judging-warm", n=Number(found.judging_warm_days))
    if not found.weeds_were_asked:
        yield text("trend-note-weeds")
