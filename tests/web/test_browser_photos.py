"""Four weekly photos on a phone: kept, measured, compared, and what they say in the end."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from playwright.async_api import expect

from tests.fakes.turf import Look, Scene, lawn, packed, photographed
from tests.web.browser import Reader
from tests.web.serving import Served

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]

SPRING = datetime(2026, 4, 6, 16, 0, tzinfo=UTC)


def photo_of(percent: float, seed: int, *, paper: bool = False) -> bytes:
    """A photo of a lawn so green, as a phone sends it; with paper in it, in light as blue as that calls for."""
    scene = Scene(truth_percent=percent, blade_px=7, seed=seed, size=(960, 720), paper=paper)
    return packed(photographed(lawn(scene), Look(cast=-0.35 if paper else 0), seed=seed), 90)


async def test_four_weekly_photos_end_in_pair_chart_and_verdict(own_reader: Reader, own_served: Served) -> None:
    """Each is read within its truth, the second in blue light with paper in it; the last shows the first beside it, the
    chart, and that the lawn came back.
    """
    reader, served = own_reader, own_served
    await reader.reads("Where is the lawn?")
    await reader.to_the_first_answer()
    await reader.to_the_agreement()
    await reader.press("no, just the plan")  # a reminder that comes between would stand before the question about weeds
    for week, percent in enumerate((6, 20, 45, 86)):
        served.set_clock(SPRING + timedelta(weeks=week))
        has_paper = week == 1
        await reader.page.get_by_label("A sheet of white paper").set_checked(has_paper)
        await reader.photograph(photo_of(percent, seed=week + 1, paper=has_paper))
        assert not await reader.page.is_checked("#paper"), "the box is about one photo"
        await reader.press("no, it's all grass")
        told = await reader.told.filter(has_text="% of the lawn is green").last.inner_text()
        low, high = (int(each) for each in told.split("likely ")[1].split("%")[0].split(" to "))
        assert low <= percent <= high, f"week {week}: {percent} is not in {low} to {high}"
    last = reader.told.filter(has_text="% of the lawn is green").last
    await expect(last).to_contain_text("Most of it is green again. It came back.")
    await expect(last).to_contain_text("clearly more than the")
    pictures = last.locator(".photos img")
    await expect(pictures).to_have_count(2)
    chart = last.locator("img[src*='.png']")
    await expect(chart).to_have_count(1)
    for picture in (pictures.first, pictures.last, chart):
        await picture.scroll_into_view_if_needed()
        await expect(picture).to_have_js_property("complete", True)
        assert await picture.evaluate("picture => picture.naturalWidth") > 100
        assert await picture.get_attribute("alt")
    reader.check()
    assert "Traceback" not in served.log
