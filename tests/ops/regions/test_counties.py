"""County codes from the names the ZIP table uses."""

from __future__ import annotations

import pytest

from bot.ops.regions.codes import STATE_DIGITS
from bot.ops.regions.counties import counties, county_code, county_named, county_told
from bot.ops.regions.refused import ShapeRefused
from bot.places.gazetteer import ZipArea, load_gazetteer


@pytest.fixture(scope="module")
def areas() -> list[ZipArea]:
    return list(load_gazetteer().by_zip.values())


def test_every_county_of_the_zip_table_has_its_code(areas: list[ZipArea]) -> None:
    """Of all codes that cover ground in the states of the table, none is left without a county but a few of Alaska
    and three that are filed under a neighbour state.
    """
    on_ground = [area for area in areas if area.standard and area.active]
    ours = [area for area in on_ground if area.state in STATE_DIGITS and area.state not in ("AK", "VI")]
    missing = {(area.state, area.county) for area in ours if county_code(area.state, area.county) is None}

    assert missing <= {("NE", "Todd County"), ("ND", "McPherson County"), ("OR", "Modoc County")}
    assert len(ours) > 29_000


def test_a_code_lies_in_the_state_of_its_county(areas: list[ZipArea]) -> None:
    """The first two digits are the state's."""
    for area in areas:
        code = county_code(area.state, area.county)
        assert code is None or code[:2] == STATE_DIGITS[area.state]


@pytest.mark.parametrize(
    ("state", "name", "code"),
    [
        ("GA", "Glynn County", "13127"),
        ("LA", "Orleans Parish", "22071"),
        ("TX", "De Witt County", "48123"),
        ("MD", "Baltimore County", "24005"),
        ("MD", "Baltimore City", "24510"),
        ("MO", "St. Louis County", "29189"),
        ("MO", "Saint Louis City", "29510"),
        ("VA", "Richmond County", "51159"),
        ("VA", "Richmond city", "51760"),
        ("VA", "Charles City County", "51036"),
        ("VA", "James City", "51095"),
        ("NV", "Carson City", "32510"),
        ("AK", "Municipality of Anchorage", "02020"),
        ("AK", "City and Borough of Juneau", "02110"),
        ("DC", "District of Columbia", "11001"),
        ("GA", "Orleans Parish", None),
        ("GA", "", None),
        ("", "Glynn County", None),
        ("XX", "Glynn County", None),
    ],
)
def test_names_find_their_code(state: str, name: str, code: str | None) -> None:
    """Codes as the Census Bureau publishes them; a name of another state is none."""
    assert county_code(state, name) == code


@pytest.mark.parametrize("typed", ["13127", " 13127 ", "Glynn, GA", "glynn county, ga"])
def test_an_operator_may_type_a_code_or_a_name(typed: str) -> None:
    """Both mean the same county."""
    assert county_named(typed) == "13127"


@pytest.mark.parametrize("typed", ["13128", "Glynn", "Glynn, AL", "", ",", "13127, GA"])
def test_a_county_that_is_none_is_refused(typed: str) -> None:
    """A slip in a code would silently reach nobody."""
    with pytest.raises(ShapeRefused) as caught:
        county_named(typed)

    assert caught.value.reason == "unknown_county"


def test_counties_are_told_by_name() -> None:
    """People read names; a code without one is told as it is."""
    assert county_told("13127") == "Glynn, GA"
    assert county_told("09110") == "09110"


def test_areas_are_about_right() -> None:
    """Georgia's counties add up to between its land (57,513 square miles) and its land and water (59,425), the figures
    of the Census Bureau's state area measurements.
    """
    georgia = sum(county.area_km2 for county in counties().values() if county.state == "GA")

    assert 57_513 < georgia / 2.58999 < 59_425
