"""The picture of a freeze on the page: to whom it was told and nobody else, with the same in words beside it."""

from __future__ import annotations

import html
import io
import re
from collections.abc import AsyncIterator, Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from bot.conversation import real_talk
from bot.settings import Settings
from tests.fakes.coast import coast_weather
from tests.fakes.house import House, open_house
from tests.web.visitor import Visitor

_PICTURE = re.compile(r'<img src="(/chart/\d+\.png)" alt="([^"]+)" width="360" height="320"')


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    """A house near the invented stations, three days after their freeze."""
    async with open_house(tmp_path, talk=real_talk(Settings(data=tmp_path), coast_weather())) as opened:
        opened.clock.set(datetime(2027, 1, 20, 17, tzinfo=UTC))
        yield opened


async def told(visitor: Visitor) -> tuple[str, str]:
    for words in ("31545", "Jan 17", "yes", "raleigh", "straw"):
        await visitor.say(words)
    found = _PICTURE.search(visitor.seen)
    assert found is not None
    return found[1], html.unescape(found[2])


async def test_the_page_shows_the_picture_with_its_words(visitor: Visitor) -> None:
    address, alt = await told(visitor)
    answer = await visitor.client.get(address)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "image/png"
    assert "private" in answer.headers["cache-control"]
    with Image.open(io.BytesIO(answer.content)) as picture:
        assert picture.size == (720, 640)
    assert "The air fell to 14 °F on Sun, Jan 17" in alt


async def test_nobody_else_gets_it(visitor: Visitor, another: Callable[[], Visitor]) -> None:
    """Not a stranger without a page, nor another homeowner, nor under the number of a message without a picture."""
    address, _ = await told(visitor)
    stranger, other = another(), another()
    await other.look()
    assert (await stranger.client.get(address)).status_code == 404
    assert (await other.client.get(address)).status_code == 404
    assert (await visitor.client.get("/chart/1.png")).status_code == 404
    assert (await visitor.client.get("/chart/99999.png")).status_code == 404


async def test_it_is_drawn_in_the_reader_s_units(visitor: Visitor) -> None:
    """The same message after the homeowner asked for metric: another picture."""
    address, _ = await told(visitor)
    in_fahrenheit = (await visitor.client.get(address)).content
    await visitor.say("metric")
    assert (await visitor.client.get(address)).content != in_fahrenheit
