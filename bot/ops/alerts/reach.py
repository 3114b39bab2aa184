"""Where an alert's draft goes: its areas as a shape of ours.

For each area, the first that it has: polygons and circles, SAME codes of counties, UGC codes of counties. A bare
forecast zone cuts through counties and needs a table we have not, so its whole state is taken, and the draft says that
a person has to narrow it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from operator import or_

from bot.ops.alerts.alert import AlertCircle, Area
from bot.ops.regions.codes import area_of_code
from bot.ops.regions.geojson import polygons_of
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Circle, Polygon, Shape

SMALLEST_KM = 1.0  # an alert may name a point; homes are kept to about a kilometre
_WHOLE_COUNTY, _ZONE = "C", "Z"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Where it goes.

    shape : None when nothing of it could be used
    is_wide : a whole state stands for a forecast zone, so a person has to narrow it
    left : codes and areas that could not be used, with the reason
    """

    shape: Shape | None
    is_wide: bool = False
    left: tuple[str, ...] = ()


def reach_of(areas: Sequence[Area]) -> Reach:
    """The union of what the areas name."""
    parts = [_reach(each) for each in areas]
    shapes = [part.shape for part in parts if part.shape is not None]
    left = tuple(dict.fromkeys(each for part in parts for each in part.left))
    try:
        shape = reduce(or_, shapes) if shapes else None
    except ShapeRefused as error:
        return Reach(shape=None, left=(*left, f"all of it ({error.reason})"))
    return Reach(shape=shape, is_wide=any(part.is_wide for part in parts), left=left)


def _reach(area: Area) -> Reach:
    drawn = _drawn(area)
    if drawn.shape is not None or (drawn.left and not area.geocodes):
        return drawn
    coded = _coded(area)
    return replace(coded, left=(*drawn.left, *coded.left))


def _drawn(area: Area) -> Reach:
    """Its polygons and circles, as far as they can be used."""
    left: list[str] = []
    polygons: list[Polygon] = []
    for ring in area.polygons:
        outline = [[longitude, latitude] for latitude, longitude in ring]
        try:
            polygons += polygons_of({"type": "Polygon", "coordinates": [outline]})
        except ShapeRefused as error:
            left.append(f"a polygon ({error.reason})")
    circles: list[Circle] = []
    for circle in area.circles:
        try:
            circles.append(_circle(circle))
        except ShapeRefused as error:
            left.append(f"a circle ({error.reason})")
    is_any = polygons or circles
    shape = Shape(polygons=tuple(polygons), circles=tuple(circles)) if is_any else None
    return Reach(shape=shape, left=tuple(left))


def _circle(circle: AlertCircle) -> Circle:
    return Circle(latitude=circle.latitude, longitude=circle.longitude, km=max(circle.km, SMALLEST_KM))


def _coded(area: Area) -> Reach:
    same = [f"SAME {each}" for each in area.codes("SAME")]
    ugc = [f"UGC {each}" for each in area.codes("UGC")]
    counties = [each for each in ugc if each[6:7] != _ZONE]
    zones = [each for each in ugc if each[6:7] == _ZONE]
    left: list[str] = []
    for codes in (same, counties):
        usable = {code for code in codes if _is_usable(code, left)}
        if usable:
            return Reach(shape=Shape(codes=frozenset(usable)), left=tuple(left))
    states = {code[4:6] for code in zones if _is_in_a_state(code, left)}
    shape = Shape(states=frozenset(states)) if states else None
    if shape is None and not left:
        left.append(f"{area.about[:60]} (no code)")
    return Reach(shape=shape, is_wide=bool(states), left=tuple(left))


def _is_usable(code: str, left: list[str]) -> bool:
    try:
        area_of_code(code)
    except ShapeRefused as error:
        left.append(f"{code} ({error.reason})")
        return False
    return True


def _is_in_a_state(zone: str, left: list[str]) -> bool:
    if _is_usable(f"{zone[:6]}{_WHOLE_COUNTY}000", []):
        return True
    left.append(f"{zone} (unknown_state)")
    return False


def names_of(areas: Sequence[Area]) -> str:
    """The areas in words, for operators."""
    return "; ".join(dict.fromkeys(each.about for each in areas if each.about))


def codes_of(areas: Sequence[Area]) -> frozenset[str]:
    """All codes of counties and zones, to tell whether two alerts are about the same ground."""
    return frozenset(f"{each.name.upper()} {each.value}" for area in areas for each in area.geocodes)
