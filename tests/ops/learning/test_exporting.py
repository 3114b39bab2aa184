"""The table of outcomes for others: nobody in it can be told by where, what and when."""

from __future__ import annotations

import csv
import io
import re
from collections import defaultdict
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.learning.exporting import Export, ExportRefused, Row, csv_of, export
from bot.ops.learning.outcomes import LawnEnd, end_of
from bot.talk.case import Place
from tests.ops.learning.town import AFTER, BIBB, GLYNN, JUDGED_ON, case_of, green, pots
from tests.talk.conversation import KNOWN


def end(homeowner_id: int, place: Place = GLYNN, grass: str = "st_augustine", lawn: int = 1) -> LawnEnd:
    found = end_of(
        homeowner_id, case_of(*pots(3), green(0.13), place=place, grass=grass, number=lawn), KNOWN, AFTER.date()
    )
    assert found is not None
    return found


def group(row: Row) -> tuple[str, str, int, str]:
    return row.state, row.county, row.winter, row.grass


def test_a_county_with_enough_homeowners_is_named() -> None:
    """Ten share county, grass and winter: all are in, none left out."""
    table = export([end(each) for each in range(10)])

    assert {group(row) for row in table.rows} == {("GA", "Glynn", 2027, "st_augustine")}
    assert (len(table.rows), table.left_out, table.by_state) == (10, 0, 0)


def test_too_few_in_a_county_carry_their_state_and_too_few_in_a_state_are_left_out() -> None:
    """Six in each of two counties make twelve in the state; nine of another grass are too few everywhere."""
    both = [end(each, BIBB if each % 2 else GLYNN) for each in range(12)]
    table = export([*both, *(end(100 + each, grass="zoysia") for each in range(9))])

    assert {group(row) for row in table.rows} == {("GA", "", 2027, "st_augustine")}
    assert (len(table.rows), table.left_out, table.by_state) == (12, 9, 12)


def test_homeowners_count_not_lawns() -> None:
    """One homeowner with twelve lawns is one."""
    table = export([end(1, lawn=each) for each in range(1, 13)])

    assert (table.rows, table.left_out) == ((), 12)


def test_a_rare_cultivar_is_not_named() -> None:
    """Ten of one cultivar are named, two of another are lawns of that grass."""
    table = export(
        [*(end(each, grass="st_augustine/raleigh") for each in range(10)), end(20, grass="st_augustine/seville")]
    )

    assert sorted(row.cultivar for row in table.rows) == ["", *["raleigh"] * 10]


def test_nothing_fine_stands_in_a_row() -> None:
    """Weeks by their Monday, half degrees, tenths of green; no id, name, ZIP, day or coordinate."""
    table = export([end(each) for each in range(10)])
    text = csv_of(table)
    (head, *rows) = csv.reader(io.StringIO(text))

    assert len(rows) == 10
    assert not {"id", "homeowner", "lawn", "zip", "latitude", "longitude", "name"} & set(head)
    assert "31520" not in text and "Brunswick" not in text and str(JUDGED_ON) not in text
    weeks = {date.fromisoformat(each) for each in re.findall(r"\d{4}-\d\d-\d\d", text)}
    assert all(each.weekday() == 0 for each in weeks)
    assert JUDGED_ON - timedelta(days=JUDGED_ON.weekday()) in weeks
    row = table.rows[0]
    assert (2 * row.crown_min_c) % 1 == 0
    assert (row.green_percent, row.plugs_alive, row.plugs_total, row.known_by) == ("10", "3", "6", "pot test")


def test_order_tells_nothing() -> None:
    """The same lawns in another order make the same table."""
    ends = [end(each, BIBB if each > 11 else GLYNN) for each in range(24)]

    assert csv_of(export(ends)) == csv_of(export(reversed(ends)))


def test_a_share_that_protects_nobody_is_refused() -> None:
    """Two that share a row know of each other."""
    with pytest.raises(ExportRefused, match="at least 3"):
        export([end(1)], k=2)


ENDS = {(place, grass): end(0, place, grass) for place in (GLYNN, BIBB) for grass in ("st_augustine", "zoysia/meyer")}


@given(
    st.lists(st.tuples(st.integers(1, 9), st.sampled_from(sorted(ENDS, key=repr))), max_size=40),
    st.integers(3, 6),
)
def test_every_row_is_shared_by_enough(lawns: list[tuple[int, tuple[Place, str]]], k: int) -> None:
    """Whatever the lawns are: each group of rows belongs to at least k homeowners, and nothing is lost uncounted."""
    ends = [
        LawnEnd(**{name: getattr(ENDS[kind], name) for name in LawnEnd.__slots__} | {"homeowner_id": of_id})
        for of_id, kind in lawns
    ]
    table = export(ends, k)

    assert len(table.rows) + table.left_out == sum(len(each.spots) for each in ends)
    _assert_shared(table, ends, k)


def _assert_shared(table: Export, ends: list[LawnEnd], k: int) -> None:
    owners: defaultdict[tuple[str, str, str], set[int]] = defaultdict(set)
    for each in ends:
        for county in (each.place.county, ""):
            owners[each.place.state, county, each.code].add(each.homeowner_id)
    counted: defaultdict[tuple[str, str, int, str], int] = defaultdict(int)
    for row in table.rows:
        counted[group(row)] += 1
        assert len(owners[row.state, row.county, row.grass]) >= k
    assert all(count >= k for count in counted.values())
