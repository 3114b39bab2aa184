"""A town of homeowners on several channels, with the real talk, service, courier and everything that sends advisories.

The far sides are in this process and keep what arrived. People are stored as their talks left them.
"""

from __future__ import annotations

import asyncio
import random
from collections.abc import AsyncIterator, Callable, Mapping, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from sqlalchemy import insert

from bot.arrivals import Consent, ConsentNote
from bot.conversation import GAZETTEER, talk_knowing
from bot.courier import Courier
from bot.envelope import Envelope
from bot.ops.advisories.advisory import Advisory, NewAdvisory
from bot.ops.advisories.approving import Approving, SecondApprover, mark_of
from bot.ops.advisories.drafts import Advisories
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.preview import Ground, Preview, Previewing
from bot.ops.advisories.recipients import Recipients
from bot.ops.advisories.report import Report, report
from bot.ops.advisories.spreading import Means, Spreader
from bot.ops.advisories.steering import Steering
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Operator, Role
from bot.pace import Limits
from bot.store import homeowners, operators, reaches
from bot.store.database import milliseconds
from bot.store.homeowners import NewHomeowner
from bot.store.operators import NewOperator
from bot.store.rows import dump_homeowner
from bot.store.schema import homeowner as homeowner_table
from bot.talk.case import Homeowner
from bot.talk.incoming import Incoming, Said
from bot.terms import Terms
from tests.fakes.far_side import FarSide
from tests.fakes.house import House, open_house
from tests.talk.conversation import DETAILS, KNOWN, WORDS, Conversation

TALK = talk_knowing(WORDS, KNOWN)
NOON = datetime(2027, 2, 2, 17, 0, tzinfo=UTC)
GEOGRAPHY = Geography(GAZETTEER)
TERMS = {
    "web": Terms(in_flight=16),
    "telegram": Terms(in_flight=16),
    "sms": Terms(in_flight=8, limits=Limits(day_units=100_000), needs_consent=True),
}
WARNING = "A hard freeze is on its way to {place}. Keep off the grass while it is white."


@cache
def lawn(grass: str = "St. Augustine", zip_code: str = "31522") -> Homeowner:
    """Somebody who has the plan of their lawn, as the real talk left them in January."""
    talk = Conversation(now=datetime(2027, 1, 19, 17, 0, tzinfo=UTC))
    talk.arrive()
    talk.say(zip_code, "Jan 16", "17", "4 days", "no", grass, "1")
    talk.say(*DETAILS)
    assert talk.homeowner is not None
    return talk.homeowner


