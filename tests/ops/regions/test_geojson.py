"""Drawn areas from outside: what is read, mended, and refused by name."""

from __future__ import annotations

import json
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.regions.geojson import Drawn, read_geojson
from bot.ops.regions.ground import lie_in
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Shape

SQUARE = [[-82.0, 31.0], [-81.0, 31.0], [-81.0, 32.0], [-82.0, 32.0], [-82.0, 31.0]]
HOLE = [[-81.6, 31.4], [-81.4, 31.4], [-81.4, 31.6], [-81.6, 31.6], [-81.6, 31.4]]
BOW_TIE = [[-82.0, 31.0], [-81.0, 32.0], [-81.0, 31.0], [-82.0, 32.0], [-82.0, 31.0]]


def polygon(*rings: object) -> dict[str, object]:
    return {"type": "Polygon", "coordinates": list(rings)}


def reason_of(values: object) -> str:
    with pytest.raises(ShapeRefused) as caught:
        read_geojson(values if isinstance(values, str) else json.dumps(values))
    assert str(caught.value)
    return caught.value.reason


def holds(drawn: Drawn, latitude: float, longitude: float) -> bool:
    import numpy as np

    place = [np.array([round(each * 100)]) for each in (latitude, longitude)]
    return bool(lie_in(Shape(polygons=drawn.polygons), *place)[0])


@pytest.mark.parametrize(
    "values",
    [
        polygon(SQUARE),
        {"type": "MultiPolygon", "coordinates": [[SQUARE]]},
        {"type": "Feature", "properties": {"name": "x"}, "geometry": polygon(SQUARE)},
        {
            "type": "FeatureCollection",
            "features": [
                {"type": "Feature", "geometry": None},
                {"type": "Feature", "geometry": polygon(SQUARE)},
            ],
        },
    ],
)
def test_the_four_kinds_of_areas_are_read_alike(values: object) -> None:
    """However a square is wrapped, it is the same square."""
    drawn = read_geojson(json.dumps(values))

    assert [polygon.outer for polygon in drawn.polygons] == [tuple(map(tuple, SQUARE))]
    assert not drawn.is_mended


def test_a_hole_is_no_part_of_the_area() -> None:
    """What lies in a hole is outside, what lies beside it inside."""
    drawn = read_geojson(json.dumps(polygon(SQUARE, HOLE)))

    assert not holds(drawn, 31.5, -81.5)
    assert holds(drawn, 31.2, -81.5)


def test_an_outline_that_crosses_itself_is_mended_and_told() -> None:
    """A bow tie is its two wings; whoever drew it is told to look."""
    drawn = read_geojson(json.dumps(polygon(BOW_TIE)))

    assert drawn.is_mended
    assert len(drawn.polygons) == 2
    assert holds(drawn, 31.5, -81.1)
    assert holds(drawn, 31.5, -81.9)
    assert not holds(drawn, 31.1, -81.5)


def test_one_slip_in_a_long_outline_is_mended() -> None:
    """Thousands of points with two of them swapped are no reason to draw anew."""
    turn = [2 * math.pi * step / 5000 for step in range(5000)]
    outline = [[-83 + 2 * math.cos(angle), 32 + 2 * math.sin(angle)] for angle in turn]
    outline[100], outline[101] = outline[101], outline[100]
    drawn = read_geojson(json.dumps(polygon([*outline, outline[0]])))

    assert drawn.is_mended
    assert holds(drawn, 32, -83)


def test_a_height_beside_a_point_is_passed_over() -> None:
    """A third number of a position is no part of an area."""
    raised = [[*point, 12.5] for point in SQUARE]

    assert read_geojson(json.dumps(polygon(raised))) == read_geojson(json.dumps(polygon(SQUARE)))


def scribble(points: int) -> list[list[float]]:
    chance = random.Random(points)
    drawn = [[chance.uniform(-90, -80), chance.uniform(30, 35)] for _ in range(points)]
    return [*drawn, drawn[0]]


def round_one(points: int) -> list[list[float]]:
    turn = [2 * math.pi * step / points for step in range(points)]
    drawn = [[-83 + math.cos(angle), 32 + math.sin(angle)] for angle in turn]
    return [*drawn, drawn[0]]


