"""Plays the invented season: owners answer from their fate, the clock jumps from one due instant to the next."""

from __future__ import annotations

import asyncio
import tempfile
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from bot.clock import SetClock
from bot.conversation import RegionalFacts, known_of, talk_knowing
from bot.courier import Courier
from bot.envelope import Envelope
from bot.rehearsal.scenario import PLACES, SEASON_ENDS_ON, WEATHER_FILES, ZONE, Owner
from bot.service import Service
from bot.store import outbox, reminders
from bot.store.store import Store
from bot.talk.case import Homeowner, Place
from bot.talk.followup import wanted_reminders, zone_of
from bot.talk.incoming import Arrived, Said
from bot.talk.ports import Rendered, Talk
from bot.weather.book import WeatherBook, book_of
from bot.weather.shelf import kept_of
from bot.words import Words

CHANNEL = "rehearsal"
_TURN = timedelta(seconds=25)
_MOST_TURNS = 60
_LOOK_AGAIN_SECONDS = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of the season: who, when, said or told."""

    owner: str
    at: datetime
    is_owner: bool
    text: str
    choices: tuple[str, ...] = ()


@dataclass(slots=True)
class _Cast:
    """One owner while the season is played: what is left to do, and what was last said to them."""

    owner: Owner
    heard: list[Rendered] = field(default_factory=list)
    deeds_done: Counter[str] = field(default_factory=Counter)


class _Stage:
    """The channel of the rehearsal: hands every message to its owner and to whoever watches."""

    name = CHANNEL

    def __init__(self, cast: dict[str, _Cast], clock: SetClock, watch: Callable[[Line], None]) -> None:
        self._cast = cast
        self._clock = clock
        self._watch = watch

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        self._cast[address].heard.append(rendered)
        labels = tuple(choice.label for choice in rendered.choices)
        self._watch(Line(owner=address, at=self._clock.now(), is_owner=False, text=rendered.text, choices=labels))


def invented_places(text: str) -> tuple[Place, ...]:
    """The gazetteer of the Tarrow coast."""
    place = PLACES.get(text.strip().lower())
    return (place,) if place else ()


def invented_weather() -> WeatherBook:
    """The thermometers of the Tarrow coast, and what the ground beside them did."""
    return book_of([kept_of(Path(__file__).parent / "weather" / name) for name in WEATHER_FILES])


def invented_talk() -> Talk:
    """The real conversation on the invented coast, with its invented weather."""
    words = Words()
    known = known_of(
        words,
        RegionalFacts(),
        find_places=invented_places,
        place_at=lambda latitude, longitude: None,
        weather=invented_weather(),
    )
    return talk_knowing(words, known)


async def play_season(owners: tuple[Owner, ...], watch: Callable[[Line], None]) -> dict[str, Homeowner]:
    """Play the season for some owners. Returns how each of them ended."""
    clock = SetClock(min(owner.starts_at for owner in owners).astimezone(UTC))
    cast = {owner.name: _Cast(owner) for owner in owners}
    with tempfile.TemporaryDirectory(prefix="afterfrost-rehearsal-") as folder:
        async with Store.open(Path(folder)) as store:
            courier = Courier(store, [_Stage(cast, clock, watch)], clock)
            service = Service(store, invented_talk(), clock, committed=courier.wake)
            courier.start()
            season = _Season(store, service, courier, clock, cast, watch)
            await season.run()
            ends = {name: await season.homeowner(name) for name in cast}
            await service.close()
            await courier.drain(1)
    return {name: homeowner for name, homeowner in ends.items() if homeowner is not None}


class _Season:
    def __init__(
        self,
        store: Store,
        service: Service,
        courier: Courier,
        clock: SetClock,
        cast: dict[str, _Cast],
        watch: Callable[[Line], None],
    ) -> None:
        self._store, self._service, self._courier = store, service, courier
        self._clock, self._cast, self._watch = clock, cast, watch
        self._happenings = sorted(self._planned_happenings(), key=lambda each: each[0])

    def _planned_happenings(self) -> Iterator[tuple[datetime, str, str]]:
        for name, cast in self._cast.items():
            yield cast.owner.starts_at.astimezone(UTC), name, ""
            for at, words in cast.owner.says:
                yield at.astimezone(UTC), name, words

    async def run(self) -> None:
        """Jump from one instant at which something happens to the next, until the season ends."""
        while (at := await self._next_instant()) is not None:
            self._clock.set(max(at, self._clock.now()))
            while self._happenings and self._happenings[0][0] <= self._clock.now():
                _, name, words = self._happenings.pop(0)
                await self._speak(name, words)
            await self._service.reminders_due()
            await self._settle()
            for name in self._cast:
                await self._answer_all(name)

    async def _next_instant(self) -> datetime | None:
        instants = [self._happenings[0][0]] if self._happenings else []
        for name in self._cast:
            homeowner = await self.homeowner(name)
            if homeowner is not None:
                zone = zone_of(homeowner)
                instants.extend(
                    datetime.fromtimestamp(reminders.due_ms(wanted, zone) / 1000, tz=UTC)
                    for wanted in wanted_reminders(homeowner)
                )
        following = min(instants, default=None)
        ends_at = datetime.combine(SEASON_ENDS_ON, datetime.min.time(), tzinfo=ZoneInfo(ZONE))
        return following if following is not None and following < ends_at else None

    async def homeowner(self, name: str) -> Homeowner | None:
        """An owner's stored state."""
        found = await self._store.find_homeowner(CHANNEL, name)
        return await self._store.homeowner(found) if found is not None else None

    async def _speak(self, name: str, words: str) -> None:
        self._clock.set(self._clock.now() + _TURN)
        if words:
            self._watch(Line(owner=name, at=self._clock.now(), is_owner=True, text=words))
        await self._service.take_in(
            Envelope(
                channel=CHANNEL,
                address=name,
                external_id=str(uuid.uuid4()),
                at=self._clock.now(),
                incoming=Said(text=words) if words else Arrived(),
            )
        )
        await self._settle()
        await self._answer_all(name)

    async def _answer_all(self, name: str) -> None:
        """Let the owner answer as long as they are asked something they have an answer to."""
        cast = self._cast[name]
        for _ in range(_MOST_TURNS):
            if not cast.heard:
                return
            asked = cast.heard[-1]
            cast.heard.clear()
            words = reply_to(cast.owner, asked, self._local_date(), cast.deeds_done)
            if words is None:
                return
            await self._hand_in(name, words)
        raise LookupError(f"{name} is asked without end: the last question was {asked.text[-200:]!r}")

    async def _hand_in(self, name: str, words: str) -> None:
        self._clock.set(self._clock.now() + _TURN)
        self._watch(Line(owner=name, at=self._clock.now(), is_owner=True, text=words))
        await self._service.take_in(
            Envelope(
                channel=CHANNEL,
                address=name,
                external_id=str(uuid.uuid4()),
                at=self._clock.now(),
                incoming=Said(text=words),
            )
        )
        await self._settle()

    def _local_date(self) -> date:
        return self._clock.now().astimezone(ZoneInfo(ZONE)).date()

    async def _settle(self) -> None:
        self._courier.wake()
        while True:
            async with self._store.database.read() as tx:
                waiting = await outbox.waiting(tx)
            if not waiting:
                return
            await asyncio.sleep(_LOOK_AGAIN_SECONDS)


def reply_to(owner: Owner, asked: Rendered, today: date, deeds_done: Counter[str]) -> str | None:
    """What an owner answers to a message; None when it asks nothing.

    Raises LookupError for a question the owner was given no answer to: a season in which somebody falls silent by
    mistake would rehearse nothing.
    """
    tokens = [choice.token.split(":") for choice in asked.choices]
    if not tokens:
        return None
    if tokens[0][0] == "t":
        kind = _kind_of(tokens[0][2])
        deeds = owner.deeds.get(kind, ("done",))
        deed = deeds[min(deeds_done[kind], len(deeds) - 1)]
        deeds_done[kind] += 1
        return deed
    reply = owner.replies.get(tokens[0][2])
    if reply is None:
        raise LookupError(f"{owner.name} has no answer to {tokens[0][2]!r}: add one in bot/rehearsal/scenario.py")
    return reply(today, asked.text) if callable(reply) else reply


def _kind_of(task_key: str) -> str:
    return task_key.split(":")[0]
