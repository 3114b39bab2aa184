"""Writing advisories: drafting, changing, dropping, and finding them again.

1. Every change makes a new revision, and an approval holds for one. Whoever changes says which revision they saw.
2. What was approved is no draft any more: it is undone first (`approving.py`), or stopped.
3. A draft is kept only if its words can be sent (`checking.py`).
4. Each deed is in the record of who did what, with no word of the text.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, AdvisoryRefused, NewAdvisory, State, about, dump_content, loaded
from bot.ops.advisories.checking import check
from bot.ops.regions.audience import Audience, audience_doc, audience_from
from bot.store import advisories, audits, sends
from bot.store.advisories import NewAdvisoryRow
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds

__all__ = ["Advisories", "NewAdvisory"]


class Advisories:
    """The drafts of a house, and everything that became of them."""

    def __init__(self, database: Database, clock: Clock) -> None:
        self._database = database
        self._clock = clock

    async def draft(self, new: NewAdvisory, by: int | None) -> int:
        """Keep a draft; its id. Raises `AdvisoryRefused` when it cannot be sent as it is, `ShapeRefused` for whom."""
        new = self._checked(new)
        async with self._database.write() as tx:
            await _need_first(tx, new)
            row = NewAdvisoryRow(
                doc=dump_content(new, by),
                state=State.DRAFT,
                made_by=by,
                made_ms=self._now_ms(),
                due_ms=_milliseconds(new.due_at),
                after_id=new.after_id,
            )
            advisory_id = await advisories.add(tx, row)
            await self._note(tx, by, "drafted", advisory_id)
        return advisory_id

    async def change(self, advisory_id: int, rev: int, new: NewAdvisory, by: int | None) -> int:
        """Put other content into a draft; its new revision. Raises `AdvisoryRefused`."""
        new = self._checked(new)
        async with self._database.write() as tx:
            await _need_first(tx, new, advisory_id)
            columns = {"due_ms": _milliseconds(new.due_at), "after_id": new.after_id, "rev": rev + 1}
            values = {"doc": dump_content(new, by), **columns}
            is_done = await advisories.move(tx, advisory_id, [State.DRAFT], values, of_rev=rev)
            if not is_done:
                raise await _why_not(tx, advisory_id, rev)
            await self._note(tx, by, "changed", advisory_id, f"revision {rev + 1}")
        return rev + 1

    async def drop(self, advisory_id: int, by: int | None) -> None:
        """Give up a draft, with the drafts that were to follow it. Raises `AdvisoryRefused` for what is no draft."""
        dropped = {"state": State.DROPPED, "ended_ms": self._now_ms()}
        async with self._database.write() as tx:
            if not await advisories.move(tx, advisory_id, [State.DRAFT], dropped):
                raise await _why_not(tx, advisory_id, None)
            await self._note(tx, by, "dropped", advisory_id)
            for each in await advisories.after(tx, advisory_id):
                if await advisories.move(tx, each.id, [State.DRAFT], dropped):
                    await self._note(tx, by, "dropped", each.id, f"with advisory {advisory_id}")

    async def get(self, advisory_id: int) -> Advisory:
        """One advisory. Raises `AdvisoryRefused` (`unknown`)."""
        async with self._database.read() as tx:
            return await found(tx, advisory_id)

    async def latest(self, at_most: int = 100) -> list[Advisory]:
        """The newest first."""
        async with self._database.read() as tx:
            return [loaded(row) for row in await advisories.latest(tx, at_most)]

    async def following(self, advisory_id: int) -> list[Advisory]:
        """What goes later to those who got it, unless it was dropped."""
        async with self._database.read() as tx:
            rows = await advisories.after(tx, advisory_id)
        return [loaded(row) for row in rows if row.state != State.DROPPED]

    def _checked(self, new: NewAdvisory) -> NewAdvisory:
        tidy = replace(new, name=" ".join(new.name.split()), words=_tidied(new.words))
        check(tidy, self._clock.now())
        audience_from(audience_doc(tidy.audience))  # what cannot be read again is refused before it is kept
        return tidy

    async def _note(self, tx: Transaction, by: int | None, act: str, advisory_id: int, detail: str = "") -> None:
        deed = Deed(at_ms=self._now_ms(), operator_id=by, act=act, about=about(advisory_id), detail=detail)
        await audits.note(tx, deed)

    def _now_ms(self) -> int:
        return milliseconds(self._clock.now())


async def correction_of(advisories_: Advisories, advisory_id: int, words: str, by: int | None) -> int:
    """Draft what puts a wrong text right: for exactly those who got it, pressing. Its approval stops the wrong one.

    Raises `AdvisoryRefused`: `not_begun` while it can be taken back, `unsent` if it never went.
    """
    wrong = await advisories_.get(advisory_id)
    if wrong.state is State.APPROVED:
        raise AdvisoryRefused("not_begun", "It has not begun to go out. Take it back and change it.")
    is_going = wrong.state in (State.GOING_OUT, State.PAUSED)
    if wrong.approved_at is None or (wrong.selected is None and not is_going):
        raise AdvisoryRefused("unsent", "It has not been sent to anybody, so there is nothing to put right.")
    name = f"Correction of {wrong.content.name}"[:100]
    new = NewAdvisory(name=name, words=words, audience=Audience(), is_pressing=True, corrects=advisory_id)
    return await advisories_.draft(new, by)


async def again_of(database: Database, advisories_: Advisories, advisory_id: int, by: int | None) -> int:
    """Draft the same words once more for those from whom no answer came: an advisory is not repeated by itself.

    Raises `AdvisoryRefused` (`answered`) where there is nobody of whom that is so.
    """
    first = await advisories_.get(advisory_id)
    async with database.read() as tx:
        unsure = await sends.ids_unsure(tx, advisory_id)
    if not unsure:
        raise AdvisoryRefused("answered", "Everybody it was sent to has it, as far as their networks tell.")
    name, audience = f"Again: {first.content.name}"[:100], Audience(homeowner_ids=frozenset(unsure))
    once_more = replace(first.content, name=name, audience=audience, due_at=None, after_id=None, corrects=None)
    return await advisories_.draft(once_more, by)


async def found(tx: Transaction, advisory_id: int) -> Advisory:
    """One advisory, within a transaction. Raises `AdvisoryRefused` (`unknown`)."""
    row = await advisories.get(tx, advisory_id)
    if row is None:
        raise AdvisoryRefused("unknown", f"There is no advisory {advisory_id}.")
    return loaded(row)


async def _need_first(tx: Transaction, new: NewAdvisory, of_id: int | None = None) -> None:
    """What a draft follows or corrects must exist. What follows follows something that does not, so nothing waits in
    a circle.
    """
    for other_id in filter(None, (new.after_id, new.corrects)):
        first = await found(tx, other_id)
        if first.state is State.DROPPED and first.approved_at is None:
            raise AdvisoryRefused("unsent", f"Advisory {other_id} was dropped before it went to anybody.")
    if new.after_id is None:
        return
    if new.due_at is None:
        raise AdvisoryRefused("no_day", "What follows another advisory needs a day on which it goes out.")
    first, others = await found(tx, new.after_id), [] if of_id is None else await advisories.after(tx, of_id)
    if first.content.after_id is not None or first.id == of_id or others:
        raise AdvisoryRefused("chain", f"Advisory {new.after_id} follows another one itself. Follow that one instead.")


async def _why_not(tx: Transaction, advisory_id: int, rev: int | None) -> AdvisoryRefused:
    """Why a draft was not found as it was expected."""
    now = await found(tx, advisory_id)
    if now.state is not State.DRAFT:
        return AdvisoryRefused("no_draft", f"Advisory {advisory_id} is no draft any more: it is {now.state}.")
    message = f"Advisory {advisory_id} was changed meanwhile: revision {now.rev} stands, not {rev}. Look at it again."
    return AdvisoryRefused("changed", message)


def _tidied(words: str) -> str:
    """Words as they are kept: lines as everywhere, no blanks at their ends, none that only look like blanks."""
    lines = words.replace("\r\n", "\n").replace("\u00a0", " ").replace("\t", " ").split("\n")
    return "\n".join(line.rstrip() for line in lines).strip()


def _milliseconds(at: datetime | None) -> int | None:
    return None if at is None else milliseconds(at)
