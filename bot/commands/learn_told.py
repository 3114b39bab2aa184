"""What the learning commands print: in plain lines, as plain values, as a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from bot.charts.limit import draw_limit
from bot.charts.wording import limit_words
from bot.commands.telling import Told
from bot.durable import write_durably
from bot.ops.learning.adopting import why_not_enough
from bot.ops.learning.changes import LawnChange
from bot.ops.learning.fitting import Learned
from bot.ops.learning.seeing import Proposal, Seen
from bot.ops.learning.standing import Standing
from bot.talk.telling import named_grass
from bot.words import Words
from rules.facts.lt50 import REGION_MINIMA_SD_DC
from rules.grasses import cultivar
from rules.lt50_curve import Share, SurvivalCurve
from rules.lt50_evidence import Way
from rules.lt50_fit import FoundShift
from rules.lt50_grids import Spread
from rules.units import dc_to_df

MOST_LINES = 20
_WORDS = Words()
_WAYS = {Way.POT_TEST: "by pot test", Way.PHOTOS: "by photos", Way.BY_EYE: "by eye"}


# --- show ------------------------------------------------------------------------------------------------------------


def lines_of(seen: Seen, adopted: Sequence[Standing], picture: str, *, metric: bool) -> Iterator[str]:
    """What was learned, grass by grass, with what it takes for granted; `picture`: where it was drawn, or ""."""
    where = seen.region.name if seen.region else "all lawns"
    told, all_lawns = len(seen.gathered.told), len(seen.gathered.lawns)
    yield f"{where}: {told} of {all_lawns} lawns whose season is over were told of to the end."
    if seen.gathered.too_early:
        yield f"{seen.gathered.too_early} more count later, two weeks after their judging day, whatever comes of them."
    if seen.gathered.unread:
        yield f"{seen.gathered.unread} homeowners could not be read; the log says which."
    for learned in seen.learned:
        yield ""
        yield from _grass_lines(learned, metric=metric)
    yield ""
    yield from _adopted_lines(adopted, metric=metric)
    if seen.learned:
        yield from _assumptions(metric=metric)
    if picture:
        yield picture


def _grass_lines(learned: Learned, *, metric: bool) -> Iterator[str]:
    ways = ", ".join(f"{learned.ways[way]} {_WAYS[way]}" for way in Way if learned.ways.get(way))
    winters = ", ".join(f"{year - 1}-{year % 100:02}" for year in learned.winters)
    yield f"{_name(learned.code, None)}: {learned.told} lawns ({ways or 'none'}), winter {winters or 'none'}"
    for found in learned.all:
        yield from _found_lines(learned, found, metric=metric)
    if learned.silent:
        yield f"  Nothing was told of {learned.silent} others. Owners who answer are not all owners:"
        living, dead = (
            _degrees(each, metric=metric) for each in (learned.if_living_answer_dc, learned.if_dead_answer_dc)
        )
        yield f"  if owners of living lawns answered twice as often it would be {living}, of dead ones {dead}."


def _found_lines(learned: Learned, found: FoundShift, *, metric: bool) -> Iterator[str]:
    spread = _spread(found.found, metric=metric)
    yield f"  {_name(learned.code, found.cultivar)}: {spread}. Before any lawn: {_spread(found.prior, metric=metric)}."
    near = f"{found.near:.0f} lawns got near the limit, {found.tested:.0f} of them with a pot test"
    if found.is_enough:
        target = f"{learned.code}/{found.cultivar}" if found.cultivar else learned.code.value
        yield f"    Enough: {near}. To see what it would change: learn adopt {target}"
    else:
        tested = f" ({found.tested:.0f} with a pot test)" if found.has_few_lawns else f" ({near})"
        yield f"    Not enough{tested}. {why_not_enough(found)}"


def _adopted_lines(adopted: Sequence[Standing], *, metric: bool) -> Iterator[str]:
    if not adopted:
        yield "Adopted: nothing. The published figures count everywhere."
    for each in adopted:
        where = each.region or "everywhere"
        shift = _degrees(each.doc.shift_dc, metric=metric)
        by = f"by {each.by or 'the command line'} on {each.at.astimezone():%Y-%m-%d}"
        yield f"Adopted, correction {each.id}: {_name(each.grass, each.cultivar)}, {where}: {shift}, {by}"


def _assumptions(*, metric: bool) -> Iterator[str]:
    off = _plain_degrees(REGION_MINIMA_SD_DC.value, metric=metric)
    yield ""
    yield "Plus is warmer than published, so less hardy; ranges hold nine times in ten."
    yield f"The estimated minima of a region may all be off together by about {off}. No number of lawns can tell"
    yield "that from an LT50 that is off, so no range gets narrower than that."


# --- adopt -----------------------------------------------------------------------------------------------------------


def change_lines(proposal: Proposal, *, metric: bool) -> Iterator[str]:
    """What may be adopted, and which lawns would be told something else."""
    where = proposal.region.name if proposal.region else "everywhere"
    name = _name(proposal.wanted.code, proposal.wanted.cultivar)
    yield f"{name}, {where}: {_spread(proposal.found.found, metric=metric)}"
    would = proposal.changes
    yield f"{would.changed_lawns} of {would.lawns} lawns it is for would be told something else today:"
    yield f"  {would.other_bands} with other odds in words (on which care depends),"
    yield f"  {would.other_verdicts} with another verdict,"
    yield f"  {would.other_plans} with another plan, had it been made with this."
    weighty = would.weightiest_first
    for each in weighty[:MOST_LINES]:
        yield f"  {_change_line(each)}"
    if len(weighty) > MOST_LINES:
        yield f"  and {len(weighty) - MOST_LINES} more; --json lists them all."


def _change_line(change: LawnChange) -> str:
    spot = f", {change.spot}" if change.spot else ""
    told = [f"alive {change.before.alive_tenths} to {change.after.alive_tenths} tenths"]
    for what in ("band", "verdict"):
        before, after = getattr(change.before, what), getattr(change.after, what)
        told += [f"{what} {before} to {after}".replace("_", " ")] if before != after else []
    told += ["plan"] if change.is_plan_changed else []
    return f"case {change.case_id}, lawn {change.lawn}{spot}: {'; '.join(told)}"


def plain_changes(proposal: Proposal) -> dict[str, Any]:
    """The same as plain values. Degrees Celsius."""
    return {
        "grass": proposal.wanted.code.value,
        "cultivar": proposal.wanted.cultivar,
        "region": proposal.region.name if proposal.region else None,
        "found": _plain_found(proposal.found),
        "lawns": proposal.changes.lawns,
        "changed_lawns": proposal.changes.changed_lawns,
        "changed": [
            {
                "case": each.case_id,
                "lawn": each.lawn,
                "spot": each.spot,
                "alive_tenths": [each.before.alive_tenths, each.after.alive_tenths],
                "band": [each.before.band, each.after.band],
                "verdict": [each.before.verdict, each.after.verdict],
                "plan_changed": each.is_plan_changed,
            }
            for each in proposal.changes.changed
        ],
    }


# --- plain values, picture --------------------------------------------------------------------------------------------


def plain_of(seen: Seen, adopted: Sequence[Standing]) -> dict[str, Any]:
    """What was learned as plain values, curves included. Degrees Celsius."""
    return {
        "region": seen.region.name if seen.region else None,
        "lawns": len(seen.gathered.lawns),
        "told": len(seen.gathered.told),
        "too_early": seen.gathered.too_early,
        "unread": seen.gathered.unread,
        "region_minima_sd_c": REGION_MINIMA_SD_DC.value,
        "grasses": [_plain_learned(each, seen.curves[each.code, None]) for each in seen.learned],
        "adopted": [
            {
                "id": each.id,
                "region": each.region or None,
                "grass": each.grass.value,
                "cultivar": each.cultivar,
                "shift_c": each.doc.shift_dc,
                "sd_c": each.doc.sd_dc,
                "by": each.by or None,
                "at": each.at.isoformat(),
            }
            for each in adopted
        ],
    }


def _plain_learned(learned: Learned, curve: SurvivalCurve) -> dict[str, Any]:
    return {
        "grass": learned.code.value,
        "told": learned.told,
        "silent": learned.silent,
        "known_by": {way.value: learned.ways.get(way, 0) for way in Way},
        "winters": list(learned.winters),
        "if_living_answer_twice_c": round(learned.if_living_answer_dc, 3),
        "if_dead_answer_twice_c": round(learned.if_dead_answer_dc, 3),
        "shifts": [_plain_found(each) for each in learned.all],
        "curve": _plain_curve(curve),
    }


def _plain_found(found: FoundShift) -> dict[str, Any]:
    return {
        "cultivar": found.cultivar,
        "shift_c": _plain_spread(found.found),
        "before_any_lawn_c": _plain_spread(found.prior),
        "lawns": round(found.lawns, 1),
        "near_the_limit": round(found.near, 1),
        "pot_tested": round(found.tested, 1),
        "is_enough": found.is_enough,
        "why_not": why_not_enough(found) or None,
    }


def _plain_spread(spread: Spread) -> dict[str, float]:
    return {"low": round(spread.low_dc, 3), "middle": round(spread.middle_dc, 3), "high": round(spread.high_dc, 3)}


def _plain_curve(curve: SurvivalCurve) -> dict[str, Any]:
    return {
        "published_c": round(curve.published_c, 2),
        "found_c": round(curve.found_c, 2),
        "points": [
            {"crown_min_c": round(each.crown_min_c, 2)}
            | _plain_share("published", each.published)
            | _plain_share("found", each.found)
            for each in curve.points
        ],
        "seen": [
            {"crown_min_c": round(each.crown_min_c, 2), "lawns": round(each.lawns, 1)}
            | _plain_share("alive", each.seen)
            for each in curve.seen
        ],
    }


def _plain_share(name: str, share: Share) -> dict[str, list[float]]:
    """Low, middle, high."""
    return {name: [round(each, 4) for each in (share.low_fraction, share.middle_fraction, share.high_fraction)]}


def drawn(seen: Seen, file: Path, *, metric: bool) -> str:
    """Draw the curve of the one grass there is; where it lies. Raises Told for several, for none, for a bad name."""
    if file.suffix.lower() != ".png":
        raise Told(f"--plot {file} does not end in .png. Name a file like curve.png.")
    if len(seen.learned) != 1:
        names = ", ".join(each.code for each in seen.learned) or "none"
        raise Told(f"A picture is of one grass. Name it with --grass. Lawns are of: {names}.")
    (learned,) = seen.learned
    curve = seen.curves[learned.code, None]
    words = limit_words(curve, learned.fit.grass, _WORDS, language="en", metric=metric)
    try:
        write_durably(file, draw_limit(curve, words=words, metric=metric))
    except OSError as error:
        raise Told(f"{file} cannot be written ({error.strerror}). Name another file.") from error
    return f"Drawn: {file}"


# --- words -----------------------------------------------------------------------------------------------------------


def _name(code: str, named: str | None) -> str:
    return cultivar(named).name if named else _WORDS.text(named_grass(code, ""))


def _spread(spread: Spread, *, metric: bool) -> str:
    low, high = (_figure(each, metric=metric) for each in (spread.low_dc, spread.high_dc))
    return f"{_degrees(spread.middle_dc, metric=metric)} ({low} to {high})"


def _degrees(difference_dc: float, *, metric: bool) -> str:
    return f"{_figure(difference_dc, metric=metric)} {'°C' if metric else '°F'}"


def _plain_degrees(difference_dc: float, *, metric: bool) -> str:
    return _degrees(difference_dc, metric=metric).lstrip("+")


def _figure(difference_dc: float, *, metric: bool) -> str:
    return f"{difference_dc if metric else dc_to_df(difference_dc):+.1f}"
