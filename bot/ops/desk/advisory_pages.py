"""The desk's advisories: writing, looking at what one would do, approving, watching it go out, stopping, correcting.

1. What cannot be done is said on the same page, with what was typed still there.
2. An approval is for what the page showed: its form carries the mark of that (`mark_of`).
3. What a single homeowner would read is shown to those who may read cases.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.advisories.advisory import Advisory, AdvisoryRefused, NewAdvisory, State
from bot.ops.advisories.approving import UNDO
from bot.ops.advisories.drafts import correction_of
from bot.ops.advisories.filling import Figure
from bot.ops.advisories.office import Beside, Office, office_of
from bot.ops.advisories.wording import CHANNELS, FIGURES, STATES, channel_told, reasons_told
from bot.ops.advisories.zones import COMMON
from bot.ops.cases.story import STAGES
from bot.ops.desk.advisory_form import AdvisoryForm, content_of, form_of, form_sent, with_times
from bot.ops.desk.area_told import area_told
from bot.ops.desk.desk import Desk
from bot.ops.regions.book import RegionBook
from bot.ops.regions.refused import ShapeRefused
from bot.ops.roles import Operator, Role
from bot.settings import Settings
from bot.store import operators
from bot.talk.glance import Stage
from bot.talk.known import Known
from rules.grasses import GrassCode

LISTED = 60
_MOST_NUMBER = 2**53  # no advisory has so high a one
_OPEN = (State.APPROVED, State.GOING_OUT, State.PAUSED)


class AdvisoryRoom:
    """The advisories of the desk. `beside` None: nothing is sent from this process."""

    def __init__(self, known: Known, settings: Settings | None = None, beside: Beside | None = None) -> None:
        self._known = known
        self._settings = settings or Settings()
        self._beside = beside

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The addresses."""
        office = office_of(desk.house, desk.words, self._known, self._settings, self._beside)
        pages = _AdvisoryPages(desk, office)
        writing = _WritingPages(desk, office)
        desk.tab("/advisories", "advisory-tab", Role.READER)
        desk.watch("/advisories", "advisory-watch", Role.APPROVER, pages.draft_count)
        one = "/advisories/{number:int}"
        return [
            Route("/advisories", desk.looks(Role.READER, pages.all), methods=["GET"]),
            Route("/advisories", desk.does(Role.ADVISOR, writing.draft), methods=["POST"]),
            Route("/advisories/new", desk.looks(Role.ADVISOR, writing.new), methods=["GET"]),
            Route(one, desk.looks(Role.READER, pages.one), methods=["GET"]),
            Route(f"{one}/preview", desk.looks(Role.READER, pages.preview), methods=["GET"]),
            Route(f"{one}/change", desk.looks(Role.ADVISOR, writing.edit), methods=["GET"]),
            Route(f"{one}/change", desk.does(Role.ADVISOR, writing.change), methods=["POST"]),
            Route(f"{one}/approve", desk.does(Role.APPROVER, pages.approve), methods=["POST"]),
            Route(f"{one}/undo", desk.does(Role.APPROVER, pages.undo), methods=["POST"]),
            Route(f"{one}/pause", desk.does(Role.ADVISOR, pages.pause), methods=["POST"]),
            Route(f"{one}/resume", desk.does(Role.APPROVER, pages.resume), methods=["POST"]),
            Route(f"{one}/stop", desk.does(Role.APPROVER, pages.stop), methods=["POST"]),
            Route(f"{one}/drop", desk.does(Role.ADVISOR, pages.drop), methods=["POST"]),
            Route(f"{one}/correct", desk.does(Role.ADVISOR, writing.correct), methods=["POST"]),
            Route(f"{one}/again", desk.does(Role.ADVISOR, writing.again), methods=["POST"]),
        ]


