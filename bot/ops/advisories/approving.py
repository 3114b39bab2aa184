"""Approving: nothing goes out that a person did not approve.

1. Approved is what that person saw: one revision, with the drafts that follow it at theirs (`mark_of`).
2. Where a second person is needed, whoever made or last changed it cannot approve it. That is so wherever two operators
   may approve, unless `AFTERFROST_SECOND_APPROVER` says otherwise.
3. For three seconds, and for something planned until its moment, an approval can be taken back: nothing is listed or
   sent before. What follows is taken back with it.
4. **An approval stops what it puts right**, in its own transaction: a correction the advisory with the wrong words, and
   an update that presses the warning it follows, while that goes out. Whoever has not got it gets it no more. That
   stays so when the approval is taken back, since the words were no better before.
5. Without a name (at the command line) one may approve only where there is nobody who could.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from enum import StrEnum

from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, AdvisoryRefused, State, about, loaded
from bot.ops.advisories.drafts import found
from bot.ops.roles import Operator, Role
from bot.store import advisories, audits, operators, sends
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds

UNDO = timedelta(seconds=3)
"""How long after an approval nothing leaves, so that a slip can be taken back. A warning must not wait longer for it;
whoever sees a mistake later pauses or stops.
"""
ENOUGH_APPROVERS = 2


class SecondApprover(StrEnum):
    """When somebody else than its writer must approve."""

    AUTO = "auto"  # where there is somebody else
    ALWAYS = "always"
    NEVER = "never"


def mark_of(advisory: Advisory, following: Sequence[Advisory]) -> str:
    """What an approval is for: the revision, and of each draft that follows its number and revision ("2+7.1")."""
    drafts = sorted((each for each in following if each.state is State.DRAFT), key=lambda each: each.id)
    return "+".join([str(advisory.rev), *(f"{each.id}.{each.rev}" for each in drafts)])


class Approving:
    """Gives approvals and takes them back."""

    def __init__(
        self,
        database: Database,
        clock: Clock,
        second: SecondApprover = SecondApprover.AUTO,
        committed: Callable[[], None] = lambda: None,
    ) -> None:
        self._database = database
        self._clock = clock
        self._second = second
        self._committed = committed

    async def approve(self, advisory_id: int, mark: str, by: Operator | None) -> None:
        """Approve what `mark` stands for. Raises `AdvisoryRefused`."""
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            advisory = await found(tx, advisory_id)
            following = [loaded(row) for row in await advisories.after(tx, advisory_id)]
            _need_draft(advisory)
            if mark != mark_of(advisory, following):
                raise AdvisoryRefused("changed", "It was changed since you looked. Look at it again.")
            await _need_approved_first(tx, advisory)
            for each in (advisory, *(other for other in following if other.state is State.DRAFT)):
                await self._need_may(tx, each, by)
                by_id = None if by is None else by.id
                values = {"state": State.APPROVED, "approved_by": by_id, "approved_ms": now_ms}
                await advisories.move(tx, each.id, [State.DRAFT], values, of_rev=each.rev)
                await _note(tx, by, "approved", each, now_ms)
            is_stopping = await _stop_what_it_puts_right(tx, advisory, by, now_ms)
        if is_stopping:
            self._committed()

    async def undo(self, advisory_id: int, by: Operator | None) -> None:
        """Take an approval back before anything left. Raises `AdvisoryRefused` (`begun`) when it is too late."""
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            advisory = await found(tx, advisory_id)
            if not await _back_to_draft(tx, advisory_id):
                raise AdvisoryRefused("begun", f"It is {advisory.state} already. Pause it or stop it.")
            await _note(tx, by, "took back", advisory, now_ms)
            await take_back_following(tx, advisory_id, by, now_ms)

    async def why_not(self, advisory: Advisory, by: Operator | None) -> AdvisoryRefused | None:
        """Why somebody cannot approve an advisory, if so: to tell it beforehand."""
        async with self._database.read() as tx:
            try:
                _need_draft(advisory)
                await _need_approved_first(tx, advisory)
                await self._need_may(tx, advisory, by)
            except AdvisoryRefused as refused:
                return refused
        return None

    async def _need_may(self, tx: Transaction, advisory: Advisory, by: Operator | None) -> None:
        everybody = [each for each in await operators.everybody(tx) if not each.ended_ms]
        approvers = [each for each in everybody if Role(each.role).may(Role.APPROVER)]
        if by is None and approvers:
            raise AdvisoryRefused("nameless", "Say who approves: there are operators who may (--as NAME).")
        if by is not None and not by.role.may(Role.APPROVER):
            raise AdvisoryRefused("role", f"{by.name} may not approve.")
        needs_second = self._second is SecondApprover.ALWAYS or (
            self._second is SecondApprover.AUTO and len(approvers) >= ENOUGH_APPROVERS
        )
        if needs_second and (by is None or by.id in (advisory.made_by, advisory.changed_by)):
            raise AdvisoryRefused("second", "Somebody else than who wrote it must approve it.")


async def take_back_following(
    tx: Transaction, advisory_id: int, by: Operator | None, now_ms: int, but: int | None = None
) -> None:
    """What was to follow is a draft again, for somebody to look at."""
    for row in await advisories.after(tx, advisory_id):
        if row.id != but and await _back_to_draft(tx, row.id):
            await _note(tx, by, "took back", loaded(row), now_ms)


def puts_right(advisory: Advisory, now_ms: int) -> int | None:
    """The advisory that must not go on beside this one: what it corrects, or what it follows at once, pressing."""
    content = advisory.content
    is_update = content.is_pressing and content.due_at is not None and milliseconds(content.due_at) <= now_ms
    return content.corrects or (content.after_id if is_update else None)


async def _stop_what_it_puts_right(tx: Transaction, advisory: Advisory, by: Operator | None, now_ms: int) -> bool:
    """Stop what is still going out and is put right by what was just approved; whether there was any."""
    first_id = puts_right(advisory, now_ms)
    if first_id is None:
        return False
    states = [State.GOING_OUT, State.PAUSED] + ([State.APPROVED] if advisory.content.corrects else [])
    stopped = {"state": State.DROPPED, "ended_ms": now_ms, "overtaken_by": advisory.id}
    if not await advisories.move(tx, first_id, states, stopped):
        return False
    await sends.hold(tx, first_id)
    await sends.forget_old_claims(tx, first_id)
    by_id = None if by is None else by.id
    detail = f"by the approval of advisory {advisory.id}"
    await audits.note(tx, Deed(at_ms=now_ms, operator_id=by_id, act="stopped", about=about(first_id), detail=detail))
    await take_back_following(tx, first_id, by, now_ms, but=advisory.id)
    return True


async def _back_to_draft(tx: Transaction, advisory_id: int) -> bool:
    taken_back = {"state": State.DRAFT, "approved_by": None, "approved_ms": None}
    return await advisories.move(tx, advisory_id, [State.APPROVED], taken_back)


def _need_draft(advisory: Advisory) -> None:
    if advisory.state is not State.DRAFT:
        raise AdvisoryRefused("no_draft", f"Advisory {advisory.id} is no draft any more: it is {advisory.state}.")


async def _need_approved_first(tx: Transaction, advisory: Advisory) -> None:
    """What follows cannot go before what it follows."""
    if advisory.content.after_id is None:
        return
    first = await found(tx, advisory.content.after_id)
    if first.approved_at is None:
        raise AdvisoryRefused("first", f"It follows advisory {first.id}: approve that one, and this goes with it.")


async def _note(tx: Transaction, by: Operator | None, act: str, advisory: Advisory, now_ms: int) -> None:
    by_id = None if by is None else by.id
    detail = f"revision {advisory.rev}"
    await audits.note(tx, Deed(at_ms=now_ms, operator_id=by_id, act=act, about=advisory.about, detail=detail))
