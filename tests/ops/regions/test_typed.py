"""Areas as people type and draw them: points line by line, and everything that can go wrong with a reason."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.regions.geojson import MOST_POINTS
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.selecting import holds
from bot.ops.regions.typed import Typed, drawn_by_points, shape_of
from bot.ops.regions.whereabouts import Whereabouts

TRIANGLE = "31.0, -82.0\n31.0, -81.0\n32.0, -81.5"


def place(latitude: float, longitude: float) -> Whereabouts:
    return Whereabouts(latitude=latitude, longitude=longitude)


def test_a_triangle_holds_what_lies_in_it() -> None:
    """Latitude comes first, the last point need not be the first, spaces and empty lines around do not matter."""
    for text in (TRIANGLE, f"\n\n  {TRIANGLE}  \n\n", f"{TRIANGLE}\n31.0, -82.0", TRIANGLE.replace("\n", "\r\n")):
        shape, is_mended = shape_of(Typed(points=text))
        assert holds(shape, place(31.3, -81.5))
        assert not holds(shape, place(31.9, -81.9))
        assert not is_mended


def test_an_empty_line_begins_another_area() -> None:
    """Both are in it, and nothing between them."""
    other = TRIANGLE.replace("31.", "41.").replace("32.", "42.")
    shape, _ = shape_of(Typed(points=f"{TRIANGLE}\n\n{other}"))

    assert len(shape.polygons) == 2
    assert [holds(shape, place(latitude, -81.5)) for latitude in (31.3, 41.3, 36.0)] == [True, True, False]


def test_an_outline_that_crosses_itself_is_put_right_and_told() -> None:
    """Four corners in the wrong order make two triangles."""
    shape, is_mended = shape_of(Typed(points="31,-82\n32,-81\n31,-81\n32,-82"))

    assert (len(shape.polygons), is_mended) == (2, True)


@pytest.mark.parametrize(
    ("points", "reason", "said"),
    [
        ("31, -82\n31, -81", "too_few_points", "at least three"),
        ("31, -82\n31, -82\n31, -81\n31, -82", "too_few_points", "at least three"),
        (f"{TRIANGLE}\n\n33, -81", "too_few_points", "at least three"),
        ("31, -82\nthere\n32, -81", "bad_point", "Line 2: 'there' is no point"),
        ("31, -82, 5\n31, -81\n32, -81", "bad_point", "Line 1"),
        ("-82, 31\n-81, 200\n-81, 32", "out_of_range", "Line 2"),
        ("31, nan\n31, -81\n32, -81", "out_of_range", "Line 1"),
        ("31, -82\n31, -81\n31, -80", "no_area", "no ground"),
        ("31, 179\n31, -179\n32, 179", "crosses_antimeridian", "180th"),
        ("31, -82\n" * (MOST_POINTS + 1), "too_many_points", "GeoJSON"),
        ("<b>" * 5000, "bad_point", "Line 1"),
    ],
)
def test_points_that_are_no_area_are_refused_by_name(points: str, reason: str, said: str) -> None:
    """With the line, and what to type instead; never at great length."""
    with pytest.raises(ShapeRefused) as refused:
        drawn_by_points(points)

    assert refused.value.reason == reason
    assert said in str(refused.value)
    assert len(str(refused.value)) < 300


@given(st.text(alphabet=st.sampled_from("0123456789.,-+eEnaif \n\r\t\x00🌱"), max_size=200))
def test_whatever_is_typed_is_an_area_or_refused(text: str) -> None:
    """No other error comes out, and what comes out can be used."""
    try:
        drawn = drawn_by_points(text)
    except ShapeRefused as refused:
        assert refused.reason
    else:
        assert all(polygon.outer[0] == polygon.outer[-1] for polygon in drawn.polygons)


def test_everything_typed_counts_together() -> None:
    """Names, digits, circle, code, file and points; a circle that is none is refused as ever."""
    file = b'{"type": "Polygon", "coordinates": [[[-90, 30], [-89, 30], [-89, 31], [-90, 30]]]}'
    typed = Typed(
        states=("fl",),
        counties=("Glynn, GA",),
        zips=("315",),
        circles=("31.2,-81.5,40",),
        codes=("ugc gac191",),
        geojson=(file,),
        points=TRIANGLE,
    )
    shape, _ = shape_of(typed)

    assert (shape.states, shape.counties, shape.zip_prefixes) == ({"FL"}, {"13127"}, {"315"})
    assert (shape.codes, len(shape.circles), len(shape.polygons)) == ({"UGC GAC191"}, 1, 2)
    with pytest.raises(ShapeRefused, match="no circle"):
        shape_of(Typed(circles=("31.2;-81.5;40",)))
    with pytest.raises(ShapeRefused, match="names no place"):
        shape_of(Typed())
