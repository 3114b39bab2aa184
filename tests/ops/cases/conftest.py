"""A house with the real conversation, a homeowner with a plan in it, and people of ours."""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable
from pathlib import Path

import pytest

from bot.ops.cases.book import Cases
from bot.ops.roles import Operator, Role
from bot.store import operators
from bot.store.database import milliseconds
from bot.store.operators import NewOperator
from tests.fakes.house import open_house
from tests.service.chats import TALK, Chats
from tests.talk.conversation import KNOWN, NOON_IN_JANUARY

NewStaff = Callable[[str, Role], Awaitable[Operator]]


@pytest.fixture
async def chats(tmp_path: Path) -> AsyncIterator[Chats]:
    async with open_house(tmp_path / "data", talk=TALK, at=NOON_IN_JANUARY) as house:
        yield Chats(house)


@pytest.fixture
def cases(chats: Chats) -> Cases:
    house = chats.house
    return Cases(house.store, house.service, house.clock, KNOWN)


@pytest.fixture
def staff(chats: Chats) -> NewStaff:
    """Lets people in."""

    async def let_in(name: str, role: Role = Role.ADVISOR) -> Operator:
        async with chats.house.store.database.write() as tx:
            new = NewOperator(name=name, role=role, made_ms=milliseconds(chats.house.clock.now()))
            return Operator(id=await operators.add(tx, new), name=name, role=role)

    return let_in


@pytest.fixture
async def ana(staff: NewStaff) -> Operator:
    return await staff("Ana", Role.ADVISOR)


@pytest.fixture
async def bo(staff: NewStaff) -> Operator:
    return await staff("Bo", Role.ADVISOR)
