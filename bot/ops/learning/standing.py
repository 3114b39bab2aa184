"""The corrections that stand: what was adopted and not taken back, by whom, when, and whether it counts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.ops.learning.correction import CorrectionDoc
from bot.store import corrections, operators, regions
from bot.store.corrections import StoredCorrection
from bot.store.database import Transaction, instant
from rules.grasses import GrassCode


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A correction nobody took back.

    region_id, region : None and "" for everywhere; by : "" for the command line
    is_over : its region has ended; is_older : a newer one for the same lawns counts in its place
    """

    id: int
    region_id: int | None
    region: str
    grass: GrassCode
    cultivar: str | None
    doc: CorrectionDoc
    by: str
    at: datetime
    is_over: bool
    is_older: bool

    @property
    def counts(self) -> bool:
        """Whether any lawn is told by it."""
        return not (self.is_over or self.is_older)


async def standing(tx: Transaction) -> tuple[Standing, ...]:
    """Every correction that was not taken back, oldest first."""
    rows = [each for each in await corrections.everything(tx) if each.undone_ms is None]
    areas = {each.id: (each.name, each.ended_ms is not None) for each in await regions.everything(tx)}
    names = {each.id: each.name for each in await operators.everybody(tx)}
    return tuple(_standing(each, rows, areas, names) for each in rows)


def _standing(
    row: StoredCorrection,
    rows: Sequence[StoredCorrection],
    areas: dict[int, tuple[str, bool]],
    names: dict[int, str],
) -> Standing:
    region, is_over = areas.get(row.region_id, ("", True)) if row.region_id is not None else ("", False)
    return Standing(
        id=row.id,
        region_id=row.region_id,
        region=region,
        grass=GrassCode(row.grass),
        cultivar=row.cultivar,
        doc=CorrectionDoc.model_validate_json(row.doc),
        by=names.get(row.adopted_by, "") if row.adopted_by is not None else "",
        at=instant(row.adopted_ms),
        is_over=is_over,
        is_older=any(each.id > row.id and _same(each, row) for each in rows),
    )


def _same(one: StoredCorrection, other: StoredCorrection) -> bool:
    return (one.region_id, one.grass, one.cultivar) == (other.region_id, other.grass, other.cultivar)
