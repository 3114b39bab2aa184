"""Whom an advisory is for, one row each, and what became of it.

1. A row is listed once (its key is advisory and homeowner), waits, is handed to the outbox once, and ends once.
2. A row is handed over in the transaction that queues its message (`hand_over`), so a kill leaves both or neither.
3. What waits and what is under way is found through partial indexes, by channel: a slow channel holds up no other, and
   a million rows that are over cost nothing. Their conditions must stand in a statement as literals, and they hold
   every column that is looked for: of two indexes SQLite takes the one that holds all.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import IntEnum

from sqlalchemy import ColumnElement, Integer, and_, bindparam, delete, func, literal_column, select, update

from bot.store.database import Transaction, insert_into
from bot.store.desk_schema import advisory_send, glance
from bot.store.schema import ADVISORY, FAILED, SENT, STATE_PENDING, homeowner, inbox, lease, outbox, reach


class SendState(IntEnum):
    """How far the advisory is for one homeowner. The last three are final."""

    WAITING = 0
    UNDER_WAY = 1  # in the outbox
    SENT = 2
    LEFT_OUT = 3
    FAILED = 4


_s = advisory_send.c
_IS_WAITING = _s.state == literal_column("0", Integer)
_IS_UNDER_WAY = _s.state == literal_column("1", Integer)
OVER = _s.state > literal_column("1", Integer)
HELD_MS = 253_402_300_799_000
"""The due instant of a row of the outbox that is paused: the end of the year 9999."""

UNSURE = "unsure"
"""Why of a sent row: no answer came back, so it may not have arrived."""


# --- listing ---------------------------------------------------------------------------------------------------------


async def add(tx: Transaction, advisory_id: int, homeowner_ids: Sequence[int]) -> None:
    """List homeowners with the channel they are heard on. Those listed already, and those who are gone, are not."""
    found = select(homeowner.c.id, homeowner.c.channel).where(homeowner.c.id.in_(bindparam("ids", expanding=True)))
    rows = [
        {"advisory_id": advisory_id, "homeowner_id": row.id, "channel": row.channel}
        for row in await tx.execute(found, {"ids": [int(each) for each in homeowner_ids]})
    ]
    if rows:
        await tx.execute(insert_into(tx, advisory_send).on_conflict_do_nothing(), rows)


async def count(tx: Transaction, advisory_id: int) -> int:
    """How many are listed."""
    found = select(func.count()).select_from(advisory_send).where(_s.advisory_id == advisory_id)
    return int((await tx.execute(found)).scalar_one())


# --- who is next -----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """Somebody whose turn it is, and everything that decides whether they may get it now.

    `doc` None: there is nobody of that id any more, or nothing is known of them. `consent` and `unreachable` are those
    of the address they are heard at.
    """

    homeowner_id: int
    tries: int
    listed_channel: str
    channel: str | None
    address: str | None
    doc: str | None
    consent: int
    unreachable: bool


async def waiting_channels(tx: Transaction, advisory_id: int) -> list[str]:
    """The channels on which somebody waits, each found with one look into the index."""
    channels: list[str] = []
    next_one = select(func.min(_s.channel)).where(_s.advisory_id == advisory_id, _IS_WAITING)
    while True:
        statement = next_one.where(_s.channel > channels[-1]) if channels else next_one
        found = (await tx.execute(statement)).scalar()
        if found is None:
            return channels
        channels.append(found)


async def next_of(tx: Transaction, advisory_id: int, channel: str, now_ms: int, at_most: int) -> list[Candidate]:
    """Those whose turn it is on a channel."""
    turn = (
        select(_s.homeowner_id, _s.tries, _s.channel.label("listed_channel"))
        .where(_s.advisory_id == advisory_id, _s.channel == channel, _IS_WAITING, _s.at_ms <= now_ms)
        .order_by(_s.at_ms, _s.homeowner_id)
        .limit(at_most)
        .subquery()
    )
    h = homeowner.c
    found = (
        select(turn, h.channel, h.address, h.doc, func.coalesce(reach.c.consent, 0).label("consent"),
               reach.c.unreachable_ms.is_not(None).label("unreachable"))
        .join_from(turn, homeowner, h.id == turn.c.homeowner_id, isouter=True)
        .join(reach, and_(reach.c.channel == h.channel, reach.c.address == h.address), isouter=True)
    )  # fmt: skip
    return [Candidate(**row._mapping) for row in await tx.execute(found)]


async def in_outbox(tx: Transaction, channel: str, now_ms: int) -> int:
    """How many messages of advisories may go out now on a channel and have not yet."""
    waiting = (
        outbox.c.state == STATE_PENDING,
        outbox.c.channel == channel,
        outbox.c.urgency == ADVISORY,
        outbox.c.due_ms <= now_ms,
    )
    return int((await tx.execute(select(func.count()).select_from(outbox).where(*waiting))).scalar_one())


async def all_wait(tx: Transaction, advisory_id: int, homeowner_ids: Sequence[int]) -> bool:
    """Whether every one of these waits."""
    found = select(func.count()).where(_s.advisory_id == advisory_id, _s.homeowner_id.in_(homeowner_ids), _s.state == 0)
    return int((await tx.execute(found)).scalar_one()) == len(homeowner_ids)


async def under_way(tx: Transaction, advisory_id: int, channel: str) -> int:
    """How many of an advisory stand in the outbox of a channel, held ones too."""
    found = select(func.count()).where(_s.advisory_id == advisory_id, _s.channel == channel, _IS_UNDER_WAY)
    return int((await tx.execute(found)).scalar_one())


# --- moving on -------------------------------------------------------------------------------------------------------

_OF_ONE = and_(_s.advisory_id == bindparam("of_advisory"), _s.homeowner_id == bindparam("of_homeowner"))
_WAIT = update(advisory_send).where(_OF_ONE, _IS_WAITING).values(
    at_ms=bindparam("until_ms"), why=bindparam("because"), tries=_s.tries + bindparam("tried")
)  # fmt: skip
_END = update(advisory_send).where(_OF_ONE, _s.state < 2).values(
    state=bindparam("to_state"), why=bindparam("because"), at_ms=bindparam("when_ms")
)  # fmt: skip
_REROUTE = update(advisory_send).where(_OF_ONE, _IS_WAITING).values(channel=bindparam("to_channel"))
_HAND = update(advisory_send).where(_OF_ONE, _IS_WAITING).values(
    state=1, why=None, outbox_id=bindparam("of_outbox"), at_ms=bindparam("when_ms"), channel=bindparam("to_channel")
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """Somebody waits on: until when, and why."""

    homeowner_id: int
    until_ms: int
    why: str
    tried: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """What it came to for somebody."""

    homeowner_id: int
    state: SendState
    why: str | None
    at_ms: int


async def wait(tx: Transaction, advisory_id: int, waits: Sequence[Wait]) -> None:
    """Let these wait on."""
    if waits:
        rows = [
            {"of_advisory": advisory_id, "of_homeowner": each.homeowner_id, "until_ms": each.until_ms,
             "because": each.why, "tried": each.tried}
            for each in waits
        ]  # fmt: skip
        await tx.execute(_WAIT, rows)


async def end(tx: Transaction, advisory_id: int, ends: Sequence[End]) -> None:
    """Note what it came to. What is over stays as it is."""
    if ends:
        rows = [
            {"of_advisory": advisory_id, "of_homeowner": each.homeowner_id, "to_state": int(each.state),
             "because": each.why, "when_ms": each.at_ms}
            for each in ends
        ]  # fmt: skip
        await tx.execute(_END, rows)


async def reroute(tx: Transaction, advisory_id: int, channels: Mapping[int, str]) -> None:
    """Those are heard on another channel by now (by homeowner)."""
    if channels:
        rows = [{"of_advisory": advisory_id, "of_homeowner": of_id, "to_channel": to} for of_id, to in channels.items()]
        await tx.execute(_REROUTE, rows)


async def hand_over(tx: Transaction, advisory_id: int, inbox_rows: Mapping[int, int], now_ms: int) -> list[int]:
    """Note which messages were queued by turns (by homeowner the row in the inbox); those whose turn queued none."""
    queued = select(outbox.c.id, outbox.c.homeowner_id, outbox.c.channel).where(
        outbox.c.homeowner_id.in_(list(inbox_rows)), outbox.c.inbox_id.in_(list(inbox_rows.values()))
    )
    rows = {row.homeowner_id: row for row in await tx.execute(queued.order_by(outbox.c.id.desc()))}
    if rows:
        values = [
            {"of_advisory": advisory_id, "of_homeowner": of_id, "of_outbox": row.id, "when_ms": now_ms,
             "to_channel": row.channel}
            for of_id, row in rows.items()
        ]  # fmt: skip
        await tx.execute(_HAND, values)
    return [of_id for of_id in inbox_rows if of_id not in rows]


async def failed_turns(tx: Transaction, inbox_ids: Collection[int]) -> set[int]:
    """Of rows of the inbox, those the conversation could not take."""
    found = select(inbox.c.id).where(inbox.c.id.in_(list(inbox_ids)), inbox.c.state == FAILED)
    return {row.id for row in await tx.execute(found)}


# --- what is in the outbox -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class OnTheWay:
    """A message in the outbox, as it stands there. `state` None: it is gone from there, and `is_known` False: so is its
    owner. `is_in_doubt`: it was claimed to be sent by a process that ended before it told what came of it.
    """

    homeowner_id: int
    outbox_id: int
    state: int | None
    sent_ms: int | None
    unsure: int
    consent: int
    is_unreachable: bool
    is_known: bool
    is_in_doubt: bool


async def on_the_way(tx: Transaction, advisory_id: int, *, only_settled: bool) -> list[OnTheWay]:
    """Everything of an advisory that was handed over and not counted yet; `only_settled`: and is out of our hands."""
    o, h = outbox.c, homeowner.c
    found = (
        select(_s.homeowner_id, _s.outbox_id, o.state, o.sent_ms, func.coalesce(o.unsure, 0).label("unsure"),
               func.coalesce(reach.c.consent, 0).label("consent"),
               reach.c.unreachable_ms.is_not(None).label("is_unreachable"), h.id.is_not(None).label("is_known"),
               and_(o.fence > 0, o.fence < lease.c.fence).label("is_in_doubt"))
        .join_from(advisory_send, outbox, o.id == _s.outbox_id, isouter=True)
        .join(homeowner, h.id == _s.homeowner_id, isouter=True)
        .join(reach, and_(reach.c.channel == o.channel, reach.c.address == o.address), isouter=True)
        .where(_s.advisory_id == advisory_id, _IS_UNDER_WAY)
    )  # fmt: skip
    found = found.join(lease, lease.c.name == "send:" + o.channel, isouter=True)
    if only_settled:
        found = found.where(func.coalesce(o.state, SENT) != 0)
    return [OnTheWay(**row._mapping) for row in await tx.execute(found)]


def _of(advisory_id: int) -> ColumnElement[bool]:
    """Its rows in the outbox that were not sent."""
    mine = select(_s.outbox_id).where(_s.advisory_id == advisory_id, _IS_UNDER_WAY)
    return and_(outbox.c.id.in_(mine), outbox.c.state == STATE_PENDING)


_FENCE = select(lease.c.fence).where(lease.c.name == "send:" + outbox.c.channel).correlate(outbox).scalar_subquery()
"""Of the lease under which a row's channel is served now."""


