"""The same stories over the networks: Telegram's real client and an SMS gateway, each with a far side of our own."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from datetime import timedelta
from pathlib import Path

import httpx
import pytest
from sqlalchemy import func, select
from starlette.applications import Starlette
from starlette.routing import Route

from bot.arrivals import Consent, Inlet
from bot.channels.channel import Channel
from bot.channels.sms.channel import SmsChannel
from bot.channels.sms.gateway import Addresses, HttpGateway, JsonGateway, callbacks
from bot.channels.sms.inlet import PictureRules, Pictures, SmsInlet
from bot.channels.sms.segments import segments_of
from bot.channels.sms.signing import StandardWebhooks
from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import TelegramClient
from bot.channels.telegram.inlet import TelegramInlet
from bot.channels.telegram.polling import poll
from bot.charts.desk import ChartDesk
from bot.clock import SetClock
from bot.conversation import talk_knowing
from bot.courier import Courier
from bot.intake import Intake
from bot.photos.intake import PhotoIntake
from bot.service import Service
from bot.store import arrivals, outbox, reaches, schema
from bot.store.store import Store
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import Verbatim, text
from bot.talk.ports import Rendered, Talk
from bot.terms import Terms
from bot.turns import SHORT_CHANNELS
from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.fakes.sms_gateway import KEY, SECRET, SmsGateway, serving
from tests.stories.story import STORIES, Heard, Player, play
from tests.stories.test_stories import heard_of
from tests.talk.conversation import KNOWN, NOON_IN_JANUARY, WORDS

CHAT = 77
NUMBER = "+12025550143"


class Network:
    """A house that reaches one person over one network, and can be killed and started again."""

    name = ""
    address = ""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.clock = SetClock(NOON_IN_JANUARY)
        self.said: list[Say] = []
        self.far = AsyncExitStack()
        self.house = AsyncExitStack()
        self.intake: Intake
        self.store: Store

    async def open_far_side(self) -> None:
        """What outlives a restart of ours."""
        raise NotImplementedError

    async def parts(self, store: Store) -> tuple[Channel, Inlet]:
        """Our side of the network."""
        raise NotImplementedError

    async def begin(self) -> None:
        """What must happen once our side runs."""

    async def type(self, words: str) -> None:
        """The person types."""
        raise NotImplementedError

    async def press(self, tokens: tuple[str, ...]) -> None:
        """The person picks choices of the last message."""
        raise NotImplementedError

    async def start(self) -> None:
        self.house = AsyncExitStack()
        self.store = store = await self.house.enter_async_context(Store.open(self.folder))
        channel, inlet = await self.parts(store)
        terms = {self.name: Terms(in_flight=2, needs_consent=self.name == "sms")}
        self.courier = Courier(store, [channel], self.clock, terms=terms)
        self.service = Service(store, self.talk(), self.clock, committed=self.courier.wake)
        self.intake = Intake(store, self.service, [inlet], self.clock, speak=self.speak, committed=self.courier.wake)
        self.courier.start()
        self.intake.start()
        await self.begin()

    async def stop(self) -> None:
        await self.intake.stop(2)
        await self.service.close()
        await self.courier.drain(2)
        await self.house.aclose()

    def talk(self) -> Talk:
        """The real conversation, listened in on for the keys behind the words."""
        real = talk_knowing(WORDS, KNOWN)

        def render(say: Say, homeowner: Homeowner, *, is_short: bool = False) -> Rendered:
            self.said.append(say)
            return real.render(say, homeowner, is_short=is_short)

        return Talk(reduce=real.reduce, wanted_reminders=real.wanted_reminders, zone_of=real.zone_of, render=render)

    def speak(self, channel: str, key: str) -> Rendered:
        say = Say(parts=(text(key, contact=Verbatim("the office")),))
        return WORDS.render(say, Homeowner(), is_short=channel in SHORT_CHANNELS)

    # --- what a story does -------------------------------------------------------------------------------------------

    async def hears(self, words: str) -> Heard:
        self.clock.set(self.clock.now() + timedelta(seconds=20))
        self.said.clear()
        await self.type(words)
        return await self.settled()

    async def presses(self, tokens: tuple[str, ...]) -> Heard:
        self.clock.set(self.clock.now() + timedelta(seconds=20))
        last = self.said[-1]
        self.said.clear()
        self.last = last
        await self.press(tokens)
        return await self.settled()

    async def waits(self, time: timedelta) -> Heard:
        if await self.store.find_homeowner(self.name, self.address) is None:
            return await self.arrives()
        self.clock.set(self.clock.now() + time)
        self.said.clear()
        await self.service.reminders_due()
        return await self.settled(is_quiet_allowed=True)

    async def arrives(self) -> Heard:
        """The person opens the chat."""
        raise NotImplementedError

    async def settled(self, *, is_quiet_allowed: bool = False) -> Heard:
        """Wait until what came in was read and everything said is with the far side."""
        async with asyncio.timeout(20):
            while not self.said and not is_quiet_allowed:  # noqa: ASYNC110 - the conversation tells nobody
                await asyncio.sleep(0.002)
            while await self._is_busy():
                self.courier.wake()
                await asyncio.sleep(0.005)
        return heard_of(list(self.said))

    async def _is_busy(self) -> bool:
        async with self.store.database.read() as tx:
            return bool(await outbox.waiting(tx)) or bool(await arrivals.waiting(tx, 0, 1))


class OverTelegram(Network):
    """The real client against a Bot API here."""

    name, address = "telegram", str(CHAT)

    async def open_far_side(self) -> None:
        self.api = await self.far.enter_async_context(running(BotApi(now=self.clock.now)))

    async def parts(self, store: Store) -> tuple[Channel, Inlet]:
        self.client = await self.house.enter_async_context(TelegramClient(TOKEN, server=self.api.url))
        channel = TelegramChannel(self.client, WORDS, ChartDesk(WORDS), store.files)
        return channel, TelegramInlet(self.client, PhotoIntake(), store.files, self.clock)

    async def begin(self) -> None:
        self.polling = asyncio.create_task(poll(self.client, self.intake, self.clock, wait_seconds=20))

    async def stop(self) -> None:
        self.polling.cancel()
        await asyncio.wait([self.polling])
        await super().stop()

    async def arrives(self) -> Heard:
        return await self.hears("/start")

    async def type(self, words: str) -> None:
        self.api.people.says(CHAT, words)

    async def press(self, tokens: tuple[str, ...]) -> None:
        if not self.last.several:
            self.api.people.presses_button(CHAT, tokens[0])
            return
        known = [choice.token for choice in self.last.choices]
        self.api.people.says(CHAT, ", ".join(str(known.index(token) + 1) for token in tokens))


class OverSms(Network):
    """A gateway here, asked and calling back over HTTP with real signatures."""

    name, address = "sms", NUMBER

    async def open_far_side(self) -> None:
        self.gateway = SmsGateway(now=self.clock.now)
        self.gateway.url = await self.far.enter_async_context(serving(self.gateway.app()))
        self.phone = await self.far.enter_async_context(httpx.AsyncClient())

    async def parts(self, store: Store) -> tuple[Channel, Inlet]:
        self.strategy = JsonGateway(key=KEY, signing=StandardWebhooks([SECRET]))
        addresses = Addresses(url=f"{self.gateway.url}/send", sender="+12025550100", callback="http://here/in/sms")
        transport = await self.house.enter_async_context(HttpGateway(addresses, self.strategy, self.clock))
        pictures = await self.house.enter_async_context(Pictures(PictureRules(hosts=frozenset())))
        hint = WORDS.text(text("sms-more-hint"))
        return SmsChannel(transport, hint, WORDS.text(text("sms-nothing-more"))), SmsInlet(
            pictures, PhotoIntake(), store.files, self.clock
        )

    async def begin(self) -> None:
        handler = callbacks(self.strategy, self.intake, self.clock)
        app = Starlette(routes=[Route("/in/sms", handler, methods=["POST"])])
        self.called = await self.house.enter_async_context(serving(app))

    async def arrives(self) -> Heard:
        return await self.hears("hello")

    async def hears(self, words: str) -> Heard:
        if not self.gateway.taken:  # the story is everything after the yes that a phone number has to give first
            await self._says(words)
            await self._until_asked()
            self.said.clear()
            await self._says("YES")
            return await self.settled()
        return await super().hears(words)

    async def type(self, words: str) -> None:
        await self._says(words)

    async def press(self, tokens: tuple[str, ...]) -> None:
        known = [choice.token for choice in self.last.choices]
        if self.last.numbered:
            await self._says(", ".join(str(known.index(token) + 1) for token in tokens))
        else:
            label = self.last.choices[known.index(tokens[0])].label
            await self._says(WORDS.text(label, is_short=True))

    async def _says(self, words: str) -> None:
        self.clock.set(self.clock.now() + timedelta(seconds=1))
        event = self.gateway.text_in(words, from_=NUMBER)
        assert await self.gateway.call(self.phone, f"{self.called}/in/sms", event) == 200

    async def _until_asked(self) -> None:
        async with asyncio.timeout(10):
            while not self.gateway.taken:  # noqa: ASYNC110 - the gateway tells nobody
                await asyncio.sleep(0.002)


@pytest.mark.parametrize("path", STORIES, ids=lambda path: path.stem)
@pytest.mark.parametrize("network", [OverTelegram, OverSms])
async def test_story_over_a_network(path: Path, network: type[Network], tmp_path: Path) -> None:
    """The story holds word for word, and every restart goes on where it stood."""
    line = network(tmp_path / "data")
    await line.open_far_side()
    await line.start()

    async def kill() -> None:
        await line.stop()
        await line.start()

    try:
        await play(path, Player(line.hears, line.presses, line.waits, kill))
        if isinstance(line, OverSms):
            assert max(segments_of(each) for each in line.gateway.texts()) <= 3
    finally:
        await line.stop()
        await line.far.aclose()


@pytest.fixture
async def phone(tmp_path: Path) -> AsyncIterator[OverSms]:
    line = OverSms(tmp_path / "data")
    await line.open_far_side()
    await line.start()
    yield line
    await line.stop()
    await line.far.aclose()


async def _until(is_so: Callable[[], object]) -> None:
    async with asyncio.timeout(10):
        while not is_so():  # noqa: ASYNC110 - the gateway tells nobody
            await asyncio.sleep(0.002)


async def test_nobody_is_talked_to_before_they_agree_and_their_first_words_count(phone: OverSms) -> None:
    """One question; after YES the welcome, then the answer to what they began with."""
    await phone._says("my lawn is brown, 31545")
    await phone._says("hello?")
    await _until(lambda: phone.gateway.texts())
    await asyncio.sleep(0.1)
    assert len(phone.gateway.texts()) == 1
    assert "reply YES" in phone.gateway.texts()[0]

    await phone._says("yes")
    await phone.settled()
    await _until(lambda: len(phone.gateway.texts()) >= 4)
    assert "Welcome to Afterfrost" in phone.gateway.texts()[1]
    assert "31545" not in phone.gateway.texts()[1]


async def test_stop_is_confirmed_once_and_nothing_comes_after_it(phone: OverSms) -> None:
    """STOP works in the middle of a question, is on record with its words, and START opens again."""
    await phone.hears("hello")
    before = len(phone.gateway.texts())
    await phone._says("Stop. Thank you")
    await _until(lambda: len(phone.gateway.texts()) > before)
    await phone._says("STOP")
    await phone._says("zoysia")
    await asyncio.sleep(0.2)
    after = phone.gateway.texts()[before:]
    assert len(after) == 1
    assert "stopped" in after[0]
    async with phone.store.database.read() as tx:
        record = await reaches.record_of(tx, "sms", NUMBER)
    assert [entry.consent.name for entry in record[:3]] == ["ASKED", "GIVEN", "WITHDRAWN"]
    assert record[2].said == "Stop. Thank you"

    await phone._says("start")
    await _until(lambda: any("Welcome back" in each for each in phone.gateway.texts()))


async def test_a_doubtful_stop_that_was_meant_takes_the_consent_with_it(phone: OverSms) -> None:
    """Asked once by the conversation; the yes to that is on record like a keyword."""
    await phone.hears("hello")
    await phone.hears("we have got to stop these texts, they cost me a fortune every month you know")
    await phone.hears("yes")
    await _until(lambda: phone.said)
    async with phone.store.database.read() as tx:
        assert (await reaches.of(tx, "sms", NUMBER)).consent is Consent.WITHDRAWN


async def test_data_by_text_is_a_way_to_get_it_elsewhere(phone: OverSms) -> None:
    """A file does not fit in a text: the way is told, and nothing is parked that nobody could send."""
    await phone.hears("31522")
    await phone.hears("data")
    assert any("Send MOVE for a code" in each for each in phone.gateway.texts())
    async with phone.store.database.read() as tx:
        parked = select(func.count()).select_from(schema.outbox).where(schema.outbox.c.state == schema.PARKED)
        assert (await tx.execute(parked)).scalar() == 0
    await phone.hears("move")
    assert "In the other chat, send me: MOVE" in phone.gateway.texts()[-1]
