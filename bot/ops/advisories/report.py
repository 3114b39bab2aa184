"""What became of an advisory, in numbers that add up: selected = sent + waiting + under way + left out + failed."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from bot.ops.advisories.advisory import Advisory
from bot.ops.advisories.drafts import found
from bot.store import sends
from bot.store.database import Database, instant
from bot.store.schema import DELIVERED, UNDELIVERED
from bot.store.sends import UNSURE, SendState, Tally


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far an advisory is. `is_listed` False: people are still being listed, and `selected` grows."""

    selected: int
    sent: int
    waiting: int
    under_way: int
    left_out: int
    failed: int
    is_listed: bool

    @property
    def over(self) -> int:
        """For how many it is over."""
        return self.sent + self.left_out + self.failed

    @property
    def adds_up(self) -> bool:
        """Whether everybody is counted once."""
        return self.selected == self.over + self.waiting + self.under_way


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelReport:
    """One channel. Receipts are told where its network gives them; `unsure`: sent, but no answer came back."""

    channel: str
    sent: int
    unsure: int
    delivered: int
    undelivered: int
    waiting: int
    under_way: int
    left_out: int
    failed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """Everything about what became of it."""

    advisory: Advisory
    progress: Progress
    left_out: dict[str, int]
    waiting: dict[str, int]
    failed: dict[str, int]
    channels: tuple[ChannelReport, ...]
    first_at: datetime | None
    last_at: datetime | None

    @property
    def unanswered(self) -> int:
        """Of those sent, how many got no answer: they may not have arrived, and are not sent again."""
        return sum(each.unsure for each in self.channels)


async def progress(database: Database, advisory_id: int) -> Progress:
    """How far it is, from indexes alone. Raises `AdvisoryRefused` (`unknown`)."""
    async with database.read() as tx:
        advisory = await found(tx, advisory_id)
        under_way = sum((await sends.under_way_by_channel(tx, advisory_id)).values())
        tallies = await sends.tallies(tx, advisory_id)
        if advisory.selected is None:
            waiting = await sends.count_waiting(tx, advisory_id)
        else:  # the rest: nobody leaves the list, so a million who wait need not be counted
            waiting = advisory.selected - under_way - sum(each.count for each in tallies)
    return _progress(advisory, waiting, under_way, tallies)


async def report(database: Database, advisory_id: int) -> Report:
    """Everything about what became of it, at one moment. Raises `AdvisoryRefused` (`unknown`)."""
    async with database.read() as tx:
        advisory = await found(tx, advisory_id)
        tallies = await sends.tallies(tx, advisory_id)
        waiting = await sends.waiting_for(tx, advisory_id)
        under_way = await sends.under_way_by_channel(tx, advisory_id)
        receipts = await sends.receipts(tx, advisory_id)
        first_ms, last_ms = await sends.sent_between(tx, advisory_id)
    reasons: Counter[str] = Counter()
    for (_, why), n in waiting.items():
        reasons[why or "turn"] += n
    names = sorted({each.channel for each in tallies} | {channel for channel, _ in waiting} | set(under_way))
    return Report(
        advisory=advisory,
        progress=_progress(advisory, sum(waiting.values()), sum(under_way.values()), tallies),
        left_out=_by_why(tallies, SendState.LEFT_OUT),
        waiting=dict(reasons),
        failed=_by_why(tallies, SendState.FAILED),
        channels=tuple(
            ChannelReport(
                channel=name,
                sent=_sum(tallies, SendState.SENT, name),
                unsure=sum(each.count for each in tallies if each.channel == name and each.why == UNSURE),
                delivered=receipts.get((name, DELIVERED), 0),
                undelivered=receipts.get((name, UNDELIVERED), 0),
                waiting=sum(n for (channel, _), n in waiting.items() if channel == name),
                under_way=under_way.get(name, 0),
                left_out=_sum(tallies, SendState.LEFT_OUT, name),
                failed=_sum(tallies, SendState.FAILED, name),
            )
            for name in names
        ),
        first_at=None if first_ms is None else instant(first_ms),
        last_at=None if last_ms is None else instant(last_ms),
    )


def _progress(advisory: Advisory, waiting: int, under_way: int, tallies: list[Tally]) -> Progress:
    sent, left_out, failed = (_sum(tallies, state) for state in (SendState.SENT, SendState.LEFT_OUT, SendState.FAILED))
    listed = sent + left_out + failed + waiting + under_way
    return Progress(
        selected=listed if advisory.selected is None else advisory.selected,
        sent=sent,
        waiting=waiting,
        under_way=under_way,
        left_out=left_out,
        failed=failed,
        is_listed=advisory.selected is not None,
    )


def _sum(tallies: list[Tally], state: SendState, channel: str | None = None) -> int:
    return sum(each.count for each in tallies if each.state is state and channel in (None, each.channel))


def _by_why(tallies: list[Tally], state: SendState) -> dict[str, int]:
    reasons: Counter[str] = Counter()
    for each in tallies:
        if each.state is state:
            reasons[each.why or ""] += each.count
    return dict(sorted(reasons.items()))
