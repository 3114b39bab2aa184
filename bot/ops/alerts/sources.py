"""Alerts from a file, a folder or an address.

1. What is larger than our limit is not read to its end, wherever it comes from.
2. An address is https (or http on this very machine). A redirect is followed on the same host only; nothing an alert
   links to is ever asked for. The whole question has a time limit, however slowly the answer drips.
3. In a folder each file is read by itself: a broken one is told by its name and the others are read.
"""

from __future__ import annotations

import asyncio
import importlib.metadata
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

import httpx

from bot.ops.alerts import cap, national
from bot.ops.alerts.alert import plain_text
from bot.ops.alerts.found import Found, Refusal, together
from bot.ops.alerts.refused import AlertRefused, NotNow
from bot.trust import trusted

MOST_FILES = 10_000
MOST_REDIRECTS = 3
SECONDS = 30.0
_CONNECT_SECONDS = 5.0
_READ_AT_ONCE = 65_536
_HERE = frozenset({"127.0.0.1", "localhost", "::1"})

Net = Callable[[], httpx.AsyncBaseTransport]
"""The way out for one reading; whoever reads closes it."""


def the_net() -> httpx.AsyncBaseTransport:
    """The way out that remembers nothing."""
    return httpx.AsyncHTTPTransport(verify=trusted())


def read_bytes(data: bytes, name: str) -> Found:
    """The alerts in some bytes, XML or JSON by how they begin. Raises `AlertRefused`."""
    if _is_json(data):
        return national.read_national(data).within(name)
    return Found(alerts=(cap.read_cap(data),))


def read_stream(stream: BinaryIO, name: str) -> Found:
    """The alerts in a stream, of which no more is read than an alert may have. Raises `AlertRefused`."""
    begin = stream.read(cap.MOST_BYTES + 1)
    if len(begin) > cap.MOST_BYTES and _is_json(begin):
        begin += stream.read(national.MOST_BYTES + 1 - len(begin))
    return read_bytes(begin, name)


def read_file(file: Path) -> Found:
    """The alerts in a file. Raises `AlertRefused`."""
    try:
        with file.open("rb") as stream:
            return read_stream(stream, file.name)
    except FileNotFoundError as error:
        raise AlertRefused("not_found", f"There is no file {file}.") from error
    except OSError as error:
        raise AlertRefused("not_readable", f"{file} cannot be read ({error.strerror}).") from error


def read_folder(folder: Path) -> Found:
    """The alerts in a folder's files (not those of folders within), each once, in the order they were sent.

    Files whose name begins with a dot are passed over. Raises `AlertRefused` where there is no such folder.
    """
    return together(map(_by_itself, files_in(folder)))


def files_in(folder: Path) -> list[Path]:
    """The files of a folder that are read, by name. Raises `AlertRefused` where there is no such folder."""
    try:
        files = sorted(each for each in folder.iterdir() if each.is_file() and not each.name.startswith("."))
    except FileNotFoundError as error:
        raise AlertRefused("not_found", f"There is no folder {folder}.") from error
    except OSError as error:
        raise AlertRefused("not_readable", f"{folder} cannot be read ({error.strerror}).") from error
    if len(files) > MOST_FILES:
        raise AlertRefused("too_many", f"{folder} holds more than {MOST_FILES} files.")
    return files


def _by_itself(file: Path) -> Found:
    try:
        return read_file(file)
    except AlertRefused as error:
        return Found(refused=(Refusal.of(file.name, error),))


async def read_url(url: str, contact: str = "", seconds: float = SECONDS, net: Net = the_net) -> Found:
    """The alerts at an address. Raises `AlertRefused`. `contact` tells the service who asks, as the US one wants.

    `net` may remember answers, so that the same is not fetched again (`remembered.py`).
    """
    try:
        async with asyncio.timeout(seconds):
            body = await _fetched(_address(url), contact, net())
        return await asyncio.to_thread(read_bytes, body, plain_text(url))
    except TimeoutError as error:
        raise AlertRefused("not_answered", f"The address did not answer whole within {seconds:.0f} seconds.") from error
    except httpx.HTTPError as error:
        raise AlertRefused("not_answered", f"The address cannot be reached ({type(error).__name__}).") from error


async def read_any(wanted: str, contact: str = "", net: Net = the_net) -> Found:
    """A file, a folder or an address, whichever is meant, in the order things were sent. Raises `AlertRefused`.

    A folder is read file by file, each in a thread, so that it can be stopped between two of them.
    """
    if is_address(wanted):
        return together([await read_url(wanted, contact, net=net)])
    path = Path(wanted)
    if not await asyncio.to_thread(path.is_dir):
        return together([await asyncio.to_thread(read_file, path)])
    return together([await asyncio.to_thread(_by_itself, file) for file in await asyncio.to_thread(files_in, path)])


def is_address(wanted: str) -> bool:
    """Whether something is fetched, and not read from this machine."""
    return "://" in wanted


def _address(url: str) -> httpx.URL:
    try:
        address = httpx.URL(url)
    except httpx.InvalidURL as error:
        raise AlertRefused("bad_address", f"This is no address: {error}.") from error
    is_here = address.scheme == "http" and address.host in _HERE
    if not address.host or not (address.scheme == "https" or is_here):
        raise AlertRefused("bad_address", "An address begins with https:// and names a host.")
    return address


async def _fetched(address: httpx.URL, contact: str, net: httpx.AsyncBaseTransport) -> bytes:
    version = importlib.metadata.version("afterfrost")
    headers = {
        "User-Agent": f"Afterfrost/{version}" + (f" ({contact})" if contact else ""),
        "Accept": "application/cap+xml, application/geo+json, application/xml, application/json",
        "Accept-Encoding": "identity",  # what comes packed can unpack to anything
    }
    timeout = httpx.Timeout(SECONDS, connect=_CONNECT_SECONDS)
    async with httpx.AsyncClient(headers=headers, timeout=timeout, follow_redirects=False, transport=net) as client:
        for _ in range(MOST_REDIRECTS + 1):
            async with client.stream("GET", address) as response:
                if response.next_request is None:
                    return await _body(response)
                address = _same_host(address, response.next_request.url)
    raise AlertRefused("leads_away", f"The address sends on more than {MOST_REDIRECTS} times.")


def _same_host(asked: httpx.URL, sent_to: httpx.URL) -> httpx.URL:
    if (sent_to.scheme, sent_to.host, sent_to.port) != (asked.scheme, asked.host, asked.port):
        raise AlertRefused("leads_away", f"The address sends on to another host ({sent_to.host}), which is not asked.")
    return sent_to


async def _body(response: httpx.Response) -> bytes:
    if response.status_code != httpx.codes.OK:
        later = response.headers.get("retry-after", "")
        raise NotNow(f"The address answers with HTTP {response.status_code}.", float(later) if later.isdigit() else 0.0)
    return await bounded_body(response)


async def bounded_body(response: httpx.Response) -> bytes:
    """The body of an answer, of which no more is read than alerts may have. Raises `AlertRefused`."""
    if response.headers.get("content-encoding", "identity") != "identity":
        raise AlertRefused("not_answered", "The address answers with something packed, which we did not ask for.")
    body = b""
    async for part in response.aiter_raw(_READ_AT_ONCE):
        body += part
        limit = national.MOST_BYTES if _is_json(body) else cap.MOST_BYTES
        if len(body) > limit:
            raise AlertRefused("too_large", f"The answer is larger than {limit // 1_000_000} MB.")
    return body


def _is_json(data: bytes) -> bool:
    return data[:1024].removeprefix(b"\xef\xbb\xbf").lstrip()[:1] in (b"{", b"[")
