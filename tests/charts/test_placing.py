"""Labels keep apart: stacked in a column in the order of their lines, or set down where least is covered."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.charts.placing import Box, Spot, Taken, best_spot, pushed_apart

SHEET = Box(0, 0, 100, 100)


@given(st.lists(st.tuples(st.floats(-50, 350), st.floats(5, 60)), min_size=1, max_size=5))
def test_pieces_in_a_column_never_overlap_and_keep_their_order(pieces: list[tuple[float, float]]) -> None:
    """Wherever they want to be, they end up apart, inside, and in the order of what they want."""
    wanted, lengths = [each[0] for each in pieces], [each[1] for each in pieces]
    middles = pushed_apart(wanted, lengths, 0, 300)
    order = sorted(range(len(pieces)), key=lambda each: wanted[each])
    ends = [0.0] + [middles[each] + lengths[each] / 2 for each in order]

    assert all(middles[each] - lengths[each] / 2 >= end - 1e-6 for each, end in zip(order, ends, strict=False))
    assert ends[-1] <= 300 + 1e-6


def test_a_piece_with_room_stays_where_it_wants_to_be() -> None:
    """Two that touch move half each; a third far off stays."""
    assert pushed_apart([100, 100, 250], [20, 20, 20], 0, 300) == [90, 110, 250]


def test_the_nearest_free_spot_is_taken() -> None:
    """A nearer one on a line gives way; one that leaves the sheet is never taken; none is None."""
    taken = Taken(100, 100)
    taken.add_line([(0, 15), (99, 15)], 2)
    near, far, outside = Spot(Box(10, 10, 30, 20), 1), Spot(Box(10, 30, 30, 40), 20), Spot(Box(90, 30, 110, 40), 0)

    assert best_spot(taken, [near, far, outside], SHEET) == far
    assert best_spot(taken, [near, outside], SHEET) == near
    assert best_spot(taken, [outside], SHEET) is None


def test_a_label_may_cross_a_line_but_never_another_label() -> None:
    """Rather no label than two on each other."""
    taken = Taken(100, 100)
    taken.add_line([(0, 50), (99, 50)], 3)
    taken.add_label(Box(10, 10, 40, 20), 4)
    crossing, on_label = Spot(Box(10, 45, 40, 55), 5), Spot(Box(38, 19, 60, 29), 0)

    assert best_spot(taken, [on_label, crossing], SHEET) == crossing
    assert best_spot(taken, [on_label], SHEET) is None


def test_a_line_takes_its_pixels_and_a_label_its_margin() -> None:
    """Thick as said, everywhere along it, cut at the edges of the sheet."""
    taken = Taken(100, 100)
    taken.add_line([(-10, 50), (50, 50), (50, 120)], 1)

    assert taken.within(Box(0, 0, 49, 100)) == 49 * 3
    assert taken.within(Box(49, 60, 52, 100)) == 40 * 3

    empty = Taken(100, 100)
    empty.add_label(Box(2, 2, 4, 4), 5)
    assert empty.within(SHEET) == 9 * 9


@pytest.mark.parametrize(
    ("other", "does"),
    [(Box(5, 5, 15, 15), True), (Box(10, 0, 20, 10), False), (Box(0, 10, 10, 20), False), (Box(2, 2, 3, 3), True)],
)
def test_boxes_overlap_where_they_share_a_pixel(other: Box, does: bool) -> None:
    """Right and bottom are outside, so neighbours do not overlap."""
    box = Box(0, 0, 10, 10)

    assert box.overlaps(other) is does
    assert other.overlaps(box) is does
    assert Box(2, 2, 3, 3).within(box) and not Box(5, 5, 15, 15).within(box)
