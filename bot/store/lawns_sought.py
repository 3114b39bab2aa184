"""Finding lawns among the rows of `glance`: what SQL can decide, as arrays of whole numbers."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Select, and_, func, or_, select, true

from bot.store.columns import Wholes, wholes
from bot.store.database import Transaction
from bot.store.desk_schema import glance
from bot.store.schema import homeowner

Box = tuple[int, int, int, int]
"""South, west, north and east edge, in hundredths of a degree; what lies on an edge is in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """Areas told by name: a lawn is in them when any of its names is."""

    states: frozenset[str] = frozenset()
    counties: frozenset[str] = frozenset()
    zip_prefixes: frozenset[str] = frozenset()

    def __bool__(self) -> bool:
        return bool(self.states or self.counties or self.zip_prefixes)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a lawn and its owner are like; empty sets mean "any". Temperatures in tenths of a degree C."""

    grasses: frozenset[str] = frozenset()
    cultivars: frozenset[str] = frozenset()
    stages: frozenset[str] = frozenset()
    channels: frozenset[str] = frozenset()
    languages: frozenset[str] = frozenset()
    soil_min_below_dc: float | None = None
    crown_min_below_dc: float | None = None


async def owners(tx: Transaction, kind: Kind, named: Named | None = None) -> Wholes:
    """Owners of lawns of a kind in areas told by name (None: anywhere), once for each such lawn."""
    where = true() if named is None else _in(named)
    return (await wholes(tx, _of(kind, glance.c.homeowner_id).where(where)))[:, 0]


async def placed(tx: Transaction, kind: Kind, box: Box) -> Wholes:
    """Lawns of a kind whose position lies in a box: owner, latitude and longitude in hundredths of a degree."""
    south, west, north, east = box
    columns = (glance.c.homeowner_id, glance.c.latitude_e2, glance.c.longitude_e2)
    return await wholes(
        tx,
        _of(kind, *columns).where(
            glance.c.latitude_e2.between(south, north), glance.c.longitude_e2.between(west, east)
        ),
    )


async def nowhere(tx: Transaction, kind: Kind) -> Wholes:
    """Owners of lawns of a kind whose position is not known, once for each such lawn."""
    return (await wholes(tx, _of(kind, glance.c.homeowner_id).where(glance.c.latitude_e2.is_(None))))[:, 0]


async def count_by_grass_and_stage(tx: Transaction, homeowner_ids: Iterable[int]) -> list[tuple[str | None, str, int]]:
    """How many lawns these homeowners have of each grass (None: not known) at each stage."""
    counted: defaultdict[tuple[str | None, str], int] = defaultdict(int)
    ids = sorted(homeowner_ids)
    for start in range(0, len(ids), _IDS_AT_ONCE):
        some = glance.c.homeowner_id.in_(ids[start : start + _IDS_AT_ONCE])
        statement = select(glance.c.grass, glance.c.stage, func.count()).where(some)
        for grass, stage, count in await tx.execute(statement.group_by(glance.c.grass, glance.c.stage)):
            counted[grass, stage] += count
    return sorted(((grass, stage, count) for (grass, stage), count in counted.items()), key=lambda row: -row[2])


_IDS_AT_ONCE = 5000


def _of(kind: Kind, *columns: ColumnElement[int]) -> Select[*tuple[Any, ...]]:
    statement = select(*columns).where(_like(kind))
    if kind.channels:
        at_channel = homeowner.c.channel.in_(kind.channels)
        statement = statement.join(homeowner, homeowner.c.id == glance.c.homeowner_id).where(at_channel)
    return statement


def _like(kind: Kind) -> ColumnElement[bool]:
    sets = (
        (glance.c.grass, kind.grasses),
        (glance.c.cultivar, kind.cultivars),
        (glance.c.stage, kind.stages),
        (glance.c.language, kind.languages),
    )
    conditions: list[ColumnElement[bool]] = [column.in_(sorted(wanted)) for column, wanted in sets if wanted]
    if kind.soil_min_below_dc is not None:
        conditions.append(glance.c.soil_min_dc < kind.soil_min_below_dc)
    if kind.crown_min_below_dc is not None:
        conditions.append(glance.c.crown_min_dc < kind.crown_min_below_dc)
    return and_(true(), *conditions)


def _in(named: Named) -> ColumnElement[bool]:
    """Prefixes of one length are looked up together: thousands of "or" would be nested too deeply."""
    by_length: defaultdict[int, list[str]] = defaultdict(list)
    for prefix in sorted(named.zip_prefixes):
        by_length[len(prefix)].append(prefix)
    return or_(
        glance.c.state.in_(sorted(named.states)),
        glance.c.county.in_(sorted(named.counties)),
        *(func.substr(glance.c.zip, 1, length).in_(some) for length, some in by_length.items()),
    )
