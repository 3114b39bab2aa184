"""The map of the coldest soil: what is drawn fits a phone, adds up, and points at nobody."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.cases.soil_map import (
    FEWEST_HOMES,
    MOST_COLUMNS,
    MOST_ROWS,
    SHADES_FROM_F,
    SIDE,
    STEPS_E2,
    county_rows,
    soil_map,
    step_of,
)
from bot.store.case_lists import Cell, County


def cell(south: int, west: int, homes: int = 9, soil: float | None = -10.0) -> Cell:
    return Cell(south_e2=south, west_e2=west, homes=homes, lawns=homes + 1, soil_min_dc=soil)


@given(st.integers(2400, 4000), st.integers(-12400, -7000), st.integers(0, 1400), st.integers(0, 2400))
def test_everything_fits_unless_it_is_wider_than_a_country(south: int, west: int, high: int, wide: int) -> None:
    """The finest step at which a figure can still be read on a phone."""
    step = step_of((south, west, south + high, west + wide))

    columns = (west + wide) // step - west // step + 1
    rows = (south + high) // step - south // step + 1
    assert (columns <= MOST_COLUMNS and rows <= MOST_ROWS) or step == STEPS_E2[-1]


@given(st.dictionaries(st.tuples(st.integers(0, 5), st.integers(0, 5)), st.integers(1, 12), min_size=1))
def test_shown_and_left_out_are_all_there_are(homes: dict[tuple[int, int], int]) -> None:
    """Every lawn is in a square or counted as left out; no square has too few homes; none lies outside the drawing."""
    cells = [cell(3000 + row * 100, -8400 + column * 100, count) for (row, column), count in homes.items()]
    drawn = soil_map(cells, 100, FEWEST_HOMES)
    large = [each for each in cells if each.homes >= FEWEST_HOMES]
    if drawn is None:
        assert not large
        return

    assert sum(square.lawns for square in drawn.squares) + drawn.left_out == sum(each.lawns for each in cells)
    assert len(drawn.squares) == len(large)
    assert len({(square.x, square.y) for square in drawn.squares}) == len(large)
    assert all(square.x + SIDE <= drawn.width + 2 and square.y + SIDE <= drawn.height for square in drawn.squares)


def test_north_is_up_and_west_is_left() -> None:
    """As on every map."""
    drawn = soil_map([cell(3000, -8400), cell(3100, -8300)], 100, 1)

    assert drawn is not None
    south_west, north_east = sorted(drawn.squares, key=lambda square: square.x)
    assert south_west.y > north_east.y
    assert [label.degrees for label in drawn.rows] == ["31", "30"]
    assert [label.degrees for label in drawn.columns] == ["84", "83"]


@pytest.mark.parametrize(
    ("soil", "soil_f", "shade"), [(-100.0, 14, 0), (0.0, 32, 3), (100.0, 50, 5), (None, None, None)]
)
def test_shade_and_figure_tell_the_same(soil: float | None, soil_f: int | None, shade: int | None) -> None:
    """The colder, the lower the shade; what is not known has neither."""
    drawn = soil_map([cell(3000, -8400, soil=soil)], 100, 1)

    assert drawn is not None
    (square,) = drawn.squares
    assert (square.soil_f, square.shade) == (soil_f, shade)
    assert list(SHADES_FROM_F) == sorted(SHADES_FROM_F)


def test_counties_come_coldest_first_and_lawns_without_one_last() -> None:
    """Few homes in a county are left out; few homes without one point at no place."""
    rows, left_out = county_rows(
        [
            County(state="GA", county="13127", homes=8, lawns=9, soil_min_dc=20.0),
            County(state="GA", county="13051", homes=8, lawns=8, soil_min_dc=-20.0),
            County(state="FL", county="12031", homes=2, lawns=3, soil_min_dc=0.0),
            County(state="", county="", homes=1, lawns=1, soil_min_dc=None),
        ],
        FEWEST_HOMES,
    )

    assert [row.county for row in rows] == ["13051", "13127", ""]
    assert left_out == 3