class _AdvisoryPages:
    """What there is, and what may be done with it."""

    def __init__(self, desk: Desk, office: Office) -> None:
        self._desk = desk
        self._office = office

    async def draft_count(self) -> int:
        """How many drafts wait for an approval."""
        return sum(each.state is State.DRAFT for each in await self._office.drafts.latest(LISTED))

    async def all(self, request: Request, operator: Operator) -> Response:
        """The newest advisories."""
        found = await self._office.drafts.latest(LISTED)
        return self._desk.page(request, operator, "advisories.html", found=found, states=STATES)

    async def one(self, request: Request, operator: Operator, fault: str = "") -> Response:
        """One as it stands: how far it is, what became of it, and what may be done."""
        advisory = await self._found(request)
        if advisory is None:
            return self._desk.problem(request, 404, "missing", operator)
        report = await self._office.report(advisory.id)
        can_undo = advisory.state is State.APPROVED
        return self._desk.page(
            request,
            operator,
            "advisory.html",
            status=422 if fault else 200,
            advisory=advisory,
            states=STATES,
            following=await self._office.drafts.following(advisory.id),
            names=await self._names(),
            report=report if advisory.approved_at is not None else None,
            reasons=lambda counts: reasons_told(self._desk.words, counts),
            channel=lambda name: channel_told(self._desk.words, name),
            is_open=advisory.state in _OPEN or report.progress.under_way > 0,
            can_undo=can_undo,
            undo_seconds=int(UNDO.total_seconds()),
            useful_until=advisory.useful_until(self._office.clock.now()),
            zone=await self._office.zone_of(advisory),
            area=area_told(self._desk, advisory.content.audience.shape),
            fault=fault,
        )

    async def preview(self, request: Request, operator: Operator, fault: str = "") -> Response:
        """What one would do. Counting a million people takes a while; the page comes when it is done."""
        advisory = await self._found(request)
        if advisory is None:
            return self._desk.problem(request, 404, "missing", operator)
        if advisory.state is not State.DRAFT:
            return self._desk.lead(f"/advisories/{advisory.id}")
        try:
            preview = await self._office.preview(advisory.id)
        except AdvisoryRefused as refused:
            return await self.one(request, operator, str(refused))
        why_not = await self._office.approving.why_not(advisory, operator)
        return self._desk.page(
            request,
            operator,
            "advisory_preview.html",
            status=422 if fault else 200,
            preview=preview,
            why_not="" if why_not is None else str(why_not),
            notes=[self._desk.words.text(note) for note in preview.checked.notes],
            reasons=lambda counts: reasons_told(self._desk.words, counts),
            channel=lambda name: channel_told(self._desk.words, name),
            area=area_told(self._desk, advisory.content.audience.shape),
            undo_seconds=int(UNDO.total_seconds()),
            fault=fault,
        )

    async def approve(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Approve what the page showed."""
        seen = form.get("seen")
        try:
            number = _number(request)
            await self._office.approving.approve(number, seen if isinstance(seen, str) else "", operator)
        except AdvisoryRefused as refused:
            return await self.preview(request, operator, str(refused))
        return self._desk.lead(f"/advisories/{number}", "advisory-note-approved")

    async def undo(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Take an approval back."""
        return await self._do(request, operator, self._office.approving.undo, "advisory-note-undone")

    async def pause(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Let nothing more out for now."""
        return await self._do(request, operator, self._office.steering.pause, "advisory-note-paused")

    async def resume(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Go on."""
        return await self._do(request, operator, self._office.steering.resume, "advisory-note-resumed")

    async def stop(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Stop for good."""
        return await self._do(request, operator, self._office.steering.cancel, "advisory-note-stopped")

    async def drop(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Give up a draft."""

        async def drop(number: int, by: Operator) -> None:
            await self._office.drafts.drop(number, by.id)

        return await self._do(request, operator, drop, "advisory-note-dropped")

    async def _do(
        self, request: Request, operator: Operator, act: Callable[[int, Operator], Awaitable[None]], note: str
    ) -> Response:
        """Do one thing; what cannot be done is said on the advisory's page."""
        try:
            await act(_number(request), operator)
        except AdvisoryRefused as refused:
            return await self.one(request, operator, str(refused))
        return self._desk.lead(f"/advisories/{_number(request)}", note)

    async def _found(self, request: Request) -> Advisory | None:
        try:
            return await self._office.drafts.get(_number(request))
        except AdvisoryRefused:
            return None

    async def _names(self) -> dict[int, str]:
        async with self._desk.house.store.database.read() as tx:
            return {each.id: each.name for each in await operators.everybody(tx)}


class _WritingPages:
    """Drafts being written."""

    def __init__(self, desk: Desk, office: Office) -> None:
        self._desk = desk
        self._office = office
        self._regions = RegionBook(desk.house.store.database, desk.house.clock)

    async def new(self, request: Request, operator: Operator) -> Response:
        """An empty form, or one for what follows another advisory."""
        form = AdvisoryForm(after_id=_whole(request.query_params.get("after")))
        return await self._form(request, operator, form, "/advisories")

    async def draft(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep a draft."""
        sent = form_sent(form, AdvisoryForm(after_id=_whole(form.get("after"))))

        async def keep() -> int:
            return await self._office.drafts.draft(await self._meant(sent), operator.id)

        return await self._kept(request, operator, sent, "/advisories", keep)

    async def edit(self, request: Request, operator: Operator) -> Response:
        """A draft in the form."""
        advisory = await self._draft(request)
        if advisory is None:
            return self._desk.problem(request, 404, "missing", operator)
        form = form_of(advisory.content, await self._office.zone_of(advisory))
        return await self._form(request, operator, form, _change(advisory.id), rev=advisory.rev)

    async def change(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Put other content into a draft; refused when somebody else did since the form was opened."""
        advisory = await self._draft(request)
        if advisory is None:
            return self._desk.problem(request, 404, "missing", operator)
        kept = form_of(advisory.content, await self._office.zone_of(advisory))
        sent, rev = form_sent(form, kept), _whole(form.get("rev")) or 0

        async def keep() -> int:
            content = replace(await self._meant(sent), after_id=advisory.content.after_id)
            await self._office.drafts.change(advisory.id, rev, content, operator.id)
            return advisory.id

        return await self._kept(request, operator, sent, _change(advisory.id), keep, rev=rev)

    async def correct(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Draft what puts wrong words right."""
        words = form.get("words")

        def drafted(number: int) -> Awaitable[int]:
            return correction_of(self._office.drafts, number, words if isinstance(words, str) else "", operator.id)

        return await self._drafted(request, operator, drafted)

    async def again(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Draft the same words for those from whom no answer came."""
        return await self._drafted(request, operator, lambda number: self._office.again(number, operator.id))

    async def _drafted(
        self, request: Request, operator: Operator, drafted: Callable[[int], Awaitable[int]]
    ) -> Response:
        """Draft something out of another advisory; what cannot be done is said on that one's page."""
        try:
            number = await drafted(_number(request))
        except AdvisoryRefused as refused:
            if refused.reason == "unknown":
                return self._desk.problem(request, 404, "missing", operator)
            return await _AdvisoryPages(self._desk, self._office).one(request, operator, str(refused))
        return self._desk.lead(f"/advisories/{number}/preview", "advisory-note-kept")

    async def _meant(self, form: AdvisoryForm) -> NewAdvisory:
        """What a form means; whose clock its times are meant by is looked up where it holds any."""
        content = content_of(form, await self._regions.all())
        zone = await self._office.zone_for(content) if form.due or form.useful_until else content.zone
        return with_times(content, form, zone)

    async def _kept(
        self,
        request: Request,
        operator: Operator,
        form: AdvisoryForm,
        action: str,
        keep: Callable[[], Awaitable[int]],
        rev: int = 0,
    ) -> Response:
        try:
            number = await keep()
        except (AdvisoryRefused, ShapeRefused) as refused:
            return await self._form(request, operator, form, action, rev=rev, fault=str(refused))
        return self._desk.lead(f"/advisories/{number}/preview", "advisory-note-kept")

    async def _form(
        self, request: Request, operator: Operator, form: AdvisoryForm, action: str, *, rev: int = 0, fault: str = ""
    ) -> Response:
        return self._desk.page(
            request,
            operator,
            "advisory_form.html",
            status=422 if fault else 200,
            form=form,
            action=action,
            rev=rev,
            regions=await self._regions.all(),
            grasses=list(GrassCode),
            stages=[(str(stage), STAGES[stage]) for stage in Stage],
            channels=[(name, channel_told(self._desk.words, name)) for name in CHANNELS if name != "terminal"],
            figures=[(str(figure), FIGURES[figure]) for figure in Figure],
            zones=sorted({*COMMON, *filter(None, (form.zone,))}),
            area=area_told(self._desk, form.kept.shape),
            fault=fault,
        )

    async def _draft(self, request: Request) -> Advisory | None:
        try:
            advisory = await self._office.drafts.get(_number(request))
        except AdvisoryRefused:
            return None
        return advisory if advisory.state is State.DRAFT else None


def _number(request: Request) -> int:
    return min(int(request.path_params["number"]), _MOST_NUMBER)


def _change(number: int) -> str:
    return f"/advisories/{number}/change"


def _whole(value: object) -> int | None:
    return int(value) if isinstance(value, str) and value.isdecimal() and len(value) < 16 else None