async def hold(tx: Transaction, advisory_id: int) -> None:
    """Let nothing of it out. What is in the air at that moment arrives."""
    await tx.execute(update(outbox).where(_of(advisory_id)).values(due_ms=HELD_MS))


async def forget_old_claims(tx: Transaction, advisory_id: int) -> None:
    """When it is stopped: what a process before this one claimed is not in the air. Whatever is claimed and stays so
    when the next process begins may have been (`OnTheWay.is_in_doubt`).
    """
    await tx.execute(update(outbox).where(_of(advisory_id), outbox.c.fence < _FENCE).values(fence=0))


async def let_go(tx: Transaction, advisory_id: int) -> None:
    """Let out what was held."""
    await tx.execute(update(outbox).where(_of(advisory_id), outbox.c.due_ms == HELD_MS).values(due_ms=0))


async def withdraw(tx: Transaction, outbox_ids: Sequence[int]) -> None:
    """Take messages out of the outbox."""
    await tx.execute(delete(outbox).where(outbox.c.id.in_(outbox_ids), outbox.c.state == STATE_PENDING))


async def end_waiting(tx: Transaction, advisory_id: int, why: str | None, now_ms: int, at_most: int) -> int:
    """Leave out some of those who wait; how many. `why` None: for the reason they wait for."""
    some = select(_s.homeowner_id).where(_s.advisory_id == advisory_id, _IS_WAITING).limit(at_most)
    reason = func.coalesce(_s.why, "late") if why is None else why
    statement = update(advisory_send).where(_s.advisory_id == advisory_id, _s.homeowner_id.in_(some), _IS_WAITING)
    values = {"state": int(SendState.LEFT_OUT), "why": reason, "at_ms": now_ms}
    return (await tx.execute(statement.values(**values))).rowcount


