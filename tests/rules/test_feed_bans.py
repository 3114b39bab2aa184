"""Local bans on feeding: which days they hold, and that no plan feeds within one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rules.feed_bans import FeedBan, YearSpan, banned, first_open_on, last_feeding_on, last_open_on
from rules.feeding import FedLawn, FeedDose, FeedRefusal, Label, Tier, check_told_dose, dose
from rules.grasses import GrassCode
from rules.plan import CarePlan, PlanTask, care_plan, next_feeding_on
from rules.restraint import RestraintCode, RestraintGate
from rules.task_kinds import TaskKind
from tests.rules.test_plan import lawn

DAYS = [date(2024, 1, 1) + timedelta(days=each) for each in range(366)]
month_days = st.sampled_from([(day.month, day.day) for day in DAYS])
spans = st.builds(YearSpan, first=month_days, last=month_days)
lone_bans = st.builds(
    FeedBan,
    code=st.just("County code 1"),
    spans=st.lists(spans, min_size=1, max_size=3).map(tuple),
    until_on=st.none() | st.dates(date(2026, 6, 1), date(2028, 1, 1)),
)
bans = st.builds(lambda first, others: replace(first, beside=tuple(others)), lone_bans, st.lists(lone_bans, max_size=2))
years = st.integers(1999, 2101)
SUMMER = FeedBan(code="County code 1", spans=(YearSpan(first=(6, 1), last=(9, 30)),))
ALWAYS = FeedBan(code="", spans=(), is_unread=True)


@given(span=spans, year=years)
def test_a_span_holds_its_own_days_of_every_year(span: YearSpan, year: int) -> None:
    """Counted day by day from its first day to its last, over New Year too, in common and in leap years."""
    day, held = date(year, 1, 1), set()
    while day.year == year:
        if span.holds(day):
            held.add((day.month, day.day))
        day += timedelta(days=1)
    walk = [(each.month, each.day) for each in DAYS]
    start, end = walk.index(span.first), walk.index(span.last)
    wanted = walk[start : end + 1] if start <= end else walk[start:] + walk[: end + 1]
    is_leap = (date(year, 3, 1) - date(year, 2, 1)).days == 29

    assert held == set(wanted) - (set() if is_leap else {(2, 29)})


@pytest.mark.parametrize(
    ("first", "last", "on", "holds"),
    [
        ((12, 1), (2, 15), date(2027, 12, 31), True),
        ((12, 1), (2, 15), date(2028, 1, 1), True),
        ((12, 1), (2, 15), date(2028, 2, 16), False),
        ((2, 1), (2, 28), date(2028, 2, 29), False),
        ((2, 1), (2, 29), date(2028, 2, 29), True),
        ((2, 1), (2, 29), date(2027, 3, 1), False),
        ((2, 29), (3, 10), date(2027, 2, 28), False),
    ],
)
def test_new_year_and_the_leap_day(first: tuple[int, int], last: tuple[int, int], on: date, holds: bool) -> None:
    """As they stand in the calendar."""
    assert YearSpan(first=first, last=last).holds(on) is holds


@given(ban=lone_bans, other=lone_bans, day=st.dates(date(2026, 1, 1), date(2029, 1, 1)))
def test_a_code_beside_another_lifts_nothing(ban: FeedBan, other: FeedBan, day: date) -> None:
    """A day is free only where both leave it free, whichever is named first."""
    assert replace(ban, beside=(other,)).is_on(day) is (ban.is_on(day) or other.is_on(day))
    assert replace(other, beside=(ban,)).is_on(day) is (ban.is_on(day) or other.is_on(day))


def test_a_code_holds_until_its_last_day_and_one_that_no_longer_reads_always() -> None:
    """The last day is within it."""
    short = FeedBan(code="", spans=SUMMER.spans, until_on=date(2027, 7, 1))

    assert [short.is_on(date(2027, 7, day)) for day in (1, 2)] == [True, False]
    assert all(ALWAYS.is_on(day) for day in DAYS)
    assert not any(banned(None, day) for day in DAYS)


@given(ban=bans, day=st.dates(date(2026, 12, 1), date(2027, 12, 31)))
def test_the_first_free_day_is_free_and_none_lies_before_it(ban: FeedBan, day: date) -> None:
    """Or there is none until the end."""
    end = day + timedelta(days=200)
    found = first_open_on(ban, day, end)
    free = [each for each in (day + timedelta(days=n) for n in range(201)) if not ban.is_on(each)]

    assert found == (free[0] if free else None)
    if free:
        assert last_open_on(ban, free[0], end) == free[-1]


def feeding(plan: CarePlan) -> list[PlanTask]:
    return [task for task in plan.tasks if task.kind is TaskKind.FEED_CHECK]


@given(
    ban=bans | st.just(ALWAYS),
    code=st.sampled_from(GrassCode),
    air_f=st.sampled_from((24, 10)),
    planned_on=st.dates(date(2027, 1, 18), date(2027, 12, 31)),
)
def test_no_plan_feeds_within_a_ban(ban: FeedBan, code: GrassCode, air_f: float, planned_on: date) -> None:
    """Whatever is banned and whenever it is planned: first and last day are free, or there is no feeding at all."""
    facts = lawn(code, air_f=air_f, planned_on=planned_on, nitrogen_ban=ban)
    plan, plain = care_plan(facts), care_plan(lawn(code, air_f=air_f, planned_on=planned_on))
    nitrogen = next(each for each in plan.not_now if each.code is RestraintCode.NITROGEN)

    for task in feeding(plan):
        assert not ban.is_on(task.on)
        assert not ban.is_on(task.until_on)
        assert task.on <= task.until_on
        assert nitrogen.until_on is not None
        assert nitrogen.until_on >= min(task.on, *(each.on for each in feeding(plain) or [task]))
    if plan.is_feeding_out:
        assert feeding(plan) == []
        assert (nitrogen.until_on, nitrogen.gate) == (None, RestraintGate.NEXT_SEASON)
    following = next_feeding_on(facts, planned_on)
    assert following is None or not ban.is_on(following)


def test_a_ban_puts_feeding_off_to_the_day_after_it_where_the_season_allows() -> None:
    """Not past eleven weeks before the first fall frost: then it is left out, and the plan says no day lifts it."""
    warm = lawn(GrassCode.ST_AUGUSTINE, place=(27.9, -82.5), planned_on=date(2027, 6, 5), nitrogen_ban=SUMMER)
    late = FeedBan(code="", spans=(YearSpan(first=(3, 1), last=(11, 20)),))
    cold = lawn(GrassCode.ST_AUGUSTINE, place=(35.8, -78.6), planned_on=date(2027, 1, 20), nitrogen_ban=late)
    untouched = lawn(GrassCode.ST_AUGUSTINE, planned_on=date(2027, 1, 20), nitrogen_ban=SUMMER)

    assert [task.on for task in feeding(care_plan(warm))] == [date(2027, 10, 1)]
    assert last_feeding_on(cold.season.first_fall_frost_on) < date(2027, 11, 21)
    assert care_plan(cold).is_feeding_out
    assert feeding(care_plan(untouched)) == feeding(care_plan(lawn(GrassCode.ST_AUGUSTINE)))


def test_phosphate_under_a_local_ban_is_refused_with_or_without_a_soil_test() -> None:
    """Only its own office knows what a code excepts. A bag without it is not touched."""
    held = {"grass": GrassCode.ST_AUGUSTINE, "state": "FL", "is_p_banned": True}
    holding = Label(n_percent=16, p2o5_percent=1, k2o_percent=8, slow_n_percent=8)
    without = Label(n_percent=15, p2o5_percent=0, k2o_percent=15, slow_n_percent=7)
    for tested in (False, True):
        refused = dose(holding, Tier.LIGHT, FedLawn(**held, has_soil_test_for_p=tested), 1000)
        assert isinstance(refused, FeedRefusal)
        assert [each.code for each in refused.reasons] == ["p2o5_local"]
        assert isinstance(dose(without, Tier.LIGHT, FedLawn(**held, has_soil_test_for_p=tested), 1000), FeedDose)

    told = check_told_dose(holding, 2.0, 1000, FedLawn(**held))
    assert "p2o5_local" in [each.code for each in told.broken]


def test_a_bag_with_phosphate_is_refused_in_the_plan_only_while_it_is_banned() -> None:
    """By the day of the check."""
    label = Label(n_percent=16, p2o5_percent=1, k2o_percent=8, slow_n_percent=8)
    by_span = {}
    for name, span in (("spring", ((3, 1), (6, 30))), ("fall", ((9, 1), (12, 1)))):
        ban = FeedBan(code="", spans=(YearSpan(first=span[0], last=span[1]),))
        (task,) = feeding(care_plan(lawn(GrassCode.ST_AUGUSTINE, label=label, phosphorus_ban=ban)))
        by_span[name] = type(task.feed)

    assert by_span == {"spring": FeedRefusal, "fall": FeedDose}
