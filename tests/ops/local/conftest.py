"""A house with two regions, one within the other, and what is said of them."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from bot.ops.local.book import LocalBook
from bot.ops.local.entering import doc_from
from bot.ops.local.keeping import Keeping
from bot.ops.local.pieces import Piece
from bot.ops.regions.book import RegionBook
from bot.ops.regions.shapes import Shape
from bot.talk.case import Place
from bot.talk.known import LocalRules
from tests.fakes.house import House, open_house
from tests.talk.conversation import NOON_IN_JANUARY

STATE, COUNTY = Shape(states=frozenset({"GA"})), Shape(counties=frozenset({"13127"}))


@dataclass(slots=True, kw_only=True)
class Office:
    """What works on the regions of a house."""

    house: House
    state: int
    county: int

    @property
    def keeping(self) -> Keeping:
        return Keeping(self.house.store.database, self.house.clock)

    async def say(self, region_id: int, piece: Piece, **typed: str) -> int:
        """Say something; its row's id."""
        await self.keeping.say(region_id, {piece: doc_from(piece, typed)}, None)
        return int(self.house.value("SELECT max(id) FROM local_rule"))

    async def at(self, place: Place | None) -> LocalRules | None:
        """What holds at a place, freshly looked up."""
        book = LocalBook(lambda latitude, longitude: None)
        await book.refresh(self.house.store.database)
        return book.at(place)


@pytest.fixture
async def house(tmp_path: Path) -> AsyncIterator[House]:
    """The real store and service."""
    async with open_house(tmp_path / "data", at=NOON_IN_JANUARY) as opened:
        yield opened


@pytest.fixture
async def office(house: House) -> Office:
    """A state with a county in it."""
    book = RegionBook(house.store.database, house.clock)
    state = await book.add("State", STATE, by=None)
    return Office(house=house, state=state, county=await book.add("County", COUNTY, by=None))
