"""The desk's local rules: what holds in each region, saying it, and taking it back.

Everybody at the desk sees it; who may draw regions may change it. What the talk tells follows within a minute.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.desk.desk import Desk
from bot.ops.local.entering import FIELDS, WEEKDAYS, doc_from, typed_from
from bot.ops.local.keeping import Keeping, Kept
from bot.ops.local.pieces import LONGEST_NAME, LONGEST_NOTE, Piece
from bot.ops.local.refused import LocalRefused
from bot.ops.local.told import told
from bot.ops.regions.book import Region, RegionBook
from bot.ops.roles import Operator, Role
from bot.store.database import instant
from bot.store.local_rules import StoredLocalRule
from bot.talk.messages import Text

Form = Mapping[Piece, Mapping[str, str]]


class LocalRoom:
    """A room of its own."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The regions, one of them, and what can be said of it."""
        pages, one = _LocalPages(desk), "/local/{region:int}"
        desk.tab("/local", "local-tab", Role.READER)
        return [
            Route("/local", desk.looks(Role.READER, pages.regions), methods=["GET"]),
            Route(one, desk.looks(Role.READER, pages.region), methods=["GET"]),
            Route(one, desk.does(Role.APPROVER, pages.say), methods=["POST"]),
            Route(f"{one}/undo/{{rule:int}}", desk.does(Role.APPROVER, pages.undo), methods=["POST"]),
        ]


class _LocalPages:
    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._regions = RegionBook(desk.house.store.database, desk.house.clock)
        self._keeping = Keeping(desk.house.store.database, desk.house.clock)

    async def regions(self, request: Request, operator: Operator) -> Response:
        """Every region with what holds there, the smallest first: it wins over those around it."""
        drawn = sorted(await self._regions.all(), key=lambda each: (each.area_km2, each.id))
        counting = await self._keeping.counting()
        listed = [(each, _lines(counting.get(each.id, {}))) for each in drawn]
        return self._desk.page(request, operator, "local.html", listed=listed)

    async def region(self, request: Request, operator: Operator) -> Response:
        """One region: the form, and what was ever said of it."""
        region = await self._region(request)
        if region is None:
            return self._desk.problem(request, 404, "missing", operator)
        kept = await self._keeping.kept(region.id)
        form = {piece: typed_from(piece, row.doc or "") for piece, row in kept.counting.items()}
        return self._page(request, operator, region, kept, form)

    async def say(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep what was typed, or show it again with what is wrong."""
        region = await self._region(request)
        if region is None:
            return self._desk.problem(request, 404, "missing", operator)
        typed, kept = _typed_in(form), await self._keeping.kept(region.id)
        try:
            docs = {piece: self._doc(piece, typed[piece]) for piece in Piece}
            for piece in _unread(kept):
                if docs[piece] is None:  # its fields came empty; only the history takes it back
                    del docs[piece]
            changed = await self._keeping.say(region.id, docs, operator, seen=_seen_in(form))
        except LocalRefused as refused:
            return self._page(request, operator, region, kept, typed, fault=str(refused))
        return self._desk.lead(f"/local/{region.id}", "local-note-kept" if changed else "local-note-same")

    async def undo(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Take the newest word on a piece back."""
        region = await self._region(request)
        if region is None:
            return self._desk.problem(request, 404, "missing", operator)
        try:
            await self._keeping.undo(region.id, request.path_params["rule"], operator)
        except LocalRefused:
            return self._desk.lead(f"/local/{region.id}", "local-fault-undo")
        return self._desk.lead(f"/local/{region.id}", "local-note-undone")

    def _doc(self, piece: Piece, typed: Mapping[str, str]) -> str | None:
        try:
            return doc_from(piece, typed)
        except LocalRefused as refused:
            raise LocalRefused(f"{self._desk.say(f'local-piece-{piece}')}: {refused}") from refused

    def _page(
        self, request: Request, operator: Operator, region: Region, kept: Kept, form: Form, *, fault: str = ""
    ) -> Response:
        return self._desk.page(
            request,
            operator,
            "local_region.html",
            status=400 if fault else 200,
            region=region,
            lines=_lines(kept.counting),
            form={piece: {name: form.get(piece, {}).get(name, "") for name in FIELDS[piece]} for piece in Piece},
            fault=fault,
            unread=_unread(kept),
            seen=kept.newest,
            history=[_row(kept, each) for each in kept.rows],
            weekdays=list(enumerate(WEEKDAYS)),
            longest_name=LONGEST_NAME,
            longest_note=LONGEST_NOTE,
        )

    async def _region(self, request: Request) -> Region | None:
        wanted = request.path_params["region"]
        return next((each for each in await self._regions.all() if each.id == wanted), None)


def _lines(counting: Mapping[Piece, StoredLocalRule]) -> list[tuple[Piece, Text]]:
    """What counts in a region, in the order of the pieces."""
    return [(piece, told(piece, counting[piece].doc)) for piece in Piece if piece in counting]


def _unread(kept: Kept) -> list[Piece]:
    """Pieces that count and no longer read."""
    return [piece for piece, row in kept.counting.items() if not typed_from(piece, row.doc or "")]


def _row(kept: Kept, row: StoredLocalRule) -> dict[str, object]:
    return {
        "id": row.id,
        "piece": row.piece if row.piece in set(Piece) else None,
        "said": told(row.piece, row.doc),
        "by": kept.by(row.made_by),
        "at": instant(row.made_ms),
        "undone_by": kept.by(row.undone_by),
        "undone_at": instant(row.undone_ms) if row.undone_ms is not None else None,
        "may_undo": kept.may_undo(row),
    }


def _typed_in(form: FormData) -> dict[Piece, dict[str, str]]:
    """The fields of each piece; of several ticks of one name all, with a space between."""
    return {
        piece: {name: " ".join(str(each) for each in form.getlist(f"{piece}.{name}")) for name in FIELDS[piece]}
        for piece in Piece
    }


def _seen_in(form: FormData) -> int:
    """The newest row the form was filled from; one that is never there for a form that does not tell."""
    seen = str(form.get("seen") or "")
    return int(seen) if seen.isascii() and seen.isdigit() and len(seen) < 16 else -1
