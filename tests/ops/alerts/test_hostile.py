"""Files made to hurt: refused by name, quickly, with nothing fetched and nothing opened."""

from __future__ import annotations

import json
import os
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.alerts import cap, national
from bot.ops.alerts.cap import read_cap
from bot.ops.alerts.found import Found
from bot.ops.alerts.national import read_national
from bot.ops.alerts.refused import AlertRefused
from bot.ops.alerts.sources import read_bytes, read_stream
from bot.ops.alerts.stored import dump_alert, load_alert
from tests.fakes.weather_services import alert, collection
from tests.ops.alerts.made import NAMESPACE, Made

SECRET = "the-secret-of-this-machine"


def reason_of(data: bytes) -> str:
    with pytest.raises(AlertRefused) as refused:
        read_bytes(data, "hostile")
    assert SECRET not in str(refused.value)
    return refused.value.reason


def with_type(declared: str, used: str = "") -> bytes:
    """A good alert behind a document type, with something of it in a place that is read."""
    xml = Made().xml().replace("<alert ", f"<!DOCTYPE alert {declared}>\n<alert ", 1)
    return xml.replace("Tarrow; Sound", f"Tarrow {used}").encode()


LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))

BOMBS = {
    "billion laughs": with_type(f'[<!ENTITY l0 "lol">{LAUGHS}]', "&l9;"),
    "quadratic blow-up": with_type(f'[<!ENTITY a "{"a" * 50_000}">]', "&a;" * 50_000),
    "in an attribute": with_type(f'[<!ENTITY l0 "lol">{LAUGHS}<!ATTLIST alert x CDATA "&l9;">]'),
    "parameter entity": with_type("[<!ENTITY % p \"<!ENTITY q 'x'>\"> %p;]", "&q;"),
    "harmless document type": with_type(""),
    "behind a remark": Made().xml().replace("<alert ", "<!-- x --><!DOCTYPE alert><alert ", 1).encode(),
    "utf-16": with_type(f'[<!ENTITY l0 "lol">{LAUGHS}]', "&l9;").decode().replace("UTF-8", "utf-16").encode("utf-16"),
}


@pytest.mark.parametrize("name", BOMBS)
def test_no_document_type_is_read(name: str) -> None:
    """So there is no entity that could grow or lead anywhere."""
    assert reason_of(BOMBS[name]) == "has_dtd"


@pytest.fixture
def door() -> Iterator[socket.socket]:
    """A server that nobody should call."""
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        listening.setblocking(False)
        yield listening


def calls_at(listening: socket.socket) -> int:
    count = 0
    while True:
        try:
            listening.accept()[0].close()
        except BlockingIOError:
            return count
        count += 1


@pytest.mark.parametrize(
    "declared",
    [
        '[<!ENTITY x SYSTEM "{it}">]',
        '[<!ENTITY x PUBLIC "p" "{it}">]',
        'SYSTEM "{it}"',
        '[<!ENTITY % x SYSTEM "{it}"> %x;]',
        '[<!NOTATION n SYSTEM "{it}"><!ENTITY x SYSTEM "{it}" NDATA n>]',
    ],
)
def test_nothing_is_fetched_and_no_file_is_opened(declared: str, door: socket.socket, tmp_path: Path) -> None:
    """Whatever a document type names. That we would notice is shown by doing it ourselves first."""
    file = tmp_path / "secret"
    file.write_text(SECRET, encoding="utf-8")
    place = f"127.0.0.1:{door.getsockname()[1]}"
    unread(file)
    if not was_read_after(lambda: file.read_bytes(), file):
        pytest.skip("this disk keeps no times of reading, so a look would go unnoticed")
    with socket.create_connection(("127.0.0.1", door.getsockname()[1])):
        assert calls_at(door) == 1

    for it in (file.as_uri(), str(file), f"http://{place}/x", f"ftp://{place}/x", f"https://{place}/x"):
        hostile = with_type(declared.replace("{it}", it), "&x;" if "ENTITY x" in declared else "")
        assert not was_read_after(lambda hostile=hostile: reason_of(hostile), file)

    assert calls_at(door) == 0


def unread(file: Path) -> None:
    os.utime(file, (0, file.stat().st_mtime))


def was_read_after(doing: object, file: Path) -> bool:
    unread(file)
    doing()  # type: ignore[operator]
    return file.stat().st_atime != 0


