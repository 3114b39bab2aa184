"""What owners type about where they live, and what it may mean."""

from __future__ import annotations

import pytest

from bot.places import PlaceFinder, neighbour_zones
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


@pytest.mark.parametrize(
    ("typed", "first"),
    [("Atlanta", "GA"), ("Houston", "TX"), ("Augusta", "GA"), ("Mobile", "AL"), ("Springfield", "MO")],
)
def test_largest_town_of_a_name_comes_first(finder: PlaceFinder, typed: str, first: str) -> None:
    """Among towns of one name the one with most ZIP codes leads."""
    assert first == finder.find(typed)[0].state


def test_state_word_that_is_a_city_is_taken_as_the_city(finder: PlaceFinder) -> None:
    """New York and Washington are cities too; Washington may be one of many."""
    assert ["New York, NY"] == _short(finder.find("New York"))
    assert "Washington, DC" == _short(finder.find("washington"))[0]
    assert len(finder.find("washington")) > 1


def test_town_in_two_zones_is_asked_about(finder: PlaceFinder) -> None:
    """Zones differ within the table's Chattanooga, so both readings are offered."""
    found = finder.find("Chattanooga, TN")

    assert ["America/New_York", "America/Chicago"] == [place.zone for place in found]


def test_stray_box_code_in_another_zone_adds_no_candidate(finder: PlaceFinder) -> None:
    """A single post-office box filed wrongly does not make El Paso ambiguous."""
    assert ["America/Denver"] == [place.zone for place in finder.find("El Paso, TX")]


def test_same_name_twice_in_a_state_is_two_candidates_when_far_apart(finder: PlaceFinder) -> None:
    """Two towns of one name in one state, a hundred miles apart, are told apart by county."""
    assert {"DeKalb County", "Tuscaloosa County"} == {place.county for place in finder.find("Lakeview, Alabama")}


def test_slip_is_forgiven_but_another_name_is_not(finder: PlaceFinder) -> None:
    """A town that does not exist in the state is not turned into one that merely looks like it."""
    assert ["Savannah, GA"] == _short(finder.find("Savanah, GA"))
    assert () == finder.find("Oakland, GA")


def test_candidates_of_one_state_lie_apart(finder: PlaceFinder) -> None:
    """Candidates that share state and zone are never next to each other."""
    for name in ("Springfield", "Fairview", "Midway", "Georgetown", "Franklin", "Clinton, NC", "Union, SC"):
        seen: list[Place] = []
        for place in finder.find(name):
            twins = [other for other in seen if (other.state, other.zone) == (place.state, place.zone)]
            assert all(abs(o.latitude - place.latitude) + abs(o.longitude - place.longitude) > 0.3 for o in twins)
            seen.append(place)


def test_town_of_one_code_keeps_it_and_town_of_many_does_not(finder: PlaceFinder) -> None:
    """A ZIP code is stored only where it is certain."""
    assert "31522" == finder.find("St Simons Island GA")[0].zip_code
    assert finder.find("Brunswick GA")[0].zip_code is None
    assert finder.find("31.15, -81.49")[0].zip_code is None


def test_place_is_no_finer_than_a_kilometre(finder: PlaceFinder) -> None:
    """A shared position is rounded to two decimals before anything else sees it."""
    place = finder.at(31.1538271, -81.4915442)

    assert place is not None
    assert (31.15, -81.49) == (place.latitude, place.longitude)
    for found in finder.find("Springfield") + finder.find("31522"):
        assert (round(found.latitude, 2), round(found.longitude, 2)) == (found.latitude, found.longitude)


@pytest.mark.parametrize(
    ("latitude", "longitude"),
    [
        (48.85, 2.35),
        (0.0, 0.0),
        (29.0, -75.0),
        (19.43, -99.13),
        (90.0, 0.0),
        (-90.0, 180.0),
        (95.0, -81.0),
        (31.0, 500.0),
        (float("nan"), -81.0),
        (float("inf"), 0.0),
    ],
)
def test_position_abroad_or_at_sea_is_no_place(finder: PlaceFinder, latitude: float, longitude: float) -> None:
    """Too far from every ZIP area, or not a position at all."""
    assert finder.at(latitude, longitude) is None


def test_boxes_and_retired_codes_still_locate(finder: PlaceFinder) -> None:
    """Whoever has only a box, or remembers an old code, is found all the same."""
    assert "Glynn County" == finder.find("31521")[0].county
    assert "Springfield" == finder.find("62713")[0].name


def test_missing_county_is_borrowed_from_the_nearest_code(finder: PlaceFinder) -> None:
    """A box without a county in the table takes the one around it; islands without any keep it empty."""
    assert "Lane County" == finder.find("97475")[0].county
    assert "" == finder.find("00820")[0].county
    assert "America/St_Thomas" == finder.find("00820")[0].zone


def test_impossible_zone_is_mended(finder: PlaceFinder) -> None:
    """One Alaskan code carries its town's name as its zone."""
    assert finder.find("99634")[0].zone in {"America/Anchorage", "America/Nome"}


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("31522", "America/Chicago"),
        ("Chattanooga TN", "America/Chicago"),
        ("Phenix City AL", "America/New_York"),
        ("El Paso TX", "America/Chicago"),
        ("Pensacola FL", "America/New_York"),
        ("46201", "America/Chicago"),
        ("Tuba City AZ", "America/Denver"),
    ],
)
def test_likeliest_other_zone_comes_first(finder: PlaceFinder, typed: str, first: str) -> None:
    """When the local time is wrong the zone across the nearest border is offered first."""
    place = finder.find(typed)[0]
    offered = neighbour_zones(place)

    assert first == offered[0]
    assert place.zone not in offered
    assert len(offered) == len(set(offered)) == 7


def test_zone_like_the_places_own_is_not_offered(finder: PlaceFinder) -> None:
    """Indianapolis keeps Eastern time under a name of its own; Eastern would change nothing."""
    assert "America/New_York" not in neighbour_zones(finder.find("46201")[0])


def test_loading_early_changes_nothing() -> None:
    """Reading the table at start only saves the first asker a second."""
    eager, lazy = PlaceFinder(), PlaceFinder()
    eager.load()

    assert lazy.find("31522") == eager.find("31522")
