"""What every room of the desk gets, and the desk put together out of its rooms.

1. An address is looked at or does something; either way it names the role it takes. One that names none does not start.
2. Nobody signed in is shown the way in, and led on from there. Somebody without the role is told so.
3. A form does something only when it comes from a page of ours, with the mark of this session.
4. What is answered is kept by nobody on the way.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass
from typing import Protocol
from urllib.parse import quote

from starlette.applications import Starlette
from starlette.datastructures import FormData
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.types import ASGIApp

from bot.channels.web.guard import FORM_EXTRA_BYTES, ForeignForm, Guard, TooLong, check_origin, limited
from bot.channels.web.posts import Unreadable, form_of
from bot.clock import Clock
from bot.errors import StoreError
from bot.ops.desk.door import Door
from bot.ops.desk.entering import Entering
from bot.ops.desk.gates import DOING, LOOKING, Endpoint, Gate, Gates
from bot.ops.desk.home import Home
from bot.ops.desk.keys import give_secret, is_own_mark, mark_for, new_secret, secret_in
from bot.ops.desk.later import BASE
from bot.ops.desk.pages import STATIC, Around, Pages, Tab, to
from bot.ops.desk.passwords import Passwords
from bot.ops.desk.staff import Staff
from bot.ops.roles import Operator, Role
from bot.service import Service
from bot.store.store import Store
from bot.words import Words

MOST_FIELDS = 600
"""Of one form: an advisory ticks grasses, counties, stages."""

Looking = Callable[[Request, Operator], Awaitable[Response]]
Doing = Callable[[Request, Operator, FormData], Awaitable[Response]]
Anybody = Callable[[Request], Awaitable[Response]]
AnybodyDoing = Callable[[Request, FormData], Awaitable[Response]]
Count = Callable[[], Awaitable[int]]


class House(Protocol):
    """The running parts the desk works on. `bot/wiring.py` brings them; tests bring the same real parts."""

    @property
    def clock(self) -> Clock:
        """What time it is."""
        ...

    @property
    def store(self) -> Store:
        """The record."""
        ...

    @property
    def service(self) -> Service:
        """The way into a homeowner's talk."""
        ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """Something that may need a look: how many there are, told by `key` with `$count`, and where they are."""

    path: str
    key: str
    role: Role
    count: Count


class Desk:
    """What every room of the desk works with."""

    def __init__(self, house: House, words: Words, passwords: Passwords | None = None) -> None:
        self.house = house
        self.words = words
        self.entering = Entering(house.store, house.clock, passwords or Passwords())
        self.gates = Gates()
        self.watched: list[Watched] = []
        self._pages = Pages(words)

    # --- gates -------------------------------------------------------------------------------------------------------

    def looks(self, role: Role, handler: Looking) -> Endpoint:
        """An endpoint that shows something to whoever is signed in with at least this role."""

        async def look(request: Request) -> Response:
            if _is_led_here(request):
                return self._once_more(request)
            operator = await self._who(request)
            if operator is None:
                return self._to_the_door(request)
            return await handler(request, operator) if operator.role.may(role) else self._not_for(request, operator)

        return self.gates.put(look, Gate(role=role, methods=LOOKING))

    def does(self, role: Role, handler: Doing, *, at_most_bytes: int = FORM_EXTRA_BYTES) -> Endpoint:
        """An endpoint that does something for whoever is signed in with at least this role and sent our own form."""

        async def do(request: Request) -> Response:
            check_origin(request.headers)
            operator = await self._who(request)
            if operator is None:
                return self.lead("/sign-in", "desk-fault-ended")
            if not operator.role.may(role):
                return self._not_for(request, operator)
            async with self._own_form(request, at_most_bytes) as form:
                return await handler(request, operator, form)

        return self.gates.put(do, Gate(role=role, methods=DOING, at_most_bytes=at_most_bytes))

    def shows_anybody(self, handler: Anybody) -> Endpoint:
        """An endpoint in front of the door: it shows nothing of anybody's."""

        async def look(request: Request) -> Response:
            if _is_led_here(request):
                return self._once_more(request)
            request.state.secret = secret_in(request) or new_secret()
            response = await handler(request)
            if secret_in(request) is None:
                give_secret(response, request, request.state.secret)
            return response

        return self.gates.put(look, Gate(role=None, methods=LOOKING))

    def does_for_anybody(self, handler: AnybodyDoing) -> Endpoint:
        """An endpoint in front of the door that takes a form: one this browser was given."""

        async def do(request: Request) -> Response:
            check_origin(request.headers)
            secret = secret_in(request)
            if secret is None:
                return self.lead("/sign-in", "desk-fault-cookie")
            request.state.secret = secret
            async with self._own_form(request, FORM_EXTRA_BYTES) as form:
                return await handler(request, form)

        return self.gates.put(do, Gate(role=None, methods=DOING, at_most_bytes=FORM_EXTRA_BYTES))

    async def _who(self, request: Request) -> Operator | None:
        secret = secret_in(request)
        request.state.secret = secret
        return await self.entering.who(secret) if secret is not None else None

    @asynccontextmanager
    async def _own_form(self, request: Request, at_most_bytes: int) -> AsyncIterator[FormData]:
        """The fields of a form this browser was given, until the end of the block."""
        within = Request(request.scope, limited(request.receive, at_most_bytes))
        async with form_of(within, most_fields=MOST_FIELDS) as form:
            if not is_own_mark(request.state.secret, form.get("mark")):
                raise ForeignForm
            yield form

    # --- answers -----------------------------------------------------------------------------------------------------

    def page(
        self, request: Request, operator: Operator | None, template: str, *, status: int = 200, **values: object
    ) -> HTMLResponse:
        """A page of the desk. Templates have `t`, `when`, `to`, `mark`, `operator`, `may` and `values`."""
        secret = getattr(request.state, "secret", None)
        around = Around(
            operator=operator,
            path=path_of(request),
            mark=mark_for(secret) if secret is not None else "",
            note=str(values.pop("note", "") or request.query_params.get("note", "")),
        )
        return HTMLResponse(self._pages.render(template, around, values), status_code=status)

    def lead(self, path: str, note: str = "") -> Response:
        """Lead to another page of the desk after a form was taken; `note` is the key of a notice on top of it."""
        before, mark, fragment = path.partition("#")
        tail = f"{'&' if '?' in before else '?'}note={quote(note)}" if note else ""
        return RedirectResponse(to(before) + tail + mark + fragment, status_code=303)

    def say(self, key: str, **values: object) -> str:
        """Words of the catalogue, filled as in a template."""
        return self._pages.say(key, **values)

    def tab(self, path: str, key: str, role: Role) -> None:
        """Offer a way to a part of the desk, in the order of the rooms."""
        self._pages.add_tab(Tab(path=path, key=key, role=role))

    def watch(self, path: str, key: str, role: Role, count: Count) -> None:
        """Have the first page tell how many of something need a look; nothing is told where there are none."""
        self.watched.append(Watched(path=path, key=key, role=role, count=count))

    def _to_the_door(self, request: Request) -> Response:
        then = path_of(request) + (f"?{request.url.query}" if request.url.query else "")
        tail = f"?then={quote(then, safe='')}" if then != "/" else ""
        return RedirectResponse(to("/sign-in") + tail, status_code=303)

    def _once_more(self, request: Request) -> Response:
        """A page that opens the same address once more, from here: then the browser brings its secret along."""
        return HTMLResponse(self._pages.render("again.html", Around(operator=None, path="", mark=""), {}))

    def _not_for(self, request: Request, operator: Operator) -> Response:
        return self.problem(request, 403, "role", operator)

    def problem(self, request: Request, status: int, name: str, operator: Operator | None = None) -> HTMLResponse:
        """A page that says what went wrong, and the way back."""
        said = f"desk-problem-{name}"
        return self.page(request, operator, "problem.html", status=status, title=f"{said}-title", said=said)


