"""What an operator types of a region: spans, codes, dates, hours. It comes back as it was meant, or is refused."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.errors import AfterfrostError
from bot.ops.local.entering import FIELDS, doc_from, typed_from
from bot.ops.local.pieces import Piece, read
from bot.ops.local.refused import LocalRefused
from bot.ops.local.spans import month_day_from, span_from, span_text, spans_from
from bot.talk.known import FreezeReport, LocalDate, WateringRule
from rules.feed_bans import FeedBan, YearSpan
from rules.units import f_to_c

DAYS = [date(2024, 1, 1) + timedelta(days=each) for each in range(366)]
month_days = st.sampled_from([(day.month, day.day) for day in DAYS])


@given(span=st.builds(YearSpan, first=month_days, last=month_days))
def test_a_span_comes_back_from_its_text(span: YearSpan) -> None:
    """Every one there is, leap day and New Year included."""
    assert span_from(span_text(span)) == span


@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("06-01..09-30", "06-01..09-30"),
        ("6/1 to 9/30", "06-01..09-30"),
        ("Jun 1 - Sep. 30", "06-01..09-30"),
        ("June to September", "06-01..09-30"),
        ("december through february", "12-01..02-29"),
        ("sept 15 – oct 1", "09-15..10-01"),
    ],
)
def test_a_span_may_be_typed_in_several_ways(typed: str, text: str) -> None:
    """Numbers, names, whole months."""
    assert span_text(span_from(typed)) == text


@pytest.mark.parametrize(
    "typed",
    ["", "June", "06-31..07-01", "13-01..02-01", "30-06..09-30", "02-30..03-01", "summer", "a..b..c", "0-1..1-1"],
)
def test_what_is_no_span_is_refused_with_how_to_type_it(typed: str) -> None:
    """A ban that cannot be read never counts as none."""
    with pytest.raises(LocalRefused, match="month"):
        spans_from(typed)


@given(typed=st.text(max_size=60) | st.text(alphabet="0123456789-/.:,; abejnotu\n–", max_size=40))
def test_nothing_typed_breaks_the_reading(typed: str) -> None:
    """Each field of each piece, filled with anything, is kept so that it reads back, or refused in words."""
    for piece, names in FIELDS.items():
        for name in names:
            good = dict(GOOD[piece]) | {name: typed}
            try:
                doc = doc_from(piece, good)
            except AfterfrostError as refused:
                assert str(refused)
                continue
            if doc is not None:
                read(piece, doc)
                assert doc_from(piece, typed_from(piece, doc)) == doc


GOOD: dict[Piece, dict[str, str]] = {
    Piece.NITROGEN_BAN: {"spans": "06-01..09-30\n12-01..02-15", "code": "County code 19", "until": "2029-12-31"},
    Piece.PHOSPHORUS_BAN: {"spans": "01-01..12-31", "code": "State act", "until": ""},
    Piece.WATERING: {"weekdays": "tue, Saturday", "hours": "0-10, 16:30 to 24:00", "code": "District rule"},
    Piece.LAST_FROST: {"day": "04-01", "exact": ""},
    Piece.WARM_SOIL: {"day": "2027-05-01", "exact": "yes"},
    Piece.FREEZE: {"coldest_on": "2027-01-16", "air_min_f": "14", "days": "4", "snow_in": "0"},
    Piece.CONTACT: {"words": "County office, 555-0100"},
    Piece.NOTE: {"words": "Office hours\nare on Tuesday."},
}


def test_each_piece_says_what_was_typed() -> None:
    """As the conversation takes it."""
    said = {piece: read(piece, doc_from(piece, typed) or "") for piece, typed in GOOD.items()}

    assert said == {
        Piece.NITROGEN_BAN: FeedBan(
            code="County code 19",
            spans=(YearSpan(first=(6, 1), last=(9, 30)), YearSpan(first=(12, 1), last=(2, 15))),
            until_on=date(2029, 12, 31),
        ),
        Piece.PHOSPHORUS_BAN: FeedBan(code="State act", spans=(YearSpan(first=(1, 1), last=(12, 31)),)),
        Piece.WATERING: WateringRule(
            code="District rule", weekdays=(1, 5), hours=((time(0), time(10)), (time(16, 30), time(0)))
        ),
        Piece.LAST_FROST: LocalDate(on=(4, 1), year=None, is_exact=False),
        Piece.WARM_SOIL: LocalDate(on=(5, 1), year=2027, is_exact=True),
        Piece.FREEZE: FreezeReport(
            air_min_c=f_to_c(14), days_below_freezing=4, snow_in=0, coldest_on=date(2027, 1, 16)
        ),
        Piece.CONTACT: "County office, 555-0100",
        Piece.NOTE: "Office hours are on Tuesday.",
    }


def test_empty_fields_say_nothing() -> None:
    """Also where only "sure" is ticked."""
    assert [doc_from(piece, {}) for piece in Piece] == [None] * len(Piece)
    assert doc_from(Piece.LAST_FROST, {"day": " ", "exact": "yes"}) is None


@pytest.mark.parametrize(
    ("piece", "wrong", "said"),
    [
        (Piece.NITROGEN_BAN, {"code": ""}, "Name the local code"),
        (Piece.NITROGEN_BAN, {"spans": ""}, "Give one to 12 spans"),
        (Piece.NITROGEN_BAN, {"until": "next year"}, "no date"),
        (Piece.NITROGEN_BAN, {"until": "2027-02-30"}, "no calendar"),
        (Piece.WATERING, {"weekdays": "someday"}, "Name the days"),
        (Piece.WATERING, {"hours": "9-9"}, "begins where it ends"),
        (Piece.WATERING, {"hours": "25-9"}, "no time of day"),
        (Piece.LAST_FROST, {"day": "10-01"}, "hard to believe"),
        (Piece.LAST_FROST, {"day": "02-29"}, "every year"),
        (Piece.FREEZE, {"air_min_f": "warm"}, "no number"),
        (Piece.FREEZE, {"air_min_f": "60"}, "air min f: Input should be less"),
        (Piece.FREEZE, {"snow_in": ""}, "needs the snow"),
        (Piece.NOTE, {"words": "x" * 201}, "At most 200"),
        (Piece.NOTE, {"words": "bell \x07"}, "Plain text"),
    ],
)
def test_a_piece_that_is_begun_and_cannot_be_read_is_refused(piece: Piece, wrong: dict[str, str], said: str) -> None:
    """With what is wrong."""
    with pytest.raises(LocalRefused, match=said):
        doc_from(piece, GOOD[piece] | wrong)


def test_a_month_alone_is_its_first_or_its_last_day() -> None:
    """By which end of the span it stands at."""
    assert (month_day_from("feb"), month_day_from("feb", is_end=True)) == ((2, 1), (2, 29))
