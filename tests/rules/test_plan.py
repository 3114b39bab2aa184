"""The care plan: a sweep over grasses, signs, cold and days that never breaks a rule, and the days of each task."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from itertools import product

import pytest

from rules.combine import Sign, combine
from rules.evidence import sign_codes
from rules.facts.cautions import CAUTIONS
from rules.feeding import FeedDose, Label
from rules.grasses import GrassCode, grass, tolerance
from rules.mowing import heights
from rules.plan import Band, CarePlan, LawnFacts, SpotFacts, band_of, care_plan, saturday_on_or_after
from rules.season import season_of
from rules.site_cold import ColdTold, SpotTraits, told_site_cold
from rules.survival import survival
from rules.task_kinds import TaskKind
from rules.units import f_to_c

FREEZE = date(2027, 1, 16)
PLACES = ((27.9, -82.5), (31.2, -81.5), (33.5, -86.8), (35.8, -78.6), (36.1, -97.1))
AIR_F = (28, 22, 17, 10, 2, -10)
LABELS = (
    None,
    Label(n_percent=16, p2o5_percent=4, k2o_percent=8),
    Label(n_percent=15, p2o5_percent=0, k2o_percent=15, slow_n_percent=7),
    Label(n_percent=10, p2o5_percent=10, k2o_percent=10, slow_n_percent=5),
    Label(n_percent=21, p2o5_percent=0, k2o_percent=0),
    Label(n_percent=46, p2o5_percent=0, k2o_percent=0, slow_n_percent=20),
)


def lawn(
    code: GrassCode,
    signs: tuple[str, ...] = (),
    air_f: float = 17,
    place: tuple[float, float] = (31.2, -81.5),
    planned_on: date = date(2027, 1, 20),
    height_in: float | None = 3.0,
    label: Label | None = None,
    **more: object,
) -> LawnFacts:
    told = ColdTold(air_min_c=f_to_c(air_f), air_sd_dc=1.0, days_below_freezing=4, snow_in=0, coldest_on=FREEZE)
    site = told_site_cold(told, place[0], SpotTraits())
    odds = combine(survival(site, code, tolerance(code), SpotTraits()), map(Sign, signs)).odds
    season = season_of(latitude=place[0], longitude=place[1], code=code, freeze_on=FREEZE)
    facts = {
        "code": code,
        "cultivar": None,
        "state": "GA",
        "season": season,
        "freeze_on": FREEZE,
        "planned_on": planned_on,
        "spots": (SpotFacts(name="", odds=odds),),
        "mowing_height_in": height_in,
        "notch_in": 0.5,
        "area_sqft": 2000.0,
        "label": label,
    }
    return LawnFacts(**(facts | more))  # type: ignore[arg-type]


def sweep() -> Iterator[LawnFacts]:
    """Every grass with every single sign and every cold, with places, heights and bags taken in turn."""
    turns = product(GrassCode, ((), *((code,) for code in sign_codes())), AIR_F)
    for index, (code, signs, air_f) in enumerate(turns):
        yield lawn(
            code,
            signs,
            air_f,
            PLACES[index % len(PLACES)],
            height_in=(None, 1.0, 2.0, 3.0, 4.0, 6.0)[index % 6],
            label=LABELS[index % len(LABELS)],
            planned_on=date(2027, 1, 18) + timedelta(days=(index * 7) % 170),
        )


@cache
def plans() -> list[tuple[LawnFacts, CarePlan]]:
    """The whole sweep, planned."""
    return [(facts, care_plan(facts)) for facts in sweep()]


def tasks(plan: CarePlan, *kinds: TaskKind) -> list:
    return [task for task in plan.tasks if task.kind in kinds]


def test_the_sweep_covers_every_combination() -> None:
    """Eight grasses, nine signs and none, six depths of cold."""
    assert len(plans()) == len(GrassCode) * (len(sign_codes()) + 1) * len(AIR_F)


def test_never_scalps_a_stolon_only_grass() -> None:
    """No cut goes below the floor of its grass, takes more than a third or more than one notch."""
    for facts, plan in plans():
        damaged = any(band is not Band.MOSTLY_FINE for _, band in plan.bands)
        floor = heights(facts.code, None, damaged=damaged, notch_in=0.5).floor_in
        for task in tasks(plan, TaskKind.CUT):
            if task.cut is not None:
                assert task.cut.to_in >= floor - 1e-9
                assert task.cut.from_in - task.cut.to_in <= 0.5 + 1e-9
                assert task.cut.to_in >= task.cut.from_in * 2 / 3 - 1e-9
        if not grass(facts.code).has_rhizomes:
            assert floor >= {"st_augustine": 2.5, "centipede": 1.5}.get(facts.code, 1.0)


def test_never_cuts_before_the_frost_gate() -> None:
    """The first cut waits for the gate, whatever the day of planning."""
    for facts, plan in plans():
        assert all(task.on >= facts.season.frost_gate_on for task in tasks(plan, TaskKind.CUT))


def test_never_feeds_centipede_in_spring() -> None:
    """Centipede has no dose in its plan and is not even checked before June."""
    for facts, plan in plans():
        if facts.code is GrassCode.CENTIPEDE:
            for task in tasks(plan, TaskKind.FEED_CHECK):
                assert task.on >= date(2027, 6, 1)
                assert task.feed is None


def test_never_breaks_a_cap() -> None:
    """Every dose keeps total and soluble nitrogen, phosphate, potash and the slow-release share."""
    doses = [task.feed for _, plan in plans() for task in plan.tasks if isinstance(task.feed, FeedDose)]

    assert doses
    for dose in doses:
        assert 0.25 <= dose.rate.n_lb <= 0.5 + 1e-9
        assert dose.rate.soluble_n_lb <= 0.7
        assert dose.rate.slow_n_lb >= 0.3 * dose.rate.n_lb - 1e-9
        assert dose.rate.p2o5_lb <= 0.25 + 1e-9
        assert dose.rate.k2o_lb <= 1.0 + 1e-9


def test_never_feeds_before_warm_soil_has_held() -> None:
    """The check waits two weeks into warm soil, and for the frost gate."""
    for facts, plan in plans():
        for task in tasks(plan, TaskKind.FEED_CHECK):
            assert task.on >= max(facts.season.warm_soil_on + timedelta(days=14), facts.season.frost_gate_on)


def test_never_judges_before_its_date() -> None:
    """Every plan judges every spot, on the judging day or after it."""
    for facts, plan in plans():
        judged = tasks(plan, TaskKind.JUDGE)
        assert len(judged) == len(facts.spots)
        assert all(task.on >= facts.season.judging_on for task in judged)


def test_never_drops_a_caution() -> None:
    """Every task carries all the cautions of its kind of work."""
    for _, plan in plans():
        for task in plan.tasks:
            assert set(task.cautions) == set(CAUTIONS.get(task.kind, ()))
    for kind in (TaskKind.CUT, TaskKind.FEED_CHECK, TaskKind.POT_START, TaskKind.WATER, TaskKind.SPRING_WATER):
        assert CAUTIONS[kind]


def test_tasks_lie_between_planning_and_their_last_useful_day() -> None:
    """Nothing is planned for the past; keys are unique; tasks come in order of their day."""
    for facts, plan in plans():
        days = [task.on for task in plan.tasks]
        assert days == sorted(days)
        assert all(day >= facts.planned_on for day in days)
        assert len({task.key for task in plan.tasks}) == len(plan.tasks)


def test_a_fine_lawn_needs_no_pot_test() -> None:
    """Where nearly everything lives, the owner is not asked to dig."""
    fine = care_plan(lawn(GrassCode.ZOYSIA, air_f=24))

    assert [band for _, band in fine.bands] == [Band.MOSTLY_FINE]
    assert tasks(fine, TaskKind.POT_START, TaskKind.POT_READ) == []


def test_a_doubtful_lawn_gets_the_pot_test_read_after_2_3_and_4_weeks() -> None:
    """Plugs on a Saturday at least a week after the freeze, three readings a week apart."""
    plan = care_plan(lawn(GrassCode.ST_AUGUSTINE))

    start, *readings = tasks(plan, TaskKind.POT_START, TaskKind.POT_READ)

    assert start.on.weekday() == 5
    assert start.on >= FREEZE + timedelta(days=7)
    assert [(task.on - start.on).days for task in readings] == [14, 21, 28]
    assert [task.week for task in readings] == [2, 3, 4]


def test_each_spot_is_judged_by_itself() -> None:
    """Two spots, two judging tasks; only the doubtful one is dug."""
    base = lawn(GrassCode.ST_AUGUSTINE, air_f=26)
    hurt = lawn(GrassCode.ST_AUGUSTINE, ("slimy_runners",), air_f=10).spots[0].odds
    spots = (SpotFacts(name="front", odds=base.spots[0].odds), SpotFacts(name="north side", odds=hurt))

    plan = care_plan(lawn(GrassCode.ST_AUGUSTINE, air_f=26, spots=spots))

    assert [task.spot for task in tasks(plan, TaskKind.JUDGE)] == ["front", "north side"]
    assert [task.spot for task in tasks(plan, TaskKind.POT_START)] == ["north side"]


def test_brown_stem_ends_the_lowering() -> None:
    """After brown stem showed, the mower is never lowered again this spring."""
    stopped = care_plan(lawn(GrassCode.ST_AUGUSTINE, height_in=4.0, must_not_lower=True))

    assert all(task.cut is None and task.keeps_height for task in tasks(stopped, TaskKind.CUT))


def test_frost_again_moves_the_cut() -> None:
    """A frost the owner reports after the gate moves the cut and the feeding check, not only the table's date."""
    late = lawn(GrassCode.ST_AUGUSTINE, height_in=4.0, frost_again_on=date(2027, 4, 6))

    plan = care_plan(late)

    assert tasks(plan, TaskKind.CUT)[0].on >= date(2027, 4, 16)
    assert tasks(plan, TaskKind.FEED_CHECK)[0].on >= date(2027, 4, 16)


def test_a_late_freeze_moves_the_cut_too() -> None:
    """A freeze in April, after the table's date: the first cut keeps its distance from the freeze itself."""
    late = lawn(GrassCode.ST_AUGUSTINE, height_in=4.0, freeze_on=date(2027, 4, 10), planned_on=date(2027, 4, 12))

    assert tasks(care_plan(late), TaskKind.CUT)[0].on >= date(2027, 4, 20)


@pytest.mark.parametrize("offset", range(7))
def test_saturday_on_or_after(offset: int) -> None:
    """Weekend work falls on the first Saturday on or after its day."""
    day = date(2027, 3, 13) + timedelta(days=offset)

    assert saturday_on_or_after(day) == (day if offset == 0 else date(2027, 3, 20))


def test_bands_follow_the_median() -> None:
    """Fine, mixed and mostly lost by the median share alive."""
    bands = [band_of(lawn(GrassCode.ST_AUGUSTINE, air_f=air_f).spots[0].odds) for air_f in (27, 18, 5)]

    assert bands == [Band.MOSTLY_FINE, Band.MIXED, Band.MOSTLY_LOST]