@pytest.mark.parametrize(
    ("values", "reason"),
    [
        (polygon(SQUARE[:-1]), "not_closed"),
        (polygon(SQUARE[:3]), "too_few_points"),
        (polygon([]), "too_few_points"),
        (polygon(), "no_area"),
        (polygon([[0, 0], [1, 1], [2, 2], [0, 0]]), "no_area"),
        (polygon(round_one(10_000)), "too_many_points"),
        ({"type": "MultiPolygon", "coordinates": [[round_one(9_000)]] * 12}, "too_many_points"),
        ({"type": "MultiPolygon", "coordinates": [[SQUARE]] * 1001}, "too_many_polygons"),
        ({"type": "MultiPolygon", "coordinates": []}, "no_area"),
        (polygon([[181, 31], [182, 31], [182, 32], [181, 31]]), "out_of_range"),
        (polygon([[31, -181], [31, -182], [32, -182], [31, -181]]), "out_of_range"),
        ('{"type": "Polygon", "coordinates": [[[1e999, 1], [2, 1], [2, 2], [1e999, 1]]]}', "out_of_range"),
        ('{"type": "Polygon", "coordinates": [[[NaN, 1], [2, 1], [2, 2], [NaN, 1]]]}', "out_of_range"),
        (f'{{"type": "Polygon", "coordinates": [[[{"9" * 400}, 1], [2, 1], [2, 2], [1, 1]]]}}', "out_of_range"),
        (f'{{"type": "Polygon", "coordinates": [[[{"9" * 5000}, 1]]]}}', "not_json"),
        (polygon([[179, 1], [-179, 1], [-179, 2], [179, 1]]), "crosses_antimeridian"),
        (polygon(scribble(300)), "too_tangled"),
        (polygon([["-82", 31], [1, 1], [1, 2], ["-82", 31]]), "bad_point"),
        (polygon([[True, 31], [1, 1], [1, 2], [True, 31]]), "bad_point"),
        (polygon([[1], [1], [1], [1]]), "bad_point"),
        (polygon([1, 2, 3, 4]), "wrong_kind"),
        ({"type": "Polygon", "coordinates": "here"}, "wrong_kind"),
        ({"type": "Polygon"}, "wrong_kind"),
        ({"type": "Point", "coordinates": [1, 2]}, "wrong_kind"),
        ({"type": "GeometryCollection", "geometries": []}, "wrong_kind"),
        ({"type": "FeatureCollection", "features": [polygon(SQUARE)]}, "wrong_kind"),
        ({"type": "FeatureCollection", "features": []}, "no_area"),
        ({"type": "Feature", "geometry": None}, "no_area"),
        ([SQUARE], "wrong_kind"),
        ("7", "wrong_kind"),
        ("", "not_json"),
        ("[" * 100_000, "too_deep"),
        (" " * 5_000_001, "too_large"),
    ],
)
def test_what_cannot_be_used_is_refused_by_name(values: object, reason: str) -> None:
    """Each way in which a drawing can be wrong has its own name, and a sentence."""
    assert reason_of(values) == reason


def test_latitude_written_first_gets_a_hint() -> None:
    """The commonest slip is told as what it is."""
    with pytest.raises(ShapeRefused, match="Longitude comes first"):
        read_geojson(json.dumps(polygon([[31, -95], [32, -95], [32, -96], [31, -95]])))


def test_text_that_is_no_text_is_refused() -> None:
    """Bytes in no encoding are no drawing."""
    with pytest.raises(ShapeRefused) as caught:
        read_geojson(b"\xff\xfe\xfa{")

    assert caught.value.reason == "not_json"


plain = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=20,
)
near_miss = st.fixed_dictionaries(
    {
        "type": st.sampled_from(["Polygon", "MultiPolygon", "Feature", "FeatureCollection"]),
        "coordinates": plain | st.lists(st.lists(st.lists(st.integers(-200, 200), max_size=3), max_size=6), max_size=3),
    },
    optional={"geometry": plain, "features": plain},
)


@given(plain | near_miss)
def test_whatever_comes_in_is_an_area_or_refused(values: object) -> None:
    """Nothing from outside gets any other error out of us."""
    try:
        drawn = read_geojson(json.dumps(values))
    except ShapeRefused:
        return
    assert drawn.polygons


@given(st.binary(max_size=60))
def test_any_bytes_are_an_area_or_refused(raw: bytes) -> None:
    """Not even bytes that are no JSON."""
    with pytest.raises(ShapeRefused):
        read_geojson(raw)
