"""The album on the page: offered once a photo is kept, made for its owner alone, and fit to look at and to print."""

from __future__ import annotations

import io
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from pathlib import Path

import httpx
import pytest
from axe_playwright_python.async_playwright import Axe
from PIL import Image
from playwright.async_api import Browser

from bot.album.report import album_report
from bot.album.season import albums_of
from bot.album.wording import Teller
from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.charts.desk import ChartDesk
from bot.words import Words
from tests.album.seasons import grown, turf
from tests.fakes.house import House
from tests.talk.conversation import KNOWN
from tests.web.browser import PHONE
from tests.web.visitor import HOST, Visitor, plain

REPORT, PICTURE = "/album.html", "/album.jpg"


@pytest.fixture
async def another(house: House, words: Words) -> AsyncIterator[Callable[[], Visitor]]:
    """Makes visitors of a page that knows what the talk knows."""
    app = web_app(house, words, WebChannel(), known=KNOWN)
    async with AsyncExitStack() as stack:
        clients: list[httpx.AsyncClient] = []

        def make() -> Visitor:
            clients.append(httpx.AsyncClient(transport=httpx.ASGITransport(app=app), base_url=HOST))
            stack.push_async_callback(clients[-1].aclose)
            return Visitor(clients[-1])

        yield make


async def to_a_kept_photo(visitor: Visitor) -> None:
    """A lawn that is all alike, and one photo of it."""
    for words in ("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1", "raleigh", "all alike"):
        await visitor.say(words)
    await visitor.photograph(turf(20, (800, 600)))
    await visitor.say("no")


async def test_it_is_offered_once_a_photo_is_kept(visitor: Visitor) -> None:
    """Before that there is no link, and nothing behind it."""
    assert '<p id="album" hidden>' in visitor.seen
    assert [(await visitor.client.get(path)).status_code for path in (REPORT, PICTURE)] == [404, 404]

    await to_a_kept_photo(visitor)
    await visitor.look()

    assert '<p id="album">' in visitor.seen
    assert f'href="{REPORT}"' in visitor.seen and f'href="{PICTURE}"' in visitor.seen


async def test_both_are_private_downloads(visitor: Visitor) -> None:
    """Kept by nobody on the way, saved under a name, of the type they are."""
    await to_a_kept_photo(visitor)
    report, picture = await visitor.client.get(REPORT), await visitor.client.get(PICTURE)

    for answer, kind, name in (
        (report, "text/html; charset=utf-8", "afterfrost-album.html"),
        (picture, "image/jpeg", "afterfrost-album.jpg"),
    ):
        assert answer.status_code == 200
        assert answer.headers["content-type"] == kind
        assert answer.headers["content-disposition"] == f'attachment; filename="{name}"'
        assert answer.headers["cache-control"] == "no-store"
    assert "Glynn County, GA" in plain(report.text)
    assert "data:image/jpeg;base64," in report.text
    with Image.open(io.BytesIO(picture.content)) as opened:
        assert opened.width == 1080


async def test_nobody_else_gets_any_of_it(visitor: Visitor, another: Callable[[], Visitor]) -> None:
    """Neither somebody without a key, nor another homeowner, nor one with photos of their own."""
    await to_a_kept_photo(visitor)
    stranger, newcomer = another(), another()
    await newcomer.look()

    for other in (stranger, newcomer):
        for path in (REPORT, PICTURE):
            answer = await other.client.get(path)
            assert answer.status_code == 404
            assert "Glynn" not in answer.text and "data:image" not in answer.text


async def test_a_house_that_knows_nothing_beside_makes_none(visitor: Visitor, house: House, words: Words) -> None:
    """An album must not say something else than the talk did."""
    await to_a_kept_photo(visitor)
    app = web_app(house, words, WebChannel())
    async with httpx.AsyncClient(
        transport=httpx.ASGITransport(app=app), base_url=HOST, cookies=visitor.client.cookies
    ) as client:
        assert '<p id="album" hidden>' in (await client.get("/")).text
        assert (await client.get(REPORT)).status_code == 404


@pytest.mark.browser
@pytest.mark.asyncio(loop_scope="session")
async def test_the_report_is_readable_on_a_phone_and_prints(browser: Browser, words: Words, tmp_path: Path) -> None:
    """No sideways scrolling, nothing axe-core has against it, and a PDF of a few pages."""
    spring = grown(3, with_pictures=True)
    albums = albums_of(spring.homeowner, spring.known, spring.talk.now, set(spring.folder.photos))
    desk = ChartDesk(words)
    told = [spot.chart for spot in albums[0].spots if spot.chart is not None]
    charts = {chart: await desk.picture(chart, language="en", metric=False) for chart in told}
    file = tmp_path / "album.html"
    file.write_bytes(album_report(albums, charts, spring.folder.read, Teller(words, language="en", metric=False)))
    context = await browser.new_context(viewport=PHONE, bypass_csp=True)  # type: ignore[arg-type]  # axe is a script
    page = await context.new_page()
    await page.goto(file.as_uri())

    assert await page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    assert await page.evaluate("[...document.images].every(each => each.complete && each.naturalWidth > 0)")
    found = await Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    pdf = await page.pdf(format="A4")
    assert pdf.startswith(b"%PDF")
    assert 2 <= pdf.count(b"/Type /Page\n") <= 6