class Room(Protocol):
    """A part of the desk with pages of its own."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """Its addresses; each endpoint is made by `desk.looks` or `desk.does`. Tabs and watches are said here, too."""
        ...


def desk_app(house: House, words: Words, rooms: Sequence[Room], passwords: Passwords | None = None) -> ASGIApp:
    """The whole desk as an ASGI application, to be put in its place by `later.desk_routes`.

    Raises `TypeError` for an address without a gate.
    """
    desk = Desk(house, words, passwords)
    routes = routes_of(desk, rooms)
    handlers = {
        HTTPException: _on_http_error(desk),
        TooLong: _on_problem(desk, 413, "too-big"),
        Unreadable: _on_problem(desk, 400, "bad"),
        ForeignForm: _on_problem(desk, 403, "origin"),
        StoreError: _on_problem(desk, 503, "busy"),
        Exception: _on_problem(desk, 500, "ours"),
    }
    inside = Starlette(routes=[*routes, Mount("/static", StaticFiles(directory=STATIC))], exception_handlers=handlers)
    most_bytes = desk.gates.most_bytes
    return Guard(inside, lambda _path: most_bytes)


def routes_of(desk: Desk, rooms: Sequence[Room]) -> list[Route]:
    """Every address of the desk. Raises `TypeError` for one without a gate."""
    everything: list[Room] = [Home(), Door(), *rooms, Staff()]
    routes = [route for room in everything for route in room.routes(desk)]
    desk.gates.check(routes)
    return routes


def _on_problem(desk: Desk, status: int, name: str) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def answer(request: Request, error: Exception) -> Response:
        return desk.problem(request, status, name)

    return answer


def _on_http_error(desk: Desk) -> Callable[[Request, Exception], Awaitable[Response]]:
    async def answer(request: Request, error: Exception) -> Response:
        status = error.status_code if isinstance(error, HTTPException) else 400
        return desk.problem(request, status, "missing" if status == 404 else "bad")

    return answer


def _is_led_here(request: Request) -> bool:
    """Whether a link on another site (a digest, an e-mail) led here: a browser then keeps its secret to itself."""
    is_from_elsewhere = request.headers.get("sec-fetch-site", "none") in ("cross-site", "same-site")
    return is_from_elsewhere and secret_in(request) is None


def path_of(request: Request) -> str:
    """The path within the desk."""
    return request.url.path.removeprefix(BASE) or "/"
