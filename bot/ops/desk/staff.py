"""The keeper's pages: who is let in, and who did what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.desk.entering import REFUSED
from bot.ops.desk.pages import link_at
from bot.ops.desk.staffing import Staffing, Unfit
from bot.ops.roles import Operator, Role
from bot.store import audits, operators
from bot.store.audits import Deed
from bot.store.database import instant

if TYPE_CHECKING:
    from bot.ops.desk.desk import Desk

DEEDS_A_PAGE = 50


class Staff:
    """A room of its own."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """Operators and deeds."""
        self._desk = desk
        self._staffing = Staffing(desk.house.store, desk.house.clock)
        desk.tab("/operators", "desk-tab-operators", Role.KEEPER)
        desk.tab("/deeds", "desk-tab-deeds", Role.KEEPER)
        return [
            Route("/operators", desk.looks(Role.KEEPER, self.show), methods=["GET"]),
            Route("/operators", desk.does(Role.KEEPER, self.add), methods=["POST"]),
            Route("/operators/{operator_id:int}/role", desk.does(Role.KEEPER, self.change_role), methods=["POST"]),
            Route("/operators/{operator_id:int}/link", desk.does(Role.KEEPER, self.link), methods=["POST"]),
            Route("/operators/{operator_id:int}/let-go", desk.does(Role.KEEPER, self.let_go), methods=["POST"]),
            Route("/deeds", desk.looks(Role.KEEPER, self.deeds), methods=["GET"]),
        ]

    async def show(self, request: Request, operator: Operator) -> Response:
        """Everybody who is or was let in."""
        everybody = await self._staffing.everybody()
        now_in = [each for each in everybody if each.ended_ms is None]
        gone = [(each.name, instant(each.ended_ms)) for each in everybody if each.ended_ms is not None]
        return self._desk.page(request, operator, "operators.html", now_in=now_in, gone=gone, roles=list(Role))

    async def add(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Let somebody in, and show their first link."""
        name, role = str(form.get("name") or ""), _role_in(form)
        if role is None:
            return self._desk.lead("/operators", "desk-fault-staff-role")
        try:
            secret = await self._staffing.add(name, role, operator.id)
        except Unfit as unfit:
            return self._desk.lead("/operators", f"desk-fault-staff-{unfit.fault}")
        return self._link_page(request, operator, " ".join(name.split()), secret)

    async def link(self, request: Request, operator: Operator, form: FormData) -> Response:
        """A new one-time link, shown once."""
        operator_id = request.path_params["operator_id"]
        try:
            secret = await self._staffing.link(operator_id, operator.id)
        except Unfit as unfit:
            return self._desk.lead("/operators", f"desk-fault-staff-{unfit.fault}")
        async with self._desk.house.store.database.read() as tx:
            known = await operators.by_id(tx, operator_id)
        return self._link_page(request, operator, known.name if known else "", secret)

    async def change_role(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Change what somebody may do."""
        role = _role_in(form)
        if role is None:
            return self._desk.lead("/operators", "desk-fault-staff-role")
        try:
            await self._staffing.change_role(request.path_params["operator_id"], role, operator.id)
        except Unfit as unfit:
            return self._desk.lead("/operators", f"desk-fault-staff-{unfit.fault}")
        return self._desk.lead("/operators", "desk-note-role-changed")

    async def let_go(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Let somebody go."""
        try:
            await self._staffing.let_go(request.path_params["operator_id"], operator.id)
        except Unfit as unfit:
            return self._desk.lead("/operators", f"desk-fault-staff-{unfit.fault}")
        return self._desk.lead("/operators", "desk-note-let-go")

    async def deeds(self, request: Request, operator: Operator) -> Response:
        """Who did what, newest first, a page at a time."""
        before = request.query_params.get("before", "")
        before_id = int(before) if before.isascii() and before.isdigit() and len(before) < 16 else None
        async with self._desk.house.store.database.read() as tx:
            found = await audits.latest(tx, DEEDS_A_PAGE + 1, before_id)
            names = {each.id: each.name for each in await operators.everybody(tx)}
        shown = [self._told(deed, names) for _, deed in found[:DEEDS_A_PAGE]]
        earlier = found[DEEDS_A_PAGE - 1][0] if len(found) > DEEDS_A_PAGE else None
        return self._desk.page(request, operator, "deeds.html", deeds=shown, earlier=earlier)

    def _told(self, deed: Deed, names: Mapping[int, str]) -> dict[str, object]:
        who = names.get(deed.operator_id or 0, "")
        if deed.operator_id is None:
            who = self._desk.say("desk-deed-nobody" if deed.act == REFUSED else "desk-deed-command-line")
        kind, _, number = deed.about.partition(" ")
        is_operator = kind == "operator" and number.isdigit()
        about = names.get(int(number), deed.about) if is_operator else deed.about
        return {"at": instant(deed.at_ms), "who": who, "act": deed.act, "about": about, "detail": deed.detail}

    def _link_page(self, request: Request, operator: Operator, name: str, secret: str) -> Response:
        link = link_at(str(request.base_url), secret)
        return self._desk.page(request, operator, "new_link.html", name=name, link=link)


def _role_in(form: FormData) -> Role | None:
    wanted = form.get("role")
    return Role(wanted) if isinstance(wanted, str) and wanted in set(Role) else None
