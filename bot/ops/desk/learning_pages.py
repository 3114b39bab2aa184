"""What survived, at the desk: what lawns say of each grass, what adopting it would change, and taking it back.

1. The fit takes up to a minute, so it is worked out beside the pages and kept until somebody told something new.
2. What is adopted is what was looked at: the form carries the mark of the proposal, and the question is asked twice.
3. Readers see counts alone. Which lawns would be told something else is shown to those who may read cases.
"""

from __future__ import annotations

import asyncio
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.desk.desk import Desk
from bot.ops.desk.kept import PATIENCE_SECONDS, Keeping, Kept
from bot.ops.desk.learning_told import (
    MOST_LAWNS,
    Asked,
    grasses_told,
    lawns_told,
    named,
    spread_told,
)
from bot.ops.learning.adopting import AdoptionRefused
from bot.ops.learning.exporting import csv_of, export
from bot.ops.learning.seeing import Kind, Learning, Proposal, Seen, kind_named
from bot.ops.learning.standing import standing
from bot.ops.regions.book import Region, RegionBook
from bot.ops.regions.by_place import NearestZip
from bot.ops.roles import Operator, Role
from bot.store.told import told_until
from bot.talk.known import Known

SURE = "yes"


class LearningRoom:
    """The learning of the desk. `known` is what the talk knows beside the answers."""

    def __init__(
        self, known: Known, nearest_zip: NearestZip | None = None, patience_seconds: float = PATIENCE_SECONDS
    ) -> None:
        self._known = known
        self._nearest_zip = nearest_zip
        self._patience_seconds = patience_seconds

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The addresses."""
        house = desk.house
        self.bench = Bench(desk, Learning(house.store, house.clock, self._known, self._zips()), self._patience_seconds)
        pages = _LearningPages(desk, self.bench)
        acts = _LearningActs(desk, self.bench, pages)
        desk.tab("/learning", "desk-learning-tab", Role.READER)
        return [
            Route("/learning", desk.looks(Role.READER, pages.all), methods=["GET"]),
            Route("/learning/change", desk.looks(Role.READER, pages.change), methods=["GET"]),
            Route("/learning/lawns.csv", desk.looks(Role.READER, pages.table), methods=["GET"]),
            Route("/learning/adopt", desk.does(Role.APPROVER, acts.adopt), methods=["POST"]),
            Route("/learning/{correction:int}/undo", desk.does(Role.APPROVER, acts.undo), methods=["POST"]),
        ]

    def _zips(self) -> NearestZip:
        if self._nearest_zip is not None:
            return self._nearest_zip
        from bot.conversation import GAZETTEER  # the table of places: only where nobody brings another

        return GAZETTEER.zip_near


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What an address asks for. `region` None: everywhere."""

    region: Region | None
    kind: Kind | None = None


class Bench:
    """What is learned of each region and what adopting would change, kept."""

    def __init__(self, desk: Desk, learning: Learning, patience_seconds: float) -> None:
        self._desk = desk
        self.learning = learning
        self.regions = RegionBook(desk.house.store.database, desk.house.clock)
        self.seen: Keeping[Seen] = Keeping(desk.house.clock, patience_seconds)
        self.proposals: Keeping[Proposal] = Keeping(desk.house.clock, patience_seconds)

    async def look(self, region: Region | None) -> tuple[Kept[Seen] | None, bool]:
        """What is learned of a region, and whether something newer is on its way."""

        async def work(before: Seen | None) -> Seen:
            return await self.learning.look(region, before=before)

        found = await self.seen.look(region.id if region else None, await self._mark(), work)
        return found.kept, found.is_working

    async def propose(self, region: Region | None, kind: Kind) -> Kept[Proposal] | None:
        """What adopting would change; None while it is worked out. Raises `AdoptionRefused` for too little.

        It is shown only as long as nothing is newer: whoever adopts must see what counts now.
        """

        async def work(_before: Proposal | None) -> Proposal:
            return await self.learning.proposal(region, *kind)

        counting = tuple(each.id for each in await self.learning.adopting.now())
        mark = (await self._mark(), counting)
        found = await self.proposals.look((region.id if region else None, kind), mark, work)
        return None if found.is_working else found.kept

    async def _mark(self) -> Hashable:
        """What learning rests on: the day (lawns count after a while) and what was told."""
        async with self._desk.house.store.database.read() as tx:
            return self._desk.house.clock.now().date(), await told_until(tx)


