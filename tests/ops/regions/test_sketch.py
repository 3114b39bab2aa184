"""The map to draw on: places lie where its scales say, everything there is can be seen, and it fits a phone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.regions.shapes import Circle, Polygon, Shape
from bot.ops.regions.sketch import FLATTEST, STEEPEST, WIDTH, cell_of, filled, frame_of
from bot.store.case_lists import Cell
from bot.store.lawns_drawn import CountyMiddle

GLYNN = CountyMiddle(county="13127", homes=9, latitude_e2=3115.0, longitude_e2=-8149.0)


def extents() -> st.SearchStrategy[tuple[int, int, int, int]]:
    """Of lawns somewhere in the country, in hundredths of a degree."""
    corner = st.tuples(st.integers(1800, 6800), st.integers(-16000, -6700))
    return st.builds(
        lambda at, high, wide: (at[0], at[1], at[0] + high, at[1] + wide),
        corner,
        st.integers(0, 1500),
        st.integers(0, 3000),
    )


@given(extents())
def test_all_lawns_are_on_the_map_and_it_fits(extent: tuple[int, int, int, int]) -> None:
    """Every corner of where lawns are, with some ground around it; neither too flat nor too steep."""
    frame = frame_of(extent)
    south, west, north, east = (each / 100 for each in extent)

    for latitude, longitude in ((south, west), (north, east)):
        x, y = frame.at(latitude, longitude)
        assert 0 < x < WIDTH
        assert 0 < y < frame.height
    assert FLATTEST - 0.01 <= frame.height / WIDTH <= STEEPEST + 0.01


@given(extents(), st.floats(0.05, 0.95), st.floats(0.05, 0.95))
def test_a_place_that_is_pressed_is_the_place_that_is_meant(
    extent: tuple[int, int, int, int], across: float, down: float
) -> None:
    """Back from the map to degrees, as the page's script does it, lands within a point of the map."""
    frame = frame_of(extent)
    latitude = frame.north - down * frame.height / frame.y_per_degree
    longitude = frame.west + across * WIDTH / frame.x_per_degree
    x, y = frame.at(round(latitude, 3), round(longitude, 3))

    assert x == pytest.approx(across * WIDTH, abs=0.1 + 0.001 * frame.x_per_degree)
    assert y == pytest.approx(down * frame.height, abs=0.1 + 0.001 * frame.y_per_degree)


def test_what_there_is_stands_on_the_map() -> None:
    """A square over its lawns, a county's name at their middle, regions as outlines and rings, degrees at the edges."""
    cell = Cell(south_e2=3110, west_e2=-8150, homes=9, lawns=9, soil_min_dc=None)
    ring = ((-82.0, 31.0), (-81.0, 31.0), (-81.0, 32.0), (-82.0, 31.0))
    shape = Shape(polygons=(Polygon(outer=ring),), circles=(Circle(latitude=31.2, longitude=-81.5, km=20),))
    frame = frame_of((3115, -8149, 3115, -8149), [shape])
    drawn = filled(frame, [cell], 10, [("Glynn, GA", GLYNN), ("Under it, GA", GLYNN)], [("Coast", shape)])
    (square,), (area,) = drawn.squares, drawn.areas
    x, y = frame.at(31.15, -81.49)

    assert square.x < x < square.x + square.width and square.y < y < square.y + square.height
    assert [(each.x, each.y, each.name) for each in drawn.counties] == [(x, y, "Glynn, GA")]  # names never lie on names
    (outline,) = area.outlines
    corner = frame.at(31.0, -82.0)
    assert outline.split()[0] == f"{round(corner[0])},{round(corner[1])}"
    assert len(outline.split()) == 4
    assert area.circles[0][:2] == frame.at(31.2, -81.5)
    assert drawn.rows and drawn.columns and all(float(each.degrees) > 0 for each in drawn.columns)


def test_a_long_coast_is_drawn_with_as_many_points_as_can_be_told_apart() -> None:
    """Ten thousand points within a hundredth of a degree are a few."""
    coast = tuple((-81.5 + number / 1e6, 31.0 + number / 1e6) for number in range(9_000))
    shape = Shape(polygons=(Polygon(outer=(*coast, (-81.4, 31.1), coast[0])),))
    (area,) = filled(frame_of((3000, -8300, 3300, -8000), [shape]), [], 10, [], [("", shape)]).areas

    assert len(area.outlines[0].split()) < 20


def test_letters_of_states_stand_at_their_middles_and_within_the_map() -> None:
    """An empty map would tell nobody where they are; what lies outside is left out."""
    frame = frame_of(None)
    wide, near = filled(frame, [], 10, [], []), filled(frame_of((3000, -8500, 3500, -8000)), [], 10, [], [])

    assert {"GA", "FL", "TX", "OK"} <= {each.name for each in wide.states}
    assert next((each.x, each.y) for each in wide.states if each.name == "GA") == frame.at(32.7, -83.4)
    assert "GA" in {each.name for each in near.states}
    assert "TX" not in {each.name for each in near.states}


def test_without_lawns_the_warm_states_are_shown() -> None:
    """Somebody draws before anybody has written."""
    frame = frame_of(None)

    assert all(0 < x < WIDTH and 0 < y < frame.height for x, y in (frame.at(29.8, -95.4), frame.at(33.7, -84.4)))
    assert cell_of(None) < cell_of((2500, -10000, 3800, -7600)) <= 100
