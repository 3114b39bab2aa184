"""The cases at the desk: what waits, one case with all that can be done about it, and the words written often.

1. What cannot be done is said on the same page, with what was typed still there.
2. A form that is sent twice counts once.
3. Photos are shown through their case alone, to those who may see it.
"""

from __future__ import annotations

import asyncio
import secrets
from collections.abc import Awaitable, Collection, Sequence

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.cases.blanks import BLANKS
from bot.ops.cases.book import MOST_LETTERS, MOST_NAME_LETTERS, CaseBook, Cases
from bot.ops.cases.refusals import CannotDo
from bot.ops.cases.story import STAGES
from bot.ops.cases.waiting import LISTED, waiting
from bot.ops.desk.desk import Desk
from bot.ops.regions.counties import counties
from bot.ops.roles import Operator, Role
from bot.store import case_lists, handovers
from bot.store.database import instant
from bot.talk.endings import EARLIEST_HOUR, LATEST_HOUR
from bot.talk.glance import Stage
from bot.talk.known import Known
from bot.talk.messages import ClockTime, text
from bot.talk.people import JUST_NOW


class CaseRoom:
    """The cases of the desk. `known` is what the talk knows beside the answers, so that a case says the same."""

    def __init__(self, known: Known) -> None:
        self._known = known

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The addresses."""
        house = desk.house
        pages = _CasePages(desk, Cases(house.store, house.service, house.clock, self._known))
        words = _TemplatePages(desk, pages.cases)
        desk.tab("/cases", "cases-tab", Role.ADVISOR)
        desk.watch("/cases", "cases-watch", Role.ADVISOR, pages.open_count)
        case = "/cases/{case:int}"
        return [
            Route("/cases", desk.looks(Role.ADVISOR, pages.inbox), methods=["GET"]),
            Route("/cases/open", desk.looks(Role.ADVISOR, pages.find), methods=["GET"]),
            Route("/cases/stage/{stage}", desk.looks(Role.ADVISOR, pages.stage), methods=["GET"]),
            Route(case, desk.looks(Role.ADVISOR, pages.case), methods=["GET"]),
            Route(f"{case}/photo/{{photo}}", desk.looks(Role.ADVISOR, pages.photo), methods=["GET"]),
            Route(f"{case}/write", desk.does(Role.ADVISOR, pages.write), methods=["POST"]),
            Route(f"{case}/take", desk.does(Role.ADVISOR, pages.take), methods=["POST"]),
            Route(f"{case}/give-back", desk.does(Role.ADVISOR, pages.give_back), methods=["POST"]),
            Route(f"{case}/close", desk.does(Role.ADVISOR, pages.close), methods=["POST"]),
            Route(f"{case}/note", desk.does(Role.ADVISOR, pages.note), methods=["POST"]),
            Route("/templates", desk.looks(Role.ADVISOR, words.templates), methods=["GET"]),
            Route("/templates", desk.does(Role.ADVISOR, words.keep), methods=["POST"]),
            Route("/templates/{template:int}/drop", desk.does(Role.ADVISOR, words.drop), methods=["POST"]),
        ]


class _CasePages:
    """What each address about cases does."""

    def __init__(self, desk: Desk, cases: Cases) -> None:
        self._desk = desk
        self.cases = cases

    async def open_count(self) -> int:
        """How many questions wait."""
        async with self._desk.house.store.database.read() as tx:
            return await handovers.how_many_open(tx)

    # --- looking ---------------------------------------------------------------------------------------------------

    async def inbox(self, request: Request, operator: Operator) -> Response:
        """What waits for a person."""
        found = await waiting(self._desk.house.store, self._desk.house.clock)
        return self._desk.page(
            request,
            operator,
            "cases.html",
            found=found,
            glimpses=await self._glimpses(found.case_ids),
            at=instant,
            ago=lambda at: ago(found.seen_at.timestamp() - at.timestamp()),
            listed=LISTED,
        )

    async def _glimpses(self, case_ids: Collection[int]) -> dict[int, str]:
        """What each lawn is, in a few words: which case is whose is not told by its number."""
        async with self._desk.house.store.database.read() as tx:
            found = await case_lists.glimpses(tx, case_ids)
        names = counties()
        return {
            of_id: self._desk.say(
                "cases-glimpse",
                grass=text(f"grass-name-{each.grass}") if each.grass else text("grass-open"),
                county=names[each.county].name if each.county in names else "",
                state=each.state or "",
            )
            for of_id, each in found.items()
        }

    async def find(self, request: Request, operator: Operator) -> Response:
        """Lead to a case by its number."""
        number = request.query_params.get("case", "").strip()
        is_number = number.isascii() and number.isdigit() and len(number) < _LONGEST_NUMBER
        return self._desk.lead(f"/cases/{number}" if is_number else "/cases", "" if is_number else "cases-note-number")

    async def stage(self, request: Request, operator: Operator) -> Response:
        """Lawns at a stage."""
        wanted = request.path_params["stage"]
        if wanted not in set(Stage):
            return self._desk.problem(request, 404, "missing", operator)
        async with self._desk.house.store.database.read() as tx:
            found = await case_lists.at_stage(tx, wanted, LISTED)
        seen_at = self._desk.house.clock.now()
        return self._desk.page(
            request,
            operator,
            "cases_stage.html",
            stage=self._desk.say(STAGES[Stage(wanted)]),
            found=[(each, ago(seen_at.timestamp() - each.heard_ms / 1000)) for each in found],
            listed=LISTED,
        )

    async def case(self, request: Request, operator: Operator) -> Response:
        """One case at a glance, with what can be done about it."""
        return await self._case_page(request, operator)

    async def photo(self, request: Request, operator: Operator) -> Response:
        """A photo of a case."""
        case_id, photo_id = request.path_params["case"], request.path_params["photo"]
        is_theirs = await self.cases.owns(case_id, photo_id, operator)
        files = self._desk.house.store.files
        content = await asyncio.to_thread(files.read, photo_id) if is_theirs else None
        if content is None:
            return self._desk.problem(request, 404, "missing", operator)
        return Response(content, media_type="image/jpeg")

    async def _case_page(
        self, request: Request, operator: Operator, *, fault: CannotDo | None = None, form: FormData | None = None
    ) -> Response:
        case_id = request.path_params["case"]
        try:
            book = await self.cases.look(case_id, operator)
        except CannotDo:
            return self._desk.problem(request, 404, "missing", operator)
        return self._desk.page(
            request,
            operator,
            "case.html",
            status=409 if fault is not None else 200,
            book=book,
            fault=self._desk.words.text(fault.told) if fault is not None else "",
            typed=await self._typed(request, form, case_id),
            is_ours=book.story.held_by == operator.name,
            is_night=_is_night(book),
            templates=await self.cases.templates(),
            once=secrets.token_hex(8),
            at=instant,
            stages=STAGES,
            clock=ClockTime,
            shown_lines=SHOWN_LINES,
            most_letters=MOST_LETTERS,
        )

    async def _typed(self, request: Request, form: FormData | None, case_id: int) -> dict[str, str]:
        """What stands in the fields: what was typed before something went wrong, or a template's words."""
        if form is not None:
            return {name: str(form.get(name, "")) for name in ("words", "note")}
        picked = request.query_params.get("template", "")
        words = ""
        if picked.isascii() and picked.isdigit() and len(picked) < _LONGEST_NUMBER:
            try:
                words = await self.cases.fill_template(int(picked), case_id, self._desk.words)
            except CannotDo:
                words = ""  # it was dropped meanwhile: the field is empty, and the list shows what there is
        return {"words": words, "note": ""}

    # --- doing -----------------------------------------------------------------------------------------------------

    async def write(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Write to a homeowner, in answer to the questions that are ticked."""
        case_id, once = request.path_params["case"], _once(form)
        doing = self.cases.write(
            case_id, str(form.get("words", "")), operator, once=once, answers=_numbers(form, "question")
        )
        return await self._done(request, operator, form, doing, "cases-note-written")

    async def take(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Take the talk over."""
        doing = self.cases.take(request.path_params["case"], operator, once=_once(form))
        return await self._done(request, operator, form, doing, "cases-note-taken")

    async def give_back(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Give the talk back."""
        doing = self.cases.give_back(request.path_params["case"], operator, once=_once(form))
        return await self._done(request, operator, form, doing, "cases-note-given-back")

    async def close(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Close the ticked questions without a word."""
        doing = self.cases.close(request.path_params["case"], _numbers(form, "question"), operator)
        return await self._done(request, operator, form, doing, "cases-note-closed")

    async def note(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Write something down for colleagues."""
        doing = self.cases.note(request.path_params["case"], str(form.get("note", "")), operator)
        return await self._done(request, operator, form, doing, "cases-note-noted")

    async def _done(
        self, request: Request, operator: Operator, form: FormData, doing: Awaitable[None], note: str
    ) -> Response:
        try:
            await doing
        except CannotDo as fault:
            return await self._case_page(request, operator, fault=fault, form=form)
        return self._desk.lead(f"/cases/{request.path_params['case']}", note)


class _TemplatePages:
    """Words that are written often."""

    def __init__(self, desk: Desk, cases: Cases) -> None:
        self._desk = desk
        self._cases = cases

    async def templates(self, request: Request, operator: Operator) -> Response:
        """All of them, and a form for one more."""
        return await self._page(request, operator)

    async def keep(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep words under a name."""
        try:
            await self._cases.keep_template(str(form.get("name", "")), str(form.get("words", "")), operator)
        except CannotDo as fault:
            return await self._page(request, operator, fault=fault, form=form)
        return self._desk.lead("/templates", "cases-note-template-kept")

    async def drop(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Remove one."""
        try:
            await self._cases.drop_template(request.path_params["template"], operator)
        except CannotDo:
            return self._desk.problem(request, 404, "missing", operator)
        return self._desk.lead("/templates", "cases-note-template-dropped")

    async def _page(
        self, request: Request, operator: Operator, *, fault: CannotDo | None = None, form: FormData | None = None
    ) -> Response:
        return self._desk.page(
            request,
            operator,
            "case_templates.html",
            status=409 if fault is not None else 200,
            templates=await self._cases.templates(),
            fault=self._desk.words.text(fault.told) if fault is not None else "",
            typed={name: str(form.get(name, "")) if form is not None else "" for name in ("name", "words")},
            blanks=[f"{{{name}}}" for name in BLANKS],
            most_letters=MOST_LETTERS,
            most_name_letters=MOST_NAME_LETTERS,
        )


_LONGEST_NUMBER = 16
SHOWN_LINES = 6
"""Of a talk, before the earlier ones are opened."""
MINUTE, HOUR, DAY = 60, 3600, 86_400


def ago(seconds: float) -> tuple[str, int]:
    """How long ago something was: the key of its words, and how many of its unit."""
    if seconds < HOUR:
        return "cases-ago-minutes", max(0, int(seconds // MINUTE))
    if seconds < 2 * DAY:
        return "cases-ago-hours", int(seconds // HOUR)
    return "cases-ago-days", int(seconds // DAY)


def _is_night(book: CaseBook) -> bool:
    """Whether what is written now waits for the morning there."""
    lawn, heard_at = next(iter(book.story.lawns), None), book.story.heard_at
    is_awake = heard_at is not None and book.seen_at - heard_at <= JUST_NOW
    return lawn is not None and not is_awake and not EARLIEST_HOUR <= lawn.local_now.hour < LATEST_HOUR


def _once(form: FormData) -> str:
    """What a repeat of a form is known by. A form without one counts each time."""
    return str(form.get("once", ""))[:64] or secrets.token_hex(8)


def _numbers(form: FormData, name: str) -> tuple[int, ...]:
    """The ticked ids. Raises nothing: what is no number belongs to nothing that is open, and is told so later."""
    values = [str(value) for value in form.getlist(name)]
    return tuple(int(value) if value.isascii() and value.isdigit() and len(value) < 16 else -1 for value in values)
