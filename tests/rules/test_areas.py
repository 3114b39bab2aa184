"""How big a lawn is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.areas import circle_sqft, paced_rectangle, rectangle_sqft, total_sqft, triangle_sqft
from rules.errors import NotEnoughData, OutOfRange

sides_ft = st.floats(4, 400)


@given(sides_ft, sides_ft)
def test_a_triangle_is_half_its_rectangle(base: float, height: float) -> None:
    """Base times height, halved."""
    assert triangle_sqft(base, height) == pytest.approx(rectangle_sqft(base, height) / 2)


@given(st.floats(2, 100))
def test_a_circle_lies_between_its_inner_and_outer_square(radius: float) -> None:
    """Larger than the square inside it, smaller than the square around it."""
    assert 2 * radius**2 < circle_sqft(radius) < 4 * radius**2


@given(st.floats(2, 100), st.floats(2, 100))
def test_a_paced_lawn_comes_with_its_range(length: float, width: float) -> None:
    """The middle uses a pace of 2.5 ft and lies inside the range of 2.2 to 3.0."""
    paced = paced_rectangle(length, width)

    assert paced.area_sqft == pytest.approx(length * width * 6.25)
    assert paced.low_sqft < paced.area_sqft < paced.high_sqft


def test_parts_add_up() -> None:
    """The whole is the sum of its parts, and needs at least one."""
    assert total_sqft([1200, 320.5, 479.5]) == 2000
    with pytest.raises(NotEnoughData):
        total_sqft([])


@pytest.mark.parametrize(("length", "width"), [(1, 1), (1000, 1000), (0.2, 50), (float("nan"), 5), (-10, 20)])
def test_unbelievable_lawns_are_refused(length: float, width: float) -> None:
    """Under 4 sq ft, over 5 acres, or a side that cannot be: an error, not a number."""
    with pytest.raises(OutOfRange):
        rectangle_sqft(length, width)


def test_paces_have_limits() -> None:
    """No paces, or hundreds of them on a side, are a slip of the pen."""
    with pytest.raises(OutOfRange):
        paced_rectangle(0, 20)
    with pytest.raises(OutOfRange):
        paced_rectangle(401, 20)