# --- counting --------------------------------------------------------------------------------------------------------


async def count_waiting(tx: Transaction, advisory_id: int) -> int:
    """How many wait."""
    waiting = select(func.count()).where(_s.advisory_id == advisory_id, _IS_WAITING)
    return int((await tx.execute(waiting)).scalar_one())


async def is_any_open(tx: Transaction, advisory_id: int) -> bool:
    """Whether somebody waits or is under way."""
    for is_open in (_IS_UNDER_WAY, _IS_WAITING):
        found = select(_s.homeowner_id).where(_s.advisory_id == advisory_id, is_open).limit(1)
        if (await tx.execute(found)).first() is not None:
            return True
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """How many rows of one kind there are."""

    state: SendState
    why: str | None
    channel: str
    count: int


async def tallies(tx: Transaction, advisory_id: int) -> list[Tally]:
    """How many rows are over, by what they came to, why, and channel."""
    found = (
        select(_s.state, _s.why, _s.channel, func.count().label("n"))
        .where(_s.advisory_id == advisory_id, OVER)
        .group_by(_s.state, _s.why, _s.channel)
    )
    return [
        Tally(state=SendState(row.state), why=row.why, channel=row.channel, count=row.n)
        for row in await tx.execute(found)
    ]


async def waiting_for(tx: Transaction, advisory_id: int) -> dict[tuple[str, str | None], int]:
    """How many wait, by channel and by what they wait for (None: their turn)."""
    found = select(_s.channel, _s.why, func.count().label("n")).where(_s.advisory_id == advisory_id, _IS_WAITING)
    return {(row.channel, row.why): row.n for row in await tx.execute(found.group_by(_s.channel, _s.why))}