@pytest.mark.parametrize(
    "written",
    [
        f'<alert xmlns="{NAMESPACE}" xmlns:xi="http://www.w3.org/2001/XInclude"><xi:include href="{{it}}"/></alert>',
        f'<?xml-stylesheet href="{{it}}"?><alert xmlns="{NAMESPACE}"/>',
        f'<alert xmlns="{NAMESPACE}" xmlns:s="http://www.w3.org/2001/XMLSchema-instance" s:schemaLocation="x {{it}}"/>',
    ],
)
def test_nothing_an_element_points_to_is_fetched(written: str, door: socket.socket) -> None:
    """Inclusions, style sheets and schemas stay where they are."""
    assert reason_of(written.replace("{it}", f"http://127.0.0.1:{door.getsockname()[1]}/x").encode()).startswith("miss")
    assert calls_at(door) == 0


class Endless:
    """A stream of 100 MB that counts how much of it was asked for."""

    def __init__(self, begin: bytes, size: int = 100_000_000) -> None:
        self.left, self.given, self._begin = size, 0, begin

    def read(self, at_most: int) -> bytes:
        length = min(at_most, self.left)
        part = (self._begin + b"a" * max(0, length - len(self._begin)))[:length]
        self._begin, self.left, self.given = self._begin[length:], self.left - length, self.given + length
        return part


@pytest.mark.parametrize(
    ("begin", "most"),
    [(b"<alert>", cap.MOST_BYTES), (b"", cap.MOST_BYTES), (b'{"type": "', national.MOST_BYTES)],
)
def test_a_hundred_megabytes_are_not_read_to_the_end(begin: bytes, most: int) -> None:
    """Refused one byte after the limit."""
    stream = Endless(begin)

    with pytest.raises(AlertRefused) as refused:
        read_stream(stream, "endless")  # type: ignore[arg-type]

    assert refused.value.reason == "too_large"
    assert stream.given == most + 1


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"", "not_xml"),
        (b"   \n", "not_xml"),
        (b"\x00", "not_xml"),
        (b"\x1f\x8b\x08\x00packed", "not_xml"),
        (b"%PDF-1.7", "not_xml"),
        (b"<", "not_xml"),
        (b"<?xml version='1.0'?>", "not_xml"),
        (Made().bytes()[:-9], "not_xml"),
        (Made().bytes()[:700], "not_xml"),
        (Made().bytes() + Made().bytes(), "not_xml"),
        (Made().bytes().replace(b"Tarrow", b"Tar\x00row"), "not_xml"),
        (Made().bytes().replace(b"Tarrow", b"Tar\x07row"), "not_xml"),
        (Made().bytes().replace(b"Tarrow", b"Tar&row;"), "not_xml"),
        (Made().bytes().replace(b"Tarrow", b"Tar&#0;row"), "not_xml"),
        (Made().bytes().replace(b"Tarrow", b"Tar\xff\xferow"), "bad_encoding"),
        (Made().bytes().replace(b"Tarrow", b"Tarr\xc3\xb3w").replace(b"UTF-8", b"utf-7"), "bad_encoding"),
        (Made().bytes().replace(b"UTF-8", b"no-such-letters"), "bad_encoding"),
        (Made().xml().encode("utf-32"), "bad_encoding"),
        (b"<a>" * 10_000, "too_deep"),
        (f'<alert xmlns="{NAMESPACE}">'.encode() + b"<info>" * 30, "too_deep"),
        (f'<alert xmlns="{NAMESPACE}">'.encode() + b"<code/>" * 30_000 + b"</alert>", "too_many"),
        (f'<alert xmlns="{NAMESPACE}">'.encode() + b"<x xmlns=''/>" * 30_000 + b"</alert>", "too_many"),
        (Made().xml().replace("</info>", "<area><areaDesc>x</areaDesc></area>" * 201 + "</info>").encode(), "too_many"),
        (b"<alert " + b" ".join(b'a%d="x"' % n for n in range(60_000)) + b"/>", "not_cap"),
    ],
)
def test_broken_xml_is_refused_by_name(data: bytes, reason: str) -> None:
    """Half of it, several of it, letters that are none, depth and width without end."""
    assert reason_of(data) == reason


def feature_with(text: str) -> bytes:
    """A good warning whose geometry is the given text."""
    whole = json.dumps(collection([alert("urn:1")]))
    return whole.replace('"geometry": null', f'"geometry": {text}').encode()


DEEP = "[" * 100_000
NESTED = "[" * 150 + "]" * 150


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"{", "not_json"),
        (b'{"a":' * 100_000, "not_json"),
        (b"[" * 100_000, "not_json"),
        (feature_with(DEEP), "not_json"),
        (feature_with("NaN"), "not_json"),
        (feature_with("Infinity"), "not_json"),
        (b'{"type": "Feature", "x": "\xff"}', "not_json"),
        (b'{"type": "Feature", "x": "\x00"}', "not_json"),
        (b'{"type": "FeatureCollection"}', "not_alerts"),
        (b'{"type": "FeatureCollection", "features": {}}', "not_alerts"),
        (b'{"type": "Topology"}', "not_alerts"),
        (b"[1, 2]", "not_alerts"),
        (b'{"type": "FeatureCollection", "features": [' + b"1," * 5_000 + b"1]}", "too_many"),
    ],
)
def test_broken_json_is_refused_by_name(data: bytes, reason: str) -> None:
    """Depth without end, numbers that are none, other kinds of JSON."""
    assert reason_of(data) == reason


