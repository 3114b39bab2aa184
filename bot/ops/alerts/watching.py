"""Looks ahead for a region: our own estimate of damaging cold becomes a draft, once for each spell of cold.

An estimate is kept beside official alerts, as one of our own that is for nobody else, so that the same list shows what
became of it. It is drafted first and kept then: who dies in between leaves at worst a draft that comes twice.
"""

from __future__ import annotations

import asyncio
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone

from bot.clock import Clock
from bot.ops.alerts.alert import Alert, Area, Info, Moment, MsgType, Scope, Status
from bot.ops.alerts.following import Outcome
from bot.ops.alerts.keeping import Drafts, Taken
from bot.ops.alerts.own_cold import AtRisk, ColdAhead, cold_ahead, grasses_at_risk, own_draft
from bot.ops.alerts.stored import dump_alert, load_alert
from bot.ops.regions.shapes import Shape
from bot.store import alerts, audits
from bot.store.alerts import AlertRow, NewAlertRow
from bot.store.audits import Deed
from bot.store.database import Database, milliseconds
from bot.words import Words
from rules.weather import HourlyWeather

OURS = "afterfrost"
EVENT = "Own estimate of cold"
ONE_SPELL = timedelta(days=3)
"""Forecasts shift the coldest night by a day or two; that is no other spell."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """A region that is looked after, and a latitude for its grasses. [degrees north]

    near : the coldest of several places in it, whose forecast it is; empty where one place stands for all of it
    """

    id: int
    name: str
    shape: Shape
    latitude: float
    near: str = ""


class Watching:
    """Our own estimates of a house."""

    def __init__(self, database: Database, drafts: Drafts, words: Words, clock: Clock) -> None:
        self._database = database
        self._drafts = drafts
        self._words = words
        self._clock = clock

    async def look(self, region: Watched, forecast: HourlyWeather, by: int | None) -> Taken | None:
        """Draft for the cold a forecast tells of; None when no grass is at risk or the spell was drafted for."""
        today = (self._clock.now() + timedelta(hours=forecast.utc_offset_hours)).date()
        ahead, at_risk = await asyncio.to_thread(_expected, forecast, today, region.latitude)
        if ahead is None or not at_risk or await self._is_known(region, ahead):
            return None
        content = own_draft(self._words, region.name, region.shape, ahead, at_risk, region.near)
        advisory_id = await self._drafts.draft(content, by)
        alert = self._alert(region, ahead)
        row = await self._kept(_thread(region), alert, advisory_id, by)
        return Taken(id=row.id, alert=alert, outcome=Outcome.DRAFTED, advisory_id=advisory_id)

    async def _is_known(self, region: Watched, ahead: ColdAhead) -> bool:
        async with self._database.read() as tx:
            rows = await alerts.in_thread(tx, _thread(region))
        begins = _begins(ahead).at
        onsets = [info.onset.at for row in rows for info in load_alert(row.doc).infos if info.onset is not None]
        return any(abs(onset - begins) < ONE_SPELL for onset in onsets)

    async def _kept(self, thread: str, alert: Alert, advisory_id: int, by: int | None) -> AlertRow:
        now_ms = milliseconds(self._clock.now())
        new = NewAlertRow(
            digest=alert.digest, thread=thread, kept_ms=now_ms, doc=dump_alert(alert), state=Outcome.DRAFTED
        )
        async with self._database.write() as tx:
            await alerts.keep(tx, new)
            (row,) = await alerts.with_digests(tx, [alert.digest])
            await alerts.mark(tx, row.id, Outcome.DRAFTED, advisory_id)
            await audits.note(
                tx, Deed(at_ms=now_ms, operator_id=by, act="estimated", about=f"alert {row.id}", detail=row.state)
            )
        return row

    def _alert(self, region: Watched, ahead: ColdAhead) -> Alert:
        area = Area(about=region.name)
        info = Info(event=EVENT, categories=("Met",), onset=_begins(ahead), areas=(area,))
        return Alert(
            identifier=f"{region.id}/{ahead.coldest_on}",
            sender=OURS,
            sent=Moment(at=self._clock.now().astimezone(UTC)),
            status=Status.ACTUAL,
            msg_type=MsgType.ALERT,
            scope=Scope.PRIVATE,
            infos=(info,),
        )


def _expected(forecast: HourlyWeather, today: date, latitude: float) -> tuple[ColdAhead | None, tuple[AtRisk, ...]]:
    """The cold ahead, and the grasses it may hurt. Some work, so beside the loop."""
    ahead = cold_ahead(forecast, today)
    return ahead, grasses_at_risk(ahead, latitude) if ahead is not None else ()


def _thread(region: Watched) -> str:
    return f"{OURS}/{region.id}"


def _begins(ahead: ColdAhead) -> Moment:
    zone = timezone(timedelta(hours=ahead.utc_offset_hours))
    return Moment.of(datetime.combine(ahead.coldest_on, time(0), tzinfo=zone))
