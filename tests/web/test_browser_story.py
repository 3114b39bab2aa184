"""Whole stories in a real browser, in front of the service as its own process."""

from __future__ import annotations

import asyncio
from datetime import date, datetime, time
from zoneinfo import ZoneInfo

import icalendar
import pytest
from playwright.async_api import Browser, expect

from tests.photos.pictures import encoded, scene, with_traces
from tests.web.browser import FIRST_WORDS, SIGNS, Reader, photo_file
from tests.web.serving import Served

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]

LAWN = ZoneInfo("America/New_York")


async def due_days(reader: Reader) -> list[date]:
    """The days of the open tasks, as the calendar file has them."""
    answer = await reader.page.request.get(f"{reader.url}/plan.ics")
    calendar = icalendar.Calendar.from_ical(await answer.body())
    return sorted(event.start for event in calendar.events)


async def test_a_whole_story_on_a_phone(own_reader: Reader, own_served: Served) -> None:
    """From the greeting to the first reminder, through a photo, a change of mind and a power cut, without a reload."""
    reader, served = own_reader, own_served
    await reader.reads("Where is the lawn?")
    await reader.to_the_first_answer()
    await reader.reads("What I think happened to the lawn (St. Augustine)")
    await reader.to_the_agreement()
    await reader.press("yes, remind me")
    await reader.reads("I'll keep track.")
    await send_a_photo(reader)
    await change_the_cold(reader)
    await survive_a_power_cut(reader, served)
    await answer_a_reminder(reader, served)

    reader.check(but="net::ERR_")
    assert "Traceback" not in served.log


async def send_a_photo(reader: Reader) -> None:
    """It is kept, and really shown."""
    await reader.photograph(with_traces())
    await reader.reads("I've kept it to look back on, but I can't measure it.")
    picture = reader.page.locator("#log .own img").last
    await picture.scroll_into_view_if_needed()
    await expect(picture).to_have_js_property("complete", True)
    assert await picture.evaluate("picture => picture.naturalWidth") == 900


async def change_the_cold(reader: Reader) -> None:
    """An earlier answer is changed, and what that does is told."""
    await reader.say("change")
    async with reader.answered():  # it was asked before, so its words alone do not show that it is asked now
        await reader.choices.get_by_role("button", name="Lowest air temperature").click()
    await reader.reads("How cold did the air get")
    await reader.say("12")
    await reader.reads("Now I'd say")


async def survive_a_power_cut(reader: Reader, served: Served) -> None:
    """What is written while the service is away waits, and is taken once when it is back. Nobody reloads."""
    lines = await reader.page.locator("#log").inner_text()
    served.kill()
    await reader.type("plan")
    await expect(reader.waiting).to_contain_text("Not sent yet")
    await asyncio.to_thread(served.start)
    await reader.reads("Then, one thing at a time:")
    await expect(reader.waiting).to_have_count(0)

    assert await reader.own.filter(has_text="plan").count() == 1
    assert (await reader.page.locator("#log").inner_text()).startswith(lines[: len(lines) // 2])


async def answer_a_reminder(reader: Reader, served: Served) -> None:
    """The first task's day comes; the reminder shows by itself, is put off, and its buttons have done their work."""
    before = await reader.told.count()
    first = next(day for day in await due_days(reader) if day > date(2026, 1, 20))
    served.set_clock(datetime.combine(first, time(9, 30), tzinfo=LAWN))
    await expect(reader.told.nth(before)).to_be_visible()
    await expect(reader.told.nth(before).get_by_role("button", name="later")).to_be_visible()
    await reader.press("later")
    await reader.reads("When would be better?")
    await reader.press("tomorrow")
    await reader.reads("Moved:")

    await expect(reader.choices).to_have_count(0)
    assert first not in await due_days(reader)


async def tab_to(reader: Reader, selector: str) -> None:
    """Press Tab until something has the focus."""
    for _ in range(60):
        await reader.page.keyboard.press("Tab")
        if await reader.page.locator(":focus").evaluate("(element, what) => element.matches(what)", selector):
            return
    raise AssertionError(f"Tab never came to {selector}")


async def test_a_keyboard_is_enough(browser: Browser, served: Served) -> None:
    """Tab, Space and Enter lead to the first answer. Focus is never lost, and a typed number is just typed."""
    reader = await Reader.opening(browser, served.url, viewport={"width": 1200, "height": 900})
    keys = reader.page.keyboard
    await keys.press("Tab")
    await expect(reader.page.locator(".skip")).to_be_focused()
    await expect(reader.page.locator(".skip")).to_be_in_viewport()
    await keys.press("Enter")
    await keys.press("Tab")
    for words in FIRST_WORDS:
        await expect(reader.page.locator("#words")).to_be_focused()
        async with reader.answered():
            await keys.type(words)
            await expect(reader.page.locator("#words")).to_have_value(words)
            await keys.press("Enter")
    await reader.told.last.focus()
    await keys.press("Tab")
    await expect(reader.choices.get_by_role("button", name="no snow")).to_be_focused()
    assert await reader.page.locator(":focus").evaluate("each => getComputedStyle(each).outlineStyle") == "solid"
    for key in ("Enter", "Space"):
        async with reader.answered():
            await keys.press(key)
        await expect(reader.told.last).to_be_focused()
        await keys.press("Tab")
    await keys.press("Space")
    await expect(reader.choices.locator(":checked")).to_have_count(1)
    await tab_to(reader, "form.choices button.press")
    await keys.press("Enter")
    await reader.reads("What I think happened")
    reader.check()


async def test_everything_works_without_scripts(browser: Browser, served: Served) -> None:
    """Typing, pressing, ticking, a photo, the quick words: plain forms and plain pages."""
    reader = await Reader.opening(browser, served.url, java_script_enabled=False)
    page = reader.page
    await expect(page.locator("form.place")).to_be_hidden()
    for words in FIRST_WORDS:
        await reader.type(words)
    await page.get_by_role("button", name="no snow").click()
    await page.get_by_role("button", name="back", exact=True).click()
    await reader.reads("One step back.")
    await page.get_by_role("button", name="no snow").click()
    await page.get_by_role("button", name="St. Augustine").click()
    await page.locator("form.choices button.press").click()
    await expect(page.locator("#notice")).to_contain_text("Tick at least one line first.")
    for label in SIGNS:
        await page.get_by_label(label).check()
    await page.locator("form.choices button.press").click()
    await reader.reads("What I think happened to the lawn (St. Augustine)")
    await page.set_input_files("#picture", photo_file(encoded(scene((900, 700)))))
    await page.click(".photo button")
    await reader.reads("I've kept it to look back on, but I can't measure it.")
    await expect(page.locator("#log .own img")).to_be_visible()
    await page.reload()  # asks for the page again, not for the form
    assert await page.locator("#log .own img").count() == 1
    reader.check()
