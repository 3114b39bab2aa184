"""Alerts from files, folders and addresses: each once, in order, broken ones by name, nothing beyond its limits."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Mapping
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from bot.ops.alerts import cap
from bot.ops.alerts.refused import AlertRefused
from bot.ops.alerts.sources import read_any, read_file, read_folder, read_url
from tests.fakes.weather_services import alert, collection
from tests.ops.alerts.made import Made


def test_a_folder_is_read_in_the_order_things_were_sent(tmp_path: Path) -> None:
    """Each message once, whichever files hold it; broken files by name; hidden ones and folders are no files."""
    late = Made(identifier="late", sent="2027-01-15T20:00:00-05:00")
    features = [alert("urn:json", sent="2027-01-15T12:00:00Z"), alert("urn:bad", sent="soon")]
    files: Mapping[str, bytes] = {
        "a.xml": late.bytes(),
        "b.xml": Made(identifier="early", sent="2027-01-15T19:00:00-05:00").bytes(),
        "again.xml": late.bytes(),
        "c.json": json.dumps(collection(features)).encode(),
        "half.xml": late.bytes()[:300],
        "notes.txt": b"To do: read these",
        ".hidden": b"",
    }
    for name, data in files.items():
        (tmp_path / name).write_bytes(data)
    (tmp_path / "folder.xml").mkdir()

    found = read_folder(tmp_path)

    assert [each.identifier for each in found.alerts] == ["urn:json", "early", "late"]
    assert [(each.name, each.reason) for each in found.refused] == [
        ("c.json: urn:bad", "bad_time"),
        ("half.xml", "not_xml"),
        ("notes.txt", "not_xml"),
    ]


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    """By its reason; the same for folders."""
    for read, path in ((read_file, tmp_path / "none.xml"), (read_folder, tmp_path / "none")):
        with pytest.raises(AlertRefused) as refused:
            read(path)
        assert refused.value.reason == "not_found"


async def test_file_folder_and_address_are_told_apart(tmp_path: Path) -> None:
    """By how they look."""
    file = tmp_path / "a.xml"
    file.write_bytes(Made().bytes())

    assert (await read_any(str(file))).alerts == (await read_any(str(tmp_path))).alerts == (Made().read(),)
    with pytest.raises(AlertRefused) as refused:
        await read_any("ftp://example.invalid/a.xml")
    assert refused.value.reason == "bad_address"


class Server:
    """Answers each path with what it was given, byte by byte as it stands. Counts what was asked."""

    def __init__(self) -> None:
        self.answers: dict[str, bytes] = {}
        self.asked: list[str] = []
        self.heads: list[str] = []
        self.sent = 0
        self.port = 0

    def url(self, path: str) -> str:
        return f"http://127.0.0.1:{self.port}{path}"

    async def talk(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        head = (await reader.readuntil(b"\r\n\r\n")).decode()
        path = head.split()[1]
        self.asked.append(path)
        self.heads.append(head)
        try:
            if path == "/drip":
                writer.write(answer(b"", length=500))
                for _ in range(500):
                    writer.write(b" ")
                    await writer.drain()
                    await asyncio.sleep(0.05)
            elif path == "/flood":
                writer.write(answer(b"", length=100_000_000))
                while self.sent < 100_000_000:
                    writer.write(b"<" + b"a" * 99_999)
                    await writer.drain()
                    self.sent += 100_000
            else:
                writer.write(self.answers[path])
                await writer.drain()
        except ConnectionError:
            return  # whoever asked had enough
        finally:
            writer.close()


def answer(body: bytes, status: str = "200 OK", length: int | None = None, **headers: str) -> bytes:
    lines = [f"HTTP/1.1 {status}", f"content-length: {len(body) if length is None else length}", "connection: close"]
    lines += [f"{name.replace('_', '-')}: {value}" for name, value in headers.items()]
    return ("\r\n".join(lines) + "\r\n\r\n").encode() + body


@pytest.fixture
async def server() -> AsyncIterator[Server]:
    async with served() as running:
        yield running


@asynccontextmanager
async def served() -> AsyncIterator[Server]:
    running = Server()
    listening = await asyncio.start_server(running.talk, "127.0.0.1", 0)
    running.port = listening.sockets[0].getsockname()[1]
    async with listening:
        yield running


async def reason_at(url: str, seconds: float = 10) -> str:
    with pytest.raises(AlertRefused) as refused:
        await read_url(url, seconds=seconds)
    return refused.value.reason


async def test_an_address_gives_what_it_holds_and_hears_who_asks(server: Server) -> None:
    """XML or JSON by how it begins, whatever its label says; a redirect on the same host is followed."""
    server.answers = {
        "/old": answer(b"", "301 Moved", location="/cap"),
        "/cap": answer(Made().bytes(), content_type="text/plain"),
        "/json": answer(json.dumps(collection([alert("urn:1"), {}])).encode()),
    }

    assert (await read_url(server.url("/old"), "me@example.invalid")).alerts == (Made().read(),)
    found = await read_url(server.url("/json"))

    assert [each.identifier for each in found.alerts] == ["urn:1"]
    assert [each.name for each in found.refused] == [f"{server.url('/json')}: warning 2"]
    assert "(me@example.invalid)" in server.heads[0]
    assert server.asked == ["/old", "/cap", "/json"]


async def test_a_redirect_to_another_host_is_not_followed(server: Server) -> None:
    """Nor one that never ends, nor one to a file."""
    async with served() as other:
        other.answers["/cap"] = answer(Made().bytes())
        for location in (other.url("/cap"), "https://example.invalid/cap", f"http://localhost:{server.port}/cap"):
            server.answers["/away"] = answer(b"", "302 Found", location=location)
            assert await reason_at(server.url("/away")) == "leads_away"
        assert other.asked == []
    server.answers["/round"] = answer(b"", "302 Found", location="/round")
    assert await reason_at(server.url("/round")) == "leads_away"
    server.answers["/file"] = answer(b"", "302 Found", location="file:///etc/hostname")
    assert await reason_at(server.url("/file")) in ("leads_away", "not_answered")


async def test_an_answer_without_end_is_left_after_the_limit(server: Server) -> None:
    """A hundred megabytes are not fetched."""
    assert await reason_at(server.url("/flood")) == "too_large"

    await asyncio.sleep(0)
    assert server.sent < 10 * cap.MOST_BYTES  # what stood in the buffers of the net


async def test_an_answer_that_drips_is_left_after_the_time_limit(server: Server) -> None:
    """However steadily it comes."""
    assert await reason_at(server.url("/drip"), seconds=0.3) == "not_answered"


@pytest.mark.parametrize(
    ("given", "reason"),
    [
        (answer(b"gone", "404 Not Found"), "not_answered"),
        (answer(b"busy", "503 Busy", retry_after="5"), "not_answered"),
        (answer(b"\x1f\x8b\x08\x00", content_encoding="gzip"), "not_answered"),
        (answer(Made().bytes()[:400]), "not_xml"),
        (answer(Made().bytes(), length=5_000), "not_answered"),
        (b"no http at all\r\n\r\n", "not_answered"),
        (answer(b"<html><body>Log in</body></html>"), "not_cap"),
    ],
)
async def test_what_is_no_answer_is_told(server: Server, given: bytes, reason: str) -> None:
    """A fault, something packed, half an alert, a hotel's log-in page."""
    server.answers["/cap"] = given

    assert await reason_at(server.url("/cap")) == reason


@pytest.mark.parametrize(
    "url",
    ["http://example.invalid/x", "file:///etc/hostname", "https://", "https://a:b:c", "ftp://127.0.0.1/x", "//x"],
)
async def test_an_address_is_https(url: str) -> None:
    """Plain http is for this very machine."""
    assert await reason_at(url) == "bad_address"


async def test_nobody_there_is_told() -> None:
    """A closed door."""
    async with served() as gone:
        url = gone.url("/cap")

    assert await reason_at(url) == "not_answered"
