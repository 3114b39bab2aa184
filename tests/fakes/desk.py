"""Operators in front of the desk, each with a browser of their own: for the tests of every room of the desk."""

from __future__ import annotations

import html
import itertools
import re
from collections.abc import AsyncIterator, Mapping, Sequence
from contextlib import AsyncExitStack, asynccontextmanager

import httpx
from starlette.applications import Starlette
from starlette.routing import Mount

from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.ops.desk.desk import House, Room, desk_app
from bot.ops.desk.keys import NAME
from bot.ops.desk.later import desk_routes
from bot.ops.desk.passwords import Cost, Passwords
from bot.ops.desk.sessions import open_session
from bot.ops.desk.staffing import Staffing
from bot.ops.roles import Role
from bot.store import operators
from bot.store.database import milliseconds
from bot.store.operators import NewOperator
from bot.words import Words

HOST = "http://afterfrost.test"
CHEAP = Cost(n=16, r=1, p=1)
"""A hash that tests can wait for."""
_MARK = re.compile(r'name="mark" value="([0-9a-f]{32})"')
_NUMBERS = itertools.count(1)


class Sitting:
    """Somebody at the desk with one browser. `seen` is the page in front of them."""

    def __init__(self, client: httpx.AsyncClient, operator_id: int | None = None, name: str = "") -> None:
        self.client = client
        self.operator_id = operator_id
        self.name = name
        self.seen = ""

    async def look(self, path: str = "/", *, follow: bool = True) -> httpx.Response:
        """Open a path of the desk."""
        answer = await self.client.get(f"/desk{path}", follow_redirects=follow)
        self.seen = answer.text
        return answer

    @property
    def text(self) -> str:
        """What the page in front reads, without its tags."""
        return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", self.seen)).split())

    @property
    def mark(self) -> str:
        """The mark in the forms of the page in front."""
        found = _MARK.search(self.seen)
        assert found, "the page in front has no form"
        return found[1]

    async def send(
        self,
        path: str,
        fields: Mapping[str, object] | None = None,
        *,
        follow: bool = True,
        files: Mapping[str, tuple[str, bytes, str]] | None = None,
    ) -> httpx.Response:
        """Send a form as a browser does, with the mark of this browser, and open where it leads."""
        if not _MARK.search(self.seen):
            await self.look("/password" if self.operator_id else "/sign-in")
        data = {"mark": self.mark} | dict(fields or {})
        answer = await self.client.post(
            f"/desk{path}", data=data, files=files, headers={"origin": HOST}, follow_redirects=follow
        )
        self.seen = answer.text
        return answer


class DeskHouse:
    """The desk in front of a house, the chat page beside it, and people who sit down at it."""

    def __init__(self, house: House, words: Words, rooms: Sequence[Room], stack: AsyncExitStack) -> None:
        self.house = house
        self.passwords = Passwords(CHEAP)
        self.app = Starlette(
            routes=[
                *desk_routes(lambda: desk_app(house, words, rooms, self.passwords)),
                Mount("/", web_app(house, words, WebChannel())),
            ]
        )
        self._stack = stack

    def browser(self, host: str = HOST, address: str = "198.51.100.7") -> httpx.AsyncClient:
        """A browser that has never been here."""
        transport = httpx.ASGITransport(app=self.app, client=(address, 40000))
        client = httpx.AsyncClient(transport=transport, base_url=host)
        self._stack.push_async_callback(client.aclose)
        return client

    def nobody(self, **how: str) -> Sitting:
        """Somebody who is not signed in."""
        return Sitting(self.browser(**how))

    async def sits(self, role: Role, name: str | None = None) -> Sitting:
        """A new operator of a role, signed in."""
        name = name or f"{role} {next(_NUMBERS)}"
        now = self.house.clock.now()
        async with self.house.store.database.write() as tx:
            new = NewOperator(name=name, role=role, made_ms=milliseconds(now))
            operator_id = await operators.add(tx, new)
            secret = await open_session(tx, operator_id, now)
        client = self.browser()
        client.cookies.set(NAME, secret, domain="afterfrost.test", path="/")
        return Sitting(client, operator_id, name)

    async def sits_with_password(self, name: str, role: Role, password: str) -> Sitting:
        """A new operator of a role who has a password, signed in."""
        sitting = await self.sits(role, name)
        assert sitting.operator_id is not None
        async with self.house.store.database.write() as tx:
            await operators.set_password(tx, sitting.operator_id, await self.passwords.hashed(password))
        return sitting

    async def sign_in_at_once(self, name: str, password: str, address: str) -> httpx.Response:
        """Somebody tries a name and a password."""
        somebody = self.nobody(address=address)
        await somebody.look("/sign-in")
        return await somebody.send("/sign-in", {"name": name, "password": password})

    async def link_for(self, role: Role, name: str | None = None) -> str:
        """The path of a one-time link of a new operator."""
        staffing = Staffing(self.house.store, self.house.clock)
        return f"/link/{await staffing.add(name or f'{role} {next(_NUMBERS)}', role, None)}"


@asynccontextmanager
async def open_desk(house: House, words: Words, rooms: Sequence[Room] = ()) -> AsyncIterator[DeskHouse]:
    """A desk with these rooms, until the end of the block."""
    async with AsyncExitStack() as stack:
        yield DeskHouse(house, words, rooms, stack)
