"""Where an alert's draft goes: drawn areas first, then counties, and a bare forecast zone as its whole state."""

from __future__ import annotations

from bot.ops.alerts.reach import reach_of
from bot.ops.regions.shapes import Circle
from tests.ops.alerts.made import Made

SQUARE = "31,-82 32,-82 32,-81 31,-81 31,-82"


def reach(**changes: object):
    return reach_of(Made(**changes).read().areas)  # type: ignore[arg-type]


def test_what_is_drawn_goes_before_what_is_named() -> None:
    """Longitude first from here on."""
    found = reach(polygons=(SQUARE,), circles=("31.25,-81.5 40",))

    assert found.shape is not None
    assert found.shape.polygons[0].outer == ((-82.0, 31.0), (-82.0, 32.0), (-81.0, 32.0), (-81.0, 31.0), (-82.0, 31.0))
    assert found.shape.circles == (Circle(latitude=31.25, longitude=-81.5, km=40.0),)
    assert found.shape.all_counties == frozenset()
    assert not found.is_wide


def test_a_circle_of_nothing_is_about_a_kilometre() -> None:
    """Homes are known no finer."""
    found = reach(circles=("31.25,-81.5 0",))

    assert found.shape is not None
    assert found.shape.circles[0].km == 1.0


def test_counties_come_from_same_codes_before_others() -> None:
    """The forecast zones beside them are not needed then."""
    found = reach()

    assert found.shape is not None
    assert found.shape.all_counties == {"13127", "13191"}
    assert (found.is_wide, found.left) == (False, ())


def test_a_part_of_a_county_is_taken_as_the_county() -> None:
    """The first digit names the part; a home is known by its county."""
    found = reach(geocodes=(("SAME", "413127"), ("SAME", "012000")))

    assert found.shape is not None
    assert found.shape.all_counties == {"13127"}
    assert found.shape.all_states == {"FL"}


def test_without_same_codes_the_other_codes_of_counties_count() -> None:
    """And again the zones are not needed."""
    found = reach(geocodes=(("UGC", "GAC127"), ("UGC", "GAZ154")))

    assert found.shape is not None
    assert found.shape.all_counties == {"13127"}
    assert not found.is_wide


def test_a_bare_forecast_zone_is_its_whole_state_and_has_to_be_narrowed() -> None:
    """It cuts through counties, and which is in no table of ours."""
    found = reach(geocodes=(("UGC", "GAZ154"), ("UGC", "GAZ166"), ("UGC", "FLZ124")))

    assert found.shape is not None
    assert found.shape.states == {"GA", "FL"}
    assert found.is_wide


def test_codes_nobody_knows_are_told_and_the_others_used() -> None:
    """The sea, another country, a slip of the pen."""
    found = reach(geocodes=(("SAME", "073535"), ("SAME", "13"), ("SAME", "013127")))

    assert found.shape is not None
    assert found.shape.all_counties == {"13127"}
    assert sorted(found.left) == ["SAME 073535 (unknown_state)", "SAME 13 (bad_code)"]


def test_an_area_in_words_only_reaches_nobody() -> None:
    """And says so."""
    found = reach(geocodes=())

    assert found.shape is None
    assert found.left == ("Tarrow; Sound (no code)",)


def test_the_whole_country_is_left_to_a_person() -> None:
    """SAME 000000 means everywhere."""
    found = reach(geocodes=(("SAME", "000000"),))

    assert found.shape is None
    assert found.left == ("SAME 000000 (whole_country)",)


def test_a_polygon_without_ground_falls_back_to_the_codes() -> None:
    """Its outline is a line there and back."""
    found = reach(polygons=("31,-82 32,-82 31,-82 31,-82",))

    assert found.shape is not None
    assert found.shape.all_counties == {"13127", "13191"}
    assert found.left == ("a polygon (no_area)",)
