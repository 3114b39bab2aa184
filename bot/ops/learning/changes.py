"""What an adopted correction would change, lawn by lawn: worked out before anybody adopts it.

Every lawn it is for is worked out twice from the same answers on the same day: as advice stands now, and with the
correction. What is compared is what its owner would be told: the odds in words, the verdict of the day, the plan.
"""

from __future__ import annotations

import asyncio
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from bot.ops.learning.outcomes import PAGE, read
from bot.store import corrections
from bot.store.store import Store
from bot.talk import advice, answers, judging
from bot.talk.case import Case, Homeowner
from bot.talk.known import Known
from bot.talk.turn import Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class SpotTold:
    """What would be told of a spot: the middle of its odds in whole tenths, its band, the verdict of the day."""

    alive_tenths: int
    band: str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LawnChange:
    """A lawn whose advice changes. `case_id` is its homeowner's; spots without a name are the whole lawn."""

    case_id: int
    lawn: int
    spot: str
    before: SpotTold
    after: SpotTold
    is_plan_changed: bool

    @property
    def key(self) -> tuple[int, int]:
        """Which lawn it is."""
        return self.case_id, self.lawn

    @property
    def is_verdict_changed(self) -> bool:
        """Whether the verdict is another."""
        return self.before.verdict != self.after.verdict

    @property
    def is_band_changed(self) -> bool:
        """Whether the odds fall into another band, on which care depends."""
        return self.before.band != self.after.band


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """Everything that would change, and how many lawns were looked at."""

    lawns: int
    changed: tuple[LawnChange, ...]

    @property
    def changed_lawns(self) -> int:
        """Lawns with a change in any of their spots."""
        return len({each.key for each in self.changed})

    @property
    def other_bands(self) -> int:
        """Lawns whose odds fall into another band."""
        return len({each.key for each in self.changed if each.is_band_changed})

    @property
    def other_verdicts(self) -> int:
        """Lawns with another verdict."""
        return len({each.key for each in self.changed if each.is_verdict_changed})

    @property
    def other_plans(self) -> int:
        """Lawns with another plan, had it been made with this."""
        return len({each.key for each in self.changed if each.is_plan_changed})

    @property
    def weightiest_first(self) -> list[LawnChange]:
        """Other verdicts first, then other odds, then the rest."""
        return sorted(self.changed, key=lambda each: (not each.is_verdict_changed, not each.is_band_changed))


async def changes(store: Store, before: Known, after: Known, now: datetime) -> Changes:
    """What is told with `after` and not with `before`, for every lawn of the store that they tell apart."""
    lawns, found, after_id = 0, list[LawnChange](), 0
    while True:
        async with store.database.read() as tx:
            page = await corrections.documents(tx, after_id, PAGE)
        if not page:
            return Changes(lawns=lawns, changed=tuple(found))
        after_id = page[-1][0]
        of_page = await asyncio.to_thread(_of_page, store, page, (before, after), now)
        lawns += len(of_page)
        found += [change for of_lawn in of_page for change in of_lawn]


def _of_page(
    store: Store, page: Sequence[tuple[int, str]], known: tuple[Known, Known], now: datetime
) -> list[list[LawnChange]]:
    """One list for each lawn a correction is for."""
    found = []
    for of_id, doc in page:
        homeowner = read(store, of_id, doc)
        for case in homeowner.lawns if homeowner else ():
            if homeowner and is_for(case, *known):
                found.append(list(changes_of(of_id, homeowner, case, known, now)))
    return found


def is_for(case: Case, before: Known, after: Known) -> bool:
    """Whether the two know something else of this lawn's grass. While nobody is sure of the grass: of any it may be."""
    if case.planned_on is None:
        return False
    code, is_guess = advice.lawn_grass(case)
    place = answers.settled_place(case)
    possible = dict.fromkeys(advice.possible_grasses(case)) if is_guess else {}
    asked = possible | {code: advice.cultivar_of(case, code)}
    return any(
        before.shift_at(place, grass, cultivar) != after.shift_at(place, grass, cultivar)
        for grass, cultivar in asked.items()
    )


def changes_of(
    case_id: int, homeowner: Homeowner, case: Case, known: tuple[Known, Known], now: datetime
) -> Iterator[LawnChange]:
    """Each spot of which something else is told."""
    of_lawn = replace(homeowner, active_lawn=case.number)
    before, after = (_told(Turn(homeowner=of_lawn, now=now, known=each)) for each in known)
    plans = [_plan(Turn(homeowner=of_lawn, now=now, known=each)) for each in known]
    is_plan_changed = plans[0] != plans[1]
    for spot, told in before.items():
        if told != after[spot] or is_plan_changed:
            yield LawnChange(
                case_id=case_id,
                lawn=case.number,
                spot=spot,
                before=told,
                after=after[spot],
                is_plan_changed=is_plan_changed,
            )


def _told(turn: Turn) -> dict[str, SpotTold]:
    view = advice.lawn_view(turn.case, turn.known)
    return {
        spot.name: SpotTold(
            alive_tenths=round(10 * spot.odds.quantile_fraction(0.5)),
            band=str(spot.band),
            verdict=str(judging.verdict_now(turn, spot.name)),
        )
        for spot in view.spots
    }


def _plan(turn: Turn) -> object:
    """The tasks and days of the plan, as it was worked out on its day."""
    planned_on = turn.case.planned_on
    if planned_on is None:
        return None
    plan = advice.plan_of(turn.case, turn.known, planned_on)
    return [(task.key, task.on, task.until_on) for task in plan.tasks]
