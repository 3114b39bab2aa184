"""What an advisory would do, before anybody approves it: whom it reaches, how, until when, what it costs, what it says.

Nothing is written. The texts are made as the sending makes them: by the real conversation, for real people, with their
own figures; of whom they are nothing is told but channel and grass.
"""

from __future__ import annotations

import asyncio
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.channels.sms.pages import pages
from bot.channels.sms.segments import gsm_text, segments_of
from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, NewAdvisory, State
from bot.ops.advisories.approving import mark_of, puts_right
from bot.ops.advisories.checking import Checked, check
from bot.ops.advisories.counting import Counted, Question, count, three_of
from bot.ops.advisories.deciding import Rules
from bot.ops.advisories.filling import Filler, placeholders_in
from bot.ops.advisories.forecast import Forecast, Load, forecast
from bot.ops.advisories.recipients import Recipients
from bot.ops.advisories.report import progress
from bot.ops.advisories.zones import most_live_in
from bot.store import accounts, advisories, homeowners, sends
from bot.store.columns import Wholes
from bot.store.database import Database, milliseconds
from bot.store.homeowners import StoredHomeowner
from bot.store.rows import load_homeowner
from bot.store.sends import Figures
from bot.store.store import Store
from bot.talk.effects import Say
from bot.talk.incoming import Advised
from bot.talk.messages import text
from bot.talk.ports import Talk
from bot.terms import Terms
from bot.turns import SHORT_CHANNELS

COUNTED_AT_MOST = 200
"""Texts whose length is counted one by one; of more recipients, so many are taken from all over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnChannel:
    """What a channel would have to do.

    people, now : who gets it, and how many of them at once
    segments : of all of them together, where the channel is metered (None elsewhere); `is_about`: estimated from some
    cents : what that costs, where the price is known
    """

    channel: str
    people: int
    now: int
    forecast: Forecast
    segments: int | None = None
    most_segments: int | None = None
    is_about: bool = False
    cents: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """What one of the real recipients would read."""

    channel: str
    grass: str | None
    text: str
    segments: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped:
    """What is still going out and is put right. `waiting`: who has not got it, and gets neither of both."""

    number: int
    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Preview:
    """Everything an approver sees. `mark` is what they approve.

    behind : people of whom an older picture is shown, since nobody looked at them after their last turn
    zone : by whose clock times are told
    stops : what its approval stops
    without_estimate : who is not selected because an estimate the filter asks for is not there for them
    """

    advisory: Advisory
    following: tuple[Advisory, ...]
    mark: str
    checked: Checked
    counted: Counted
    behind: int
    without_estimate: int
    channels: tuple[OnChannel, ...]
    samples: tuple[Sample, ...]
    at: datetime
    zone: str | None
    stops: Stopped | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What previews are made from. `sms_cents`: what a segment costs, if that is known."""

    store: Store
    talk: Talk
    clock: Clock
    terms: Mapping[str, Terms]
    filler: Filler
    recipients: Recipients
    sms_cents: float | None = None

    @property
    def database(self) -> Database:
        """Where it all stands."""
        return self.store.database


