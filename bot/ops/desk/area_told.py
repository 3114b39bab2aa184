"""An area in words, by its parts: for every room of the desk."""

from __future__ import annotations

from bot.ops.desk.desk import Desk
from bot.ops.regions.counties import county_told
from bot.ops.regions.shapes import Shape

_MOST_PARTS = 8  # told one by one


def area_told(desk: Desk, shape: Shape | None) -> str:
    """An area by its parts; "" for everywhere."""
    if shape is None:
        return ""
    told = [*sorted(shape.all_states), *map(county_told, sorted(shape.all_counties))]
    told += [f"ZIP {prefix}" for prefix in sorted(shape.zip_prefixes)]
    told += [
        desk.say("advisory-area-around", km=each.km, north=f"{each.latitude:g}", east=f"{each.longitude:g}")
        for each in shape.circles
    ]
    told += [desk.say("advisory-area-drawn")] * len(shape.polygons)
    more = len(told) - _MOST_PARTS
    return ", ".join([*told[:_MOST_PARTS], *([desk.say("advisory-area-more", count=more)] if more > 0 else [])])
