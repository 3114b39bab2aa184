"""Letting operators in and out.

1. A wrong name and a wrong password are answered the same, after the same work.
2. A try is counted before it is looked at, so that many at once are no way around the wait.
3. Who was let go, or whose role changed, is out at once: each look asks the record anew.
4. Whatever is done here is written down in the transaction that does it. Passwords and names that were typed are not.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

from bot.clock import Clock
from bot.ops.desk import sessions
from bot.ops.desk.passwords import Passwords, is_fit
from bot.ops.desk.patience import REMEMBERED, Trace, take_a_try, trace_of_try
from bot.ops.roles import Operator, Role
from bot.store import audits, operators
from bot.store.audits import Deed
from bot.store.database import Transaction, milliseconds
from bot.store.operators import LINK, SESSION, StoredOperator, digest_of_secret
from bot.store.store import Store

REFUSED = "was not let in"
"""The act of nobody: the only one without an operator that was not done at the command line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What came of a try: the secret of a new session, or None and how long to wait where it was too early."""

    secret: str | None = None
    wait: timedelta = timedelta(0)


class NotChanged(Exception):
    """A password stays as it was; `fault` says why."""

    def __init__(self, fault: Literal["unfit", "wait", "wrong"]) -> None:
        super().__init__(fault)
        self.fault = fault


class Entering:
    """Who is signed in, and how they came in."""

    def __init__(self, store: Store, clock: Clock, passwords: Passwords) -> None:
        self._store = store
        self._clock = clock
        self._passwords = passwords

    async def who(self, secret: str) -> Operator | None:
        """The operator whose browser holds a secret; None where it opens nothing (any more)."""
        now, digest = self._clock.now(), digest_of_secret(secret)
        async with self._store.database.read() as tx:
            found = await operators.key_of(tx, SESSION, digest)
        if found is None or found[1].ended_ms is not None or not sessions.is_open(found[0], now):
            return None
        if sessions.is_to_be_noted(found[0], now):
            async with self._store.database.write() as tx:
                await operators.note_use(tx, digest, milliseconds(now))
        return operator_of(found[1])

    async def sign_in(self, name: str, password: str, address: str, before: str = "") -> Tried:
        """Let somebody in by name and password. `before`: the secret their browser held, which opens nothing then."""
        now = self._clock.now()
        async with self._store.database.write() as tx:
            await operators.drop_old(tx, milliseconds(now), milliseconds(now - REMEMBERED))
            trace = trace_of_try(tx, name, address)
            wait = await take_a_try(tx, trace, now)
        if wait:
            return Tried(wait=wait)
        async with self._store.database.read() as tx:
            known = await operators.by_name(tx, name)
        kept = known.password if known else None
        is_right = await self._passwords.is_right(password, kept)
        renewed = await self._renewed(password, kept) if is_right else None
        async with self._store.database.write() as tx:
            if known is None or not is_right or not await _is_still(tx, known):
                await audits.note(tx, _deed(now, None, REFUSED, f"operator {known.id}" if known else "no operator"))
                return Tried()
            if renewed is not None:
                await operators.set_password(tx, known.id, renewed)
            await operators.drop_key(tx, digest_of_secret(before))
            return Tried(secret=await self._let_in(tx, known.id, trace, now))

    async def link_works(self, secret: str) -> bool:
        """Whether a one-time link still opens the door. Asking does not use it up: programs look at links, too."""
        async with self._store.database.read() as tx:
            found = await operators.key_of(tx, LINK, digest_of_secret(secret))
        return found is not None and found[0].used_ms is None and milliseconds(self._clock.now()) < found[0].expires_ms

    async def use_link(self, secret: str, before: str = "") -> str | None:
        """Let somebody in by a one-time link; the secret of the new session, None where the link works no more."""
        now, digest = self._clock.now(), digest_of_secret(secret)
        async with self._store.database.write() as tx:
            found = await operators.key_of(tx, LINK, digest)
            if found is None or found[1].ended_ms is not None:
                return None
            if not await operators.use_up(tx, digest, milliseconds(now)):
                return None
            await operators.drop_key(tx, digest_of_secret(before))
            await audits.note(tx, _deed(now, found[1].id, "signed in by link", "desk"))
            return await sessions.open_session(tx, found[1].id, now)

    async def sign_out(self, secret: str, operator: Operator) -> None:
        """End a session."""
        async with self._store.database.write() as tx:
            await operators.drop_key(tx, digest_of_secret(secret))
            await audits.note(tx, _deed(self._clock.now(), operator.id, "signed out", "desk"))

    async def has_password(self, operator: Operator) -> bool:
        """Whether an operator signs in by password."""
        async with self._store.database.read() as tx:
            stored = await operators.by_id(tx, operator.id)
        return stored is not None and stored.password is not None

    async def change_password(self, operator: Operator, old: str, new: str, address: str) -> str:
        """Give an operator the password they chose; the secret of a new session for this browser. All others end.

        Raises `NotChanged`.
        """
        if not is_fit(new, operator.name):
            raise NotChanged("unfit")
        now = self._clock.now()
        async with self._store.database.write() as tx:
            stored = await operators.by_id(tx, operator.id)
            trace = trace_of_try(tx, operator.name, address)
            wait = await take_a_try(tx, trace, now)
        if wait:
            raise NotChanged("wait")
        kept = stored.password if stored else None
        if kept is not None and not await self._passwords.is_right(old, kept):
            raise NotChanged("wrong")
        hashed = await self._passwords.hashed(new)
        async with self._store.database.write() as tx:
            if stored is None or not await _is_still(tx, stored):
                raise NotChanged("wrong")
            await operators.set_password(tx, operator.id, hashed)
            await operators.drop_keys_of(tx, operator.id)
            await operators.forget_tries(tx, trace.name)
            await audits.note(tx, _deed(now, operator.id, "changed password", f"operator {operator.id}"))
            return await sessions.open_session(tx, operator.id, now)

    async def _let_in(self, tx: Transaction, operator_id: int, trace: Trace, now: datetime) -> str:
        await operators.forget_tries(tx, trace.name)
        await operators.forget_tries(tx, trace.place, milliseconds(now))
        await audits.note(tx, _deed(now, operator_id, "signed in", "desk"))
        return await sessions.open_session(tx, operator_id, now)

    async def _renewed(self, password: str, kept: str | None) -> str | None:
        """A password's hash at today's cost, where the one that is kept is of another."""
        if kept is None or self._passwords.is_of_today(kept):
            return None
        return await self._passwords.hashed(password)


def operator_of(stored: StoredOperator) -> Operator:
    """An operator as the rooms know them."""
    return Operator(id=stored.id, name=stored.name, role=Role(stored.role))


async def _is_still(tx: Transaction, known: StoredOperator) -> bool:
    """Whether an operator is as they were a moment ago: hashing takes long enough for somebody to let them go."""
    return await operators.by_id(tx, known.id) == known


def _deed(now: datetime, operator_id: int | None, act: str, about: str) -> Deed:
    return Deed(at_ms=milliseconds(now), operator_id=operator_id, act=act, about=about)
