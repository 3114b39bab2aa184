"""Updates that are sent to us: who is believed, and that nothing is answered for before it is stored."""

from __future__ import annotations

import json
from collections.abc import AsyncIterator, Iterator
from typing import Any

import httpx
import pytest
from starlette.applications import Starlette
from starlette.routing import Route

from bot.channels.telegram.webhook import MOST_BYTES, SECRET_HEADER, secret_of, webhook
from tests.fakes.bot_api import TOKEN
from tests.fakes.sms_gateway import serving
from tests.telegram.conftest import Line

UPDATE = {"update_id": 5, "message": {"chat": {"id": 77, "type": "private"}, "text": "hello"}}
HEADERS = {SECRET_HEADER: secret_of(TOKEN), "content-type": "application/json"}


class Way:
    """Our address, and somebody who calls it."""

    def __init__(self, line: Line, address: str, caller: httpx.AsyncClient) -> None:
        self.line = line
        self.address = address
        self._caller = caller

    async def call(self, body: Any = None, **headers: str | None) -> httpx.Response:
        """Call with what Telegram sends, but for what is given; a header that is None is left out."""
        content = body if isinstance(body, (bytes, str)) else json.dumps(UPDATE if body is None else body)
        renamed = {name.replace("_", "-"): value for name, value in headers.items()}
        wanted = {name: value.encode() for name, value in {**HEADERS, **renamed}.items() if value is not None}
        return await self._caller.post(self.address, content=content, headers=wanted)

    def stored(self) -> list[str]:
        return [row[0] for row in self.line.house.rows("SELECT external_id FROM arrival ORDER BY id")]


@pytest.fixture
async def way(line: Line) -> AsyncIterator[Way]:
    handler = webhook(TOKEN, line.intake, line.house.clock)
    app = Starlette(routes=[Route("/in/telegram", handler, methods=["POST"])])
    async with serving(app) as address, httpx.AsyncClient() as caller:
        yield Way(line, f"{address}/in/telegram", caller)


async def test_an_update_is_stored_and_answered_for(way: Way) -> None:
    """It is on disk when the answer goes out; nothing is worked on within the call."""
    answer = await way.call()

    assert (answer.status_code, way.stored()) == (200, ["u5"])
    assert way.line.api.taken == []


async def test_the_same_update_again_is_answered_for_and_stored_once(way: Way) -> None:
    """Telegram repeats what it thinks we have not."""
    assert [(await way.call()).status_code for _ in range(3)] == [200] * 3
    assert way.stored() == ["u5"]


@pytest.mark.parametrize("secret", [None, "", "wrong", secret_of(TOKEN).upper(), secret_of(TOKEN) + "x", "ä"])
async def test_whoever_does_not_know_the_secret_is_told_nothing(way: Way, secret: str | None) -> None:
    """Whatever else is right or wrong with the call, there is one answer without a word."""
    for body in (UPDATE, b"\xff", b"x" * 10):
        answer = await way.call(body, **{SECRET_HEADER: secret})
        assert (answer.status_code, answer.content) == (401, b"")
    assert way.stored() == []


@pytest.mark.parametrize(
    "body",
    [
        "",
        "no JSON",
        b"\xff\xfe",
        "[" * 100_000,
        [UPDATE],
        {"message": {}},
        {"update_id": "5"},
        {"update_id": True},
        {"update_id": None},
        {"update_id": 5.0},
    ],
)
async def test_what_is_no_update_is_not_stored(way: Way, body: Any) -> None:
    """One answer without a word, and no error of ours."""
    answer = await way.call(body)

    assert (answer.status_code, answer.content, way.stored()) == (404, b"", [])


@pytest.mark.parametrize("kind", [None, "text/plain", "application/x-www-form-urlencoded", "application/jsonp"])
async def test_what_does_not_say_it_is_json_is_not_read(way: Way, kind: str | None) -> None:
    """A form of a page cannot send JSON without asking first."""
    assert (await way.call(content_type=kind)).status_code == 404
    assert way.stored() == []


async def test_the_kind_may_name_its_letters(way: Way) -> None:
    """What follows the kind does not matter."""
    assert (await way.call(content_type="Application/JSON; charset=utf-8")).status_code == 200


async def test_no_more_is_read_than_an_update_can_be(way: Way) -> None:
    """Up to the limit it is an update, one byte more and it is none; also where its length is not told before."""
    start, end = b'{"update_id": 6, "x": "', b'"}'
    fitting = start + b"x" * (MOST_BYTES - len(start) - len(end)) + end
    assert (await way.call(fitting)).status_code == 200

    def pieces() -> Iterator[bytes]:
        yield from (fitting, b" ")

    async def in_pieces() -> AsyncIterator[bytes]:
        for piece in pieces():
            yield piece

    async with httpx.AsyncClient() as caller:
        answers = [
            await caller.post(way.address, content=fitting + b" ", headers=HEADERS),
            await caller.post(way.address, content=in_pieces(), headers=HEADERS),
        ]
    assert [answer.status_code for answer in answers] == [404, 404]
    assert way.stored() == ["u6"]


async def test_what_cannot_be_stored_is_not_answered_for(way: Way, caplog: pytest.LogCaptureFixture) -> None:
    """Telegram is asked to call again, and the log holds no word of the message."""
    async with way.line.house.locked():
        async with way.line.house.store.database.writer.connect() as connection:
            driver = (await connection.get_raw_connection()).driver_connection
            assert driver is not None
            await (await driver.execute("PRAGMA busy_timeout=5")).close()
        answer = await way.call()
    assert (answer.status_code, answer.content, way.stored()) == (503, b"", [])
    assert "could not be stored" in caplog.text
    assert "hello" not in caplog.text

    assert (await way.call()).status_code == 200


async def test_the_whole_way_from_a_call_to_an_answer(way: Way) -> None:
    """Telegram is told our address and the secret, calls, calls again what went wrong, and gets its answer."""
    way.line.courier.start()
    way.line.intake.start()
    way.line.api.settings.updates_twice = True
    await way.line.client.set_webhook(way.address, secret_of(TOKEN))
    for number in range(5):
        way.line.api.people.says(77, f"line {number}")
    await way.line.until(lambda: len(way.line.told(77)) == 5)

    assert way.line.told(77) == [f"counted {number + 1} line {number}" for number in range(5)]
    assert not way.line.api.updates.pending


def test_the_secret_follows_from_the_key_and_does_not_give_it_away() -> None:
    """Another key, another secret; and every letter is one that Telegram takes."""
    assert secret_of("one") != secret_of("two")
    assert "one" not in secret_of("one")
    assert secret_of(TOKEN).isalnum()
    assert len(secret_of(TOKEN)) <= 256
