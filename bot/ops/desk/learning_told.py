"""What was learned, as the desk's page has it: figures in degrees F and C, counts by kind, and curves as drawings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from bot.ops.desk.desk import Desk
from bot.ops.learning.adopting import lawns_missing
from bot.ops.learning.changes import Changes, LawnChange
from bot.ops.learning.curve_drawing import CurveDrawing, drawing_of
from bot.ops.learning.fitting import Learned
from bot.ops.learning.seeing import Seen
from bot.talk.telling import named_grass
from rules.grasses import GrassCode, tolerance
from rules.lt50_evidence import Way
from rules.lt50_fit import FoundShift
from rules.lt50_grids import Spread
from rules.units import c_to_f, dc_to_df

MOST_LAWNS = 10
"""Of those that would be told something else, shown one by one."""
_LONGEST = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What an address or a form asks for, as it was typed."""

    region: str
    grass: str

    @classmethod
    def of(cls, given: Mapping[str, object]) -> Asked:
        """From the fields of either; "" for what is not there."""
        region, grass = (str(given.get(name, ""))[:_LONGEST] for name in ("region", "grass"))
        return cls(region=region, grass=grass)


@dataclass(frozen=True, slots=True, kw_only=True)
class Degrees:
    """A temperature, or a difference of two, in both units."""

    f: str
    c: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A figure with where it lies nine times in ten."""

    middle: Degrees
    low: Degrees
    high: Degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundTold:
    """What was found of a grass or a cultivar. `ask`: what a link to its proposal names."""

    name: str
    ask: str
    found: FoundShift
    published: Figure
    fitted: Figure
    missing: int
    drawing: CurveDrawing


@dataclass(frozen=True, slots=True, kw_only=True)
class GrassTold:
    """A grass with its cultivars. `ways`: how many lawns were known by pot test, by photos, by eye."""

    name: str
    learned: Learned
    ways: tuple[int, int, int]
    winters: str
    founds: tuple[FoundTold, ...]
    if_living_answer: Degrees
    if_dead_answer: Degrees


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnTold:
    """One lawn that would be told something else. `why`: the keys of what."""

    case_id: int
    lawn: int
    before_tenths: int
    after_tenths: int
    why: tuple[str, ...]


def named(desk: Desk, code: GrassCode, cultivar: str | None) -> str:
    """A grass or cultivar at the head of something."""
    name = desk.words.text(named_grass(code, cultivar or ""))
    return name[:1].upper() + name[1:]


def grasses_told(desk: Desk, seen: Seen) -> list[GrassTold]:
    """Every grass, with its cultivars."""
    return [_grass_told(desk, seen, each) for each in seen.learned]


def _grass_told(desk: Desk, seen: Seen, learned: Learned) -> GrassTold:
    by_test, by_photos, by_eye = (learned.ways.get(way, 0) for way in Way)
    return GrassTold(
        name=named(desk, learned.code, None),
        learned=learned,
        ways=(by_test, by_photos, by_eye),
        winters=", ".join(f"{year - 1}-{year % 100:02}" for year in learned.winters),
        founds=tuple(_found_told(desk, seen, learned.code, each) for each in learned.all),
        if_living_answer=shift_told(learned.if_living_answer_dc),
        if_dead_answer=shift_told(learned.if_dead_answer_dc),
    )


def _found_told(desk: Desk, seen: Seen, code: GrassCode, found: FoundShift) -> FoundTold:
    published_c = tolerance(code, found.cultivar).lt50_c
    return FoundTold(
        name=named(desk, code, found.cultivar),
        ask=f"{code}/{found.cultivar}" if found.cultivar else code.value,
        found=found,
        published=_figure(published_c, found.prior),
        fitted=_figure(published_c, found.found),
        missing=lawns_missing(found),
        drawing=drawing_of(seen.curves[code, found.cultivar]),
    )


def _figure(published_c: float, shift: Spread) -> Figure:
    middle, low, high = (_told(published_c + each) for each in (shift.middle_dc, shift.low_dc, shift.high_dc))
    return Figure(middle=middle, low=low, high=high)


def _told(celsius: float) -> Degrees:
    return Degrees(f=f"{c_to_f(celsius):.1f}", c=f"{celsius:.1f}")


def shift_told(difference_dc: float) -> Degrees:
    """A difference with its sign: warmer, so less hardy, is plus."""
    return Degrees(f=f"{dc_to_df(difference_dc):+.1f}", c=f"{difference_dc:+.1f}")


def spread_told(middle_dc: float, low_dc: float, high_dc: float) -> Figure:
    """A shift with where it lies nine times in ten."""
    middle, low, high = map(shift_told, (middle_dc, low_dc, high_dc))
    return Figure(middle=middle, low=low, high=high)


def lawns_told(would: Changes) -> list[LawnTold]:
    """Some lawns that would be told something else, each once, the weightiest first; without names."""
    first: dict[tuple[int, int], LawnChange] = {}
    for each in would.weightiest_first:
        first.setdefault(each.key, each)
    return [_lawn_told(each) for each in list(first.values())[:MOST_LAWNS]]


def _lawn_told(change: LawnChange) -> LawnTold:
    kinds = (
        ("desk-learning-other-verdict", change.is_verdict_changed),
        ("desk-learning-other-odds", change.is_band_changed),
        ("desk-learning-other-plan", change.is_plan_changed),
    )
    return LawnTold(
        case_id=change.case_id,
        lawn=change.lawn,
        before_tenths=change.before.alive_tenths,
        after_tenths=change.after.alive_tenths,
        why=tuple(key for key, is_so in kinds if is_so),
    )
