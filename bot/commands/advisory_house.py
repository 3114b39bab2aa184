"""What the advisory commands work with: an open data folder, beside a service that may be running on it."""

from __future__ import annotations

import asyncio
import re
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from functools import reduce
from operator import or_
from pathlib import Path

from bot.commands.acting import acting_operator
from bot.commands.telling import Told
from bot.conversation import GAZETTEER, known_here, talk_knowing
from bot.ops.advisories.advisory import Advisory, NewAdvisory
from bot.ops.advisories.office import Office, Surroundings, terms_here
from bot.ops.advisories.zones import moment, zone_named
from bot.ops.learning.adopting import Adopting
from bot.ops.regions.audience import Audience
from bot.ops.regions.book import RegionBook
from bot.ops.regions.counties import county_named
from bot.ops.regions.glancing import Glancing
from bot.ops.regions.shapes import Shape
from bot.ops.regions.whereabouts import Geography
from bot.ops.roles import Operator, Role
from bot.settings import Settings
from bot.store import operators
from bot.store.beside import beside
from bot.store.store import Store
from bot.weather.living import LivingBook
from bot.wiring import clock_for
from bot.words import Words
from rules.units import f_to_c

_DEGREES = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*([FC])\s*", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """Who is meant, as it was typed."""

    region: tuple[str, ...] = ()
    state: tuple[str, ...] = ()
    county: tuple[str, ...] = ()
    zip: tuple[str, ...] = ()
    grass: tuple[str, ...] = ()
    cultivar: tuple[str, ...] = ()
    stage: tuple[str, ...] = ()
    channel: tuple[str, ...] = ()
    soil_below: str | None = None
    runners_below: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class House:
    """An open data folder and its office."""

    store: Store
    office: Office
    words: Words
    book: RegionBook

    async def operator(self, name: str | None, role: Role) -> Operator | None:
        """An operator by name, who has at least this role; None where none is named."""
        return await acting_operator(self.store, name, role)

    async def zone(self, advisory: Advisory, named: str | None) -> str | None:
        """By whose clock times of an advisory are told. Raises `AdvisoryRefused` for a zone there is not."""
        return await self.office.zone_of(advisory) if named is None else zone_named(named)

    async def names(self) -> dict[int, str]:
        """Every operator's name, let go or not."""
        async with self.store.database.read() as tx:
            return {each.id: each.name for each in await operators.everybody(tx)}

    async def audience(self, meant: Meant) -> Audience:
        """Who is meant. Raises `RegionRefused` or `ShapeRefused` for what there is not."""
        shapes = [(await self.book.named(name)).shape for name in meant.region]
        if meant.state or meant.county or meant.zip:
            shapes.append(
                Shape(
                    states=frozenset(each.upper() for each in meant.state),
                    counties=frozenset(map(county_named, meant.county)),
                    zip_prefixes=frozenset(meant.zip),
                )
            )
        return Audience(
            shape=reduce(or_, shapes) if shapes else None,
            grasses=frozenset(meant.grass),
            cultivars=frozenset(meant.cultivar),
            stages=frozenset(meant.stage),
            channels=frozenset(meant.channel),
            soil_min_below_c=_celsius(meant.soil_below),
            crown_min_below_c=_celsius(meant.runners_below),
        )


@asynccontextmanager
async def open_house(settings: Settings) -> AsyncIterator[House]:
    """The house of a data folder until the end of the block. Raises `StoreError`."""
    words, clock = Words(), clock_for(settings)
    weather = LivingBook(settings.data)
    await asyncio.to_thread(weather.refresh)
    async with beside(settings.data) as store:
        shift_at = await Adopting(store.database, clock, GAZETTEER.zip_near).shift_now()
        known = replace(known_here(words, settings, weather), shift_at=shift_at)
        talk = talk_knowing(words, known)
        around = Surroundings(
            store=store,
            clock=clock,
            talk=talk,
            known=known,
            words=words,
            glancing=Glancing(store, known, Geography(GAZETTEER)),
            terms=terms_here(settings),
            settings=settings,
        )
        yield House(store=store, office=Office(around), words=words, book=RegionBook(store.database, clock))


def words_typed(typed: str) -> str:
    """The words of an advisory: as typed, from a file ("@FILE"), or from standard input ("-")."""
    if typed == "-":
        return sys.stdin.read()
    if not typed.startswith("@"):
        return typed
    try:
        return Path(typed[1:]).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise Told(f"{typed[1:]} cannot be read as text ({error}).") from error


async def with_times(office: Office, new: NewAdvisory, due: datetime | None, useful: datetime | None) -> NewAdvisory:
    """A draft with its times as typed, by the clock of its zone or of those it is for. Raises `AdvisoryRefused`."""
    if due is None and useful is None:
        return new
    zone = await office.zone_for(new)
    due_at, useful_until = (None if each is None else moment(each, zone) for each in (due, useful))
    return replace(new, due_at=due_at, useful_until=useful_until, zone=zone)


def _celsius(typed: str | None) -> float | None:
    if typed is None:
        return None
    found = _DEGREES.fullmatch(typed)
    if found is None:
        raise Told(f"{typed!r} is no temperature. Type it with its unit, like 30F or -1C.")
    degrees = float(found[1])
    return degrees if found[2].upper() == "C" else f_to_c(degrees)
