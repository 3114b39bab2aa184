"""What a person of ours does to one homeowner's talk, in the transaction that does it.

The talk's own rules decide; here is looked up beforehand what a person has to be told when it cannot be done. All of it
is one transaction with the deed that says who did it, so two people at once see each other, whichever process they use.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from bot.ops.cases.refusals import CannotDo, Why
from bot.ops.roles import Operator
from bot.store import audits, case_lists, handovers, homeowners
from bot.store.audits import Deed
from bot.store.database import Transaction
from bot.store.handovers import StoredHandover
from bot.store.rows import load_homeowner
from bot.talk.case import Homeowner, Standing
from bot.talk.ports import Upgrade


@dataclass(slots=True, kw_only=True)
class CaseAct:
    """Goes along with one act: may it be done, and what is noted when it was.

    act : the word for it in the record of who did what
    answers : the questions that are answered with it
    is_leaving : the talk is given back
    """

    case_id: int
    by: Operator
    at_ms: int
    act: str
    upgrade: Upgrade
    answers: tuple[int, ...] = ()
    is_leaving: bool = False
    refusal: CannotDo | None = field(default=None)

    async def may_go(self, tx: Transaction) -> bool:
        """Whether it is still to be done; if not, `refusal` says why."""
        homeowner = await _homeowner(tx, self.case_id, self.upgrade)
        questions = [each for each in await handovers.of_homeowner(tx, self.case_id) if each.closed_ms is None]
        self.refusal = self._refused(homeowner, questions)
        return self.refusal is None

    async def note(self, tx: Transaction, rows: Mapping[int, int]) -> None:
        """Close the questions that were answered, and write down who did it. A repeat is written down once."""
        row = rows.get(self.case_id)
        if row is None:
            return
        if await case_lists.has_failed(tx, row):
            self.refusal = CannotDo(Why.BROKE)
            return
        for question_id in self.answers:
            await handovers.close(tx, question_id, self.at_ms)
        about, detail = f"case {self.case_id}", ", ".join(f"question {each}" for each in self.answers)
        deed = Deed(at_ms=self.at_ms, operator_id=self.by.id, act=self.act, about=about, detail=detail)
        await audits.note(tx, deed)

    def _refused(self, homeowner: Homeowner | None, questions: list[StoredHandover]) -> CannotDo | None:
        if homeowner is None:
            return CannotDo(Why.MISSING)
        if not {each.id for each in questions}.issuperset(self.answers):
            return CannotDo(Why.CLOSED)
        if homeowner.held_by not in ("", self.by.name):
            return CannotDo(Why.HELD, homeowner.held_by)
        if self.is_leaving:
            return None if homeowner.held_by else CannotDo(Why.NOT_HELD)
        is_quiet = homeowner.standing is not Standing.ACTIVE
        return CannotDo(Why.QUIET) if is_quiet and not questions else None


async def _homeowner(tx: Transaction, case_id: int, upgrade: Upgrade) -> Homeowner | None:
    stored = (await homeowners.by_id(tx, [case_id])).get(case_id)
    return load_homeowner(stored.doc, upgrade) if stored is not None and stored.doc is not None else None
