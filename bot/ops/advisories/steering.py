"""Pausing, going on and stopping what is going out. All of it takes effect at once, and survives a kill.

What stands in the outbox is held there in the same transaction that changes the state; only what is in the air at that
moment still arrives. What is stopped is taken out of the outbox when nothing of it can be in the air any more, so that
the report counts what arrived (`settling.py`).
"""

from __future__ import annotations

from collections.abc import Callable

from bot.clock import Clock
from bot.ops.advisories.advisory import AdvisoryRefused, State, about
from bot.ops.advisories.approving import take_back_following
from bot.ops.advisories.drafts import found
from bot.ops.roles import Operator, Role
from bot.store import advisories, audits, sends
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds


class Steering:
    """Steers what is going out. `committed` wakes the courier, where it runs in this process."""

    def __init__(self, database: Database, clock: Clock, committed: Callable[[], None] = lambda: None) -> None:
        self._database = database
        self._clock = clock
        self._committed = committed

    async def pause(self, advisory_id: int, by: Operator | None) -> None:
        """Let nothing more out until it is resumed. Raises `AdvisoryRefused` when it is not going out."""
        _need_role(by, Role.ADVISOR)
        async with self._database.write() as tx:
            await self._move(tx, advisory_id, [State.GOING_OUT], State.PAUSED)
            await sends.hold(tx, advisory_id)
            await self._note(tx, by, "paused", advisory_id)
        self._committed()

    async def resume(self, advisory_id: int, by: Operator | None) -> None:
        """Go on. Raises `AdvisoryRefused` when it is not paused."""
        _need_role(by, Role.APPROVER)
        async with self._database.write() as tx:
            await self._move(tx, advisory_id, [State.PAUSED], State.GOING_OUT)
            await sends.let_go(tx, advisory_id)
            await self._note(tx, by, "resumed", advisory_id)
        self._committed()

    async def cancel(self, advisory_id: int, by: Operator | None) -> None:
        """Stop for good, also before it began. Raises `AdvisoryRefused` when it is over or was never approved."""
        _need_role(by, Role.APPROVER)
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            states = [State.APPROVED, State.GOING_OUT, State.PAUSED]
            await self._move(tx, advisory_id, states, State.DROPPED, ended_ms=now_ms)
            await sends.hold(tx, advisory_id)
            await sends.forget_old_claims(tx, advisory_id)
            await self._note(tx, by, "stopped", advisory_id)
            await take_back_following(tx, advisory_id, by, now_ms)
        self._committed()

    async def _move(self, tx: Transaction, advisory_id: int, states: list[State], to: State, **values: int) -> None:
        if not await advisories.move(tx, advisory_id, states, {"state": to, **values}):
            now = await found(tx, advisory_id)
            raise AdvisoryRefused("state", f"Advisory {advisory_id} is {now.state}; this cannot be done to it now.")

    async def _note(self, tx: Transaction, by: Operator | None, act: str, advisory_id: int) -> None:
        by_id, now_ms = None if by is None else by.id, milliseconds(self._clock.now())
        await audits.note(tx, Deed(at_ms=now_ms, operator_id=by_id, act=act, about=about(advisory_id)))


def _need_role(by: Operator | None, role: Role) -> None:
    """Whoever writes drafts may stop harm for the moment; what goes on or ends is for those who approve."""
    if by is not None and not by.role.may(role):
        raise AdvisoryRefused("role", f"{by.name} may not do that.")
