"""The corrections that count now, as the conversation looks them up.

1. Where several hold for a lawn, the smallest region's counts; within it the lawn's own cultivar before its grass, and
   the newest before older ones.
2. A lawn whose place is not known is corrected only by what was adopted for everywhere.
3. A region that ended corrects nothing.
4. The database is looked at now and then (`refresh`): a command beside the service may change it.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bot.ops.learning.correction import CorrectionDoc
from bot.store import corrections, regions
from bot.store.corrections import StoredCorrection
from bot.store.database import Database, Transaction
from bot.talk.case import Place
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift, shift_of_lawn

if TYPE_CHECKING:
    from bot.ops.regions.shapes import Shape

NearestZip = Callable[[float, float], str | None]
ANSWERS_KEPT = 10_000


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


class AdoptedBook:
    """What operators adopted. Empty until the first `refresh`."""

    def __init__(self, nearest_zip: NearestZip) -> None:
        self._nearest_zip = nearest_zip
        self._adopted: tuple[Adopted, ...] = ()
        self._answers: dict[tuple[Place | None, GrassCode, str | None], LimitShift | None] = {}

    async def refresh(self, database: Database) -> bool:
        """Look what counts now; whether that changed."""
        async with database.read() as tx:
            now = await adopted_now(tx)
        if now == self._adopted:
            return False
        self._adopted, self._answers = now, {}
        return True

    def shift_at(self, place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
        """What counts for a lawn; None: the published figure. May be asked from any thread."""
        if not self._adopted:
            return None
        answers, asked = self._answers, (place, code, cultivar)
        if asked in answers:
            return answers[asked]
        found = shift_at(self._adopted, place, code, cultivar, self._nearest_zip)
        if len(answers) < ANSWERS_KEPT:
            answers[asked] = found
        return found


class KeepingUp:
    """What a running service does about corrections every minute."""

    def __init__(self, book: AdoptedBook, database: Database, changed: Callable[[], Awaitable[None]]) -> None:
        self._book = book
        self._database = database
        self._changed = changed
        self._has_looked = False

    async def run(self) -> None:
        """Look what counts; where that changed since the last look, have what rests on it worked out anew.

        Whoever adopted something while no service ran has seen to that already.
        """
        is_new, is_first = await self._book.refresh(self._database), not self._has_looked
        self._has_looked = True
        if is_new and not is_first:
            await self._changed()


def shift_at(
    adopted: Sequence[Adopted], place: Place | None, code: GrassCode, cultivar: str | None, nearest_zip: NearestZip
) -> LimitShift | None:
    """Which of some corrections counts for a lawn, as the rules take it."""
    possible = [each for each in adopted if each.is_for(code, cultivar) and lies_in(place, each.shape, nearest_zip)]
    if not possible:
        return None
    found = min(possible, key=lambda each: each.rank)
    is_own = found.cultivar is not None
    return shift_of_lawn(code, cultivar, found_dc=found.shift_dc, found_sd_dc=found.sd_dc, is_own=is_own)


def lies_in(place: Place | None, shape: Shape | None, nearest_zip: NearestZip) -> bool:
    """Whether a lawn lies in an area; everywhere (None) does every lawn, also one whose place is not known."""
    if shape is None or place is None:
        return shape is None
    from bot.ops.regions.counties import county_code
    from bot.ops.regions.selecting import holds
    from bot.ops.regions.whereabouts import Whereabouts

    where = Whereabouts(
        latitude=None if place.is_rough else place.latitude,
        longitude=None if place.is_rough else place.longitude,
        state=place.state,
        county=county_code(place.state, place.county) or "",
        zip_code=place.zip_code or ("" if place.is_rough else nearest_zip(place.latitude, place.longitude) or ""),
    )
    return holds(shape, where)


async def adopted_now(tx: Transaction) -> tuple[Adopted, ...]:
    """The corrections that were not taken back, of regions that have not ended."""
    rows = [each for each in await corrections.everything(tx) if each.undone_ms is None]
    if not rows:
        return ()
    areas = {each.id: (each.name, each.shape) for each in await regions.everything(tx) if each.ended_ms is None}
    return adopted_from(rows, areas)


def adopted_from(rows: Sequence[StoredCorrection], areas: Mapping[int, tuple[str, str]]) -> tuple[Adopted, ...]:
    """Rows as they count. `areas`: name and drawing by region; what is of another region is left out."""
    return tuple(_adopted(each, areas) for each in rows if each.region_id is None or each.region_id in areas)


def _adopted(row: StoredCorrection, areas: Mapping[int, tuple[str, str]]) -> Adopted:
    doc = CorrectionDoc.model_validate_json(row.doc)
    shape, name, area_km2 = None, "", float("inf")
    if row.region_id is not None:
        from bot.ops.regions.ground import area_km2 as area_of  # drawing and its library: only where somebody drew
        from bot.ops.regions.shapes import shape_from

        name, shape = areas[row.region_id][0], shape_from(areas[row.region_id][1])
        area_km2 = area_of(shape)
    return Adopted(
        id=row.id,
        region=name,
        shape=shape,
        area_km2=area_km2,
        grass=GrassCode(row.grass),
        cultivar=row.cultivar,
        shift_dc=doc.shift_dc,
        sd_dc=doc.sd_dc,
    )
