"""A real Chromium in front of the page, and what a person does with it."""

from __future__ import annotations

import os
import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import Any

from playwright.async_api import Browser, ConsoleMessage, Locator, Page, Request, async_playwright, expect

ARGUMENTS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
PHONE = {"width": 390, "height": 844}
WAIT_MS = 20_000
FIRST_WORDS = ("31522", "Jan 16", "17", "3")
SIGNS = ("blades straw-colored and crisp", "runners brown but firm")


def chromium() -> str:
    """Where the browser is. Raises `AssertionError` with what to install."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("google-chrome")
    if not found:
        raise AssertionError(
            "These tests drive a real Chromium and none was found. On Debian or Ubuntu: apt-get install chromium. "
            "Or name one in CHROMIUM."
        )
    return found


@asynccontextmanager
async def a_browser() -> AsyncIterator[Browser]:
    """A running browser, closed at the end of the block."""
    path = chromium()
    async with async_playwright() as playwright:
        browser = await playwright.chromium.launch(executable_path=path, args=list(ARGUMENTS))
        try:
            yield browser
        finally:
            await browser.close()


class Reader:
    """Somebody who reads the page in a browser. Notes whatever the browser complains about, and who it talks to."""

    def __init__(self, page: Page, url: str) -> None:
        self.page = page
        self.url = url
        self.complaints: list[str] = []
        self.elsewhere: list[str] = []
        page.set_default_timeout(WAIT_MS)
        page.on("console", self._note_console)
        page.on("pageerror", lambda error: self.complaints.append(str(error)))
        page.on("request", self._note_request)

    @classmethod
    async def opening(cls, browser: Browser, url: str, **how: Any) -> Reader:
        """A browser of their own, with the page open."""
        context = await browser.new_context(**({"viewport": PHONE} | how))
        reader = cls(await context.new_page(), url)
        await reader.page.goto(url)
        return reader

    async def another_window(self) -> Reader:
        """A second window of the same browser, with the page open."""
        other = Reader(await self.page.context.new_page(), self.url)
        await other.page.goto(self.url)
        return other

    @property
    def told(self) -> Locator:
        """Everything the page says, message by message."""
        return self.page.locator("#log .told")

    @property
    def own(self) -> Locator:
        """Everything the homeowner did, line by line."""
        return self.page.locator("#log .own")

    @property
    def waiting(self) -> Locator:
        """The line that is on its way."""
        return self.page.locator("#log .own.waiting")

    @property
    def choices(self) -> Locator:
        """The form that can be pressed now."""
        return self.page.locator("#log form.choices")

    async def reads(self, words: str) -> None:
        """Wait until some message says these words."""
        await expect(self.told.filter(has_text=words).last).to_be_visible(timeout=WAIT_MS)

    async def type(self, words: str) -> None:
        """Type and send, without waiting for an answer."""
        await self.page.fill("#words", words)
        await self.page.click(".say button")

    async def say(self, *said: str) -> None:
        """Type and send, and wait for the answer; one after the other."""
        for words in said:
            async with self.answered():
                await self.type(words)

    async def press(self, label: str) -> None:
        """Press one of the choices, and wait for the answer."""
        async with self.answered():
            await self.choices.get_by_role("button", name=label, exact=True).click()

    async def tick(self, *labels: str) -> None:
        """Tick several and send, and wait for the answer."""
        for label in labels:
            await self.choices.get_by_label(label, exact=True).check()
        async with self.answered():
            await self.choices.locator("button.press").click()

    async def photograph(self, content: bytes) -> None:
        """Choose a photo, and wait for the answer."""
        async with self.answered():
            await self.page.set_input_files("#picture", photo_file(content))

    async def to_the_first_answer(self) -> None:
        """Answer the first questions."""
        await self.say(*FIRST_WORDS)
        await self.press("no snow")
        await self.press("St. Augustine")
        await self.tick(*SIGNS)

    async def to_the_agreement(self) -> None:
        """Answer whatever is asked until the plan stands and reminders are offered."""
        for _ in range(20):
            asked = await self.page.locator("#log .asks").last.inner_text()
            if "keep track" in asked:
                return
            if "different from the rest" in asked:
                await self.press("all alike")
            elif "Pick all that fit" in asked:
                await self.tick("none of these")
            elif "How high" in asked:
                await self.say("3")
            elif "one notch" in asked:
                await self.press("½ in")
            elif "How big" in asked:
                await self.say("40 by 30")
            elif "bag of fertilizer" in asked:
                await self.press("skip")
            else:
                await self.press("yes" if "right?" in asked else "not sure")
        raise AssertionError(f"the plan never came; the last question was {asked!r}")

    def check(self, *, but: str = "nothing at all") -> None:
        """The browser had nothing to complain about (`but`: what the test did to it) and talked to nobody else."""
        complaints = [text for text in self.complaints if but not in text]
        assert not complaints, complaints
        assert not self.elsewhere, self.elsewhere

    @asynccontextmanager
    async def answered(self) -> AsyncIterator[None]:
        """Wait at the end of the block until there is one more message and nothing is on its way."""
        before = await self.told.count()
        yield
        await expect(self.told.nth(before)).to_be_visible(timeout=WAIT_MS)
        await expect(self.page.locator("body.sending")).to_have_count(0)

    def _note_console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self.complaints.append(message.text)

    def _note_request(self, request: Request) -> None:
        if not request.url.startswith(self.url):
            self.elsewhere.append(request.url)


def photo_file(content: bytes) -> Any:
    """A file as a phone's picker hands it to the page."""
    return {"name": "lawn.jpg", "mimeType": "image/jpeg", "buffer": content}
