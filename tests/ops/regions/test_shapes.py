"""Areas: what they may be made of, their codes, and their text form."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.regions.audience import Audience, audience_doc, audience_from
from bot.ops.regions.codes import STATE_DIGITS, area_of_code
from bot.ops.regions.counties import counties
from bot.ops.regions.geojson import read_geojson
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Circle, Polygon, Shape, ring_of, shape_doc, shape_from
from bot.places.spelling import STATE_NAMES
from bot.talk.glance import Stage
from rules.grasses import GrassCode, cultivars_of


def a_box(west: float, south: float, wide: float, high: float) -> Polygon:
    corners = ((west, south), (west + wide, south), (west + wide, south + high), (west, south + high), (west, south))
    return Polygon(outer=corners)


circles = st.builds(Circle, latitude=st.floats(-60, 60), longitude=st.floats(-120, 120), km=st.floats(0.1, 1500))
boxes = st.builds(a_box, st.floats(-120, -70), st.floats(25, 45), st.floats(0.01, 5), st.floats(0.01, 5))
codes = st.one_of(
    st.sampled_from(sorted(counties())).map("SAME 0{}".format),
    st.builds("UGC {}C{:03d}".format, st.sampled_from(sorted(STATE_DIGITS)), st.integers(1, 999)),
)
parts = {
    "states": st.frozensets(st.sampled_from(sorted(STATE_DIGITS)), max_size=4),
    "counties": st.frozensets(st.sampled_from(sorted(counties())), max_size=4),
    "zip_prefixes": st.frozensets(st.from_regex(r"[0-9]{1,5}", fullmatch=True), max_size=4),
    "circles": st.lists(circles, max_size=3).map(tuple),
    "polygons": st.lists(boxes, max_size=3).map(tuple),
    "codes": st.frozensets(codes, max_size=4),
}
shapes = st.fixed_dictionaries(parts).filter(lambda chosen: any(chosen.values())).map(lambda chosen: Shape(**chosen))
audiences = st.builds(
    Audience,
    shape=st.none() | shapes,
    grasses=st.frozensets(st.sampled_from([str(code) for code in GrassCode])),
    cultivars=st.frozensets(st.sampled_from([each.code for code in GrassCode for each in cultivars_of(code)])),
    stages=st.frozensets(st.sampled_from([str(stage) for stage in Stage])),
    channels=st.frozensets(st.sampled_from(["web", "sms", "telegram"])),
    languages=st.frozensets(st.sampled_from(["en", "es"])),
    soil_min_below_c=st.none() | st.floats(-60, 40),
    crown_min_below_c=st.none() | st.floats(-60, 40),
    homeowner_ids=st.none() | st.frozensets(st.integers(1, 10**12), max_size=5),
)


def refused(**parts: object) -> str:
    with pytest.raises(ShapeRefused) as caught:
        Shape(**parts)  # type: ignore[arg-type]
    return caught.value.reason


@given(shapes)
def test_a_shape_comes_back_from_its_text(shape: Shape) -> None:
    """Nothing of an area is lost or moved by writing it down."""
    assert shape_from(shape_doc(shape)) == shape


@given(audiences)
def test_an_audience_comes_back_from_its_text(audience: Audience) -> None:
    """Nothing of who is meant is lost: an empty set of homeowners stays nobody, none stays everybody."""
    assert audience_from(audience_doc(audience)) == audience


@given(shapes, shapes)
def test_a_union_holds_the_parts_of_both(one: Shape, other: Shape) -> None:
    """Joining areas takes nothing away, whichever comes first."""
    both = one | other

    for name in ("states", "counties", "zip_prefixes", "codes", "circles", "polygons"):
        assert set(getattr(both, name)) == set(getattr(one, name)) | set(getattr(other, name))


@pytest.mark.parametrize(
    ("code", "area"),
    [
        ("SAME 013127", ("county", "13127")),
        ("SAME 713127", ("county", "13127")),  # a part of it is taken whole
        ("SAME 013000", ("state", "GA")),
        ("UGC GAC127", ("county", "13127")),
        ("UGC GAC000", ("state", "GA")),
        ("UGC TXZALL", ("state", "TX")),
    ],
)
def test_codes_of_alerts_mean_counties_and_states(code: str, area: tuple[str, str]) -> None:
    """Both ways in which alerts write a county are read, and whole states as well."""
    assert area_of_code(code) == area


@pytest.mark.parametrize(
    ("code", "reason"),
    [
        ("UGC GAZ154", "zone_code"),
        ("SAME 000000", "whole_country"),
        ("SAME 099001", "unknown_state"),
        ("UGC XXC001", "unknown_state"),
        ("SAME 13127", "bad_code"),
        ("SAME 01312x", "bad_code"),
        ("GAC127", "bad_code"),
        ("UGC GAC12٣", "bad_code"),
        ("", "bad_code"),
    ],
)
def test_codes_that_are_no_county_are_refused_by_name(code: str, reason: str) -> None:
    """A zone is no county, and a guess would warn the wrong homes."""
    assert refused(codes=frozenset({code})) == reason


def test_every_state_the_places_know_has_its_digits() -> None:
    """The states of the table of places and those of the codes are the same, but for islands without counties."""
    assert set(STATE_DIGITS) ^ set(STATE_NAMES) <= {"AS", "FM", "GU", "MH", "MP", "PW", "VI"}
    assert {county.state for county in counties().values()} == set(STATE_DIGITS)


@pytest.mark.parametrize(
    ("parts", "reason"),
    [
        ({}, "empty"),
        ({"states": frozenset({"ga"})}, "unknown_state"),
        ({"counties": frozenset({"1312"})}, "bad_county"),
        ({"counties": frozenset({"13000"})}, "bad_county"),
        ({"counties": frozenset({"99001"})}, "unknown_state"),
        ({"zip_prefixes": frozenset({""})}, "bad_zip"),
        ({"zip_prefixes": frozenset({"315200"})}, "bad_zip"),
        ({"zip_prefixes": frozenset({"31%"})}, "bad_zip"),
        ({"zip_prefixes": frozenset({f"{number:05d}" for number in range(5001)})}, "too_many_parts"),
        ({"circles": (Circle(latitude=0, longitude=0, km=1),) * 201}, "too_many_parts"),
    ],
)
def test_what_is_no_area_is_refused_by_name(parts: dict[str, object], reason: str) -> None:
    """A part that names nothing would silently reach nobody."""
    assert refused(**parts) == reason


@pytest.mark.parametrize(
    ("latitude", "longitude", "km", "reason"),
    [
        (91, 0, 10, "bad_circle"),
        (0, 181, 10, "bad_circle"),
        (0, 0, 0, "bad_circle"),
        (0, 0, -1, "bad_circle"),
        (0, 0, 1501, "bad_circle"),
        (float("nan"), 0, 10, "bad_circle"),
        (0, 0, float("nan"), "bad_circle"),
        (0, 179.9, 50, "crosses_antimeridian"),
        (89.9, 0, 50, "crosses_antimeridian"),
    ],
)
def test_circles_that_are_none_are_refused(latitude: float, longitude: float, km: float, reason: str) -> None:
    """A circle lies on the globe, has a size, and reaches over no pole and no 180th meridian."""
    with pytest.raises(ShapeRefused) as caught:
        Circle(latitude=latitude, longitude=longitude, km=km)

    assert caught.value.reason == reason


def test_alerts_write_latitude_first_and_we_do_not() -> None:
    """One function turns their points into ours."""
    assert ring_of([(31.0, -81.0), (32.0, -81.0)]) == ((-81.0, 31.0), (-81.0, 32.0))


@given(st.lists(st.tuples(st.floats(25, 45), st.floats(-120, -70)), min_size=3, max_size=8, unique=True))
def test_a_ring_of_an_alert_reads_like_the_same_ring_in_geojson(points: list[tuple[float, float]]) -> None:
    """Latitude first or longitude first, the same ground is meant."""
    ring = ring_of([*points, points[0]])
    drawn = [[longitude, latitude] for latitude, longitude in [*points, points[0]]]

    try:
        read = read_geojson(json.dumps({"type": "Polygon", "coordinates": [drawn]}))
    except ShapeRefused as refusal:
        assert refusal.reason in ("no_area", "too_tangled")
        return
    assert read.is_mended or read.polygons == (Polygon(outer=ring),)


@pytest.mark.parametrize(
    ("doc", "reason"),
    [
        ('{"grasses": ["bermudda"]}', "unknown_grass"),
        ('{"cultivars": ["nosuch"]}', "unknown_cultivar"),
        ('{"stages": ["finished"]}', "unknown_stage"),
        ('{"grass": ["bermuda"]}', "bad_field"),
        ('{"soil_min_below_c": "-2"}', "bad_field"),
        ('{"soil_min_below_c": NaN}', "bad_field"),
        ('{"soil_min_below_c": 400}', "bad_field"),
        ('{"homeowner_ids": [1.5]}', "bad_field"),
        ('{"shape": {}}', "empty"),
        ('{"shape": {"states": "GA"}}', "bad_field"),
        ("[]", "bad_field"),
        ("null", "bad_field"),
        ("{", "not_json"),
    ],
)
def test_an_audience_that_cannot_be_meant_is_refused(doc: str, reason: str) -> None:
    """A misspelt grass or stage reaches nobody, so it is said and not stored."""
    with pytest.raises(ShapeRefused) as caught:
        audience_from(doc)

    assert caught.value.reason == reason
