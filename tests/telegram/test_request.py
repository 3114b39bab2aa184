"""The transport under the library's client: which way requests go."""

from __future__ import annotations

import asyncio

import pytest

from bot.channels.telegram.request import Request, proxy_of
from bot.errors import ChannelClosed
from bot.trust import trusted

PROXIES = ("HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY", "NO_PROXY")


@pytest.fixture(autouse=True)
def _no_proxy(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in PROXIES:
        monkeypatch.delenv(name, raising=False)
        monkeypatch.delenv(name.lower(), raising=False)


@pytest.mark.parametrize(
    ("environment", "proxy"),
    [
        ({}, None),
        ({"HTTPS_PROXY": "http://way.example:3128"}, "http://way.example:3128"),
        ({"https_proxy": "http://way.example:3128"}, "http://way.example:3128"),
        ({"ALL_PROXY": "http://way.example:3128"}, "http://way.example:3128"),
        ({"HTTP_PROXY": "http://way.example:3128"}, None),
        ({"HTTPS_PROXY": "http://way.example:3128", "NO_PROXY": "lawn.example"}, None),
        ({"HTTPS_PROXY": "http://way.example:3128", "NO_PROXY": "other.example"}, "http://way.example:3128"),
    ],
)
def test_the_environment_names_the_proxy(
    monkeypatch: pytest.MonkeyPatch, environment: dict[str, str], proxy: str | None
) -> None:
    """As other programs read it: by the kind of address, and not for those that are left out."""
    for name, value in environment.items():
        monkeypatch.setenv(name, value)
    assert proxy_of("https://lawn.example") == proxy


def test_a_proxy_of_another_kind_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """At the start, where somebody reads it, and not at every message."""
    monkeypatch.setenv("ALL_PROXY", "socks5://way.example:1080")
    with pytest.raises(ChannelClosed, match="HTTPS_PROXY"):
        proxy_of("https://lawn.example")


async def test_requests_go_through_the_proxy(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the environment names is where they knock; the address they want stands in the request."""
    asked: list[bytes] = []

    async def answer(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        asked.append((await reader.readuntil(b"\r\n\r\n")).split(b"\r\n")[0])
        writer.write(b"HTTP/1.1 200 OK\r\nContent-Length: 2\r\n\r\n{}")
        await writer.drain()
        writer.close()

    async with await asyncio.start_server(answer, "127.0.0.1") as server:
        monkeypatch.setenv("HTTP_PROXY", f"http://127.0.0.1:{server.sockets[0].getsockname()[1]}")
        async with Request("http://lawn.example", trust=trusted(), connect_seconds=5, answer_seconds=5) as request:
            status, _ = await request.do_request("http://lawn.example/bot1/getMe", "POST")
    assert (status, asked) == (200, [b"POST http://lawn.example/bot1/getMe HTTP/1.1"])
