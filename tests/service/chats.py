"""People who write from several channels to one house, with the real conversation."""

from __future__ import annotations

import json
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path

from bot.conversation import talk_knowing
from bot.envelope import Envelope
from bot.store import schema
from bot.talk.case import Homeowner
from bot.talk.incoming import Arrived, Incoming, Said
from tests.fakes.house import House, open_house
from tests.talk.conversation import DETAILS, FIRST, KNOWN, NOON_IN_JANUARY, WORDS

WEB, PHONE, DESK = ("web", "a browser"), ("sms", "+19125550123"), ("terminal", "desk")
STRANGER = ("telegram", "77")
Contact = tuple[str, str]

TALK = talk_knowing(WORDS, KNOWN)


class Chats:
    """People who write from several channels to one house."""

    def __init__(self, house: House) -> None:
        self.house = house
        self._count = 0

    async def send(self, where: Contact, *came_in: str | Incoming, external_id: str | None = None) -> str:
        """Hand messages in one after the other; what is said to the last one there."""
        for each in came_in:
            before = self.house.value("SELECT coalesce(max(id), 0) FROM outbox")
            await self.house.service.take_in(self.envelope(where, each, external_id))
        return "\n".join(self.told(where, before))

    def envelope(self, where: Contact, came_in: str | Incoming, external_id: str | None = None) -> Envelope:
        self._count += 1
        incoming = Said(text=came_in) if isinstance(came_in, str) else came_in
        now = self.house.clock.now()
        number = external_id or f"{now.timestamp()}/{self._count}"
        return Envelope(channel=where[0], address=where[1], external_id=number, at=now, incoming=incoming)

    def told(self, where: Contact, after: int = 0) -> list[str]:
        """Everything queued for an address."""
        rows = self.house.rows(
            "SELECT body FROM outbox WHERE channel = ? AND address = ? AND id > ? ORDER BY id", *where, after
        )
        return [json.loads(body)["text"] for (body,) in rows]

    async def code(self, where: Contact, words: str = "move") -> str:
        """Ask for a code; the code as it is shown."""
        return code_in(await self.send(where, words))

    async def homeowner(self, where: Contact) -> Homeowner:
        homeowner_id = await self.house.store.find_homeowner(*where)
        assert homeowner_id is not None
        homeowner = await self.house.store.homeowner(homeowner_id)
        assert homeowner is not None
        return homeowner

    def count(self, table: str) -> int:
        return int(self.house.value(f"SELECT count(*) FROM {table}"))

    def linked(self) -> set[Contact]:
        return {(channel, address) for channel, address in self.house.rows("SELECT channel, address FROM contact")}

    def heard_at(self) -> list[Contact]:
        return [(channel, address) for channel, address in self.house.rows("SELECT channel, address FROM homeowner")]


def code_in(told: str) -> str:
    found = re.search(r"MOVE ([0-9A-Z]{4}-[0-9A-Z]{4})\b", told)
    assert found is not None, told
    return found[1]


@asynccontextmanager
async def open_chats(folder: Path, at: datetime = NOON_IN_JANUARY) -> AsyncIterator[Chats]:
    async with open_house(folder, talk=TALK, at=at) as house:
        yield Chats(house)


async def a_case(chats: Chats, where: Contact = WEB) -> None:
    """Somebody who was asked where the lawn is, and when it froze."""
    await chats.send(where, Arrived(), *FIRST[:2])


async def a_plan(chats: Chats, where: Contact = WEB) -> None:
    """Somebody with a confirmed plan."""
    await chats.send(where, Arrived(), *FIRST, *DETAILS, "yes", "yes")


async def where_reminders_wait(chats: Chats) -> set[Contact]:
    rows = chats.house.rows("SELECT channel, address FROM outbox WHERE urgency = ?", schema.REMINDER)
    return {(channel, address) for channel, address in rows}
