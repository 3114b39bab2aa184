"""The regions at the desk: what lies in each and whose it is, drawing one, and ending one.

1. Nothing is kept before the page has shown how many homes would be in it.
2. What cannot be used is said on the same page, with what was typed still there.
3. Whoever may see no single lawn sees no count of few homes either.
"""

from __future__ import annotations

import asyncio
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.channels.web.guard import FORM_EXTRA_BYTES
from bot.ops.cases.soil_map import FEWEST_HOMES
from bot.ops.cases.story import STAGES
from bot.ops.desk.area_told import area_told
from bot.ops.desk.desk import Desk
from bot.ops.desk.kept import PATIENCE_SECONDS, Keeping
from bot.ops.desk.region_form import RegionForm, drawn_of, form_sent, without_file
from bot.ops.regions.book import LONGEST_NAME, Region, RegionBook, RegionRefused, RegionSeen, Tallied
from bot.ops.regions.counties import county_told
from bot.ops.regions.ending import affected
from bot.ops.regions.geojson import MOST_BYTES
from bot.ops.regions.ground import box_of
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Shape, shape_doc, shape_from
from bot.ops.regions.sketch import Sketch, cell_of, filled, frame_of
from bot.ops.roles import Operator, Role
from bot.store import case_lists, glances, lawns_drawn, operators
from bot.store.told import told_until
from bot.talk.glance import Stage

SURE = "yes"
MOST_NAMES = 40
"""Counties whose names are put on the map, as far as there is room."""
_MOST_NUMBER = 2**53
MOST_FORM_BYTES = 2 * MOST_BYTES + FORM_EXTRA_BYTES
"""A drawing in a file, and the one that was handed in before."""


