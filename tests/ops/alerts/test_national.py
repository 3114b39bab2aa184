"""The US weather service's GeoJSON to the same alert as CAP; one broken warning hides no other."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.alerts.alert import Alert, MsgType, Scope, Status
from bot.ops.alerts.cap import read_cap
from bot.ops.alerts.national import read_feature, read_national
from bot.ops.alerts.refused import AlertRefused
from tests.fakes.weather_services import alert, collection
from tests.ops.alerts.made import ENDS, EXPIRES, ONSET, SENDER, SENT, Made


def test_a_warning_comes_with_all_that_is_told() -> None:
    """Times as instants with their offset, places as codes, the words as they are."""
    found = read_feature(alert("urn:1", parameters={"VTEC": ["/O.NEW/"]}, eventCode={"SAME": ["NWS"]}))

    assert (found.identifier, found.status, found.msg_type, found.scope) == (
        "urn:1",
        Status.ACTUAL,
        MsgType.ALERT,
        Scope.PUBLIC,
    )
    assert found.sent.local.isoformat() == "2027-01-15T13:40:00-05:00"
    (info,) = found.infos
    assert (info.event, info.severity, info.certainty, info.urgency) == (
        "Freeze Warning",
        "Moderate",
        "Likely",
        "Expected",
    )
    assert info.onset is not None
    assert info.onset.at == datetime(2027, 1, 16, 5, tzinfo=UTC)
    assert info.ends is not None
    assert info.ends.at == datetime(2027, 1, 16, 15, tzinfo=UTC)
    assert info.instruction.startswith("Take steps now")
    assert info.parameter("VTEC") == ("/O.NEW/",)
    (area,) = info.areas
    assert (area.about, area.codes("SAME"), area.codes("UGC")) == ("Tarrow; Sound", ("099001", "099003"), ("TCZ001",))
    assert area.polygons == ()


def test_both_forms_of_one_message_are_one_message() -> None:
    """The digest, the times, the place and the event are the same, so it is kept once."""
    feature = alert(
        "urn:made:1", sender=SENDER, sent=SENT, onset=ONSET, ends=ENDS, expires=EXPIRES,
        geocode={"SAME": ["013127", "013191"], "UGC": ["GAZ154", "GAZ166"]},
    )  # fmt: skip

    from_json, from_xml = read_feature(feature), Made().read()

    assert from_json.digest == from_xml.digest
    for name in ("event", "onset", "ends", "expires"):
        assert getattr(from_json.infos[0], name) == getattr(from_xml.infos[0], name)
    assert from_json.areas[0].geocodes == from_xml.areas[0].geocodes


RING = st.lists(
    st.tuples(
        st.floats(-89, 89, allow_nan=False).map(lambda x: round(x, 4)),
        st.floats(-179, 179, allow_nan=False).map(lambda x: round(x, 4)),
    ),
    min_size=3,
    max_size=12,
)


@given(RING)
def test_longitude_and_latitude_change_places_between_the_forms(points: list[tuple[float, float]]) -> None:
    """One polygon written both ways is one polygon."""
    ring = [*points, points[0]]
    written = " ".join(f"{latitude:f},{longitude:f}" for latitude, longitude in ring)
    geometry = {"type": "Polygon", "coordinates": [[[longitude, latitude] for latitude, longitude in ring]]}
    feature = alert("urn:1") | {"geometry": geometry}

    (from_xml,) = Made(polygons=(written,)).read().areas
    (from_json,) = read_feature(feature).areas

    assert from_json.polygons == from_xml.polygons


def test_of_several_polygons_each_outline_is_kept() -> None:
    """A hole is not: rather one lawn too many."""
    outer = [[-82, 31], [-82, 32], [-81, 32], [-82, 31]]
    hole = [[-81.9, 31.5], [-81.9, 31.6], [-81.8, 31.6], [-81.9, 31.5]]
    geometry = {"type": "MultiPolygon", "coordinates": [[outer, hole], [outer]]}

    (area,) = read_feature(alert("urn:1") | {"geometry": geometry}).areas

    assert [len(each) for each in area.polygons] == [4, 4]
    assert area.polygons[0][0] == (31.0, -82.0)


def test_a_single_warning_and_a_collection_are_read_alike() -> None:
    """The service gives either."""
    single, several = json.dumps(alert("urn:1")).encode(), json.dumps(collection([alert("urn:1")])).encode()

    assert read_national(single) == read_national(several)


def test_one_broken_warning_hides_no_other_and_repeats_count_once() -> None:
    """Each refusal by the warning's own name."""
    features = [alert("urn:1", sent="soon"), {"type": "Feature"}, alert("urn:2"), alert("urn:2"), 7]

    found = read_national(json.dumps(collection(features)).encode())  # type: ignore[arg-type]

    assert [each.identifier for each in found.alerts] == ["urn:2"]
    assert [(each.name, each.reason) for each in found.refused] == [
        ("urn:1", "bad_time"),
        ("warning 2", "missing:properties"),
        ("warning 5", "bad_value:properties"),
    ]


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"sent": None}, "bad_time"),
        ({"onset": "2027-01-16T00:00:00"}, "bad_time"),
        ({"sent": "0001-01-01T00:00:00+14:00"}, "bad_time"),
        ({"status": "Real"}, "bad_value:status"),
        ({"messageType": "Warn"}, "bad_value:messageType"),
        ({"severity": "Huge"}, "bad_value:severity"),
        ({"event": " "}, "missing:event"),
        ({"id": ""}, "missing:id"),
        ({"id": 7}, "bad_value:id"),
        ({"geocode": {"SAME": "013127"}}, "bad_value:SAME"),
    ],
)
def test_what_is_wrong_is_told_by_the_services_own_name_of_it(changes: dict[str, object], reason: str) -> None:
    """So that somebody can look it up."""
    with pytest.raises(AlertRefused) as refused:
        read_feature(alert("urn:1", **changes))

    assert refused.value.reason == reason


@pytest.mark.parametrize("name", ["id", "event", "status", "messageType", "sent"])
def test_what_must_be_told_is_missed(name: str) -> None:
    """By its name."""
    feature = alert("urn:1")
    del feature["properties"][name]

    with pytest.raises(AlertRefused) as refused:
        read_feature(feature)

    assert refused.value.reason == f"missing:{name}"


def test_what_is_not_told_is_empty() -> None:
    """No end is made up from when the message expires."""
    found: Alert = read_feature(alert("urn:1", onset=None, ends=None, headline=None, instruction=None, scope="Public"))
    (info,) = found.infos

    assert (info.onset, info.ends, info.headline, info.instruction) == (None, None, "", "")
    assert read_cap(Made(onset="", ends="").bytes()).infos[0].ends is None
