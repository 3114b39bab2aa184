"""CAP 1.2 from XML: everything an alert says, at the right instant and place; what is missing or odd is named."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from bot.ops.alerts.alert import AlertCircle, MsgType, Named, Scope, Status
from bot.ops.alerts.cap import read_cap
from bot.ops.alerts.refused import AlertRefused
from bot.ops.alerts.stored import dump_alert, load_alert
from tests.ops.alerts.made import NAMESPACE, SAMPLES, SENDER, Made


def test_an_alert_comes_with_all_it_says() -> None:
    """Who, when, what, where, in the sender's words."""
    alert = Made(references=Made(identifier="urn:made:0").reference(), language="en-US").read()

    assert (alert.identifier, alert.sender) == ("urn:made:1", SENDER)
    assert alert.sent.at == datetime(2027, 1, 15, 18, 40, tzinfo=UTC)
    assert alert.sent.offset_minutes == -300
    assert (alert.status, alert.msg_type, alert.scope) == (Status.ACTUAL, MsgType.ALERT, Scope.PUBLIC)
    assert alert.references[0].identifier == "urn:made:0"
    (info,) = alert.infos
    assert (info.event, info.language, info.categories, info.responses) == (
        "Freeze Warning",
        "en-US",
        ("Met",),
        ("Prepare",),
    )
    assert (info.urgency, info.severity, info.certainty) == ("Expected", "Moderate", "Likely")
    assert info.onset is not None
    assert info.onset.local.isoformat() == "2027-01-16T00:00:00-05:00"
    assert info.expires is not None
    assert info.expires.at == datetime(2027, 1, 16, 9, tzinfo=UTC)
    assert info.ends is not None
    assert info.ends.at == datetime(2027, 1, 16, 15, tzinfo=UTC)
    assert info.description == "* WHAT...Temperatures as low as 22 expected.\n* WHERE...Tarrow & Sound."
    assert info.event_codes == (Named(name="SAME", value="NWS"),)
    (area,) = info.areas
    assert (area.about, area.altitude) == ("Tarrow; Sound", "0")
    assert area.codes("UGC") == ("GAZ154", "GAZ166")


@pytest.mark.parametrize("made", SAMPLES, ids=lambda made: made.event)
def test_every_product_of_cold_can_be_read_and_kept(made: Made) -> None:
    """And is the same when it is read from the store."""
    alert = made.read()

    assert alert.infos[0].event == made.event
    assert load_alert(dump_alert(alert)) == alert


@pytest.mark.parametrize(
    ("written", "at", "offset_minutes"),
    [
        ("2027-01-15T13:40:00-05:00", datetime(2027, 1, 15, 18, 40, tzinfo=UTC), -300),
        ("2027-01-15T18:40:00-00:00", datetime(2027, 1, 15, 18, 40, tzinfo=UTC), 0),
        ("2027-01-15T18:40:00Z", datetime(2027, 1, 15, 18, 40, tzinfo=UTC), 0),
        ("2027-01-16T00:10:00+05:30", datetime(2027, 1, 15, 18, 40, tzinfo=UTC), 330),
        ("2024-02-29T23:59:59-06:00", datetime(2024, 3, 1, 5, 59, 59, tzinfo=UTC), -360),
    ],
)
def test_a_time_is_an_instant_and_keeps_its_offset(written: str, at: datetime, offset_minutes: int) -> None:
    """The standard forbids Z, and many write it."""
    sent = Made(sent=written).read().sent

    assert (sent.at, sent.offset_minutes) == (at, offset_minutes)


@pytest.mark.parametrize(
    "written",
    [
        "2027-01-15",
        "2027-01-15T13:40:00",
        "2027-01-15 13:40:00-05:00",
        "2027-02-30T13:40:00-05:00",
        "2027-01-15T25:40:00-05:00",
        "2027-01-15T13:40:00-99:00",
        "0001-01-01T00:00:00+14:00",
        "9999-12-31T23:59:59-14:00",
        "٢٠٢٧-01-15T13:40:00-05:00",
        "soon",
    ],
)
def test_what_is_no_time_is_refused(written: str) -> None:
    """Nobody guesses when a night is cold."""
    with pytest.raises(AlertRefused) as refused:
        Made(sent=written).read()

    assert refused.value.reason == "bad_time"


def test_areas_are_polygons_circles_and_codes_of_any_list() -> None:
    """Latitude first, kilometres behind it."""
    made = Made(
        polygons=("31,-82 32,-82 32,-81 31,-82", "30.5,-84  30.6,-84\n30.6,-83.9 30.5,-84"),
        circles=("31.25,-81.5 40", "+30,-80.0 0.5"),
        geocodes=(("SAME", "013127"), ("OTHER LIST", "x 7"), ("SAME", "013191")),
    )

    (area,) = made.read().areas

    assert area.polygons[0] == ((31.0, -82.0), (32.0, -82.0), (32.0, -81.0), (31.0, -82.0))
    assert len(area.polygons[1]) == 4
    assert area.circles == (
        AlertCircle(latitude=31.25, longitude=-81.5, km=40.0),
        AlertCircle(latitude=30.0, longitude=-80.0, km=0.5),
    )
    assert area.codes("SAME") == ("013127", "013191")
    assert area.codes("OTHER LIST") == ("x 7",)


