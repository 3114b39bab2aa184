"""Who is selected, against a plain loop over homes that knows nothing of arrays, SQL or the library of shapes."""

from __future__ import annotations

import math
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.ops.regions.audience import Audience
from bot.ops.regions.ground import area_km2
from bot.ops.regions.selecting import holds, nowhere, select
from bot.ops.regions.shapes import Circle, Point, Polygon, Ring, Shape
from bot.ops.regions.whereabouts import Whereabouts
from bot.store.columns import by_rows, wholes
from bot.store.desk_schema import glance
from bot.store.lawns_sought import Kind, owners
from tests.fakes.house import House
from tests.ops.regions.homes import PLAIN_LAWN, Homes

SOUTH, WEST, SPAN = 3000, -8300, 12
"""A small grid of places, so that homes lie on edges and corners as often as anywhere else."""


# --- homes and audiences ----------------------------------------------------------------------------------------------

latitudes = st.integers(SOUTH, SOUTH + SPAN)
longitudes = st.integers(WEST, WEST + SPAN)
places = st.one_of(
    st.fixed_dictionaries({"latitude_e2": latitudes, "longitude_e2": longitudes}),
    st.just({"latitude_e2": None, "longitude_e2": None}),
)
details = st.fixed_dictionaries(
    {
        "state": st.sampled_from(["GA", "FL", None]),
        "county": st.sampled_from(["13127", "13191", "12031", None]),
        "zip": st.sampled_from(["31520", "31305", "32099", None]),
        "grass": st.sampled_from(["bermuda", "zoysia", None]),
        "cultivar": st.sampled_from(["celebration", None]),
        "stage": st.sampled_from(["waiting", "asking"]),
        "language": st.sampled_from(["en", "es"]),
        "soil_min_dc": st.sampled_from([-25, -20, 0, None]),
        "crown_min_dc": st.sampled_from([-80, -50, None]),
    }
)
lawns = st.builds(lambda place, rest: PLAIN_LAWN | place | rest, places, details)
people = st.lists(st.lists(lawns, max_size=2), max_size=12)


def whole_degrees(point: tuple[int, int]) -> Point:
    return point[0] / 100, point[1] / 100


@st.composite
def stars(draw: st.DrawFn) -> Polygon:
    """An area whose outline does not cross itself: points around a middle, by angle; sometimes with a hole."""
    middle = draw(st.tuples(longitudes, latitudes))
    around = draw(st.lists(st.tuples(longitudes, latitudes), min_size=3, max_size=7, unique=True))
    around = [point for point in around if point != middle]
    by_angle: dict[float, tuple[int, int]] = {}
    for x, y in around:  # of two in one direction one is enough
        by_angle[round(math.atan2(y - middle[1], x - middle[0]), 9)] = (x, y)
    ring = [whole_degrees(by_angle[angle]) for angle in sorted(by_angle)]
    outer = (*ring, ring[0]) if len(ring) >= 3 else box(middle, 3)
    return Polygon(outer=outer)


def box(corner: tuple[int, int], side: int) -> Ring:
    x, y = corner
    corners = ((x, y), (x + side, y), (x + side, y + side), (x, y + side), (x, y))
    return tuple(map(whole_degrees, corners))


framed = st.builds(
    lambda corner: Polygon(outer=box(corner, 8), holes=(box((corner[0] + 2, corner[1] + 2), 3),)),
    st.tuples(longitudes, latitudes),
)
circles = st.builds(
    lambda latitude, longitude, km: Circle(latitude=latitude / 100, longitude=longitude / 100, km=km),
    latitudes,
    longitudes,
    st.floats(0.3, 12),
)
shapes = st.builds(
    Shape,
    states=st.frozensets(st.sampled_from(["GA", "FL"]), max_size=1),
    counties=st.frozensets(st.sampled_from(["13127", "12031"]), max_size=1),
    zip_prefixes=st.frozensets(st.sampled_from(["315", "3", "31305"]), max_size=1),
    codes=st.frozensets(st.sampled_from(["SAME 013191", "UGC FLC031"]), max_size=1),
    circles=st.lists(circles, max_size=2).map(tuple),
    polygons=st.lists(stars() | framed, min_size=1, max_size=3).map(tuple),
)
audiences = st.builds(
    Audience,
    shape=st.none() | shapes,
    grasses=st.sampled_from([frozenset(), frozenset({"bermuda"}), frozenset({"bermuda", "zoysia"})]),
    cultivars=st.sampled_from([frozenset(), frozenset({"celebration"})]),
    stages=st.sampled_from([frozenset(), frozenset({"waiting"})]),
    channels=st.sampled_from([frozenset(), frozenset({"web"})]),
    languages=st.sampled_from([frozenset(), frozenset({"es"})]),
    soil_min_below_c=st.sampled_from([None, -2.0, -1.95]),
    crown_min_below_c=st.sampled_from([None, -5.0]),
    homeowner_ids=st.sampled_from([None, None, frozenset(), frozenset({1, 3, 99})]),
)


