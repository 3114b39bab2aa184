"""The desk in a real browser: signing in, every page for every eye and on a phone, and a link from another site."""

from __future__ import annotations

import asyncio
import socket
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Literal

import pytest
import pytest_asyncio
import uvicorn
from axe_playwright_python.async_playwright import Axe
from playwright.async_api import Browser, Page, expect
from starlette.applications import Starlette
from starlette.responses import HTMLResponse
from starlette.routing import Route

from bot.conversation import known_here
from bot.ops.desk.desk import Desk, routes_of
from bot.ops.desk.rooms import rooms_of
from bot.ops.roles import Role
from bot.settings import Settings
from bot.words import Words
from tests.fakes.desk import DeskHouse, open_desk
from tests.fakes.house import open_house
from tests.web.browser import Reader

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]
PASSWORD = "seven quiet plugs of grass"
WIDTHS = (320, 390, 768, 1280)
SCHEMES: tuple[tuple[Literal["light", "dark"], dict[str, object]], ...] = (
    ("light", {}),
    ("dark", {"runOnly": {"type": "rule", "values": ["color-contrast"]}}),  # nothing else differs in the dark
)
TOO_LOW = """() => [...document.querySelectorAll(
        "button, summary, select, textarea, input:not([type=hidden]), nav a, a.press, a.row")]
    .filter((each) => each.offsetParent && each.getBoundingClientRect().height < 44 && !each.closest("label"))
    .map((each) => each.outerHTML)"""


@asynccontextmanager
async def served(app: Starlette) -> AsyncIterator[str]:
    """An application on a port of this machine; its address."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        server = uvicorn.Server(uvicorn.Config(app, lifespan="off", ws="none", log_config=None, access_log=False))
        listener.listen()  # who comes before the server is ready waits for it
        serving = asyncio.create_task(server.serve(sockets=[listener]))
        try:
            yield f"http://127.0.0.1:{listener.getsockname()[1]}"
        finally:
            server.should_exit = True
            await serving


@pytest_asyncio.fixture(loop_scope="session")
async def at(tmp_path: Path, words: Words) -> AsyncIterator[DeskHouse]:
    """The desk with every room there is."""
    folder = tmp_path / "data"
    async with open_house(folder) as house, open_desk(house, words, rooms_of(known_here(words, Settings()))) as opened:
        yield opened


@pytest_asyncio.fixture(loop_scope="session")
async def url(at: DeskHouse) -> AsyncIterator[str]:
    """Where a browser finds it."""
    async with served(at.app) as address:
        yield address


async def opened(browser: Browser, url: str, path: str = "/desk/") -> Reader:
    """Somebody with a phone at the desk."""
    context = await browser.new_context(viewport={"width": 390, "height": 844})
    reader = Reader(await context.new_page(), url)
    await reader.page.goto(url + path)
    return reader


async def sign_in(page: Page, name: str, password: str) -> None:
    await page.get_by_label("Your name here").fill(name)
    await page.get_by_label("Password").fill(password)
    await page.get_by_role("button", name="Sign in").click()


def plain_pages(at: DeskHouse, words: Words) -> list[str]:
    """The address of every page, of every room, that is not about one thing of many."""
    routes = routes_of(Desk(at.house, words), rooms_of(known_here(words, Settings())))
    paths = [route.path for route in routes if "GET" in (route.methods or ())]
    return [path for path in paths if not {"{", "."} & set(path)]  # what has an ending is a file to keep


async def check_for_every_eye(reader: Reader) -> None:
    """axe-core's rules in the light, those on colours in the dark; nothing sticks out; nothing is too small to tap."""
    page = reader.page
    for scheme, options in SCHEMES:
        await page.emulate_media(color_scheme=scheme)
        results = await Axe().run(page, options=options)
        assert results.violations_count == 0, f"{page.url}\n{results.generate_report()}"
    for width in WIDTHS:
        await page.set_viewport_size({"width": width, "height": 844})
        assert await page.evaluate("document.documentElement.scrollWidth") <= width, (page.url, width)
    await page.set_viewport_size({"width": 390, "height": 844})
    assert await page.evaluate(TOO_LOW) == [], page.url


