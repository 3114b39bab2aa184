"""Adopting what was learned, and taking it back.

1. Only what says "enough" may be adopted, and only by somebody who may approve (or at the command line).
2. The newest correction of a grass or cultivar in a region counts. Taking it back lets the one before it count again,
   or else the published figure.
3. Every adoption and every undoing is written down with who did it, in the same transaction.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import TYPE_CHECKING

from bot.clock import Clock
from bot.errors import AfterfrostError
from bot.ops.learning.adopted import Adopted, adopted_from, adopted_now, shift_at
from bot.ops.learning.correction import CorrectionDoc
from bot.ops.regions.by_place import NearestZip
from bot.ops.roles import Operator, Role
from bot.store import audits, corrections, regions
from bot.store.audits import Deed
from bot.store.corrections import NewCorrection, StoredCorrection
from bot.store.database import Database, Transaction, milliseconds
from bot.talk.case import Place
from bot.talk.known import ShiftAt
from rules.facts.lt50 import ENOUGH_NEAR_LAWNS
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift

if TYPE_CHECKING:
    from rules.lt50_fit import FoundShift


class AdoptionRefused(AfterfrostError):
    """What was wanted of a correction cannot be done; the message says what to do instead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A correction somebody thinks of. `region_id` None: everywhere; `cultivar` None: the grass."""

    region_id: int | None
    code: GrassCode
    cultivar: str | None
    doc: CorrectionDoc

    def row(self, correction_id: int, by: int | None, at_ms: int) -> StoredCorrection:
        """As it would be stored."""
        new = self.new(by, at_ms)
        return StoredCorrection(
            id=correction_id,
            region_id=new.region_id,
            grass=new.grass,
            cultivar=new.cultivar,
            doc=new.doc,
            adopted_by=by,
            adopted_ms=at_ms,
            undone_by=None,
            undone_ms=None,
        )

    def new(self, by: int | None, at_ms: int) -> NewCorrection:
        """As it is given to the store."""
        return NewCorrection(
            region_id=self.region_id,
            grass=self.code.value,
            cultivar=self.cultivar,
            doc=self.doc.model_dump_json(),
            adopted_by=by,
            adopted_ms=at_ms,
        )


class Adopting:
    """Writes corrections. Reads the database each time: a command beside the service may change it."""

    def __init__(self, database: Database, clock: Clock, nearest_zip: NearestZip) -> None:
        self._database = database
        self._clock = clock
        self._nearest_zip = nearest_zip

    async def now(self) -> tuple[Adopted, ...]:
        """What counts now."""
        async with self._database.read() as tx:
            return await adopted_now(tx)

    async def everything(self) -> Sequence[StoredCorrection]:
        """Every correction there is or was, oldest first."""
        async with self._database.read() as tx:
            return await corrections.everything(tx)

    async def shift_now(self) -> ShiftAt:
        """How lawns are corrected now."""
        return self._shifts(await self.now())

    async def shift_with(self, wanted: Wanted) -> ShiftAt:
        """How lawns would be corrected, were this adopted now. Raises AdoptionRefused without such a region."""
        async with self._database.read() as tx:
            adopted = await adopted_now(tx)
            newest = max((each.id for each in adopted), default=0) + 1
            would_be = adopted_from([wanted.row(newest, None, 0)], await self._regions(tx, wanted.region_id))
        return self._shifts((*adopted, *would_be))

    async def adopt(self, wanted: Wanted, found: FoundShift, by: Operator | None) -> int:
        """Adopt it; the correction's id. Raises AdoptionRefused for too little, or by somebody who may not."""
        _require_approver(by)
        _require_enough(found)
        operator_id, now_ms = by.id if by else None, milliseconds(self._clock.now())
        async with self._database.write() as tx:
            await self._regions(tx, wanted.region_id)
            correction_id = await corrections.add(tx, wanted.new(operator_id, now_ms))
            detail = f"{wanted.cultivar or wanted.code}: {wanted.doc.shift_dc:+.2f} degC, region {wanted.region_id}"
            await audits.note(tx, _deed(now_ms, operator_id, "adopted", correction_id, detail))
        return correction_id

    async def undo(self, correction_id: int, by: Operator | None) -> None:
        """Take a correction back. Raises AdoptionRefused when that was done before, or there is none."""
        _require_approver(by)
        operator_id, now_ms = by.id if by else None, milliseconds(self._clock.now())
        async with self._database.write() as tx:
            if not await corrections.undo(tx, correction_id, operator_id, now_ms):
                raise AdoptionRefused(
                    f'There is no correction {correction_id} that counts. "learn show" lists those that do.'
                )
            await audits.note(tx, _deed(now_ms, operator_id, "took back", correction_id, ""))

    async def _regions(self, tx: Transaction, region_id: int | None) -> dict[int, tuple[str, str]]:
        """The region by its id, as `adopted_from` takes it."""
        if region_id is None:
            return {}
        region = await regions.by_id(tx, region_id)
        if region is None or region.ended_ms is not None:
            raise AdoptionRefused('There is no such region, or it has ended. "region list" shows those there are.')
        return {region.id: (region.name, region.shape)}

    def _shifts(self, adopted: Sequence[Adopted]) -> ShiftAt:
        def shift(place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
            return shift_at(adopted, place, code, cultivar, self._nearest_zip)

        return shift


def why_not_enough(found: FoundShift) -> str:
    """Why it may not be adopted, in a sentence; "" where it may."""
    if found.has_few_lawns:
        return f"Only {found.near:.0f} lawns got near the limit. It takes {ENOUGH_NEAR_LAWNS.value:.0f}."
    if found.is_wide:
        return "The range is still more than half as wide as before any lawn. Pot tests would narrow it most."
    return ""


def lawns_missing(found: FoundShift) -> int:
    """How many more lawns near the limit it takes; 0 where they are enough."""
    return max(0, ceil(ENOUGH_NEAR_LAWNS.value - found.near))


def _require_enough(found: FoundShift) -> None:
    if not found.is_enough:
        raise AdoptionRefused(f"Not enough to adopt. {why_not_enough(found)}")


def _require_approver(by: Operator | None) -> None:
    if by is not None and not by.role.may(Role.APPROVER):
        raise AdoptionRefused(f"{by.name} is {by.role}. Only an approver or a keeper adopts what was learned.")


def _deed(at_ms: int, operator_id: int | None, act: str, correction_id: int, detail: str) -> Deed:
    about = f"correction {correction_id}"
    return Deed(at_ms=at_ms, operator_id=operator_id, act=act, about=about, detail=detail)