@dataclass(slots=True)
class Town:
    """The house, and everything around an advisory."""

    house: House
    second: SecondApprover = SecondApprover.NEVER
    terms: Mapping[str, Terms] = field(default_factory=lambda: TERMS)
    undo: timedelta = timedelta(seconds=10)
    far: dict[str, FarSide] = field(default_factory=dict)
    couriers: list[Courier] = field(default_factory=list)
    sms_cents: float | None = None

    def __post_init__(self) -> None:
        self.far = self.far or {name: FarSide(name=name) for name in TERMS}
        database, clock = self.house.store.database, self.house.clock
        glancing = Glancing(self.house.store, KNOWN, GEOGRAPHY)
        self.recipients = Recipients(database, glancing)
        self.filler = Filler(words=WORDS, known=KNOWN)
        self.drafts = Advisories(database, clock)
        self.approving = Approving(database, clock, self.second, self._committed)
        self.steering = Steering(database, clock, self._committed)
        self.new_spreader()

    # Slots of a dataclass name what `__post_init__` makes.
    recipients: Recipients = field(init=False)
    filler: Filler = field(init=False)
    drafts: Advisories = field(init=False)
    approving: Approving = field(init=False)
    steering: Steering = field(init=False)
    spreader: Spreader = field(init=False)

    def new_spreader(self) -> None:
        """As a new process would have it."""
        means = Means(talk=TALK, terms=self.terms, filler=self.filler, recipients=self.recipients, undo=self.undo)
        self.spreader = Spreader(self.house.store, self.house.service, self.house.clock, means)

    # --- people ------------------------------------------------------------------------------------------------------

    async def people(self, count: int, channel: str = "web", who: Homeowner | None = None, **changes: Any) -> list[int]:
        """So many people like one, with changes; on SMS they have agreed to be written to. Their ids."""
        doc = dump_homeowner(replace(who or lawn(), **changes))
        start = self.house.value("SELECT count(*) FROM homeowner")
        rows = [
            NewHomeowner(doc=doc, rev=1, channel=channel, address=f"{channel} {start + number}", heard_ms=0)
            for number in range(count)
        ]
        async with self.house.store.database.write() as tx:
            ids = await homeowners.add(tx, rows)
        if channel == "sms":
            for row in rows:
                await self.consents("sms", row.address, Consent.GIVEN)
        return ids

    async def consents(self, channel: str, address: str, consent: Consent) -> None:
        """An address says something about being written to."""
        note = ConsentNote(consent=consent, said="yes", shown="ask", source="text")
        async with self.house.store.database.write() as tx:
            await reaches.note_consent(tx, channel, address, [note], 0)

    async def nobody_knows(self) -> int:
        """Somebody wrote, and nothing could be made of it; their id."""
        row = {"doc": None, "rev": 1, "channel": "web", "address": "?", "created_ms": 0, "heard_ms": 0}
        async with self.house.store.database.write() as tx:
            made = await tx.execute(insert(homeowner_table).returning(homeowner_table.c.id), row)
            return int(made.scalar_one())

    async def hears(self, channel: str, address: str, came_in: str | Incoming) -> None:
        """Somebody writes."""
        incoming = Said(text=came_in) if isinstance(came_in, str) else came_in
        now = self.house.clock.now()
        number = f"{address}/{self.house.value('SELECT count(*) FROM inbox')}"
        await self.house.service.take_in(
            Envelope(channel=channel, address=address, external_id=number, at=now, incoming=incoming)
        )

    async def operator(self, name: str, role: Role = Role.APPROVER) -> Operator:
        """Somebody who works here."""
        new = NewOperator(name=name, role=role, made_ms=milliseconds(self.house.clock.now()))
        async with self.house.store.database.write() as tx:
            return Operator(id=await operators.add(tx, new), name=name, role=role)

    # --- advisories --------------------------------------------------------------------------------------------------

    async def draft(self, words: str = WARNING, **more: Any) -> int:
        """A draft for everybody."""
        return await self.drafts.draft(NewAdvisory(name="Freeze tonight", words=words, **more), None)

    async def mark(self, advisory_id: int) -> str:
        """What somebody who looks at it now would approve."""
        advisory = await self.drafts.get(advisory_id)
        return mark_of(advisory, await self.drafts.following(advisory_id))

    async def approve(self, advisory_id: int, by: Operator | None = None) -> None:
        """Somebody looks at it and approves."""
        await self.approving.approve(advisory_id, await self.mark(advisory_id), by)

    async def begin(self, words: str = WARNING, **more: Any) -> int:
        """Draft, approve, and let the moment pass in which that can be taken back; its number."""
        advisory_id = await self.draft(words, **more)
        await self.approve(advisory_id)
        self.house.pass_time(seconds=11)
        return advisory_id

    async def preview(self, advisory_id: int) -> Preview:
        """What its approver would see."""
        ground = Ground(
            store=self.house.store,
            talk=TALK,
            clock=self.house.clock,
            terms=self.terms,
            filler=self.filler,
            recipients=self.recipients,
            sms_cents=self.sms_cents,
        )
        return await Previewing(ground).of(await self.drafts.get(advisory_id), await self.drafts.following(advisory_id))

    async def advisory(self, advisory_id: int) -> Advisory:
        """As it stands."""
        return await self.drafts.get(advisory_id)

    async def report(self, advisory_id: int) -> Report:
        """What became of it; it adds up, always."""
        found = await report(self.house.store.database, advisory_id)
        assert found.progress.adds_up
        return found

    # --- time --------------------------------------------------------------------------------------------------------

    def start(self) -> None:
        """Start a courier, as a new process would."""
        courier = Courier(
            self.house.store, list(self.far.values()), self.house.clock, terms=self.terms, chance=random.Random(5)
        )
        courier.start()
        self.house.on_commit[:] = [courier.wake]
        self.couriers.append(courier)

    async def kill(self) -> None:
        """End the process wherever it is, and begin another."""
        await self.stop()
        self.new_spreader()
        self.start()

    async def stop(self) -> None:
        """End the courier wherever it is."""
        self.house.on_commit.clear()
        while self.couriers:
            await self.couriers.pop().drain(0)

    async def tick(self) -> int:
        """One second of the service."""
        moved = await self.spreader.run()
        self._committed()
        return moved

    async def settle(self) -> None:
        """Let it run until nothing more can go out at this hour."""
        await self.until_quiet()
        await self.tick()
        await self.until_quiet()
        await self.tick()

    async def until_quiet(self) -> None:
        """Run until nothing moves and nothing may be sent."""
        while await self.tick() or self.due():  # noqa: ASYNC110 - what is waited for happens in a database file
            await asyncio.sleep(0.001)

    def due(self) -> int:
        """How many messages may go out now."""
        now_ms = milliseconds(self.house.clock.now())
        due = "SELECT count(*) FROM outbox WHERE state = 0 AND due_ms <= ? AND next_try_ms <= ?"
        return int(self.house.value(due, now_ms, now_ms)) if self.couriers else 0

    def arrived(self, name: str | None = None) -> list[str]:
        """The addresses at which advisories arrived, in order."""
        return [each.address for key, far in self.far.items() if name in (None, key) for each in far.arrived]

    async def until(self, is_so: Callable[[], bool]) -> None:
        """Wait until something is so."""
        async with asyncio.timeout(10):
            while not is_so():  # noqa: ASYNC110 - what is waited for happens in a database file
                await asyncio.sleep(0.002)

    def _committed(self) -> None:
        for wake in self.house.on_commit:
            wake()


@asynccontextmanager
async def open_town(folder: Path, *, at: datetime = NOON, **how: Any) -> AsyncIterator[Town]:
    """A town on a folder, with a courier that runs."""
    async with open_house(folder, talk=TALK, at=at) as house:
        town = Town(house, **how)
        town.start()
        try:
            yield town
        finally:
            for far in town.far.values():
                for gate in filter(None, (far.before, far.after)):
                    gate.set()
                far.before = far.after = None
            for courier in town.couriers:
                await courier.drain(2)


def addresses(channel: str, numbers: Sequence[int]) -> list[str]:
    """Where people on a channel are heard."""
    return [f"{channel} {number}" for number in numbers]
