"""The corrections that count now, as the conversation looks them up.

1. Where several hold for a lawn, the smallest region's counts; within it the lawn's own cultivar before its grass, and
   the newest before older ones.
2. A lawn whose place is not known is corrected only by what was adopted for everywhere.
3. A region that ended corrects nothing.
4. The database is looked at now and then (`refresh`): a command beside the service may change it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.ops.learning.correction import CorrectionDoc
from bot.ops.regions.by_place import EVERYWHERE, NearestZip, PlaceBook, counting_at, ground_of, regions_now
from bot.store import corrections
from bot.store.corrections import StoredCorrection
from bot.store.database import Database, Transaction
from bot.talk.case import Place
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift, shift_of_lawn

if TYPE_CHECKING:
    from bot.ops.regions.shapes import Shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Adopted:
    """A correction that counts. `shape` None: everywhere."""

    id: int
    region: str
    shape: Shape | None
    area_km2: float
    grass: GrassCode
    cultivar: str | None
    shift_dc: float
    sd_dc: float

    def is_for(self, code: GrassCode, cultivar: str | None) -> bool:
        """Whether it is for this grass, and for this cultivar or all of them."""
        return self.grass is code and self.cultivar in (None, cultivar)

    @property
    def rank(self) -> tuple[float, bool, int]:
        """The lower, the sooner it counts."""
        return self.area_km2, self.cultivar is None, -self.id


Asked = tuple[Place | None, GrassCode, str | None]


class AdoptedBook:
    """What operators adopted. Empty until the first `refresh`."""

    def __init__(self, nearest_zip: NearestZip) -> None:
        def find(adopted: Sequence[Adopted], asked: Asked) -> LimitShift | None:
            return shift_at(adopted, *asked, nearest_zip)

        self._book: PlaceBook[Adopted, Asked, LimitShift | None] = PlaceBook(adopted_now, find)

    async def refresh(self, database: Database) -> bool:
        """Look what counts now; whether that changed."""
        return await self._book.refresh(database)

    def shift_at(self, place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        """What counts for a lawn; None: the published figure. May be asked from any thread."""
        return self._book.answer((place, code, cultivar))


def shift_at(
    adopted: Sequence[Adopted], place: Place | None, code: GrassCode, cultivar: str | None, nearest_zip: NearestZip
) -> LimitShift | None:
    """Which of some corrections counts for a lawn, as the rules take it."""
    found = counting_at((each for each in adopted if each.is_for(code, cultivar)), place, nearest_zip)
    if found is None:
        return None
    is_own = found.cultivar is not None
    return shift_of_lawn(code, cultivar, found_dc=found.shift_dc, found_sd_dc=found.sd_dc, is_own=is_own)


async def adopted_now(tx: Transaction) -> tuple[Adopted, ...]:
    """The corrections that were not taken back, of regions that have not ended."""
    rows = [each for each in await corrections.everything(tx) if each.undone_ms is None]
    if not rows:
        return ()
    return adopted_from(rows, await regions_now(tx))


def adopted_from(rows: Sequence[StoredCorrection], areas: Mapping[int, tuple[str, str]]) -> tuple[Adopted, ...]:
    """Rows as they count. `areas`: name and drawing by region; what is of another region is left out."""
    return tuple(_adopted(each, areas) for each in rows if each.region_id is None or each.region_id in areas)


def _adopted(row: StoredCorrection, areas: Mapping[int, tuple[str, str]]) -> Adopted:
    doc = CorrectionDoc.model_validate_json(row.doc)
    ground = EVERYWHERE if row.region_id is None else ground_of(areas[row.region_id])
    return Adopted(
        id=row.id,
        region=ground.region,
        shape=ground.shape,
        area_km2=ground.area_km2,
        grass=GrassCode(row.grass),
        cultivar=row.cultivar,
        shift_dc=doc.shift_dc,
        sd_dc=doc.sd_dc,
    )