# --- the plain loop ---------------------------------------------------------------------------------------------------


def crosses(ring: Ring, x: Fraction, y: Fraction) -> bool | None:
    """Whether a ray to the east leaves a ring an odd number of times; None for a point on it. Exact."""
    inside = False
    for (ax, ay), (bx, by) in pairwise(ring):
        x1, y1, x2, y2 = (Fraction(round(each * 100), 100) for each in (ax, ay, bx, by))
        side = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
        if side == 0 and min(x1, x2) <= x <= max(x1, x2) and min(y1, y2) <= y <= max(y1, y2):
            return None
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            inside = not inside
    return inside


def in_polygon(polygon: Polygon, lawn: dict[str, Any]) -> bool:
    x, y = Fraction(lawn["longitude_e2"], 100), Fraction(lawn["latitude_e2"], 100)
    outer = crosses(polygon.outer, x, y)
    return outer is None or (outer and all(crosses(hole, x, y) is not True for hole in polygon.holes))


def km_to(circle: Circle, lawn: dict[str, Any]) -> float:
    """By the law of cosines in space: the angle between two directions from the middle of the earth."""

    def direction(latitude: float, longitude: float) -> tuple[float, float, float]:
        up, east = math.radians(latitude), math.radians(longitude)
        return math.cos(up) * math.cos(east), math.cos(up) * math.sin(east), math.sin(up)

    one = direction(circle.latitude, circle.longitude)
    other = direction(lawn["latitude_e2"] / 100, lawn["longitude_e2"] / 100)
    return 6371.0088 * 2 * math.asin(min(1.0, math.dist(one, other) / 2))


def is_there(shape: Shape, lawn: dict[str, Any]) -> bool:
    named = {"SAME 013191": "13191", "UGC FLC031": "12031"}
    if lawn["state"] in shape.states or lawn["county"] in {*shape.counties, *(named[each] for each in shape.codes)}:
        return True
    if any((lawn["zip"] or "").startswith(prefix) for prefix in shape.zip_prefixes):
        return True
    if lawn["latitude_e2"] is None:
        return False
    in_circle = any(km_to(circle, lawn) <= circle.km for circle in shape.circles)
    return in_circle or any(in_polygon(polygon, lawn) for polygon in shape.polygons)


def is_meant(audience: Audience, lawn: dict[str, Any]) -> bool:
    for wanted, name in (
        (audience.grasses, "grass"),
        (audience.cultivars, "cultivar"),
        (audience.stages, "stage"),
        (audience.languages, "language"),
    ):
        if wanted and lawn[name] not in wanted:
            return False
    for limit, name in ((audience.soil_min_below_c, "soil_min_dc"), (audience.crown_min_below_c, "crown_min_dc")):
        if limit is not None and (lawn[name] is None or not lawn[name] / 10 < limit):
            return False
    return audience.shape is None or is_there(audience.shape, lawn)


# --- the tests --------------------------------------------------------------------------------------------------------


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow], max_examples=60)
@given(homes_of=people, audience=audiences, on_web=st.integers(0, 2**12 - 1))
async def test_selecting_is_the_same_as_asking_home_by_home(
    homes: Homes, homes_of: list[list[dict[str, Any]]], audience: Audience, on_web: int
) -> None:
    """Whatever the homes and whoever is meant: exactly those of whom one lawn meets everything, sorted, each once."""
    channels = {number: "web" if on_web >> number & 1 else "sms" for number in range(1, len(homes_of) + 1)}
    numbered = [
        (number, lawn | {"lawn": place})
        for number, of_one in enumerate(homes_of, start=1)
        for place, lawn in enumerate(of_one, start=1)
    ]
    await homes.replace_all(numbered, channels)
    expected = {
        number
        for number, lawn in numbered
        if is_meant(audience, lawn)
        and (not audience.channels or channels[number] in audience.channels)
        and (audience.homeowner_ids is None or number in audience.homeowner_ids)
    }

    found = await select(homes.house.store.database, audience)

    assert (found.dtype, found.tolist()) == (np.int64, sorted(expected))
    if audience.shape is not None:  # and one place at a time gives the same
        for number, lawn in numbered:
            assert holds(audience.shape, where_of(lawn)) == is_there(audience.shape, lawn), (number, lawn)


