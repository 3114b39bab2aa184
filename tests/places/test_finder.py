"""What owners type about where they live, and what it may mean."""

from __future__ import annotations

import pytest

from bot.places import PlaceFinder
from bot.talk.case import Place


@pytest.fixture(scope="module")
def finder() -> PlaceFinder:
    return PlaceFinder()


def _short(places: tuple[Place, ...]) -> list[str]:
    return [f"{place.name}, {place.state}" for place in places]


BRUNSWICK = ("Brunswick", "Glynn County", "GA", "America/New_York")
ST_SIMONS = ("Saint Simons Island", "Glynn County", "GA", "America/New_York")


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("31522", ST_SIMONS),
        ("ZIP 31522", ST_SIMONS),
        ("my zip code is 31522.", ST_SIMONS),
        ("31522-1234", ST_SIMONS),
        ("３１５２２", ST_SIMONS),
        ("Brunswick, GA", BRUNSWICK),
        ("brunswick georgia", BRUNSWICK),
        ("BRUNSWICK GA USA", BRUNSWICK),
        ("brunswick, g.a.", BRUNSWICK),
        ("brunswik ga", BRUNSWICK),
        ("Burnswick, Georgia", BRUNSWICK),
        ("I live in Brunswick, Georgia near the beach", BRUNSWICK),
        ("we're just outside Brunswick GA", BRUNSWICK),
        ("Brunswick, Glynn County, GA", BRUNSWICK),
        ("Saint Simons", ST_SIMONS),
        ("St. Simons Island GA", ST_SIMONS),
        ("st simons ga", ST_SIMONS),
        ("st simmons island, ga", ST_SIMONS),
        ("Saint Simons Is, GA", ST_SIMONS),
        ("Ft Worth tx", ("Fort Worth", "Tarrant County", "TX", "America/Chicago")),
        ("Mt. Pleasant SC", ("Mount Pleasant", "Charleston County", "SC", "America/New_York")),
        ("N. Charleston S.C.", ("North Charleston", "Charleston County", "SC", "America/New_York")),
        ("winston-salem n.c.", ("Winston Salem", "Forsyth County", "NC", "America/New_York")),
        ("LaGrange GA", ("Lagrange", "Troup County", "GA", "America/New_York")),
        ("mcallen texas", ("McAllen", "Hidalgo County", "TX", "America/Chicago")),
        ("kansas city mo", ("Kansas City", "Jackson County", "MO", "America/Chicago")),
        ("Washington DC", ("Washington", "District of Columbia", "DC", "America/New_York")),
        ("Pensacola, Florida, USA", ("Pensacola", "Escambia County", "FL", "America/Chicago")),
        ("Tallahasee", ("Tallahassee", "Leon County", "FL", "America/New_York")),
        ("The Villages, FL", ("The Villages", "Sumter County", "FL", "America/New_York")),
        ("1204 Elm St, Tampa, FL 33602", ("Tampa", "Hillsborough County", "FL", "America/New_York")),
        ("31522 Elm St, Tampa FL 33602", ("Tampa", "Hillsborough County", "FL", "America/New_York")),
        ("San Juan PR", ("San Juan", "San Juan Municipio", "PR", "America/Puerto_Rico")),
        ("Glynn County, GA", ("Glynn County", "Glynn County", "GA", "America/New_York")),
        ("glynn county georgia", ("Glynn County", "Glynn County", "GA", "America/New_York")),
        ("glynn co ga", ("Glynn County", "Glynn County", "GA", "America/New_York")),
        ("glynn co", ("Glynn County", "Glynn County", "GA", "America/New_York")),
        ("glyn county ga", ("Glynn County", "Glynn County", "GA", "America/New_York")),
        ("Orleans County, LA", ("Orleans Parish", "Orleans Parish", "LA", "America/Chicago")),
        ("St. Louis County MO", ("St. Louis County", "St. Louis County", "MO", "America/Chicago")),
        ("31.15, -81.49", BRUNSWICK),
        ("31.15 -81.49", BRUNSWICK),
        ("31.15, 81.49", BRUNSWICK),
        ("31.15N 81.49W", BRUNSWICK),
        ("N31.15 W81.49", BRUNSWICK),
        ("81.49 W, 31.15 N", BRUNSWICK),
        ("31° 9' N 81° 29' W", BRUNSWICK),
        ("31°09′05″N, 81°29′30″W", BRUNSWICK),
        ("https://maps.example/?q=31.1500,-81.4900&z=15", BRUNSWICK),
    ],
)
def test_plain_ways_of_naming_one_place_settle_it(
    finder: PlaceFinder, typed: str, expected: tuple[str, str, str, str]
) -> None:
    """One meaning, one candidate, with county, state and zone."""
    found = [(place.name, place.county, place.state, place.zone) for place in finder.find(typed)]

    assert [expected] == found


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "   ",
        "😀",
        "👍🏽🦎",
        "שלום עולם",
        "\u202eabc\u202c",
        "asdf qwer zxcv",
        "hello",
        "yes",
        "my lawn is dead",
        "I don't want to say",
        "Georgia",
        "00000",
        "99999",
        "123",
        "48.85, 2.35",
        "25.0, -70.0",
        "91.5, -81.5",
        "31.15E 81.49W",
        "\x00\x07",
        "county",
        "a county, GA",
        "Brunswick, Wyoming",
        "a" * 10_000,
        "31522 " * 2_000,
        "ga " * 300,
        "1." * 400,
    ],
)
def test_what_names_no_place_finds_none(finder: PlaceFinder, typed: str) -> None:
    """Nonsense, other scripts, states alone, foreign or endless input come back empty."""
    assert () == finder.find(typed)


def test_town_in_many_states_is_offered_warm_states_first(finder: PlaceFinder) -> None:
    """A name found all over the country is asked about, where warm-season lawns grow first, larger towns first."""
    found = finder.find("Brunswick")

    assert ["Brunswick, GA", "Brunswick, MD"] == _short(found)[:2]
    assert "ME" == found[5].state
    assert 6 == len(found)


def test_loading_early_changes_nothing(finder: PlaceFinder) -> None:
    """Reading the table at start only saves the first asker a second."""
    eager = PlaceFinder()
    eager.load()

    assert finder.find("31522") == eager.find("31522")