class Previewing:
    """Makes previews."""

    def __init__(self, ground: Ground) -> None:
        self._ground = ground

    async def of(self, advisory: Advisory, following: Sequence[Advisory] = ()) -> Preview:
        """The preview of an advisory as it stands. Raises `AdvisoryRefused` for words that cannot be sent."""
        now, content = self._ground.clock.now(), advisory.content
        begins_at = max(now, content.due_at or now)
        checked = check(content, now)
        rules = Rules(
            terms=self._ground.terms,
            is_pressing=content.is_pressing,
            useful_until=advisory.useful_until(begins_at),
        )
        seen = await self._ground.recipients.seen(content)
        question = Question(content=content, rules=rules, now=begins_at)
        counted = await count(self._ground.store, self._ground.talk, question, seen.ids)
        return Preview(
            advisory=advisory,
            following=tuple(following),
            mark=mark_of(advisory, following),
            checked=checked,
            counted=counted,
            behind=seen.behind,
            without_estimate=await self._ground.recipients.without_estimate(content),
            channels=tuple(
                [await self._channel(content, counted, each, rules, begins_at) for each in sorted(counted.by_channel)]
            ),
            samples=tuple(await self._texts(content, three_of(counted.examples))),
            at=now,
            zone=content.zone or most_live_in(counted.hours),
            stops=await self._stops(advisory, now),
        )

    async def _stops(self, advisory: Advisory, now: datetime) -> Stopped | None:
        first_id = puts_right(advisory, milliseconds(now))
        if first_id is None:
            return None
        async with self._ground.database.read() as tx:
            row = await advisories.get(tx, first_id)
        if row is None or row.state not in (State.APPROVED, State.GOING_OUT, State.PAUSED):
            return None
        return Stopped(number=first_id, waiting=(await progress(self._ground.database, first_id)).waiting)

    async def _channel(
        self, content: NewAdvisory, counted: Counted, channel: str, rules: Rules, begins_at: datetime
    ) -> OnChannel:
        people, terms = counted.by_channel[channel], rules.terms[channel]
        is_metered = terms.limits.day_units is not None
        units, most = await self._segments(content, people) if is_metered else (None, None)
        each = 1.0 if units is None else units / len(people)
        async with self._ground.database.read() as tx:
            spent = sum((await accounts.spent_by_hour(tx, channel, milliseconds(begins_at))).values())
        load = Load(people=counted.hours[channel], units_each=each, spent=spent)
        told = await asyncio.to_thread(forecast, load, terms.limits, begins_at, rules.useful_until)
        cents = self._ground.sms_cents
        return OnChannel(
            channel=channel,
            people=len(people),
            now=counted.now[channel],
            forecast=told,
            segments=units,
            most_segments=most,
            is_about=len(people) > COUNTED_AT_MOST and bool(placeholders_in(content.words)),
            cents=None if units is None or cents is None else units * cents,
        )

    async def _segments(self, content: NewAdvisory, people: Wholes) -> tuple[int, int]:
        """Segments of everybody's text together, and of the longest."""
        wanted = COUNTED_AT_MOST if placeholders_in(content.words) else 1
        step = max(1, len(people) // wanted)
        some = people[::step][:wanted] if len(people) > wanted else people
        counts = [each.segments or 1 for each in await self._texts(content, some.tolist())]
        if not counts:
            return len(people), 1
        return round(sum(counts) / len(counts) * len(people)), max(counts)

    async def _texts(self, content: NewAdvisory, homeowner_ids: Sequence[int]) -> list[Sample]:
        async with self._ground.database.read() as tx:
            stored = await homeowners.by_id(tx, homeowner_ids)
            lawns = await sends.figures_of(tx, homeowner_ids)
        in_order = [stored[each] for each in homeowner_ids if each in stored]
        return await asyncio.to_thread(lambda: [self._sample(content, row, lawns.get(row.id, [])) for row in in_order])

    def _sample(self, content: NewAdvisory, row: StoredHomeowner, lawns: Sequence[Figures]) -> Sample:
        """As it will be said: by the conversation, which is told that it presses, so that today does not matter."""
        homeowner = load_homeowner(row.doc or "", self._ground.store.upgrade)
        is_short, talk = row.channel in SHORT_CHANNELS, self._ground.talk
        words = self._ground.filler.fill(content, homeowner, lawns, is_short=is_short)
        advised = Advised(advisory=0, words=words, is_pressing=True)
        outcome = talk.reduce(homeowner, advised, self._ground.clock.now(), talk.known)
        said = [each for each in outcome.effects if isinstance(each, Say)]
        told = "\n\n".join(talk.render(each, outcome.homeowner, is_short=is_short).text for each in said)
        grass = lawns[0].grass if lawns else None
        if not is_short:
            return Sample(channel=row.channel, grass=grass, text=told)
        folded = gsm_text(told)
        return Sample(channel=row.channel, grass=grass, text=folded, segments=self._segments_of(folded))

    def _segments_of(self, told: str) -> int:
        """What goes out at once of a text; the rest is sent when it is asked for."""
        hint = gsm_text(self._ground.filler.words.text(text("sms-more-hint")))
        return segments_of(pages(told, hint)[0])