async def test_a_first_keeper_lets_somebody_in_and_every_page_is_for_every_eye(
    browser: Browser, at: DeskHouse, url: str, words: Words
) -> None:
    """From the one-time link of the command line to a second person who signs in by password on a phone."""
    reader = await opened(browser, url)
    page = reader.page
    await expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    await check_for_every_eye(reader)
    await page.goto(f"{url}/desk{await at.link_for(Role.KEEPER, 'First Keeper')}")
    await check_for_every_eye(reader)
    await page.get_by_role("button", name="Sign me in").click()
    await expect(page.get_by_text("First Keeper, keeper")).to_be_visible()
    await check_for_every_eye(reader)

    await page.get_by_role("link", name="Operators").click()
    await page.get_by_label("Name").fill("Second Person")
    await page.get_by_label("Role").last.select_option("approver")
    await page.get_by_role("button", name="Make the account and a link").click()
    link = await page.locator("code").inner_text()
    await check_for_every_eye(reader)
    await page.get_by_role("link", name="Back to the operators").click()
    for summary in await page.locator("summary").all():
        await summary.click()
    await check_for_every_eye(reader)
    for path in (*plain_pages(at, words), "/nothing"):
        await page.goto(f"{url}/desk{path}")
        await check_for_every_eye(reader)

    second = await opened(browser, url, link.removeprefix(url))
    await second.page.get_by_role("button", name="Sign me in").click()
    await second.page.get_by_role("link", name="My password").click()
    await second.page.get_by_label("The new password", exact=True).fill(PASSWORD)
    await second.page.get_by_label("once more").fill(PASSWORD)
    await second.page.get_by_role("button", name="Keep this password").click()
    await second.page.get_by_role("button", name="Sign out").click()
    await sign_in(second.page, "second person", "not the one I chose")
    await expect(second.page.get_by_role("alert")).to_contain_text("do not fit")
    await check_for_every_eye(second)
    await sign_in(second.page, "second person", PASSWORD)

    await expect(second.page.get_by_text("Second Person, approver")).to_be_visible()
    await second.page.goto(f"{url}/desk/operators")
    await expect(second.page.get_by_text("Your role does not open this page.")).to_be_visible()
    for each in (reader, second):
        each.check(but="Failed to load resource")  # the answers 403 and 404 above


async def test_a_link_on_another_site_finds_an_operator_still_signed_in(
    browser: Browser, at: DeskHouse, url: str
) -> None:
    """The browser keeps a strict cookie to itself on the way from there; the desk asks once more by itself."""
    reader = await opened(browser, url, f"/desk{await at.link_for(Role.READER, 'Ann')}")
    await reader.page.get_by_role("button", name="Sign me in").click()
    await expect(reader.page.get_by_text("Ann, reader")).to_be_visible()

    async def elsewhere(_request: object) -> HTMLResponse:
        return HTMLResponse(f'<!doctype html><title>mail</title><a href="{url}/desk/password">look</a>')

    async with served(Starlette(routes=[Route("/", elsewhere)])) as mail:
        await reader.page.goto(mail.replace("127.0.0.1", "localhost"))  # another site to a browser
        await reader.page.get_by_role("link", name="look").click()
        await expect(reader.page.get_by_role("heading", name="My password")).to_be_visible()


async def test_the_way_in_goes_by_keyboard_alone(browser: Browser, at: DeskHouse, url: str) -> None:
    """Tab to the fields, type, Enter; then the skip link leads past head and tabs."""
    await at.sits_with_password("Ann", Role.KEEPER, PASSWORD)
    reader = await opened(browser, url, "/desk/deeds")
    page = reader.page
    await page.get_by_label("Your name here").focus()
    await page.keyboard.type("Ann")
    await page.keyboard.press("Tab")
    await page.keyboard.type(PASSWORD)
    await page.keyboard.press("Enter")
    await expect(page.get_by_role("heading", name="Who did what")).to_be_visible()
    await page.keyboard.press("Tab")
    await page.keyboard.press("Enter")

    assert page.url.endswith("#page")
    assert await page.evaluate("document.activeElement.id") == "page"
    reader.check()
