"""How the page behaves in a real browser: for every eye, on every screen, on bad lines, in several windows."""

from __future__ import annotations

import asyncio

import pytest
from axe_playwright_python.async_playwright import Axe
from playwright.async_api import Browser, expect

from tests.photos.pictures import encoded, scene
from tests.web.browser import FIRST_WORDS, PHONE, Reader
from tests.web.serving import Served

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]


async def assert_accessible(reader: Reader) -> None:
    await reader.page.wait_for_function("() => document.getAnimations().length === 0")
    results = await Axe().run(reader.page)
    assert results.violations_count == 0, results.generate_report()


async def test_a_checker_of_accessibility_finds_nothing(reader: Reader) -> None:
    """axe-core's rules at each kind of message, in the light and in the dark, on the page and on what is beside it."""
    await assert_accessible(reader)
    await reader.to_the_first_answer()
    await assert_accessible(reader)
    await reader.to_the_agreement()
    await reader.photograph(encoded(scene((900, 700))))
    await reader.say("data")
    await assert_accessible(reader)
    await reader.page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    await assert_accessible(reader)
    assert await reader.page.locator("img.drawing").count() > 0
    for path in ("/goodbye", "/nothing"):
        await reader.page.goto(reader.url + path)
        await assert_accessible(reader)


async def test_no_sideways_scrolling_and_nothing_too_small_to_tap(browser: Browser, served: Served) -> None:
    """From 320 pixels up nothing sticks out, and everything to press is at least 44 pixels high."""
    reader = await Reader.opening(browser, served.url, viewport={"width": 320, "height": 640})
    await reader.to_the_first_answer()
    await reader.say("s" * 300)
    for width in (320, 390, 768, 1400):
        await reader.page.set_viewport_size({"width": width, "height": 700})
        assert await reader.page.evaluate("document.documentElement.scrollWidth") <= width
    low = await reader.page.evaluate(
        """() => [...document.querySelectorAll("button, label.row, label.press, .pen input")]
          .filter((each) => each.offsetParent && each.getBoundingClientRect().height < 44)
          .map((each) => each.outerHTML)"""
    )

    assert low == []


async def test_a_lost_connection_is_told_and_nothing_is_sent_twice(reader: Reader) -> None:
    """Offline the line waits and says so; back online it goes out once, without anybody typing it again."""
    await reader.page.context.set_offline(True)
    await reader.type("31522")
    await expect(reader.waiting).to_contain_text("Not sent yet")
    await reader.page.context.set_offline(False)
    await reader.reads("Glynn County")

    await expect(reader.waiting).to_have_count(0)
    await reader.page.reload()
    assert await reader.own.count() == 1
    reader.check(but="ERR_INTERNET_DISCONNECTED")


async def test_an_answer_that_got_lost_on_the_way_is_asked_for_again(reader: Reader, served: Served) -> None:
    """The service took the line, but its answer never came: the repeat under the same id brings the answer."""
    taken = asyncio.Event()

    async def lose_the_answer(route, request) -> None:  # type: ignore[no-untyped-def]
        if taken.is_set():
            await route.continue_()
            return
        await route.fetch()
        taken.set()
        await route.abort()

    await reader.page.route("**/say", lose_the_answer)
    await reader.say("31522")
    await reader.reads("When was the worst cold?")

    assert taken.is_set()
    assert await reader.own.filter(has_text="31522").count() == 1


async def test_pressing_twice_is_pressing_once(reader: Reader) -> None:
    """A nervous double click on a choice, and on a quick word."""
    await reader.say(*FIRST_WORDS)
    async with reader.answered():
        await reader.choices.get_by_role("button", name="no snow").dblclick()
    async with reader.answered():
        await reader.page.get_by_role("button", name="back", exact=True).dblclick()
    await reader.page.reload()

    assert await reader.own.filter(has_text="no snow").count() == 1
    assert await reader.told.filter(has_text="One step back.").count() == 1
    reader.check()


