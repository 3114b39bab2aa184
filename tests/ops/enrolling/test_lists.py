"""Lists of people who agreed: what is taken of them, and what is told about the rest."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.enrolling.lists import COLUMNS, ListRefused, read_list

NOW = datetime(2026, 10, 20, tzinfo=UTC)
HEAD = ",".join(COLUMNS)
GOOD = '(912) 555-0123,2026-10-03,"Text me about my lawn after a freeze",form at the counter'


def listed(*lines: str, head: str = HEAD):  # type: ignore[no-untyped-def]
    return read_list("\n".join((head, *lines)).encode(), NOW)


def test_a_row_with_its_proof_is_taken() -> None:
    """Number, day, words and place as they stand there."""
    (agreed,) = listed(GOOD).agreed

    assert (agreed.line, agreed.number, agreed.where) == (2, "+19125550123", "form at the counter")
    assert agreed.agreed_to == "Text me about my lawn after a freeze"
    assert agreed.agreed_at == datetime(2026, 10, 3, tzinfo=UTC)


def test_columns_may_stand_in_any_order_and_others_beside_them() -> None:
    """As a spreadsheet writes them, with a mark of its encoding in front."""
    head, row = (
        "Name,Where,Agreed_to,Phone,Agreed_on",
        "A,counter,text me please,912-555-0123,2026-10-03T09:00:00-04:00",
    )
    content = f"\ufeff{head}\n{row}\n"
    (agreed,) = read_list(content.encode(), NOW).agreed

    assert agreed.agreed_at == datetime(2026, 10, 3, 13, tzinfo=UTC)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("12345,2026-10-03,text me please now,counter", "no number"),
        ("(912) 555-0123,yesterday,text me please now,counter", "agreed_on"),
        ("(912) 555-0123,2026-12-24,text me please now,counter", "agreed_on"),
        ("(912) 555-0123,,text me please now,counter", "agreed_on"),
        ("(912) 555-0123,2026-10-03,yes,counter", "agreed_to"),
        ("(912) 555-0123,2026-10-03,text me please now,", "where"),
        ("(912) 555-0123", "agreed_on"),
    ],
)
def test_a_row_without_its_proof_is_told_by_line_and_stops_no_other(row: str, why: str) -> None:
    """One thing to put right at a time."""
    found = listed(row, GOOD)

    assert [agreed.line for agreed in found.agreed] == [3]
    assert [(fault.line, why in fault.why) for fault in found.faults] == [(2, True)]


def test_a_number_counts_once_however_it_is_written() -> None:
    """The first row stands."""
    found = listed(GOOD, GOOD.replace("(912) 555-0123", "+1 912.555.0123"))

    assert len(found.agreed) == 1
    assert "line 2" in found.faults[0].why


@pytest.mark.parametrize("content", [b"", b"phone\n", b"\xff\xfe\x00", b"phone,agreed_on\n1,2\n"])
def test_what_is_no_list_is_refused_with_what_it_should_look_like(content: bytes) -> None:
    """No traceback, and the columns by name."""
    with pytest.raises(ListRefused, match=r"columns|CSV"):
        read_list(content, NOW)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_list_or_refused(content: bytes) -> None:
    """Also behind a good head."""
    for whole in (content, HEAD.encode() + b"\n" + content):
        try:
            found = read_list(whole, NOW)
        except ListRefused:
            continue
        assert all(agreed.number.startswith("+") for agreed in found.agreed)
