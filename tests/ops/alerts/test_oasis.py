"""The standard's own examples and schema: read from a folder of the tester's (`AFTERFROST_CAP_EXAMPLES`)."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from lxml import etree

from bot.ops.alerts.alert import Alert, AlertCircle, MsgType, Scope, Status
from bot.ops.alerts.cap import read_cap
from bot.ops.alerts.meaning import drill, product_of
from bot.ops.alerts.reach import reach_of
from tests.ops.alerts.made import SAMPLES, Made

FOLDER = os.environ.pop("AFTERFROST_CAP_EXAMPLES", "")  # taken out: settings refuse what they do not know
pytestmark = pytest.mark.skipif(
    not FOLDER,
    reason="AFTERFROST_CAP_EXAMPLES names no folder with OASIS CAP 1.2's example1.xml to example4.xml and CAP-v1.2.xsd",
)


def example(number: int) -> Alert:
    return read_cap((Path(FOLDER) / f"example{number}.xml").read_bytes())


def test_the_first_example_is_for_the_whole_country_in_words_only() -> None:
    """A homeland security advisory: no code, so no place we could send to."""
    alert = example(1)

    assert (alert.identifier, alert.sender) == ("43b080713727", "hsas@dhs.gov")
    assert alert.sent.at == datetime(2003, 4, 2, 19, 39, 1, tzinfo=UTC)
    assert alert.sent.local.isoformat() == "2003-04-02T14:39:01-05:00"
    assert (alert.status, alert.msg_type, alert.scope) == (Status.ACTUAL, MsgType.ALERT, Scope.PUBLIC)
    (info,) = alert.infos
    assert info.event == "Homeland Security Advisory System Update"
    assert info.headline == "Homeland Security Sets Code ORANGE"
    assert (info.urgency, info.severity, info.certainty) == ("Immediate", "Severe", "Likely")
    (area,) = alert.areas
    assert area.about == "U.S. nationwide and interests worldwide"
    assert reach_of(alert.areas).shape is None
    assert product_of(alert) is None


def test_the_second_example_has_a_polygon_and_three_counties() -> None:
    """A thunderstorm in California; the polygon goes before the codes."""
    alert = example(2)

    assert alert.identifier == "KSTO1055887203"
    assert alert.sent.at == datetime(2003, 6, 17, 21, 57, tzinfo=UTC)
    (info,) = alert.infos
    assert info.event == "SEVERE THUNDERSTORM"
    assert info.expires is not None
    assert info.expires.local.isoformat() == "2003-06-17T16:00:00-07:00"
    (area,) = alert.areas
    assert area.polygons == (
        ((38.47, -120.14), (38.34, -119.95), (38.52, -119.74), (38.62, -119.89), (38.47, -120.14)),
    )
    assert area.codes("SAME") == ("006109", "006009", "006003")
    shape = reach_of(alert.areas).shape
    assert shape is not None
    assert shape.polygons[0].outer[0] == (-120.14, 38.47)
    assert not shape.codes


def test_the_third_example_updates_another_and_has_a_circle() -> None:
    """An earthquake's second report; a circle of radius 0 is its place."""
    alert = example(3)

    assert alert.msg_type is MsgType.UPDATE
    (reference,) = alert.references
    assert (reference.sender, reference.identifier) == ("trinet@caltech.edu", "TRI13970876.1")
    assert reference.sent is not None
    assert reference.sent.at == datetime(2003, 6, 12, 3, 30, tzinfo=UTC)
    (info,) = alert.infos
    assert info.parameter("Magnitude") == ("3.4 Ml",)
    (area,) = alert.areas
    assert area.circles == (AlertCircle(latitude=32.9525, longitude=-115.5527, km=0.0),)
    assert drill(alert) is None


def test_the_fourth_example_speaks_two_languages() -> None:
    """Both are kept, accents too; the county is one place."""
    alert = example(4)

    assert [info.language for info in alert.infos] == ["en-US", "es-US"]
    assert alert.infos[1].event == "Abducción de Niño"
    assert alert.told is alert.infos[0]
    assert [area.codes("SAME") for area in alert.areas] == [("006037",), ("006037",)]
    shape = reach_of(alert.areas).shape
    assert shape is not None
    assert shape.all_counties == {"06037"}


@pytest.mark.parametrize("made", SAMPLES, ids=lambda made: made.event)
def test_our_own_samples_are_valid(made: Made) -> None:
    """What our other tests rest on is what the schema allows."""
    schema = etree.XMLSchema(etree.parse(Path(FOLDER) / "CAP-v1.2.xsd"))

    assert schema.validate(etree.fromstring(made.bytes())), schema.error_log
    updated = made.later(30, msg_type="Cancel", has_info=False, polygons=("31,-82 32,-82 32,-81 31,-82",))
    assert schema.validate(etree.fromstring(updated.bytes())), schema.error_log
