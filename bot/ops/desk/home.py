"""The desk's first page: what needs a look, told by the rooms that know."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.roles import Operator, Role

if TYPE_CHECKING:
    from bot.ops.desk.desk import Desk


class Home:
    """A room of its own."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The first page."""
        desk.tab("/", "desk-tab-home", Role.READER)

        async def show(request: Request, operator: Operator) -> Response:
            watched = [each for each in desk.watched if operator.role.may(each.role)]
            counted = [(each, await each.count()) for each in watched]
            waiting = [(each, count) for each, count in counted if count]
            return desk.page(request, operator, "home.html", waiting=waiting)

        return [Route("/", desk.looks(Role.READER, show), methods=["GET"])]