class _LearningPages:
    """Looking."""

    def __init__(self, desk: Desk, bench: Bench) -> None:
        self._desk = desk
        self._bench = bench

    async def all(self, request: Request, operator: Operator, fault: str = "") -> Response:
        """What is learned of a region, grass by grass, and what is adopted."""
        wish = await self.wish(request.query_params.get("region"))
        if wish is None:
            return self._desk.problem(request, 404, "missing", operator)
        kept, is_working = await self._bench.look(wish.region)
        if kept is None:
            return self.working(request, operator)
        async with self._desk.house.store.database.read() as tx:
            stands = await standing(tx)
        seen = kept.value
        return self._desk.page(
            request,
            operator,
            "learning.html",
            status=409 if fault else 200,
            fault=fault,
            seen=seen,
            at=kept.at,
            is_working=is_working,
            regions=await self._bench.regions.all(),
            region=wish.region,
            grasses=grasses_told(self._desk, seen),
            stands=[(each, named(self._desk, each.grass, each.cultivar)) for each in reversed(stands)],
            shift_of=lambda doc: spread_told(doc.shift_dc, doc.low_dc, doc.high_dc),
        )

    async def change(self, request: Request, operator: Operator, fault: str = "") -> Response:
        """What adopting would change, and the question whether to."""
        asked = Asked.of(request.query_params)
        return await self.proposed(request, operator, asked, fault)

    async def proposed(self, request: Request, operator: Operator, asked: Asked, fault: str = "") -> Response:
        """The same, for what an address or a form asks."""
        wish = await self.wish(asked.region, asked.grass)
        if wish is None or wish.kind is None:
            return self._desk.problem(request, 404, "missing", operator)
        try:
            kept = await self._bench.propose(wish.region, wish.kind)
        except AdoptionRefused as refused:
            return self._desk.page(
                request, operator, "learning_few.html", status=409, why=str(refused), region=wish.region
            )
        if kept is None:
            return self.working(request, operator)
        proposal = kept.value
        return self._desk.page(
            request,
            operator,
            "learning_change.html",
            status=409 if fault else 200,
            fault=fault,
            asked=asked,
            proposal=proposal,
            name=named(self._desk, *wish.kind),
            spread=spread_told(proposal.wanted.doc.shift_dc, proposal.wanted.doc.low_dc, proposal.wanted.doc.high_dc),
            lawns=lawns_told(proposal.changes) if operator.role.may(Role.ADVISOR) else [],
            more=max(0, proposal.changes.changed_lawns - MOST_LAWNS),
        )

    async def table(self, request: Request, operator: Operator) -> Response:
        """What came of lawns as a table without personal data."""
        wish = await self.wish(request.query_params.get("region"))
        if wish is None:
            return self._desk.problem(request, 404, "missing", operator)
        kept, _ = await self._bench.look(wish.region)
        if kept is None:
            return self.working(request, operator)
        content = await asyncio.to_thread(lambda: csv_of(export(kept.value.gathered.told)))
        headers = {"content-disposition": 'attachment; filename="lawns.csv"'}
        return Response(content, media_type="text/csv; charset=utf-8", headers=headers)

    def working(self, request: Request, operator: Operator) -> Response:
        """Says that it takes a while; the page looks again by itself."""
        return self._desk.page(request, operator, "working.html", status=202)

    async def wish(self, region: object, grass: str | None = None) -> Wish | None:
        """What is asked for; None for a region or grass there is not."""
        wanted = None
        if region:
            regions = {str(each.id): each for each in await self._bench.regions.all()}
            wanted = regions.get(str(region))
            if wanted is None:
                return None
        try:
            kind = kind_named(grass) if grass is not None else None
        except AdoptionRefused:
            return None
        return Wish(region=wanted, kind=kind)


class _LearningActs:
    """Doing."""

    def __init__(self, desk: Desk, bench: Bench, pages: _LearningPages) -> None:
        self._desk = desk
        self._bench = bench
        self._pages = pages

    async def adopt(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Adopt what the page showed, if that is still what would change."""
        asked = Asked.of(form)
        wish = await self._pages.wish(asked.region, asked.grass)
        if wish is None or wish.kind is None:
            return self._desk.problem(request, 404, "missing", operator)
        if form.get("sure") != SURE:
            return await self._pages.proposed(request, operator, asked, self._desk.say("desk-learning-sure-first"))
        try:
            kept = await self._bench.propose(wish.region, wish.kind)
            if kept is None or kept.value.mark != form.get("seen"):
                said = self._desk.say("desk-learning-changed")
                return await self._pages.proposed(request, operator, asked, said)
            await self._bench.learning.adopting.adopt(kept.value.wanted, kept.value.found, operator)
        except AdoptionRefused as refused:
            return await self._pages.all(request, operator, str(refused))
        return self._desk.lead(_learning(wish.region), "desk-learning-note-adopted")

    async def undo(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Take a correction back."""
        if form.get("sure") != SURE:
            return self._desk.lead("/learning", "desk-learning-fault-sure")
        try:
            number = min(request.path_params["correction"], 2**53)
            await self._bench.learning.adopting.undo(number, operator)
        except AdoptionRefused:
            return self._desk.lead("/learning", "desk-learning-fault-gone")
        return self._desk.lead("/learning", "desk-learning-note-undone")


def _learning(region: Region | None) -> str:
    return f"/learning?region={region.id}" if region else "/learning"
