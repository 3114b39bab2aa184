"""Signing in and out, one-time links, and one's own password."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta
from math import ceil
from typing import TYPE_CHECKING

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.desk.entering import NotChanged, Tried
from bot.ops.desk.keys import give_secret, is_secret, take_secret
from bot.ops.desk.passwords import SHORTEST
from bot.ops.roles import Operator, Role

if TYPE_CHECKING:
    from bot.ops.desk.desk import Desk

_THEN = re.compile(r"/[\w./-]*(?:\?[\w.=&%+-]*)?", re.ASCII)
LONGEST_THEN = 300


class Door:
    """A room of its own."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The ways in and out."""
        self._desk = desk
        return [
            Route("/sign-in", desk.shows_anybody(self.ask), methods=["GET"]),
            Route("/sign-in", desk.does_for_anybody(self.sign_in), methods=["POST"]),
            Route("/link/{secret}", desk.shows_anybody(self.offer), methods=["GET"]),
            Route("/link/{secret}", desk.does_for_anybody(self.use_link), methods=["POST"]),
            Route("/sign-out", desk.does(Role.READER, self.sign_out), methods=["POST"]),
            Route("/password", desk.looks(Role.READER, self.ask_password), methods=["GET"]),
            Route("/password", desk.does(Role.READER, self.change_password), methods=["POST"]),
        ]

    async def ask(self, request: Request) -> Response:
        """The sign-in page."""
        return self._asked(request, then_of(request.query_params.get("then")))

    async def sign_in(self, request: Request, form: FormData) -> Response:
        """Let somebody in by name and password, or say that this was not it: no more than that."""
        then = then_of(form.get("then"))
        name, password = _word(form, "name"), _word(form, "password")
        tried = await self._desk.entering.sign_in(name, password, address_of(request), request.state.secret)
        if tried.secret is None:
            return self._asked(request, then, tried)
        response = self._desk.lead(then)
        give_secret(response, request, tried.secret)
        return response

    async def offer(self, request: Request) -> Response:
        """What a one-time link shows: the link is used by pressing, since programs open links before people do."""
        secret = request.path_params["secret"]
        if not is_secret(secret) or not await self._desk.entering.link_works(secret):
            return self._desk.problem(request, 404, "link")
        return self._desk.page(request, None, "link.html", secret=secret)

    async def use_link(self, request: Request, form: FormData) -> Response:
        """Let somebody in by a one-time link."""
        secret = request.path_params["secret"]
        before = request.state.secret
        session = await self._desk.entering.use_link(secret, before) if is_secret(secret) else None
        if session is None:
            return self._desk.problem(request, 404, "link")
        response = self._desk.lead("/")
        give_secret(response, request, session)
        return response

    async def sign_out(self, request: Request, operator: Operator, form: FormData) -> Response:
        """End the session."""
        await self._desk.entering.sign_out(request.state.secret, operator)
        response = self._desk.lead("/sign-in", "desk-note-out")
        take_secret(response, request)
        return response

    async def ask_password(self, request: Request, operator: Operator) -> Response:
        """The page for one's own password."""
        return await self._password_page(request, operator)

    async def change_password(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep the password an operator chose."""
        new = _word(form, "new")
        if new != _word(form, "again"):
            return await self._password_page(request, operator, "desk-fault-password-differs")
        try:
            secret = await self._desk.entering.change_password(operator, _word(form, "old"), new, address_of(request))
        except NotChanged as error:
            return await self._password_page(request, operator, f"desk-fault-password-{error.fault}")
        response = self._desk.lead("/", "desk-note-password-kept")
        give_secret(response, request, secret)
        return response

    def _asked(self, request: Request, then: str, tried: Tried | None = None) -> Response:
        fault, minutes = "", 0
        if tried is not None:
            fault = "desk-sign-in-wait" if tried.wait else "desk-sign-in-wrong"
            minutes = ceil(tried.wait / timedelta(minutes=1))
        status = 200 if tried is None else 429 if tried.wait else 403
        response = self._desk.page(
            request, None, "sign_in.html", status=status, then=then, fault=fault, minutes=minutes
        )
        if tried is not None and tried.wait:
            response.headers["retry-after"] = str(ceil(tried.wait.total_seconds()))
        return response

    async def _password_page(self, request: Request, operator: Operator, note: str = "") -> Response:
        has_one = await self._desk.entering.has_password(operator)
        status = 422 if note else 200
        return self._desk.page(
            request, operator, "password.html", status=status, note=note, has_one=has_one, shortest=SHORTEST
        )


def then_of(wanted: object) -> str:
    """Where to lead after signing in: a path of the desk, and the first page for anything else."""
    is_ours = isinstance(wanted, str) and len(wanted) <= LONGEST_THEN and _THEN.fullmatch(wanted) is not None
    return str(wanted) if is_ours else "/"


def address_of(request: Request) -> str:
    """Where a request comes from, as the server knows it."""
    return request.client.host if request.client else "unknown"


def _word(form: FormData, name: str) -> str:
    value = form.get(name)
    return value if isinstance(value, str) else ""
