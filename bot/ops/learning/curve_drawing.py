"""A survival curve as lines and dots on paper: what a page draws, and the figures its table repeats. Pure."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import ceil, floor

from rules.lt50_curve import CurvePoint, SeenPoint, Share, SurvivalCurve
from rules.units import c_to_f

WIDTH, HEIGHT = 480, 300
LEFT, RIGHT, TOP, BOTTOM = 50, 470, 26, 262
"""Of the paper the curve is drawn on, in the drawing's own units."""
RUNGS_PERCENT = (0, 25, 50, 75, 100)
TICK_F = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """What was seen of some lawns: where it is drawn, and where its doubt ends above and below."""

    x: float
    y: float
    top: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """A figure at the edge, and how far along it stands."""

    at: float
    figure: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BinRow:
    """Some lawns that got about as cold: how cold [degC], how many, what was seen, and what both curves say of it."""

    crown_min_c: float
    lawns: float
    seen: Share
    published: Share
    found: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class CurveDrawing:
    """The drawing: each line as the points of an SVG."""

    published: str
    found: str
    band: str
    dots: tuple[Dot, ...]
    rungs: tuple[Label, ...]
    ticks: tuple[Label, ...]
    bins: tuple[BinRow, ...]


def drawing_of(curve: SurvivalCurve) -> CurveDrawing:
    """The curve as it is drawn, cold at the left."""
    coldest_f, mildest_f = (c_to_f(curve.points[end].crown_min_c) for end in (0, -1))

    def across(crown_min_c: float) -> float:
        return LEFT + (RIGHT - LEFT) * (c_to_f(crown_min_c) - coldest_f) / (mildest_f - coldest_f)

    def line(share_of: Callable[[CurvePoint], float], points: Iterable[CurvePoint] = curve.points) -> str:
        return _points((across(each.crown_min_c), _up(share_of(each))) for each in points)

    above = line(lambda each: each.found.high_fraction)
    below = line(lambda each: each.found.low_fraction, reversed(curve.points))
    ticks_f = range(ceil(coldest_f / TICK_F) * TICK_F, floor(mildest_f) + 1, TICK_F)
    step_f = mildest_f - coldest_f
    return CurveDrawing(
        published=line(lambda each: each.published.middle_fraction),
        found=line(lambda each: each.found.middle_fraction),
        band=f"{above} {below}",
        dots=tuple(_dot(each, across(each.crown_min_c)) for each in curve.seen),
        rungs=tuple(Label(at=_up(each / 100), figure=each) for each in RUNGS_PERCENT),
        ticks=tuple(Label(at=LEFT + (RIGHT - LEFT) * (f - coldest_f) / step_f, figure=f) for f in ticks_f),
        bins=tuple(_row(each, curve.points) for each in curve.seen),
    )


def _up(fraction: float) -> float:
    return round(BOTTOM - (BOTTOM - TOP) * fraction, 1)


def _points(places: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in places)


def _dot(point: SeenPoint, x: float) -> Dot:
    seen = point.seen
    return Dot(x=round(x, 1), y=_up(seen.middle_fraction), top=_up(seen.high_fraction), bottom=_up(seen.low_fraction))


def _row(point: SeenPoint, points: Sequence[CurvePoint]) -> BinRow:
    nearest = min(points, key=lambda each: abs(each.crown_min_c - point.crown_min_c))
    return BinRow(
        crown_min_c=point.crown_min_c,
        lawns=point.lawns,
        seen=point.seen,
        published=nearest.published,
        found=nearest.found,
    )