class RegionRoom:
    """The regions of the desk."""

    def __init__(self, patience_seconds: float = PATIENCE_SECONDS) -> None:
        self._patience_seconds = patience_seconds

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The addresses."""
        book = RegionBook(desk.house.store.database, desk.house.clock)
        pages = _RegionPages(desk, book, self._patience_seconds)
        drawing = _DrawingPages(desk, book)
        desk.tab("/regions", "desk-regions-tab", Role.READER)
        one, most = "/regions/{region:int}", MOST_FORM_BYTES
        return [
            Route("/regions", desk.looks(Role.READER, pages.all), methods=["GET"]),
            Route("/regions", desk.does(Role.APPROVER, drawing.keep, at_most_bytes=most), methods=["POST"]),
            Route("/regions/new", desk.looks(Role.APPROVER, drawing.new), methods=["GET"]),
            Route("/regions/new", desk.does(Role.APPROVER, drawing.preview, at_most_bytes=most), methods=["POST"]),
            Route(one, desk.looks(Role.READER, pages.one), methods=["GET"]),
            Route(f"{one}/end", desk.does(Role.APPROVER, pages.end), methods=["POST"]),
        ]


class _RegionPages:
    """What there is."""

    def __init__(self, desk: Desk, book: RegionBook, patience_seconds: float) -> None:
        self._desk = desk
        self._book = book
        self._maps = _Maps(desk, book)
        self._tallies: Keeping[list[Tallied]] = Keeping(desk.house.clock, patience_seconds)

    async def all(self, request: Request, operator: Operator) -> Response:
        """Every region with its homes. Counting a million takes a while: the names come at once."""
        regions = await self._book.all()

        async def count(_before: list[Tallied] | None) -> list[Tallied]:
            return await self._book.tally()

        found = await self._tallies.look("", await self._mark(regions), count)
        counted = {each.region.id: each for each in found.kept.value} if found.kept else {}
        return self._desk.page(
            request,
            operator,
            "regions.html",
            rows=[(each, counted.get(each.id), area_told(self._desk, each.shape)) for each in regions],
            is_working=found.is_working,
            fewest=_fewest(operator),
        )

    async def _mark(self, regions: Sequence[Region]) -> Hashable:
        """What the counts rest on."""
        async with self._desk.house.store.database.read() as tx:
            behind = await glances.count_out_of_date(tx)
            return await told_until(tx), behind, tuple(each.id for each in regions)

    async def one(self, request: Request, operator: Operator, fault: str = "") -> Response:
        """One region: what is in it, whose its homes are, and what its end would touch."""
        region = await self._book.by_id(_number(request))
        if region is None:
            return self._desk.problem(request, 404, "missing", operator)
        async with self._desk.house.store.database.read() as tx:
            touched = await affected(tx, region)
        return self._desk.page(
            request,
            operator,
            "region.html",
            status=409 if fault else 200,
            fault=fault,
            region=region,
            seen=await self._book.seen(region),
            area=area_told(self._desk, region.shape),
            stages=_stages(),
            touched=touched,
            fewest=_fewest(operator),
            map=await self._maps.around(region.shape, _fewest(operator)) if box_of(region.shape) else None,
        )

    async def end(self, request: Request, operator: Operator, form: FormData) -> Response:
        """End a region."""
        if form.get("sure") != SURE:
            return await self.one(request, operator, self._desk.say("desk-regions-sure-first"))
        region = await self._book.by_id(_number(request))
        if region is None:
            return self._desk.problem(request, 404, "missing", operator)
        try:
            await self._book.end(region, by=operator.id)
        except RegionRefused as refused:
            return await self.one(request, operator, str(refused))
        return self._desk.lead("/regions", "desk-regions-note-ended")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Preview:
    """What an area would be, and the shape that would be kept."""

    seen: RegionSeen
    shape: Shape
    is_mended: bool


class _DrawingPages:
    """Drawing a region."""

    def __init__(self, desk: Desk, book: RegionBook) -> None:
        self._desk = desk
        self._book = book
        self._maps = _Maps(desk, book)

    async def new(self, request: Request, operator: Operator) -> Response:
        """An empty form."""
        return await self._form(request, operator, RegionForm())

    async def preview(self, request: Request, operator: Operator, form: FormData) -> Response:
        """What the area would hold. Nothing is kept."""
        sent = RegionForm()
        try:
            sent = await form_sent(form)
            await self._answering(sent.answering)
            shape, sent, is_mended = await drawn_of(sent)
            seen = await self._book.preview(sent.name, shape)
        except RegionRefused as refused:
            return await self._form(request, operator, sent, fault=str(refused))
        except ShapeRefused as refused:
            return await self._form(request, operator, without_file(sent), fault=str(refused))
        found = _Preview(seen=seen, shape=shape, is_mended=is_mended)
        return await self._form(request, operator, sent, preview=found)

    async def keep(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep the area the page showed."""
        sent = RegionForm()
        try:
            sent = await form_sent(form)
            answering = await self._answering(sent.answering)
            shape = await asyncio.to_thread(shape_from, str(form.get("shape", "")))
            made = await self._book.add(sent.name, shape, by=operator.id, answered_by=answering)
        except (RegionRefused, ShapeRefused) as refused:
            return await self._form(request, operator, sent, fault=str(refused))
        return self._desk.lead(f"/regions/{made}", "desk-regions-note-kept")

    async def _answering(self, typed: str) -> int | None:
        """Who is to answer for it; None for nobody. Raises `RegionRefused` for somebody who is not let in."""
        if not typed:
            return None
        found = next((each for each in await self._people() if str(each.id) == typed), None)
        if found is None:
            raise RegionRefused(self._desk.say("desk-regions-nobody"))
        return found.id

    async def _people(self) -> list[operators.StoredOperator]:
        async with self._desk.house.store.database.read() as tx:
            return [each for each in await operators.everybody(tx) if each.ended_ms is None]

    async def _form(
        self,
        request: Request,
        operator: Operator,
        form: RegionForm,
        *,
        fault: str = "",
        preview: _Preview | None = None,
    ) -> Response:
        return self._desk.page(
            request,
            operator,
            "region_form.html",
            status=422 if fault else 200,
            fault=fault,
            form=form,
            preview=preview,
            shape=shape_doc(preview.shape) if preview else "",
            area=area_told(self._desk, preview.shape) if preview else "",
            people=await self._people(),
            map=await self._maps.around(preview.shape if preview else None, 1),
            stages=_stages(),
            longest_name=LONGEST_NAME,
            fewest=1,
        )


class _Maps:
    """Maps of what there is."""

    def __init__(self, desk: Desk, book: RegionBook) -> None:
        self._desk = desk
        self._book = book

    async def around(self, drawn: Shape | None, fewest: int) -> Sketch:
        """Where lawns are (where enough homes are), what is drawn, and (the last area) what is looked at now."""
        regions = await self._book.all()
        async with self._desk.house.store.database.read() as tx:
            extent = await case_lists.extent(tx)
            cell_e2 = cell_of(extent)
            cells = await case_lists.cells(tx, cell_e2) if extent is not None else []
            middles = await lawns_drawn.county_middles(tx, MOST_NAMES)
        areas = [(each.name, each.shape) for each in regions if each.shape != drawn]
        areas += [("", drawn)] if drawn is not None else []
        frame = frame_of(extent, [drawn] if drawn is not None else [])
        shown = [each for each in cells if each.homes >= fewest]
        names = [(county_told(each.county), each) for each in middles if each.homes >= fewest]
        return await asyncio.to_thread(filled, frame, shown, cell_e2, names, areas)


def _fewest(operator: Operator) -> int:
    """From how many homes on a count is shown."""
    return 1 if operator.role.may(Role.ADVISOR) else FEWEST_HOMES


def _stages() -> dict[str, str]:
    return {str(stage): STAGES[stage] for stage in Stage}


def _number(request: Request) -> int:
    return min(int(request.path_params["region"]), _MOST_NUMBER)
