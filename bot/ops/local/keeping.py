"""Saying something of a region, and taking it back.

1. Only somebody who may draw regions may (or whoever runs this, at the command line).
2. A piece said anew keeps the older one. Taking the newest back lets the one before it count again.
3. Everything that was typed together is kept together, or nothing of it is.
4. Every change is written down with who made it, in the same transaction. A form that was opened before somebody else's
   change does not undo it unseen.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bot.clock import Clock
from bot.ops.local.book import standing
from bot.ops.local.pieces import FreezeDoc, Piece
from bot.ops.local.refused import LocalRefused
from bot.ops.roles import Operator, Role
from bot.store import audits, local_rules, operators, regions
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds
from bot.store.local_rules import NewLocalRule, StoredLocalRule


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was ever said of a region, newest first, and who is who. `counting`: by piece the row that counts."""

    rows: Sequence[StoredLocalRule]
    counting: Mapping[Piece, StoredLocalRule]
    names: Mapping[int, str]

    @property
    def newest(self) -> int:
        """The newest row's id, or 0: what a form was filled from."""
        return max((each.id for each in self.rows), default=0)

    def may_undo(self, row: StoredLocalRule) -> bool:
        """Whether a row is the newest word on its piece."""
        alive = [each.id for each in self.rows if each.piece == row.piece and each.undone_ms is None]
        return row.id == max(alive, default=None)

    def by(self, operator_id: int | None) -> str:
        """An operator's name; "" for the command line."""
        return self.names.get(operator_id or 0, "")


class Keeping:
    """Writes what is said of regions. Reads the database each time: a command beside the service may change it."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    async def kept(self, region_id: int) -> Kept:
        """What was ever said of a region."""
        async with self._database.read() as tx:
            return await _kept(tx, region_id)

    async def counting(self) -> Mapping[int, Mapping[Piece, StoredLocalRule]]:
        """By region what counts there."""
        async with self._database.read() as tx:
            rows = standing(await local_rules.everything(tx))
        found: dict[int, dict[Piece, StoredLocalRule]] = {}
        for row in rows:
            if row.piece in set(Piece):
                found.setdefault(row.region_id, {})[Piece(row.piece)] = row
        return found

    async def say(
        self, region_id: int, docs: Mapping[Piece, str | None], by: Operator | None, *, seen: int | None = None
    ) -> list[Piece]:
        """Keep what is new in these pieces; which those are. `seen`: the newest row when they were typed.

        Raises `LocalRefused`.
        """
        _require_approver(by)
        self._require_past(docs)
        operator_id, now_ms = by.id if by else None, milliseconds(self._clock.now())
        async with self._database.write() as tx:
            await _require_region(tx, region_id)
            kept = await _kept(tx, region_id)
            if seen is not None and seen != kept.newest:
                raise LocalRefused("Somebody else changed this region meanwhile. Look again, then type it once more.")
            current = {piece: row.doc for piece, row in kept.counting.items()}
            changed = [piece for piece, doc in docs.items() if doc != current.get(piece)]
            for piece in changed:
                new = NewLocalRule(
                    region_id=region_id, piece=piece, doc=docs[piece], made_by=operator_id, made_ms=now_ms
                )
                made = await local_rules.add(tx, new)
                act = "set local rule" if docs[piece] is not None else "ended local rule"
                await audits.note(tx, _deed(now_ms, operator_id, act, region_id, f"{piece} ({made})"))
        return changed

    async def undo(self, region_id: int, rule_id: int, by: Operator | None) -> str:
        """Take the newest word on a piece back; which piece. Raises `LocalRefused`."""
        _require_approver(by)
        operator_id, now_ms = by.id if by else None, milliseconds(self._clock.now())
        async with self._database.write() as tx:
            kept = await _kept(tx, region_id)
            row = next((each for each in kept.rows if each.id == rule_id), None)
            if row is None or not kept.may_undo(row):
                raise LocalRefused("That is not the newest word on it, or it was taken back before. Look again.")
            await local_rules.undo(tx, rule_id, operator_id, now_ms)
            detail = f"{row.piece} ({rule_id})"
            await audits.note(tx, _deed(now_ms, operator_id, "took back local rule", region_id, detail))
        return row.piece

    def _require_past(self, docs: Mapping[Piece, str | None]) -> None:
        doc = docs.get(Piece.FREEZE)
        if doc and FreezeDoc.model_validate_json(doc).coldest_on > self._clock.now().date():
            raise LocalRefused("That freeze is still to come. Its day is in the future.")


async def _kept(tx: Transaction, region_id: int) -> Kept:
    rows = [each for each in await local_rules.everything(tx) if each.region_id == region_id]
    counting = {Piece(each.piece): each for each in standing(rows) if each.piece in set(Piece)}
    names = {each.id: each.name for each in await operators.everybody(tx)}
    return Kept(rows=rows[::-1], counting=counting, names=names)


async def _require_region(tx: Transaction, region_id: int) -> None:
    region = await regions.by_id(tx, region_id)
    if region is None or region.ended_ms is not None:
        raise LocalRefused('There is no such region, or it has ended. "region list" shows those there are.')


def _require_approver(by: Operator | None) -> None:
    if by is not None and not by.role.may(Role.APPROVER):
        raise LocalRefused(f"{by.name} is {by.role}. Only an approver or a keeper says what holds in a region.")


def _deed(at_ms: int, operator_id: int | None, act: str, region_id: int, detail: str) -> Deed:
    return Deed(at_ms=at_ms, operator_id=operator_id, act=act, about=f"region {region_id}", detail=detail)