def where_of(lawn: dict[str, Any]) -> Whereabouts:
    return Whereabouts(
        latitude=None if lawn["latitude_e2"] is None else lawn["latitude_e2"] / 100,
        longitude=None if lawn["longitude_e2"] is None else lawn["longitude_e2"] / 100,
        state=lawn["state"] or "",
        county=lawn["county"] or "",
        zip_code=lawn["zip"] or "",
    )


async def test_conditions_must_meet_in_one_lawn(homes: Homes) -> None:
    """A bermuda lawn here and a zoysia lawn elsewhere do not make a zoysia lawn here."""
    here, elsewhere = {"state": "GA"}, {"state": "FL", "grass": "zoysia"}
    await homes.add(here, elsewhere)
    both = await homes.add(here | {"grass": "zoysia"}, elsewhere)

    found = await select(
        homes.house.store.database,
        Audience(shape=Shape(states=frozenset({"GA"})), grasses=frozenset({"zoysia"})),
    )
    assert found.tolist() == [both]


async def test_homes_without_a_place_are_counted(homes: Homes) -> None:
    """Who cannot be placed is told, but not who is found by their state, nor who is not meant anyway."""
    no_place = {"latitude_e2": None, "longitude_e2": None}
    await homes.add(no_place)
    await homes.add(no_place | {"grass": "zoysia"})
    await homes.add(no_place | {"state": "FL"})
    placed = await homes.add({})
    shape = Shape(states=frozenset({"FL"}), circles=(Circle(latitude=31.2, longitude=-81.5, km=5),))
    audience = Audience(shape=shape, grasses=frozenset({"bermuda"}))
    database = homes.house.store.database

    assert placed in (await select(database, audience)).tolist()
    assert await nowhere(database, audience) == 1
    assert await nowhere(database, Audience(shape=Shape(states=frozenset({"FL"})))) == 0
    assert await nowhere(database, Audience()) == 0


async def test_thousands_of_names_are_no_trouble(homes: Homes) -> None:
    """As many ZIP prefixes of each length as an area may have."""
    await homes.add({})
    prefixes = frozenset(f"{number:05d}" for number in range(31000, 35000)) | {f"{number:03d}" for number in range(900)}
    found = await select(homes.house.store.database, Audience(shape=Shape(zip_prefixes=prefixes)))

    assert found.tolist() == [1]


async def test_nobody_at_all_is_an_answer(house: House) -> None:
    """An empty house gives an empty selection of the same kind."""
    shape = Shape(states=frozenset({"GA"}), circles=(Circle(latitude=31.2, longitude=-81.5, km=5),))

    assert (await select(house.store.database, Audience())).tolist() == []
    assert (await select(house.store.database, Audience(shape=shape))).tolist() == []


async def test_both_ways_of_reading_columns_agree(homes: Homes) -> None:
    """The quick way of one database and the way of any database find the same rows, also where there are none."""
    for number in range(7):
        await homes.add({"latitude_e2": 3000 + number})
    statement = glance.select().with_only_columns(glance.c.homeowner_id, glance.c.latitude_e2)
    none = statement.where(glance.c.latitude_e2 > 9000)
    async with homes.house.store.database.read() as tx:
        found = [(await wholes(tx, each), await by_rows(tx, each)) for each in (statement, none)]
        assert (await owners(tx, Kind(grasses=frozenset({"zoysia"})))).tolist() == []

    for one, other in found:
        assert one.shape == other.shape
        assert sorted(one.tolist()) == sorted(other.tolist())
    assert len(found[0][0]) == 7


def test_a_polygon_is_as_large_as_its_ground() -> None:
    """A degree square at the equator, and the same in the north, against the area of a spherical zone."""
    for south in (0.0, 45.0):
        corners = ((0.0, south), (1.0, south), (1.0, south + 1), (0.0, south + 1), (0.0, south))
        zone = math.sin(math.radians(south + 1)) - math.sin(math.radians(south))
        expected = 6371.0088**2 * math.radians(1) * zone
        assert area_km2(Shape(polygons=(Polygon(outer=corners),))) == pytest.approx(expected, rel=1e-9)


def test_a_place_with_less_known_is_in_fewer_areas() -> None:
    """Without a position only names count; without anything nothing does."""
    shape = Shape(states=frozenset({"GA"}), circles=(Circle(latitude=31.2, longitude=-81.5, km=5),))
    where = Whereabouts(latitude=31.2, longitude=-81.5, state="FL")

    assert holds(shape, where)
    assert not holds(shape, replace(where, latitude=None, longitude=None))
    assert holds(shape, Whereabouts(state="GA"))
    assert not holds(shape, Whereabouts())
