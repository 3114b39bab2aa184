"""Drawing a region in a real browser: by pressing on the map, and by keys alone."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from playwright.async_api import Browser, Page, expect

from bot.ops.desk.region_pages import RegionRoom
from bot.ops.regions.book import RegionBook
from bot.ops.regions.selecting import holds
from bot.ops.regions.whereabouts import Whereabouts
from bot.ops.roles import Role
from bot.words import Words
from tests.fakes.desk import DeskHouse, open_desk
from tests.fakes.house import open_house
from tests.ops.desk.test_browser import check_for_every_eye, opened, served
from tests.ops.regions.homes import Homes

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]
HOMES = 6


@pytest_asyncio.fixture(loop_scope="session")
async def at(tmp_path: Path, words: Words) -> AsyncIterator[DeskHouse]:
    """The desk with homes at one place of the coast."""
    folder = tmp_path / "data"
    async with open_house(folder) as house, open_desk(house, words, [RegionRoom()]) as desk:
        homes = Homes(house)
        for _ in range(HOMES):
            await homes.add({})
        yield desk


async def points(page: Page) -> list[str]:
    return (await page.locator("#points").input_value()).split("\n")


async def test_a_triangle_is_drawn_by_pressing_and_kept(browser: Browser, at: DeskHouse) -> None:
    """A wrong point is taken back, the count goes along, the homes are counted, and the region holds what it should."""
    async with served(at.app) as url:
        reader = await opened(browser, url, f"/desk{await at.link_for(Role.APPROVER, 'Ada')}")
        page = reader.page
        await page.get_by_role("button", name="Sign me in").click()
        await page.goto(f"{url}/desk/regions/new")
        await page.get_by_label("Name", exact=True).fill("Around the coast")
        box = await page.locator("#map").bounding_box()
        assert box
        for across, down in ((0.2, 0.2), (0.8, 0.2), (0.05, 0.05)):
            await page.locator("#map").click(position={"x": across * box["width"], "y": down * box["height"]})
        await expect(page.locator("#count")).to_have_text("Points set: 3")
        await page.get_by_role("button", name="Undo last point").click()
        await expect(page.locator("#count")).to_have_text("Points set: 2")
        await page.locator("#map").click(position={"x": 0.5 * box["width"], "y": 0.85 * box["height"]})
        assert len(await points(page)) == 3
        await expect(page.locator("#drawn polygon")).to_have_count(1)

        await page.get_by_role("button", name="See what is in it").click()
        await expect(page.get_by_text(f"{HOMES} homes with {HOMES} lawns")).to_be_visible()
        await check_for_every_eye(reader)
        await page.get_by_role("button", name="Keep this region").click()
        await expect(page.get_by_text("The region is kept.")).to_be_visible()
        reader.check()
    region = await RegionBook(at.house.store.database, at.house.clock).named("Around the coast")

    assert holds(region.shape, Whereabouts(latitude=31.2, longitude=-81.5))
    assert not holds(region.shape, Whereabouts(latitude=31.44, longitude=-81.74))


async def test_a_triangle_is_drawn_by_keys_alone(browser: Browser, at: DeskHouse) -> None:
    """Tab to the map, arrows to the corners, Enter sets one, Backspace takes it back; where the cross is, is told."""
    async with served(at.app) as url:
        reader = await opened(browser, url, f"/desk{await at.link_for(Role.APPROVER, 'Ben')}")
        page = reader.page
        await page.get_by_role("button", name="Sign me in").click()
        await page.goto(f"{url}/desk/regions/new")
        await page.get_by_label("Who answers for it").focus()
        await page.keyboard.press("Tab")
        await expect(page.locator("#map")).to_be_focused()
        await expect(page.locator("#count")).to_contain_text("The cross is at 31.2")
        for keys in (["ArrowUp"] * 5, ["ArrowDown"] * 9 + ["ArrowRight"] * 5, ["ArrowLeft"] * 10, ["ArrowUp"]):
            for key in keys:
                await page.keyboard.press(key)
            await page.keyboard.press("Enter")
        await page.keyboard.press("Backspace")
        found = [tuple(map(float, each.split(","))) for each in await points(page)]
        reader.check()

    (north, middle), (south, east), (also_south, west) = found
    assert north > south == also_south
    assert west < middle < east