@pytest.mark.parametrize(
    "polygon",
    [
        "31,-82 32,-82 31,-82",
        "31,-82 32,-82 32,-81 31,-82.1",
        "31,-82 32,-82 95,-81 31,-82",
        "31,-82 32,-182 32,-81 31,-82",
        "31,-82 nan,-82 32,-81 31,-82",
        "31,-82 inf,-82 32,-81 31,-82",
        "31,-82 1e1,-82 32,-81 31,-82",
        "31;-82 32;-82 32;-81 31;-82",
        "31,-82,5 32,-82,5 32,-81,5 31,-82,5",
        "31,-82 " * 10_001,
        "words",
    ],
)
def test_what_is_no_polygon_is_refused(polygon: str) -> None:
    """Too few or too many points, an open ring, places off the globe, numbers that are none."""
    with pytest.raises(AlertRefused) as refused:
        Made(polygons=(polygon,)).read()

    assert refused.value.reason == "bad_area"


@pytest.mark.parametrize("circle", ["31,-82", "31,-82 -1", "31,-82 99999", "91,-82 5", "31,-82 5 5", "31,-82 NaN"])
def test_what_is_no_circle_is_refused(circle: str) -> None:
    """A radius from nothing to half around the earth."""
    with pytest.raises(AlertRefused) as refused:
        Made(circles=(circle,)).read()

    assert refused.value.reason == "bad_area"


@pytest.mark.parametrize(
    "name", ["identifier", "sender", "sent", "status", "msgType", "scope", "event", "urgency", "severity", "certainty",
             "category", "areaDesc"]
)  # fmt: skip
def test_what_the_standard_wants_is_missed_by_its_name(name: str) -> None:
    """Left out, or left empty."""
    whole = Made().xml()
    begin, end = whole.index(f"<{name}>"), whole.index(f"</{name}>") + len(f"</{name}>")

    for without in (whole[:begin] + whole[end:], f"{whole[:begin]}<{name}> </{name}>{whole[end:]}"):
        with pytest.raises(AlertRefused) as refused:
            read_cap(without.encode())
        assert refused.value.reason in (f"missing:{name}", f"bad_value:{name}")


@pytest.mark.parametrize("name", ["identifier", "sent", "status", "event", "areaDesc", "onset"])
def test_what_may_stand_once_does_not_stand_twice(name: str) -> None:
    """Else one reader takes the first and another the last."""
    whole = Made().xml()
    begin, end = whole.index(f"<{name}>"), whole.index(f"</{name}>") + len(f"</{name}>")

    with pytest.raises(AlertRefused) as refused:
        read_cap((whole[:end] + whole[begin:end] + whole[end:]).encode())

    assert refused.value.reason == f"twice:{name}"


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"status": "Real"}, "bad_value:status"),
        ({"msg_type": "Warn"}, "bad_value:msgType"),
        ({"scope": "public"}, "bad_value:scope"),
        ({"references": "only-an-identifier"}, "bad_reference"),
        ({"references": "a,b,yesterday"}, "bad_time"),
    ],
)
def test_a_word_that_cap_does_not_know_is_refused(changes: dict[str, str], reason: str) -> None:
    """Whether it is meant for everybody is not guessed."""
    with pytest.raises(AlertRefused) as refused:
        Made(**changes).read()  # type: ignore[arg-type]

    assert refused.value.reason == reason


@pytest.mark.parametrize(
    ("xml", "reason"),
    [
        (Made().xml().replace("cap:1.2", "cap:1.1"), "wrong_version"),
        ('<alert xmlns="http://www.incident.com/cap/1.0"/>', "wrong_version"),
        ('<feed xmlns="http://www.w3.org/2005/Atom"/>', "not_cap"),
        ("<alert/>", "not_cap"),
        (f'<info xmlns="{NAMESPACE}"/>', "not_cap"),
    ],
)
def test_other_xml_is_told_apart(xml: str, reason: str) -> None:
    """An older version is named, so that its sender can be asked for this one."""
    with pytest.raises(AlertRefused) as refused:
        read_cap(xml.encode())

    assert refused.value.reason == reason


def test_what_is_of_another_schema_is_passed_over() -> None:
    """A signature, and elements that only look like CAP's inside it."""
    signed = (
        Made()
        .xml()
        .replace(
            "</alert>",
            f'<Signature xmlns="http://www.w3.org/2000/09/xmldsig#"><a:status xmlns:a="{NAMESPACE}">Test</a:status>'
            "<SignedInfo>x</SignedInfo></Signature></alert>",
        )
    )

    assert read_cap(signed.encode()) == Made().read()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16", "iso-8859-1", "windows-1252"])
def test_the_declared_encoding_counts(encoding: str) -> None:
    """An alert may name a place with an accent."""
    xml = Made().xml().replace("Sound</areaDesc>", "Cañón</areaDesc>").replace("UTF-8", encoding)

    assert read_cap(xml.encode(encoding)).areas[0].about == "Tarrow; Cañón"


def test_a_mark_before_utf_8_is_no_fault() -> None:
    """Some editors write one."""
    assert read_cap(b"\xef\xbb\xbf" + Made().bytes()) == Made().read()


def test_nothing_that_a_terminal_would_obey_is_shown() -> None:
    """Control letters and marks that turn the reading around become blanks."""
    xml = Made().xml().replace("Tarrow; Sound", "Tar\u0085row\u202e\u009b31m")

    assert read_cap(xml.encode()).areas[0].about == "Tar row  31m"


def test_the_same_message_is_known_in_any_offset() -> None:
    """The digest is of the instant, not of how it is written."""
    assert Made(sent="2027-01-15T18:40:00Z").read().digest == Made().read().digest
    assert Made(sent="2027-01-15T18:40:01Z").read().digest != Made().read().digest
