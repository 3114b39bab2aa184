"""The same stories on the web page: its own forms, cookie and redirects, and a restart between two of them."""

from __future__ import annotations

from contextlib import AsyncExitStack
from datetime import timedelta
from pathlib import Path

import httpx
import pytest

from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.conversation import talk_knowing
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.ports import Rendered, Talk
from tests.fakes.house import House, open_house
from tests.stories.story import STORIES, Heard, Player, play
from tests.stories.test_stories import heard_of
from tests.talk.conversation import KNOWN, NOON_IN_JANUARY, WORDS
from tests.web.visitor import HOST, Visitor, plain


class OverTheWeb:
    """One person with a browser without scripts. What is said is listened to for its keys, and read in the page."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._now = NOON_IN_JANUARY
        self._stack = AsyncExitStack()
        self._cookies = httpx.Cookies()
        self._said: list[Say] = []
        self._house: House
        self._visitor: Visitor

    async def start(self) -> None:
        self._stack = AsyncExitStack()
        self._house = await self._stack.enter_async_context(open_house(self._folder, talk=self._talk(), at=self._now))
        app = web_app(self._house, WORDS, WebChannel())
        transport = httpx.ASGITransport(app=app)
        client = httpx.AsyncClient(transport=transport, base_url=HOST, cookies=self._cookies)
        self._visitor = Visitor(await self._stack.enter_async_context(client))

    async def stop(self) -> None:
        self._now = self._house.clock.now()
        self._cookies = self._visitor.client.cookies
        await self._stack.aclose()

    def _talk(self) -> Talk:
        real = talk_knowing(WORDS, KNOWN)

        def render(say: Say, homeowner: Homeowner, *, is_short: bool = False) -> Rendered:
            self._said.append(say)
            return real.render(say, homeowner, is_short=is_short)

        return Talk(reduce=real.reduce, wanted_reminders=real.wanted_reminders, zone_of=real.zone_of, render=render)

    async def kill(self) -> None:
        await self.stop()
        await self.start()
        await self._visitor.look()

    async def says(self, words: str) -> Heard:
        self._begin(timedelta(seconds=20))
        await self._visitor.say(words)
        return self._heard()

    async def presses(self, tokens: tuple[str, ...]) -> Heard:
        """By what stands beside the choices in the page."""
        label_of = {token: label for label, token in self._visitor.choices.items()}
        self._begin(timedelta(seconds=20))
        await self._visitor.press(*(label_of[token] for token in tokens))
        return self._heard()

    async def waits(self, time: timedelta) -> Heard:
        """Time passes, and the person looks again; who never came opens the page."""
        is_new = not await self._house.told(await self._address())
        self._begin(time)
        if not is_new:
            await self._house.service.reminders_due()
        await self._visitor.look()
        return self._heard()

    def _begin(self, passing: timedelta) -> None:
        self._house.clock.set(self._house.clock.now() + passing)
        self._said.clear()

    async def _address(self) -> str:
        rows = self._house.rows("SELECT address FROM contact WHERE channel = 'web'")
        return str(rows[0][0]) if rows else ""

    def _heard(self) -> Heard:
        """What was said, once the page in front of the person shows all of it."""
        shown = plain(self._visitor.seen)
        for say in self._said:
            for paragraph in WORDS.render(say, Homeowner()).text.split("\n"):
                assert plain(paragraph.removeprefix("• "))[:60] in shown, f"said, but not in the page: {paragraph}"
        return heard_of(list(self._said))


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
async def test_story_on_the_web_page(path: Path, tmp_path: Path) -> None:
    """The story holds word for word, everything said stands in the page, and a restart loses none of it."""
    page = OverTheWeb(tmp_path / "data")
    await page.start()
    try:
        await play(path, Player(page.says, page.presses, page.waits, page.kill))
    finally:
        await page.stop()
