"""Everything one does with advisories, put together: for the desk's pages and the command line, with the same parts."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Protocol

from bot.clock import Clock
from bot.ops.advisories.advisory import Advisory, NewAdvisory
from bot.ops.advisories.approving import UNDO, Approving, SecondApprover, mark_of
from bot.ops.advisories.drafts import Advisories, again_of
from bot.ops.advisories.filling import Filler
from bot.ops.advisories.preview import Ground, Preview, Previewing
from bot.ops.advisories.recipients import Glancing, Recipients
from bot.ops.advisories.report import Progress, Report, progress, report
from bot.ops.advisories.spreading import Means, Spreader
from bot.ops.advisories.steering import Steering
from bot.service import Service
from bot.settings import Settings
from bot.store.store import Store
from bot.talk.known import Known
from bot.talk.ports import Talk
from bot.terms import Terms
from bot.words import Words

PREVIEWS_KEPT = 8
PREVIEW_KEPT = timedelta(seconds=60)
"""A page that is looked at again at once need not count a million people again."""


REPORT_KEPT_TIMES = 5
REPORT_SLOW_SECONDS = 0.5
"""One that took less is made anew each time: what was just done shows at once."""
ZONES_KEPT = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """A report, and until when by the machine's own clock it is shown again."""

    report: Report
    until: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Surroundings:
    """What the office works with.

    terms : of every channel that runs, or would run with these settings
    committed : wakes the courier, where it runs in this process
    """

    store: Store
    clock: Clock
    talk: Talk
    known: Known
    words: Words
    glancing: Glancing
    terms: Mapping[str, Terms]
    settings: Settings
    committed: Callable[[], None] = lambda: None


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What only the process that sends has: the terms of its channels, and a way to wake its courier."""

    terms: Mapping[str, Terms]
    committed: Callable[[], None] = lambda: None


class House(Protocol):
    """The parts of a house an office needs."""

    @property
    def clock(self) -> Clock:
        """What time it is."""
        ...

    @property
    def store(self) -> Store:
        """The record."""
        ...


class Office:
    """Drafts, approvals, steering, previews and reports."""

    def __init__(self, around: Surroundings) -> None:
        store, clock = around.store, around.clock
        self._around = around
        self._database = store.database
        self._kept: dict[tuple[int, str], Preview] = {}
        self._reports: dict[int, _Kept] = {}
        self._zones: dict[tuple[int, int], str] = {}
        self._recipients = Recipients(store.database, around.glancing)
        self._filler = Filler(words=around.words, known=around.known)
        self.clock = clock
        self.drafts = Advisories(store.database, clock)
        self.approving = Approving(
            store.database, clock, SecondApprover(around.settings.second_approver), around.committed
        )
        self.steering = Steering(store.database, clock, around.committed)

    async def preview(self, advisory_id: int) -> Preview:
        """What an advisory would do as it stands, no older than a minute. Raises `AdvisoryRefused`."""
        advisory, following = await self.with_following(advisory_id)
        now = self.clock.now()
        kept = self._kept.get((advisory_id, mark_of(advisory, following)))
        if kept is not None and timedelta(0) <= now - kept.at < PREVIEW_KEPT:
            return replace(kept, advisory=advisory, following=tuple(following))
        made = await Previewing(self._ground()).of(advisory, following)
        while len(self._kept) >= PREVIEWS_KEPT:
            del self._kept[next(iter(self._kept))]
        self._kept[advisory_id, made.mark] = made
        self._keep_zone(advisory, made.zone)
        return made

    async def zone_of(self, advisory: Advisory) -> str | None:
        """By whose clock its times are told: as it was written, else that of most of those it is for."""
        kept = self._zones.get((advisory.id, advisory.rev))
        if kept is None:
            kept = await self.zone_for(advisory.content)
            self._keep_zone(advisory, kept)
        return kept

    def _keep_zone(self, advisory: Advisory, zone: str | None) -> None:
        if len(self._zones) >= ZONES_KEPT:
            self._zones.clear()
        if zone is not None:
            self._zones[advisory.id, advisory.rev] = zone

    async def zone_for(self, content: NewAdvisory) -> str | None:
        """By whose clock times for these people are meant; None: this machine's, where nobody is meant."""
        if content.zone is not None:
            return content.zone
        first_id = content.corrects or content.after_id
        if first_id is not None:
            return await self.zone_of(await self.drafts.get(first_id))
        return await self._recipients.zone(content)

    async def with_following(self, advisory_id: int) -> tuple[Advisory, list[Advisory]]:
        """An advisory, and what goes later to those who got it. Raises `AdvisoryRefused`."""
        return await self.drafts.get(advisory_id), await self.drafts.following(advisory_id)

    async def progress(self, advisory_id: int) -> Progress:
        """How far it is. Raises `AdvisoryRefused`."""
        return await progress(self._database, advisory_id)

    async def report(self, advisory_id: int) -> Report:
        """What became of it. Raises `AdvisoryRefused`.

        One that took long to make is shown a few times as long, unless somebody did something to the advisory.
        """
        advisory, began = await self.drafts.get(advisory_id), time.monotonic()
        kept = self._reports.get(advisory_id)
        if kept is not None and kept.report.advisory == advisory and began < kept.until:
            return kept.report
        made = await report(self._database, advisory_id)
        cost = time.monotonic() - began
        kept_seconds = cost * REPORT_KEPT_TIMES if cost > REPORT_SLOW_SECONDS else 0.0
        self._reports = {advisory_id: _Kept(report=made, until=time.monotonic() + kept_seconds)}
        return made

    async def again(self, advisory_id: int, by: int | None) -> int:
        """Draft it once more for those from whom no answer came; its number. Raises `AdvisoryRefused`."""
        return await again_of(self._database, self.drafts, advisory_id, by)

    def spreader(self, service: Service, undo: timedelta = UNDO) -> Spreader:
        """What sends: one of them, in the process that has the courier."""
        means = Means(
            talk=self._around.talk,
            terms=self._around.terms,
            filler=self._filler,
            recipients=self._recipients,
            undo=undo,
        )
        return Spreader(self._around.store, service, self.clock, means)

    def _ground(self) -> Ground:
        return Ground(
            store=self._around.store,
            talk=self._around.talk,
            clock=self.clock,
            terms=self._around.terms,
            filler=self._filler,
            recipients=self._recipients,
            sms_cents=self._around.settings.sms_cost_cents,
        )


def terms_here(settings: Settings) -> dict[str, Terms]:
    """The channels that a service with these settings runs, and their terms: for whoever has no running one at hand."""
    from bot.networks import TELEGRAM_TERMS, sms_terms

    terms = {"web": Terms(in_flight=64)}
    if settings.telegram_token:
        terms["telegram"] = TELEGRAM_TERMS
    if settings.sms != "off":
        terms["sms"] = sms_terms(settings)
    return terms


def office_of(house: House, words: Words, known: Known, settings: Settings, beside: Beside | None = None) -> Office:
    """The office of a running house: for the desk's pages, and for the spreader.

    Without `beside` it counts on the channels that a service with these settings runs.
    """
    from bot.conversation import GAZETTEER, talk_knowing
    from bot.ops.regions.glancing import Glancing as Looking
    from bot.ops.regions.whereabouts import Geography

    beside = beside or Beside(terms=terms_here(settings))
    return Office(
        Surroundings(
            store=house.store,
            clock=house.clock,
            talk=talk_knowing(words, known),
            known=known,
            words=words,
            glancing=Looking(house.store, known, Geography(GAZETTEER)),
            terms=beside.terms,
            settings=settings,
            committed=beside.committed,
        )
    )
