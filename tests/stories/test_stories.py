"""Every story, at the pure conversation and at the real service with a real SQLite file and real restarts."""

from __future__ import annotations

import uuid
from contextlib import AsyncExitStack
from datetime import timedelta
from pathlib import Path

import pytest

from bot.clock import SetClock
from bot.conversation import talk_knowing
from bot.courier import Courier
from bot.envelope import Envelope
from bot.service import Service
from bot.store import outbox
from bot.store.store import Store
from bot.talk.effects import Say
from bot.talk.incoming import Arrived, Chose, Incoming, Said
from bot.talk.ports import Rendered, Talk
from tests.stories.story import STORIES, Heard, Player, play
from tests.talk.conversation import KNOWN, NOON_IN_JANUARY, WORDS, Conversation, keys_in


def heard_of(says: list[Say]) -> Heard:
    keys = {key for say in says for part in say.parts for key in keys_in(part)}
    asked = [part.key for say in says for part in say.parts if part.key.startswith("ask-")]
    question = asked[-1].removeprefix("ask-").removesuffix("-spot") if asked else ""
    buttons = {WORDS.text(choice.label): choice.token for choice in says[-1].choices} if says else {}
    return Heard(keys, question, buttons)


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
async def test_story_at_the_pure_conversation(path: Path) -> None:
    """The story holds where nothing but the reducer runs."""
    talk = Conversation()

    async def say(words: str) -> Heard:
        return heard_of(talk.say(words))

    async def press(tokens: tuple[str, ...]) -> Heard:
        return heard_of(talk.take(Chose(tokens=tokens)))

    async def wait(time: timedelta) -> Heard:
        if talk.homeowner is None:
            return heard_of(talk.arrive())
        return heard_of(talk.pass_days(time.total_seconds() / 86_400))

    async def kill() -> None:
        return None

    await play(path, Player(say, press, wait, kill))


class House:
    """The real service, store and courier on a file, with a clock that is set, and a channel that notes what it got."""

    name = "story"

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.clock = SetClock(NOON_IN_JANUARY)
        self._said: list[Say] = []
        self._got: list[int] = []
        self._sent: list[int] = []
        self._stack = AsyncExitStack()

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        self._sent.append(outbox_id)

    async def start(self) -> None:
        self._store = await self._stack.enter_async_context(Store.open(self._folder))
        self._courier = Courier(self._store, [self], self.clock)
        self._service = Service(self._store, self._talk(), self.clock, committed=self._courier.wake)
        self._courier.start()

    async def stop(self) -> None:
        await self._service.close()
        await self._courier.drain(2)
        await self._stack.aclose()
        self._stack = AsyncExitStack()

    def _talk(self) -> Talk:
        """The real conversation, listened in on for the keys behind the words."""
        real = talk_knowing(WORDS, KNOWN)

        def render(say: Say, homeowner, *, is_short: bool = False) -> Rendered:  # type: ignore[no-untyped-def]
            self._said.append(say)
            return real.render(say, homeowner, is_short=is_short)

        return Talk(reduce=real.reduce, wanted_reminders=real.wanted_reminders, zone_of=real.zone_of, render=render)

    async def hand_in(self, incoming: Incoming) -> Heard:
        self.clock.set(self.clock.now() + timedelta(seconds=20))
        self._said.clear()
        at = self.clock.now()
        await self._service.take_in(
            Envelope(channel="story", address="one", external_id=str(uuid.uuid4()), at=at, incoming=incoming)
        )
        return await self._settled()

    async def wait(self, time: timedelta) -> Heard:
        if await self._store.find_homeowner("story", "one") is None:
            return await self.hand_in(Arrived())
        self.clock.set(self.clock.now() + time)
        self._said.clear()
        await self._service.reminders_due()
        return await self._settled()

    async def _settled(self) -> Heard:
        import asyncio

        self._courier.wake()
        for _ in range(2000):
            async with self._store.database.read() as tx:
                if not await outbox.waiting(tx):
                    assert len(self._sent) == len(set(self._sent)), "something was sent twice"
                    return heard_of(list(self._said))
            await asyncio.sleep(0.002)
        raise AssertionError("the courier did not send everything")


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
async def test_story_at_the_real_service(path: Path, tmp_path: Path) -> None:
    """The story holds with a real store, and every restart goes on where it stood."""
    house = House(tmp_path / "data")
    await house.start()

    async def kill() -> None:
        await house.stop()
        await house.start()

    try:
        await play(
            path,
            Player(
                lambda words: house.hand_in(Said(text=words)),
                lambda tokens: house.hand_in(Chose(tokens=tokens)),
                house.wait,
                kill,
            ),
        )
    finally:
        await house.stop()
