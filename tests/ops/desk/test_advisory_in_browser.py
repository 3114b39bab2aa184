"""A freeze alert on its way to homeowners, at the desk of a running service: handed in, looked at, approved by a second
person, paused, through a power cut, sent in the morning; and the report adds up.
"""

from __future__ import annotations

import asyncio
import re
import sqlite3
from collections import Counter
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import pytest_asyncio
from playwright.async_api import Browser, Page, expect

from bot.clock import SetClock
from bot.conversation import real_talk
from bot.envelope import Envelope
from bot.ops.desk.staffing import Staffing
from bot.ops.roles import Role
from bot.service import Service
from bot.settings import Settings
from bot.store.beside import beside
from bot.store.store import DATABASE_FILE, Store
from bot.talk.incoming import Said
from tests.ops.alerts.made import Made
from tests.web.browser import PHONE, WAIT_MS
from tests.web.serving import Served

pytestmark = [pytest.mark.browser, pytest.mark.asyncio(loop_scope="session")]

EVENING = datetime(2027, 1, 16, 3, 0, tzinfo=UTC)  # 22 o'clock at the lawns, four hours before the freeze
MORNING = datetime(2027, 1, 16, 14, 5, tzinfo=UTC)  # just after 9 there
NEAR, FAR, QUIET = 24, 5, 3
"""Owners in the alert's counties, elsewhere, and in its counties but wanting nothing unasked."""
DESKTOP = {"width": 1280, "height": 900}


async def fill(folder: Path) -> dict[str, str]:
    """Owners who told where their lawn is and which grass it is, and two operators; their one-time links by name."""
    talk, clock = real_talk(Settings()), SetClock(EVENING - timedelta(days=1))
    async with Store.open(folder, talk.upgrade) as store:
        service = Service(store, talk, clock, committed=lambda: None)

        async def says(owner: str, *lines: str) -> None:
            for number, line in enumerate(lines):
                envelope = Envelope(
                    channel="web",
                    address=owner,
                    external_id=f"{owner}/{number}",
                    at=clock.now(),
                    incoming=Said(text=line),
                )
                await service.take_in(envelope)

        told = ("january 10", "20", "2 days", "no snow", "st augustine", "not sure")
        await asyncio.gather(
            *(says(f"near-{number}", "hello", "31522", *told) for number in range(NEAR)),
            *(says(f"far-{number}", "hello", "30301", *told) for number in range(FAR)),
            *(says(f"quiet-{number}", "hello", "31522", *told, "stop") for number in range(QUIET)),
        )
        await service.close()
        clock.set(EVENING)
        staffing = Staffing(store, clock)
        return {name: f"/desk/link/{await staffing.add(name, Role.APPROVER, None)}" for name in ("Ada", "Ben")}


@pytest_asyncio.fixture(loop_scope="session")
async def links(tmp_path: Path) -> dict[str, str]:
    return await fill(tmp_path / "data")


@pytest.fixture
def evening(tmp_path: Path, links: dict[str, str]):  # type: ignore[no-untyped-def]
    """The service, in the evening before the freeze."""
    service = Served(tmp_path)
    service.set_clock(EVENING)
    service.start()
    try:
        yield service
    finally:
        service.stop()


async def sits_down(browser: Browser, served: Served, link: str, viewport: dict[str, int]) -> Page:
    """Somebody signed in, with a browser of their own."""
    context = await browser.new_context(viewport=viewport)  # type: ignore[arg-type]
    page = await context.new_page()
    page.set_default_timeout(WAIT_MS)
    await page.goto(served.url + link)
    await page.get_by_role("button", name="Sign me in").click()
    return page


async def link_in_the_morning(folder: Path, name: str) -> str:
    """A new link from the command line: nobody is still signed in after a night."""
    async with beside(folder / "data") as store:
        staffing = Staffing(store, SetClock(MORNING))
        known = await staffing.named(name)
        return f"/desk/link/{await staffing.link(known.id, None)}"