@pytest.mark.parametrize(
    ("geometry", "reason"),
    [
        ('{"type": "Polygon", "coordinates": ' + NESTED + "}", "bad_area"),
        ('{"type": "Polygon", "coordinates": [[[1e400, 1], [2, 1], [2, 2], [1e400, 1]]]}', "bad_area"),
        ('{"type": "Polygon", "coordinates": [[[' + "9" * 400 + ", 1], [2, 1], [2, 2], [1, 1]]]}", "bad_area"),
        ('{"type": "Polygon", "coordinates": [[["-82", 31], [2, 1], [2, 2], ["-82", 31]]]}', "bad_area"),
        ('{"type": "Polygon", "coordinates": [[[true, 31], [2, 1], [2, 2], [true, 31]]]}', "bad_area"),
        ('{"type": "Polygon", "coordinates": [[[-82, 31], [2, 1], [2, 2], [-82, 30]]]}', "bad_area"),
        ('{"type": "Polygon", "coordinates": [[[-82], [2, 1], [2, 2], [-82]]]}', "bad_area"),
        ('{"type": "Polygon", "coordinates": []}', "bad_area"),
        ('{"type": "MultiPolygon", "coordinates": [' + ",".join(["[]"] * 500) + "]}", "bad_area"),
        ('{"type": "Polygon", "coordinates": [[' + ",".join(["[1,1]"] * 10_002) + "]]}", "bad_area"),
        ('{"type": "Point", "coordinates": [-82, 31]}', "bad_area"),
        ('{"type": "Polygon"}', "bad_area"),
        ("[]", "bad_value:geometry"),
        ('"everywhere"', "bad_value:geometry"),
    ],
)
def test_a_warning_whose_place_is_none_is_refused_by_its_own_name(geometry: str, reason: str) -> None:
    """And only that warning."""
    whole = feature_with(geometry).decode().removesuffix("]}")
    found = read_national(f"{whole}, {json.dumps(alert('urn:2'))}]}}".encode())

    assert [each.identifier for each in found.alerts] == ["urn:2"]
    assert [(each.name, each.reason) for each in found.refused] == [("urn:1", reason)]


def read_or_refused(data: bytes) -> Found | None:
    try:
        return read_bytes(data, "any")
    except AlertRefused as error:
        assert error.reason and str(error)
        return None


@given(st.binary(max_size=400))
def test_any_bytes_are_an_alert_or_refused(data: bytes) -> None:
    """No other error, ever."""
    read_or_refused(data)


GOOD = Made(
    polygons=("31,-82 32,-82 32,-81 31,-82",), circles=("31,-82 5",), references="a,b,2027-01-15T13:40:00Z"
).bytes()
GOOD_JSON = feature_with('{"type": "Polygon", "coordinates": [[[-82, 31], [-82, 32], [-81, 32], [-82, 31]]]}')


@given(
    st.sampled_from([GOOD, GOOD_JSON]),
    st.lists(st.tuples(st.integers(0, 3000), st.integers(0, 30), st.binary(max_size=12)), min_size=1, max_size=4),
)
def test_a_good_alert_with_holes_and_patches_is_an_alert_or_refused(
    good: bytes, patches: list[tuple[int, int, bytes]]
) -> None:
    """What can be read can be stored and read back."""
    for start, length, put in patches:
        good = good[:start] + put + good[start + length :]

    found = read_or_refused(good)

    for each in found.alerts if found else ():
        assert load_alert(dump_alert(each)) == each


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(st.sampled_from(sorted(alert("x")["properties"])), JSON)
def test_a_warning_with_anything_in_a_field_is_read_or_refused(name: str, value: object) -> None:
    """Each field of the service, with values it never sends."""
    feature = alert("urn:1", **{name: value})

    found = national.read_features([feature])

    assert len(found.alerts) + len(found.refused) == 1
    for each in found.alerts:
        assert load_alert(dump_alert(each)) == each


def test_the_largest_alert_allowed_is_read() -> None:
    """The limit is no lower than it says."""
    filler = "x" * (cap.MOST_BYTES - len(Made().bytes()))

    assert len(read_cap(Made().xml().replace("Tarrow &amp; Sound", f"Tarrow &amp; Sound{filler}").encode()).infos) == 1
