"""The desk's alerts: an official warning is handed in as a file, and what became of the last ones.

Nothing goes out from here. A warning of cold becomes a draft, which waits for a person among the advisories.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.channels.web.guard import FORM_EXTRA_BYTES
from bot.ops.advisories.drafts import Advisories
from bot.ops.alerts.following import Outcome
from bot.ops.alerts.found import Found, Refusal
from bot.ops.alerts.keeping import Alerts, Taken
from bot.ops.alerts.meaning import when_of
from bot.ops.alerts.national import MOST_BYTES
from bot.ops.alerts.reach import names_of
from bot.ops.alerts.refused import AlertRefused
from bot.ops.alerts.sources import read_stream
from bot.ops.desk.watch_told import WatchTold, watch_told
from bot.ops.roles import Operator, Role
from bot.settings import Settings

if TYPE_CHECKING:
    from bot.ops.desk.desk import Desk

SHOWN = 30
LONGEST_NAME = 60
"""Of a file, as it is told again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One alert as the page has it. `ends` None: no end is told; `advisory_id`: the draft that came of it."""

    event: str
    area: str
    begins: datetime
    ends: datetime | None
    outcome: str
    advisory_id: int | None
    notes: tuple[str, ...]


class AlertRoom:
    """A room of its own. `settings`: what is read by itself, and where that is noted down; None: nothing is."""

    def __init__(self, settings: Settings | None = None) -> None:
        self._settings = settings

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The last alerts, and handing one in."""
        self._desk = desk
        store, clock = desk.house.store, desk.house.clock
        self._alerts = Alerts(store.database, Advisories(store.database, clock), desk.words, clock)
        desk.tab("/alerts", "desk-tab-alerts", Role.READER)
        most = MOST_BYTES + FORM_EXTRA_BYTES
        return [
            Route("/alerts", desk.looks(Role.READER, self.show), methods=["GET"]),
            Route("/alerts", desk.does(Role.ADVISOR, self.take, at_most_bytes=most), methods=["POST"]),
        ]

    async def show(self, request: Request, operator: Operator) -> Response:
        """The alerts kept last."""
        kept = await self._alerts.latest(SHOWN)
        return self._desk.page(
            request,
            operator,
            "alerts.html",
            kept=[_shown(each) for each in kept],
            taken=None,
            watch=await self._watch(),
        )

    async def take(self, request: Request, operator: Operator, form: FormData) -> Response:
        """Keep what a file holds, and show what became of it."""
        file = form.get("file")
        if not isinstance(file, UploadFile) or not file.size:
            return self._desk.lead("/alerts", "desk-note-alert-missing")
        found = _read(file)
        taken = await self._alerts.take(found.alerts, operator.id)
        kept = await self._alerts.latest(SHOWN)
        return self._desk.page(
            request,
            operator,
            "alerts.html",
            kept=[_shown(each) for each in kept],
            taken=[_shown(each) for each in taken],
            refused=found.refused,
            watch=await self._watch(),
        )

    async def _watch(self) -> WatchTold:
        return WatchTold() if self._settings is None else await asyncio.to_thread(watch_told, self._settings)


_OUTCOMES = {Outcome.REFUSED: "desk-alert-refused-draft"}
"""Where the name of an outcome means something else on the page."""


def _read(file: UploadFile) -> Found:
    name = (file.filename or "")[:LONGEST_NAME]
    try:
        return read_stream(file.file, name)
    except AlertRefused as error:
        return Found(refused=(Refusal.of(name, error),))


def _shown(taken: Taken) -> Shown:
    when = when_of(taken.alert)
    told = taken.alert.told
    return Shown(
        event=told.event if told else str(taken.alert.msg_type),
        area=names_of(taken.alert.areas),
        begins=when.begins.at,
        ends=when.ends.at if when.ends else None,
        outcome=_OUTCOMES.get(taken.outcome, f"desk-alert-{taken.outcome.name.lower().replace('_', '-')}"),
        advisory_id=taken.advisory_id,
        notes=taken.notes,
    )