def rows(folder: Path, statement: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(folder / "data" / DATABASE_FILE)) as connection:
        return connection.execute(statement).fetchall()


async def sum_of(page: Page) -> dict[str, int]:
    """The sum of the report, as it stands on the page."""
    told = await page.get_by_text(re.compile(r"\d+ = \d+ sent")).inner_text()
    numbers = [int(each) for each in re.findall(r"\d+", told)]
    return dict(zip(("selected", "sent", "waiting", "way", "left", "failed"), numbers, strict=True))


async def until(page: Page, words: str) -> None:
    """Look again until the page says so."""
    async with asyncio.timeout(30):
        while words not in await page.locator("#far").inner_text():
            await asyncio.sleep(0.3)
            await page.reload()


async def drafted_from_alert(page: Page, url: str) -> None:
    await page.goto(f"{url}/desk/alerts")
    alert = {"name": "freeze.xml", "mimeType": "application/xml", "buffer": Made().bytes()}
    await page.set_input_files("#file", alert)  # type: ignore[arg-type]
    await page.get_by_role("button", name="Read it").click()
    await expect(page.get_by_text("A draft was made.").first).to_be_visible()
    await page.get_by_role("link", name="Advisory 1").first.click()
    await page.get_by_role("link", name="See what it would do").click()


async def test_from_alert_to_report_through_a_power_cut(
    browser: Browser, evening: Served, links: dict[str, str], tmp_path: Path
) -> None:
    """Each owner in its counties who wants to hear gets it once, nobody else does, and the sum is right to the last."""
    ada = await sits_down(browser, evening, links["Ada"], DESKTOP)
    await drafted_from_alert(ada, evening.url)
    await expect(ada.get_by_text(f"{NEAR + QUIET}", exact=False).first).to_be_visible()
    await expect(ada.get_by_role("button", name=re.compile("Approve"))).to_have_count(0)

    ben = await sits_down(browser, evening, links["Ben"], PHONE)
    await ben.goto(f"{evening.url}/desk/advisories/1/preview")
    await ben.get_by_role("button", name=re.compile(f"Approve for {NEAR}")).click()
    await expect(ben.get_by_text("approved by Ben")).to_be_visible()
    assert rows(tmp_path, "SELECT count(*) FROM outbox WHERE urgency = 1") == [(0,)]
    evening.set_clock(EVENING + timedelta(minutes=2))
    await until(ben, "going out")
    async with asyncio.timeout(30):
        while (await sum_of(ben))["selected"] != NEAR + QUIET:
            await ben.reload()

    await ben.get_by_role("button", name="Pause").click()
    await expect(ben.locator("#far")).to_contain_text("paused")
    evening.kill()
    evening.set_clock(MORNING)
    await asyncio.to_thread(evening.start)
    await asyncio.sleep(3)  # time enough to send, if it did
    ben = await sits_down(browser, evening, await link_in_the_morning(tmp_path, "Ben"), PHONE)
    await ben.goto(f"{evening.url}/desk/advisories/1")
    assert (await sum_of(ben))["sent"] == 0
    await ben.get_by_role("button", name="Go on").click()
    await until(ben, "finished")

    told = await sum_of(ben)
    assert told == {"selected": NEAR + QUIET, "sent": NEAR, "waiting": 0, "way": 0, "left": QUIET, "failed": 0}
    sent = rows(
        tmp_path, "SELECT address FROM outbox WHERE urgency = 1 AND state = 1 AND body LIKE '%freeze%' ORDER BY address"
    )
    assert Counter(address for (address,) in sent) == Counter({f"near-{number}": 1 for number in range(NEAR)})
    done = [act for (act,) in rows(tmp_path, "SELECT act FROM audit ORDER BY id")]
    assert done.count("approved") == 1
    assert "Traceback" not in evening.log
    for page in (ada, ben):
        await page.context.close()
