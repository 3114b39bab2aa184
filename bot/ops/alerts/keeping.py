"""Alerts taken in: each kept once, decided about, and made into a draft, a change or a follow-up. Nothing is sent.

1. An alert is kept before anything is done about it. Whoever dies in between leaves it waiting, and it is decided about
   when it comes again (`RETRY_AFTER`); at worst a draft is there twice, which a person sees.
2. Messages about one event share a thread: by the message they refer to, else by the number of their event.
3. Drafts are somebody else's (`Drafts`); what an operator did to one meanwhile is found out when it is changed, and
   the alert is decided about anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol

from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, AdvisoryRefused, NewAdvisory, State
from bot.ops.alerts.alert import Alert, MsgType, digest_of
from bot.ops.alerts.drafting import Follows, drafted_from
from bot.ops.alerts.following import (
    Decision,
    Known,
    Outcome,
    Stage,
    Standing,
    decide,
    standing_of,
    thread_product,
)
from bot.ops.alerts.meaning import product_of, tracked_of
from bot.ops.alerts.reach import Reach
from bot.ops.alerts.stored import dump_alert, load_alert
from bot.ops.alerts.wording import Tone
from bot.store import alerts, audits
from bot.store.alerts import AlertRow, NewAlertRow
from bot.store.audits import Deed
from bot.store.database import Database, Transaction, milliseconds
from bot.words import Words

RETRY_AFTER = timedelta(minutes=1)
LATELY = timedelta(days=10)
"""How far back other alerts are looked at: none is for longer ahead."""
_TRIES = 3
_WROTE = frozenset({Outcome.DRAFTED, Outcome.CHANGED, Outcome.FOLLOWED, Outcome.BESIDE})


class Drafts(Protocol):
    """Where drafts are kept."""

    async def draft(self, new: NewAdvisory, by: int | None) -> int: ...

    async def change(self, advisory_id: int, rev: int, new: NewAdvisory, by: int | None) -> int: ...

    async def drop(self, advisory_id: int, by: int | None) -> None: ...

    async def get(self, advisory_id: int) -> Advisory: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What became of one alert.

    id : None for other weather, which is not kept
    is_new : False where it was here already
    notes : what an operator has to see to
    """

    id: int | None
    alert: Alert
    outcome: Outcome
    is_new: bool = True
    advisory_id: int | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Thread:
    """The other messages about an event, with the advisories they led to."""

    rows: Sequence[AlertRow]
    messages: Sequence[Alert]
    latest: Advisory | None
    out: Advisory | None
    others: Sequence[Alert]

    def known(self) -> Known:
        """The same for the decision."""
        latest = self.latest
        if latest is None:
            return Known(thread=self.messages, others=self.others)
        mine = [row for row in self.rows if row.advisory_id == latest.id]
        standing = Standing(
            stage=_stage(latest),
            is_theirs=latest.rev != sum(row.state in _WROTE for row in mine),
            is_dropped_by_us=any(row.state == Outcome.DROPPED for row in mine),
        )
        return Known(
            thread=self.messages,
            told=self.told_in(latest),
            reached=self.told_in(self.out) if self.out is not None else None,
            standing=standing,
            others=self.others,
        )

    def told_in(self, advisory: Advisory) -> Alert:
        """The message that an advisory's words are from: the last that wrote in it."""
        pairs = zip(self.rows, self.messages, strict=True)
        return [message for row, message in pairs if row.advisory_id == advisory.id and row.state in _WROTE][-1]


def _stage(advisory: Advisory) -> Stage:
    if advisory.approved_at is not None:
        return Stage.OUT
    return Stage.DROPPED if advisory.state is State.DROPPED else Stage.DRAFT


