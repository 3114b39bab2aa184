"""Who is let in, as what, and until when: the same for the keeper's page and the command line.

Somebody always stays who can let others in. A name is given once: who did what is told by name, for good.
"""

from __future__ import annotations

import re
from typing import Literal

from bot.arrivals import Consent, ConsentNote
from bot.clock import Clock
from bot.ops.desk import sessions
from bot.ops.roles import Role
from bot.store import audits, operators, reaches
from bot.store.audits import Deed
from bot.store.database import Transaction, milliseconds
from bot.store.operators import NewOperator, StoredOperator, folded
from bot.store.store import Store

LONGEST_NAME = 40
_NAME = re.compile(r"[^\W_](?:[\w .'-]*[^\W_])?")
Fault = Literal["name", "taken", "nobody", "last", "same"]


class Unfit(Exception):
    """It cannot be done; `fault` says why."""

    def __init__(self, fault: Fault) -> None:
        super().__init__(fault)
        self.fault = fault


class Staffing:
    """Lets operators in and go. `by` is who does it: an operator's id, or None for the command line."""

    def __init__(self, store: Store, clock: Clock) -> None:
        self._store = store
        self._clock = clock

    async def everybody(self) -> list[StoredOperator]:
        """All operators, those who were let go last."""
        async with self._store.database.read() as tx:
            found = await operators.everybody(tx)
        return sorted(found, key=lambda each: (each.ended_ms is not None, folded(each.name)))

    async def named(self, name: str) -> StoredOperator:
        """Who is let in under a name. Raises `Unfit`."""
        async with self._store.database.read() as tx:
            found = await operators.by_name(tx, name)
        if found is None:
            raise Unfit("nobody")
        return found

    async def add(self, name: str, role: Role, by: int | None) -> str:
        """Let somebody in; the secret of their first link. Raises `Unfit`."""
        name = " ".join(name.split())
        if len(name) > LONGEST_NAME or not _NAME.fullmatch(name):
            raise Unfit("name")
        now = self._clock.now()
        async with self._store.database.write() as tx:
            if any(folded(each.name) == folded(name) for each in await operators.everybody(tx)):
                raise Unfit("taken")
            new = NewOperator(name=name, role=role, made_ms=milliseconds(now))
            operator_id = await operators.add(tx, new)
            await self._note(tx, by, "let in", operator_id, role)
            return await sessions.make_link(tx, operator_id, now)

    async def link(self, operator_id: int, by: int | None) -> str:
        """The secret of a new link for somebody who is let in. Raises `Unfit`."""
        async with self._store.database.write() as tx:
            await _there(tx, operator_id)
            await self._note(tx, by, "made a link for", operator_id)
            return await sessions.make_link(tx, operator_id, self._clock.now())

    async def change_role(self, operator_id: int, role: Role, by: int | None) -> None:
        """Change what somebody may do. They sign in anew. Raises `Unfit`."""
        async with self._store.database.write() as tx:
            known = await _there(tx, operator_id)
            if known.role == role:
                raise Unfit("same")
            await _somebody_stays(tx, known)
            await operators.set_role(tx, operator_id, role)
            await operators.drop_keys_of(tx, operator_id)
            await self._note(tx, by, "changed the role of", operator_id, f"{known.role} to {role}")

    async def send_digests(self, operator_id: int, channel: str | None, address: str | None, by: int | None) -> None:
        """Where somebody gets the weekly digest from now on; None for nowhere. Raises `Unfit`.

        A number of theirs is as good as agreed: they work here, and STOP works for them as for everybody.
        """
        now_ms = milliseconds(self._clock.now())
        async with self._store.database.write() as tx:
            await _there(tx, operator_id)
            await operators.set_channel(tx, operator_id, channel, address)
            if channel is not None and address is not None and not await reaches.has_refused(tx, channel, address):
                note = ConsentNote(consent=Consent.GIVEN, said="", shown="", source="an operator's own")
                await reaches.note_consent(tx, channel, address, [note], now_ms)
            await self._note(tx, by, "changed the digest of", operator_id, channel or "none")

    async def let_go(self, operator_id: int, by: int | None) -> None:
        """Let somebody go: they are out at once. Raises `Unfit`."""
        now = self._clock.now()
        async with self._store.database.write() as tx:
            known = await _there(tx, operator_id)
            await _somebody_stays(tx, known)
            await operators.end(tx, operator_id, milliseconds(now))
            await operators.drop_keys_of(tx, operator_id)
            await self._note(tx, by, "let go", operator_id)

    async def _note(self, tx: Transaction, by: int | None, act: str, operator_id: int, detail: str = "") -> None:
        at_ms = milliseconds(self._clock.now())
        deed = Deed(at_ms=at_ms, operator_id=by, act=act, about=f"operator {operator_id}", detail=detail)
        await audits.note(tx, deed)


async def _there(tx: Transaction, operator_id: int) -> StoredOperator:
    found = await operators.by_id(tx, operator_id)
    if found is None or found.ended_ms is not None:
        raise Unfit("nobody")
    return found


async def _somebody_stays(tx: Transaction, going: StoredOperator) -> None:
    """Raise `Unfit` when nobody but them could let others in."""
    others = [each for each in await operators.everybody(tx) if each.id != going.id and each.ended_ms is None]
    if going.role == Role.KEEPER and not any(each.role == Role.KEEPER for each in others):
        raise Unfit("last")
