"""Serving and stopping: where the page listens, what is told, and what ends with it."""

from __future__ import annotations

import asyncio
import socket
import time
from pathlib import Path

import httpx
import pytest

from bot.channels.web import WebChannel, serve, web_app
from bot.channels.web.server import address_of
from bot.errors import SettingsError
from bot.settings import Settings
from bot.words import Words
from tests.fakes.house import House
from tests.web.serving import Served


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


async def test_the_page_answers_once_its_address_is_told(house: House, words: Words, tmp_path: Path) -> None:
    """And no more once it was stopped; an open stream does not hold it up."""
    settings = Settings(data=tmp_path, port=free_port())
    told: asyncio.Queue[str] = asyncio.Queue()
    channel, stop = WebChannel(), asyncio.Event()

    async def until_stopped() -> None:
        await stop.wait()

    serving = asyncio.create_task(
        serve(
            web_app(house, words, channel), settings, channel=channel, until=until_stopped(), listening=told.put_nowait
        )
    )
    address = await told.get()
    async with httpx.AsyncClient(base_url=address) as client:
        assert "Where is the lawn?" in (await client.get("/")).text
        async with client.stream("GET", "/stream") as stream:
            assert stream.status_code == 200
            stop.set()
            async with asyncio.timeout(3):
                await serving
    with pytest.raises(httpx.ConnectError):
        async with httpx.AsyncClient() as client:
            await client.get(address)


async def test_a_taken_port_is_told_with_the_setting_to_change(house: House, words: Words, tmp_path: Path) -> None:
    """Not a traceback."""
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        settings = Settings(data=tmp_path, port=taken.getsockname()[1])
        with pytest.raises(SettingsError, match="AFTERFROST_PORT"):
            await serve(web_app(house, words, WebChannel()), settings, channel=WebChannel(), until=_never())


async def test_an_address_of_another_machine_is_told(house: House, words: Words, tmp_path: Path) -> None:
    """With the setting to change."""
    settings = Settings(data=tmp_path, host="203.0.113.7", port=free_port())
    with pytest.raises(SettingsError, match="AFTERFROST_"):
        await serve(web_app(house, words, WebChannel()), settings, channel=WebChannel(), until=_never())


async def _never() -> None:
    await asyncio.Event().wait()


@pytest.mark.parametrize(
    ("host", "address"),
    [
        ("127.0.0.1", "http://127.0.0.1:8090/"),
        ("0.0.0.0", "http://127.0.0.1:8090/"),
        ("::", "http://[::1]:8090/"),
        ("lawn.example", "http://lawn.example:8090/"),
    ],
)
def test_the_address_that_is_told_can_be_opened(host: str, address: str) -> None:
    """Listening everywhere is no address; this machine's own is."""
    assert address_of(Settings(host=host)) == address


def test_the_service_stops_within_five_seconds_with_a_page_open(tmp_path: Path) -> None:
    """Asked to end, it ends, and nothing in its log is an error."""
    with Served(tmp_path) as served, httpx.Client(base_url=served.url) as client:
        client.get("/")
        with client.stream("GET", "/stream") as stream:
            assert stream.status_code == 200
            began = time.monotonic()
            served.stop()
            assert time.monotonic() - began < 5
    assert "Traceback" not in served.log
    assert "ERROR" not in served.log


def test_no_private_link_and_no_words_stand_in_the_log(tmp_path: Path) -> None:
    """Whoever runs the service sees that it runs, not who said what."""
    with Served(tmp_path) as served, httpx.Client(base_url=served.url, follow_redirects=True) as client:
        page = client.get("/").text
        key = client.cookies["afterfrost"]
        client.get(f"/back/{key}")
        mark = page.split('name="mark" value="')[1].split('"')[0]
        client.post("/say", data={"mark": mark, "id": "1" * 32, "text": "Waycross, GA"})
    assert key not in served.log
    assert "Waycross" not in served.log