async def test_another_window_of_the_same_page_sees_what_is_said(reader: Reader) -> None:
    """News come by themselves, the choices move on, and what somebody is typing stays."""
    other = await reader.another_window()
    await other.page.fill("#words", "half a thou")
    await reader.say("31522")

    await other.reads("When was the worst cold?")
    await expect(other.choices).to_have_count(1)
    await expect(other.page.locator("#words")).to_have_value("half a thou")
    await expect(other.page.locator("#words")).to_be_focused()
    assert await reader.page.locator("#log").inner_text() == await other.page.locator("#log").inner_text()
    other.check()
    reader.check()


async def test_a_reader_further_up_is_not_carried_away(reader: Reader) -> None:
    """News while somebody reads old lines leave the page where it is, and a note leads to them."""
    await reader.to_the_first_answer()
    other = await reader.another_window()
    await reader.page.evaluate("scrollTo(0, 0)")
    await other.press("not sure")

    below = reader.page.locator("#below")
    await expect(below).to_be_visible()
    assert await reader.page.evaluate("scrollY") == 0
    await below.click()
    await expect(below).to_be_hidden()
    await expect(reader.told.last).to_be_in_viewport()


async def test_a_phone_can_share_where_it_is(browser: Browser, served: Served) -> None:
    """Only while the place is asked."""
    where = {"latitude": 31.1543, "longitude": -81.3889}
    reader = await Reader.opening(browser, served.url, geolocation=where, permissions=["geolocation"])
    await reader.page.get_by_role("button", name="Use the place where I am now").click()
    await reader.reads("Glynn County")

    await expect(reader.page.locator("form.place")).to_be_hidden()
    reader.check()


TOO_LARGE_A_FILE = """() => {
    const picked = new DataTransfer();
    picked.items.add(new File([new Uint8Array(20 * 1024 * 1024 + 1)], "lawn.jpg", {type: "image/jpeg"}));
    const picture = document.getElementById("picture");
    picture.files = picked.files;
    picture.dispatchEvent(new Event("change", {bubbles: true}));
}"""
"""Made in the page: to hand over so much from here takes ten seconds."""


async def test_a_photo_that_cannot_be_used_is_told_in_the_page(reader: Reader) -> None:
    """Too small, no picture at all, too large to send."""
    await reader.say("31522")
    await reader.photograph(encoded(scene((300, 200))))
    await reader.reads("too small to see the grass")
    await reader.photograph(b"just words")
    await reader.reads("I can't open that as a picture.")
    await reader.page.evaluate(TOO_LARGE_A_FILE)

    await expect(reader.page.locator("#notice")).to_contain_text("over 20 MB")
    reader.check()


async def test_erasing_everything_ends_on_a_plain_page_in_every_window(reader: Reader) -> None:
    """The window that asked, and another one that was open."""
    other = await reader.another_window()
    await reader.say("forget me")
    await reader.choices.get_by_role("button", name="yes, erase it all").click()

    for each in (reader, other):
        await each.page.wait_for_url("**/goodbye")
        await expect(each.page.get_by_text("Everything about you has been erased here.")).to_be_visible()
    assert await reader.page.context.cookies() == []
    reader.check()


async def test_the_private_link_opens_the_page_in_another_browser(reader: Reader, browser: Browser) -> None:
    """What was said is there, the address bar does not keep the key, and the talk goes on in both."""
    await reader.say("31522")
    link = await reader.page.locator("#link").get_attribute("href")
    assert link is not None and link.startswith(f"{reader.url}/back/")
    context = await browser.new_context(viewport=PHONE)  # type: ignore[arg-type]
    again = Reader(await context.new_page(), reader.url)
    await again.page.goto(link)

    await again.reads("When was the worst cold?")
    assert "/back/" not in again.page.url
    await again.say("Jan 16")
    await reader.reads("How cold did the air get")
    again.check()
    reader.check()