class Alerts:
    """The alerts of a house."""

    def __init__(self, database: Database, drafts: Drafts, words: Words, clock: Clock) -> None:
        self._database = database
        self._drafts = drafts
        self._words = words
        self._clock = clock

    async def take(self, found: Sequence[Alert], by: int | None) -> list[Taken]:
        """Keep alerts and do what follows from each, in the order they were sent. `by`: the operator who brought them.

        Raises `StoreError`; what was not decided about by then is, when it comes again.
        """
        in_order = sorted(found, key=lambda each: (each.sent.at, each.msg_type is MsgType.CANCEL, each.identifier))
        return [await self._take(each, by) for each in in_order]

    async def latest(self, at_most: int) -> list[Taken]:
        """The alerts kept last, the newest first, with what became of them."""
        async with self._database.read() as tx:
            rows = await alerts.latest(tx, at_most)
        return [
            Taken(
                id=row.id,
                alert=load_alert(row.doc),
                outcome=Outcome(row.state),
                is_new=False,
                advisory_id=row.advisory_id,
            )
            for row in rows
        ]

    async def _take(self, alert: Alert, by: int | None) -> Taken:
        if alert.infos and product_of(alert) is None:
            return Taken(id=None, alert=alert, outcome=Outcome.OTHER_WEATHER, is_new=False)
        now_ms = milliseconds(self._clock.now())
        async with self._database.write() as tx:
            thread = await _thread_of(tx, alert)
            new = NewAlertRow(
                digest=alert.digest, thread=thread, kept_ms=now_ms, doc=dump_alert(alert), state=Outcome.WAITING
            )
            is_new = await alerts.keep(tx, new) is not None
            (row,) = await alerts.with_digests(tx, [alert.digest])
        is_left = row.state == Outcome.WAITING and now_ms - row.kept_ms >= RETRY_AFTER / timedelta(milliseconds=1)
        if not (is_new or is_left):
            outcome = Outcome(row.state)
            return Taken(id=row.id, alert=alert, outcome=outcome, is_new=False, advisory_id=row.advisory_id)
        taken = await self._decided(row, alert, by)
        async with self._database.write() as tx:
            await alerts.mark(tx, row.id, taken.outcome, taken.advisory_id)
            about, detail = f"alert {row.id}", str(taken.outcome)
            await audits.note(tx, Deed(at_ms=now_ms, operator_id=by, act="took in", about=about, detail=detail))
        return taken

    async def _decided(self, row: AlertRow, alert: Alert, by: int | None) -> Taken:
        for attempt in range(1, _TRIES + 1):
            try:
                return await self._acted(row, alert, by)
            except (
                AdvisoryRefused
            ) as error:  # somebody approved or changed it in this very moment, or it cannot be sent
                if attempt == _TRIES:
                    return Taken(id=row.id, alert=alert, outcome=Outcome.REFUSED, notes=(str(error),))
        raise AssertionError("the last attempt returns")

    async def _acted(self, row: AlertRow, alert: Alert, by: int | None) -> Taken:
        now = self._clock.now()
        thread = await self._thread(row, alert)
        decision = decide(alert, thread.known(), now)
        if decision.outcome is Outcome.DROPPED and thread.latest is not None:
            await self._drafts.drop(thread.latest.id, by)
            return Taken(id=row.id, alert=alert, outcome=decision.outcome, advisory_id=thread.latest.id)
        if decision.outcome not in _WROTE:
            return Taken(id=row.id, alert=alert, outcome=decision.outcome)
        return await self._written(Taken(id=row.id, alert=alert, outcome=decision.outcome), thread, decision, by)

    async def _written(self, taken: Taken, thread: _Thread, decision: Decision, by: int | None) -> Taken:
        """Draft, change or offer, as was decided."""
        now, alert = self._clock.now(), taken.alert
        product = thread_product(alert, thread.messages)
        if product is None:
            raise AssertionError("what is written about is cold")
        messages = standing_of((*thread.messages, alert), now) or (alert,)
        if decision.tone is Tone.CALLED_OFF and thread.latest is not None:
            messages = (thread.told_in(thread.latest),)
        is_follow_up = thread.out is not None and decision.tone is not Tone.FIRST and not decision.to_all
        follows = Follows(after_id=_root(thread.out), now=now) if thread.out is not None and is_follow_up else None
        drafted = drafted_from(self._words, product, messages, decision.tone, follows)
        if drafted.content is None:
            return Taken(id=taken.id, alert=alert, outcome=Outcome.NOWHERE, notes=_to_see_to(drafted.reach))
        if decision.outcome is Outcome.CHANGED and thread.latest is not None:
            advisory_id, rev = thread.latest.id, thread.latest.rev
            await self._drafts.change(advisory_id, rev, drafted.content, by)
        else:
            advisory_id = await self._drafts.draft(drafted.content, by)
        notes = (*(_to_see_to(drafted.reach) if follows is None else ()), *_to_stop(thread.out, decision))
        return Taken(id=taken.id, alert=alert, outcome=decision.outcome, advisory_id=advisory_id, notes=notes)

    async def _thread(self, row: AlertRow, alert: Alert) -> _Thread:
        async with self._database.read() as tx:
            rows = [each for each in await alerts.in_thread(tx, row.thread) if each.id != row.id]
            others = await self._others(tx, row.thread) if alert.msg_type is MsgType.CANCEL else []
        ids = dict.fromkeys(each.advisory_id for each in rows if each.advisory_id is not None)
        advisories = [await self._drafts.get(each) for each in ids]
        out = [each for each in advisories if each.approved_at is not None]
        return _Thread(
            rows=rows,
            messages=[load_alert(each.doc) for each in rows],
            latest=advisories[-1] if advisories else None,
            out=out[-1] if out else None,
            others=others,
        )

    async def _others(self, tx: Transaction, thread: str) -> list[Alert]:
        since_ms = milliseconds(self._clock.now() - LATELY)
        return [load_alert(each.doc) for each in await alerts.kept_since(tx, since_ms) if each.thread != thread]


def _to_see_to(reach: Reach) -> tuple[str, ...]:
    """What of its area needs a person."""
    narrow = ("its forecast zones were taken as whole states: narrow the area",) if reach.is_wide else ()
    return (*narrow, *(f"could not be used: {each}" for each in reach.left))


def _to_stop(out: Advisory | None, decision: Decision) -> tuple[str, ...]:
    """That a warning which was called off still reaches people: stopping it is for a person."""
    if out is None or decision.tone is not Tone.CALLED_OFF or out.ended_at is not None:
        return ()
    return (f"advisory {out.id} warns of what was called off, and is {out.state}: stop it",)


def _root(advisory: Advisory) -> int:
    """The advisory a follow-up names: follow-ups do not follow each other."""
    return advisory.content.after_id or advisory.id


async def _thread_of(tx: Transaction, alert: Alert) -> str:
    """The thread of the message it refers to; else its event's own; else one that begins with it."""
    earlier = [
        digest_of(each.sender or alert.sender, each.identifier, each.sent.at)
        for each in alert.references
        if each.sent is not None
    ]
    rows = await alerts.with_digests(tx, earlier)
    if rows:
        return rows[0].thread
    events = [each.event(alert.sent.at) for each in tracked_of(alert)]
    return events[0] if events else (earlier[0] if earlier else alert.digest)
