"""What operators said of regions, as the conversation looks it up.

1. Of what several regions say, the smallest that holds the place counts, piece by piece; in one region its newest word.
   Bans are not like that: a town's code does not lift its county's, so every one that holds the place counts.
2. What was taken back, and what an ended region said, counts no more.
3. A ban that no longer reads is an error in the log, and counts as one for every day. So does one whose region can no
   longer be drawn: then for every place, since nobody knows where it holds.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from bot.errors import AfterfrostError
from bot.ops.regions.by_place import EVERYWHERE, Ground, NearestZip, PlaceBook, ground_of, lies_in, regions_now
from bot.store import local_rules
from bot.store.database import Database, Transaction
from bot.store.local_rules import StoredLocalRule
from bot.talk.case import Place
from bot.talk.known import LocalRules
from rules.feed_bans import FeedBan

if TYPE_CHECKING:
    from bot.ops.local.pieces import Said
    from bot.ops.regions.shapes import Shape

log = logging.getLogger(__name__)

UNREAD = FeedBan(code="", spans=(), is_unread=True)
FIELD_OF: Mapping[str, str] = {
    "nitrogen_ban": "nitrogen_ban",
    "phosphorus_ban": "phosphorus_ban",
    "watering": "watering",
    "last_frost": "last_frost",
    "warm_soil": "warm_soil",
    "freeze": "freeze",
    "contact": "contact_line",
    "note": "note",
}
"""Each piece and what the conversation calls it."""
_BANS = ("nitrogen_ban", "phosphorus_ban")


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A piece that counts in a region. `shape` None: everywhere."""

    id: int
    piece: str
    said: Said
    region: str
    shape: Shape | None
    area_km2: float

    @property
    def rank(self) -> tuple[float, ...]:
        """The lower, the sooner it counts."""
        return self.area_km2, -self.id


class LocalBook:
    """What operators said of regions. Empty until the first `refresh`; light, and so are looks where nothing is."""

    def __init__(self, nearest_zip: NearestZip) -> None:
        def find(held: Sequence[Held], place: Place | None) -> LocalRules | None:
            return rules_at(held, place, nearest_zip)

        self._book: PlaceBook[Held, Place | None, LocalRules | None] = PlaceBook(self._read, find)
        self._complained: frozenset[int] = frozenset()

    async def refresh(self, database: Database) -> bool:
        """Look what counts now; whether that changed."""
        return await self._book.refresh(database)

    def at(self, place: Place | None) -> LocalRules | None:
        """What holds at a place; None where nobody said anything. May be asked from any thread."""
        return self._book.answer(place)

    async def _read(self, tx: Transaction) -> tuple[Held, ...]:
        rows = standing(await local_rules.everything(tx))
        if not rows:
            return ()
        drawn = await regions_now(tx)
        held = tuple(held_from([each for each in rows if each.region_id in drawn], drawn, self._complained))
        self._complained |= {each.id for each in rows}
        return held


def standing(rows: Sequence[StoredLocalRule]) -> list[StoredLocalRule]:
    """Of each region and piece the newest row that was not taken back, unless it says nothing any more."""
    newest = {(each.region_id, each.piece): each for each in rows if each.undone_ms is None}  # they come oldest first
    return [each for each in newest.values() if each.doc is not None]


def held_from(
    rows: Sequence[StoredLocalRule], drawn: Mapping[int, tuple[str, str]], known: frozenset[int] = frozenset()
) -> Iterator[Held]:
    """Rows as they count. `drawn`: name and drawing by region; `known`: rows whose faults stand in the log already."""
    grounds: dict[int, Ground | None] = {}
    for row in rows:
        if row.region_id not in grounds:
            grounds[row.region_id] = _ground(row, drawn, is_known=row.id in known)
        ground = grounds[row.region_id]
        said = _said(row, is_known=row.id in known)
        if ground is None and not _is_ban(row):
            continue
        if said is not None:
            here = ground or EVERYWHERE
            yield Held(
                id=row.id,
                piece=row.piece,
                said=UNREAD if ground is None else said,
                region=here.region,
                shape=here.shape,
                area_km2=here.area_km2,
            )


def _ground(row: StoredLocalRule, drawn: Mapping[int, tuple[str, str]], *, is_known: bool) -> Ground | None:
    try:
        return ground_of(drawn[row.region_id])
    except (AfterfrostError, ValueError) as error:
        if not is_known:
            log.error("The drawing of region %d no longer reads: its bans count everywhere. %s", row.region_id, error)
        return None


def _said(row: StoredLocalRule, *, is_known: bool) -> Said | None:
    from bot.ops.local.pieces import Piece, read

    try:
        return read(Piece(row.piece), row.doc or "")
    except (AfterfrostError, ValueError) as error:
        if not is_known:
            so = "counts as a ban for every day" if _is_ban(row) else "is left out"
            log.error("Local rule %d (%s) no longer reads and %s. %s", row.id, row.piece, so, type(error).__name__)
        return UNREAD if _is_ban(row) else None


def _is_ban(row: StoredLocalRule) -> bool:
    """Whether a row bans something, also one of a kind that is not known here."""
    return row.piece not in FIELD_OF or row.piece.endswith("_ban")


def rules_at(held: Sequence[Held], place: Place | None, nearest_zip: NearestZip) -> LocalRules | None:
    """What holds at a place, piece by piece; None where nothing does. A ban of an unknown kind closes feeding."""
    here = sorted((each for each in held if lies_in(place, each.shape, nearest_zip)), key=lambda each: each.rank)
    found: dict[str, Any] = {FIELD_OF[each.piece]: each.said for each in reversed(here) if each.piece in FIELD_OF}
    for piece in _BANS:
        bans = [each.said for each in here if each.piece == piece and isinstance(each.said, FeedBan)]
        if bans:
            found[FIELD_OF[piece]] = replace(bans[0], beside=tuple(bans[1:]))
    if any(each.piece not in FIELD_OF for each in here):
        found["nitrogen_ban"] = UNREAD
    return LocalRules(**found) if found else None
