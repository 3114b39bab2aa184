"""A town of stored homeowners whose lawns' ends are known: an invented region told through real cases."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta

import numpy as np

from bot.store import homeowners
from bot.store.homeowners import NewHomeowner
from bot.store.rows import dump_homeowner
from bot.store.store import Store
from bot.talk.advice import cold_of
from bot.talk.case import (
    Answer,
    AnswerValue,
    Case,
    CheckIn,
    DayTold,
    Homeowner,
    NumberTold,
    Picked,
    Place,
    PlacesTold,
    TemperatureTold,
)
from rules.grasses import GrassCode, tolerance
from rules.site_cold import SpotTraits
from rules.survival import effective_lt50_c
from tests.talk.conversation import KNOWN

FREEZE_ON = date(2027, 1, 16)
PLANNED_AT = datetime(2027, 1, 20, 17, tzinfo=UTC)
JUDGED_ON = date(2027, 6, 20)
AFTER = datetime(2027, 8, 1, 15, tzinfo=UTC)
GLYNN = Place(
    name="Brunswick",
    county="Glynn",
    state="GA",
    zone="America/New_York",
    latitude=31.15,
    longitude=-81.49,
    zip_code="31520",
)
BIBB = Place(
    name="Macon", county="Bibb", state="GA", zone="America/New_York", latitude=32.84, longitude=-83.63, zip_code="31201"
)
POTTED_ON = JUDGED_ON - timedelta(days=35)


def case_of(
    *checkins: CheckIn, place: Place = GLYNN, grass: str = "st_augustine", air_c: float = -8.0, number: int = 1
) -> Case:
    """A planned lawn after a freeze, with what its owner reported."""
    rows: dict[str, AnswerValue] = {
        "place": PlacesTold(candidates=(place,)),
        "coldest_on": DayTold(on=FREEZE_ON),
        "air_min": TemperatureTold(mean_c=air_c, sd_dc=0.5),
        "days_cold": NumberTold(value=2),
        "snow": NumberTold(value=0),
        "grass": Picked(code=grass),
    }
    answers = tuple(Answer(question=name, value=value, words="", at=PLANNED_AT) for name, value in rows.items())
    return Case(
        number=number, opened_at=PLANNED_AT, answers=answers, planned_on=PLANNED_AT.date(), checkins=tuple(checkins)
    )


def pots(alive: int, total: int = 6, spot: str = "", on: date = JUDGED_ON) -> tuple[CheckIn, CheckIn]:
    """A pot test read five weeks after it was begun."""
    start = CheckIn(on=on - timedelta(days=35), spot=spot, task="pot:0:start", plugs_total=total)
    return start, CheckIn(on=on, spot=spot, task="pot:0:week4", plugs_alive=alive, plugs_total=total)


def green(share: float, on: date = JUDGED_ON, spot: str = "") -> CheckIn:
    """Green told by eye."""
    return CheckIn(on=on, spot=spot, task="judge:0", green=share)


def owner(*lawns: Case) -> Homeowner:
    return Homeowner(lawns=tuple(lawns), active_lawn=lawns[0].number if lawns else 0)


async def settle(store: Store, town: Sequence[Homeowner]) -> list[int]:
    """Store homeowners; their ids."""
    new = [
        NewHomeowner(doc=dump_homeowner(each), rev=1, channel="web", address=f"a{index}", heard_ms=index)
        for index, each in enumerate(town)
    ]
    if not new:
        return []
    async with store.database.write() as tx:
        return await homeowners.add(tx, new)


def town_of(count: int, place: Place = GLYNN, *, seed: int = 1, softer_dc: float) -> list[Homeowner]:
    """Lawns of a St. Augustine whose LT50 lies so much off the published one, told of by pot tests."""
    chance, known = np.random.default_rng(seed), tolerance(GrassCode.ST_AUGUSTINE)
    found = []
    for _ in range(count):
        air_c = float(chance.uniform(-13, -6))
        cold = cold_of(case_of(place=place, air_c=air_c), KNOWN, SpotTraits())
        limit_c = effective_lt50_c(cold, GrassCode.ST_AUGUSTINE, known)[0] + softer_dc
        alive = 1 / (1 + np.exp(-(cold.crown.min_c + chance.normal(0, 2.5) - limit_c) / 0.8))
        plugs = int(chance.binomial(6, 0.95 * alive + 0.02 * (1 - alive)))
        found.append(owner(case_of(*pots(plugs), place=place, air_c=air_c)))
    return found
