"""All lawns of the region at the desk: how far along they are, where the ground got how cold, and what is told of the
region. Counts alone; where homes are few, only those who may see single lawns see them.
"""

from __future__ import annotations

from collections.abc import Sequence

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.cases.soil_map import FEWEST_HOMES, county_rows, soil_map, step_of
from bot.ops.cases.story import STAGES
from bot.ops.desk.desk import Desk
from bot.ops.regions.counties import counties
from bot.ops.roles import Operator, Role
from bot.store import case_lists
from bot.talk.glance import Stage
from bot.talk.known import FreezeReport, Known
from bot.talk.messages import Day, Number, TemperatureC, Value


class LawnRoom:
    """The lawns of the desk. `known` holds what whoever runs this told about the region."""

    def __init__(self, known: Known) -> None:
        self._known = known

    def routes(self, desk: Desk) -> Sequence[Route]:
        """The addresses."""
        pages = _LawnPages(desk, self._known)
        desk.tab("/lawns", "lawns-tab", Role.READER)
        return [Route("/lawns", desk.looks(Role.READER, pages.lawns), methods=["GET"])]


class _LawnPages:
    def __init__(self, desk: Desk, known: Known) -> None:
        self._desk = desk
        self._known = known

    async def lawns(self, request: Request, operator: Operator) -> Response:
        """Counts, the map with its table, and what is told of the region."""
        fewest = 1 if operator.role.may(Role.ADVISOR) else FEWEST_HOMES
        async with self._desk.house.store.database.read() as tx:
            stages = await case_lists.stages(tx)
            extent = await case_lists.extent(tx)
            step = step_of(extent) if extent is not None else None
            cells = await case_lists.cells(tx, step) if step is not None else []
            rows, left_out = county_rows(await case_lists.counties(tx), fewest)
        names = counties()
        return self._desk.page(
            request,
            operator,
            "lawns.html",
            stages=[(stage, STAGES[stage], stages.get(stage, 0)) for stage in Stage],
            total=sum(stages.values()),
            map=soil_map(cells, step, fewest) if step is not None else None,
            rows=[(row, names[row.county].name if row.county in names else "") for row in rows],
            left_out=left_out,
            facts=facts_told(self._known),
        )


def facts_told(known: Known) -> list[tuple[str, Value]]:
    """What whoever runs this told about the region, each with its key; what is not told is worked out for each lawn."""
    dates, freeze = known.dates, known.freeze
    told: list[tuple[str, Value | None]] = [
        *(_of_freeze(freeze) if freeze is not None else ()),
        ("lawns-fact-last_frost", Day(dates.last_frost_on) if dates is not None and dates.last_frost_on else None),
        ("lawns-fact-warm_soil", Day(dates.warm_soil_on) if dates is not None and dates.warm_soil_on else None),
    ]
    return [(key, value) for key, value in told if value is not None]


def _of_freeze(freeze: FreezeReport) -> list[tuple[str, Value | None]]:
    return [
        ("lawns-fact-coldest", Day(freeze.coldest_on) if freeze.coldest_on is not None else None),
        ("lawns-fact-air", TemperatureC(freeze.air_min_c) if freeze.air_min_c is not None else None),
        ("lawns-fact-days", Number(freeze.days_below_freezing)),
        ("lawns-fact-snow", Number(freeze.snow_in)),
    ]
