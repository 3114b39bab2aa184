"""The weekly letter at the desk, as it would read right now. Looking sends nothing and keeps nothing."""

from __future__ import annotations

from collections.abc import Sequence

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.desk.desk import Desk
from bot.ops.digest.weekly import WITHOUT_LAWNS, letter_now
from bot.ops.roles import Operator, Role
from bot.store import digests
from bot.talk.case import Homeowner


class DigestRoom:
    """A room of its own, without a tab: what was learned leads here."""

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The one address."""

        async def show(request: Request, operator: Operator) -> Response:
            async with desk.house.store.database.read() as tx:
                zone = await digests.commonest_zone(tx) or WITHOUT_LAWNS
                letter, _ = await letter_now(tx, desk.house.clock.now(), zone, "")
            written = desk.words.render(letter, Homeowner())
            return desk.page(request, operator, "digest.html", letter=written.text)

        return [Route("/letter", desk.looks(Role.READER, show), methods=["GET"])]
