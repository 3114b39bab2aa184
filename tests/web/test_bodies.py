"""What no page of ours sends, and what breaks inside: always a page with words, never a trace of anybody in the log."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

import httpx
import pytest

from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.words import Words
from tests.fakes.house import House
from tests.web.visitor import HOST, Visitor, plain


def said(house: House) -> int:
    """How many things homeowners said, as the database file has them."""
    return int(house.value("SELECT count(*) FROM inbox WHERE body NOT LIKE '%\"arrived\"%'"))


@pytest.mark.parametrize(
    ("kind", "body"),
    [
        ("multipart/form-data", b"no boundary was named"),
        ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data\r\n\r\n1\r\n--x--\r\n"),
        ("application/x-www-form-urlencoded", b"&".join(b"a=1" for _ in range(500))),
    ],
)
async def test_a_body_that_cannot_be_read_is_refused_in_words(
    visitor: Visitor, house: House, kind: str, body: bytes
) -> None:
    """Never a bare error."""
    answer = await visitor.client.post("/say", content=body, headers={"origin": HOST, "content-type": kind})

    assert answer.status_code == 400
    assert "I could not read what was sent." in plain(answer.text)
    assert said(house) == 0


@pytest.mark.parametrize("kind", ["application/json", "text/plain", ""])
async def test_a_body_that_is_no_form_changes_nothing(visitor: Visitor, house: House, kind: str) -> None:
    """It has no mark, so it is not from a page of ours."""
    await visitor.client.post("/say", content=b'{"text": "stop"}', headers={"origin": HOST, "content-type": kind})

    assert said(house) == 0


async def test_ten_megabytes_of_emoji_as_a_page_sends_them(visitor: Visitor) -> None:
    """The page's own form sends bytes as they are."""
    fields = {
        name: (None, value) for name, value in {**visitor.fields("say"), "text": "\U0001f331" * 2_500_000}.items()
    }
    answer = await visitor.client.post("/say", files=fields, headers={"origin": HOST})

    assert answer.headers["location"] == "/?note=cut#answer"


@pytest.mark.parametrize(
    "path",
    [
        "/static/../app.py",
        "/static/%2e%2e/app.py",
        "/static/..%2f..%2fweb%2fapp.py",
        "/static//etc/passwd",
        "/photo/..%2f..%2fafterfrost.sqlite3",
        "/photo/../../afterfrost.sqlite3",
    ],
)
async def test_no_path_leads_out_of_what_is_shown(visitor: Visitor, path: str) -> None:
    """Only files that are meant to be fetched are found."""
    answer = await visitor.client.get(path)

    assert answer.status_code == 404
    assert "SQLite" not in answer.text and "import" not in answer.text


async def test_asking_what_is_there_makes_nobody_new(another: Callable[[], Visitor], house: House) -> None:
    """HEAD, and addresses with the wrong verb."""
    stranger = another()
    await stranger.client.head("/")
    answer = await stranger.client.post("/", headers={"origin": HOST})

    assert answer.status_code == 405
    assert "<h2>" in answer.text
    assert house.value("SELECT count(*) FROM homeowner") == 0


WRITTEN = "what somebody wrote"


class StoppedClock:
    """A clock that cannot be read."""

    def now(self) -> datetime:
        raise RuntimeError(WRITTEN)


async def test_what_breaks_inside_ends_in_words_and_says_nothing_of_anybody(
    house: House, words: Words, caplog: pytest.LogCaptureFixture
) -> None:
    """A page for the homeowner, a place in the code for whoever runs it."""
    house.clock = StoppedClock()  # type: ignore[assignment]
    app = web_app(house, words, WebChannel())
    async with httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HOST) as client:
        answer = await client.get("/")

    assert answer.status_code == 500
    assert "Something broke on my side" in plain(answer.text)
    assert "in now" in caplog.text
    assert WRITTEN not in caplog.text