async def under_way_by_channel(tx: Transaction, advisory_id: int) -> dict[str, int]:
    """How many are under way."""
    found = select(_s.channel, func.count().label("n")).where(_s.advisory_id == advisory_id, _IS_UNDER_WAY)
    return {row.channel: row.n for row in await tx.execute(found.group_by(_s.channel))}


async def receipts(tx: Transaction, advisory_id: int) -> dict[tuple[str, int], int]:
    """What receipts said of what was sent, by channel and state of delivery."""
    found = (
        select(_s.channel, outbox.c.delivery, func.count().label("n"))
        .join_from(advisory_send, outbox, outbox.c.id == _s.outbox_id)
        .where(_s.advisory_id == advisory_id, OVER, _s.state == int(SendState.SENT))
        .group_by(_s.channel, outbox.c.delivery)
    )
    return {(row.channel, row.delivery): row.n for row in await tx.execute(found)}


async def sent_between(tx: Transaction, advisory_id: int) -> tuple[int | None, int | None]:
    """When the first and the last were sent."""
    sent = (_s.advisory_id == advisory_id, OVER, _s.state == int(SendState.SENT))
    row = (await tx.execute(select(func.min(_s.at_ms), func.max(_s.at_ms)).where(*sent))).one()
    return row[0], row[1]


async def states_of(tx: Transaction, advisory_id: int, homeowner_ids: Sequence[int]) -> dict[int, SendState]:
    """How far it is for some of those it is for."""
    found = select(_s.homeowner_id, _s.state).where(
        _s.advisory_id == advisory_id, _s.homeowner_id.in_(list(homeowner_ids))
    )
    return {row.homeowner_id: SendState(row.state) for row in await tx.execute(found)}


async def ids_unsure(tx: Transaction, advisory_id: int) -> list[int]:
    """Those it was sent to without an answer."""
    unsure = (_s.advisory_id == advisory_id, OVER, _s.state == int(SendState.SENT), _s.why == UNSURE)
    return sorted(row.homeowner_id for row in await tx.execute(select(_s.homeowner_id).where(*unsure)))


async def ids_under_way(tx: Transaction, advisory_id: int) -> list[int]:
    """Those whose message stands in the outbox: never more than a few hundred of a channel."""
    found = select(_s.homeowner_id).where(_s.advisory_id == advisory_id, _IS_UNDER_WAY)
    return sorted(row.homeowner_id for row in await tx.execute(found))


# --- before anything is listed ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How somebody who is selected stands, as far as rows tell it."""

    homeowner_id: int
    channel: str
    doc: str | None
    consent: int
    is_unreachable: bool


async def standings(tx: Transaction, homeowner_ids: Sequence[int]) -> list[Standing]:
    """How these stand; whoever is gone is not in it."""
    h = homeowner.c
    found = (
        select(h.id.label("homeowner_id"), h.channel, h.doc, func.coalesce(reach.c.consent, 0).label("consent"),
               reach.c.unreachable_ms.is_not(None).label("is_unreachable"))
        .join_from(homeowner, reach, and_(reach.c.channel == h.channel, reach.c.address == h.address), isouter=True)
        .where(h.id.in_(bindparam("ids", expanding=True)))
    )  # fmt: skip
    rows = await tx.execute(found, {"ids": [int(each) for each in homeowner_ids]})
    return [Standing(**row._mapping) for row in rows]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """What is known of one lawn at a glance, for the words of an advisory."""

    homeowner_id: int
    lawn: int
    zone: str
    state: str | None
    grass: str | None
    crown_min_dc: int | None
    soil_min_dc: int | None
    alive_percent: int | None


async def figures_of(tx: Transaction, homeowner_ids: Sequence[int]) -> dict[int, list[Figures]]:
    """The lawns of these homeowners, in order of their numbers."""
    columns = [glance.c[name] for name in Figures.__slots__]
    statement = select(*columns).where(glance.c.homeowner_id.in_(bindparam("ids", expanding=True)))
    found: dict[int, list[Figures]] = {}
    for row in await tx.execute(statement.order_by(glance.c.homeowner_id, glance.c.lawn), {"ids": list(homeowner_ids)}):
        found.setdefault(row.homeowner_id, []).append(Figures(**row._mapping))
    return found
