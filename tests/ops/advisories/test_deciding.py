from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.arrivals import Consent
from bot.ops.advisories.deciding import CLOSING, NOW, Address, Manner, Rules, Why, decide
from bot.pace import Limits
from bot.terms import Terms

NOON = datetime(2027, 2, 2, 17, 0, tzinfo=UTC)
EASTERN = ZoneInfo("America/New_York")
TERMS = {"web": Terms(), "sms": Terms(limits=Limits(day_units=100), needs_consent=True)}
MANNER = Manner(
    zone="America/New_York", first_hour=9, last_hour=20, is_active=True, is_held=False, last_unasked_on=None
)
WEB = Address(channel="web", consent=0, is_unreachable=False)
RULES = Rules(terms=TERMS, is_pressing=False, useful_until=NOON + timedelta(days=7))


@pytest.mark.parametrize(
    ("manner", "address", "why"),
    [
        ({}, {"channel": "terminal"}, Why.NO_CHANNEL),
        ({}, {"is_unreachable": True}, Why.UNREACHABLE),
        ({}, {"consent": Consent.WITHDRAWN}, Why.OPTED_OUT),
        ({}, {"channel": "sms", "consent": Consent.ASKED}, Why.NO_CONSENT),
        ({"is_active": False}, {}, Why.QUIET),
        ({"is_active": False}, {"channel": "sms", "consent": Consent.GIVEN}, Why.QUIET),
    ],
)
def test_who_never_gets_it(manner: dict[str, bool], address: dict[str, object], why: Why) -> None:
    """Pressing or not."""
    for is_pressing in (False, True):
        rules = replace(RULES, is_pressing=is_pressing)
        found = decide(replace(MANNER, **manner), replace(WEB, **address), rules, NOON)
        assert (found.why, found.until) == (why, None)


def test_today_counts_where_they_live() -> None:
    """At 03:30 UTC it is still the evening before in the east; who got something on that day waits."""
    late = datetime(2027, 2, 3, 0, 30, tzinfo=UTC)
    got_one = replace(MANNER, last_unasked_on=date(2027, 2, 2))

    found = decide(got_one, WEB, RULES, late)

    assert found.why is Why.TODAY
    assert found.until == datetime(2027, 2, 3, 9, 0, tzinfo=EASTERN)
    assert decide(got_one, WEB, RULES, datetime(2027, 2, 3, 14, 0, tzinfo=UTC)) == NOW
    assert decide(got_one, WEB, replace(RULES, is_pressing=True), late) == NOW


def test_hours_that_close_in_a_moment_are_closed() -> None:
    """What is queued must go out on the day it counts for."""
    closes = datetime(2027, 2, 2, 20, 0, tzinfo=EASTERN)

    assert decide(MANNER, WEB, RULES, closes - CLOSING - timedelta(seconds=1)) == NOW
    found = decide(MANNER, WEB, RULES, closes - CLOSING)
    assert (found.why, found.until) == (Why.HOURS, datetime(2027, 2, 3, 9, 0, tzinfo=EASTERN))


def test_who_would_have_to_wait_too_long_is_left_out_for_that() -> None:
    """The reason is what they wait for."""
    rules = replace(RULES, useful_until=NOON + timedelta(hours=3))

    found = decide(replace(MANNER, last_unasked_on=date(2027, 2, 2)), WEB, rules, NOON)

    assert (found.why, found.until) == (Why.TODAY, None)


@given(
    minutes=st.integers(0, 14 * 24 * 60),
    is_pressing=st.booleans(),
    is_held=st.booleans(),
    days_ago=st.none() | st.integers(0, 3),
    first=st.integers(8, 14),
    last=st.integers(15, 21),
)
def test_nobody_is_begun_with_outside_their_hours_or_twice_a_day(
    minutes: int, is_pressing: bool, is_held: bool, days_ago: int | None, first: int, last: int
) -> None:
    """Whatever else is so; and whoever waits waits for a later moment."""
    now = NOON + timedelta(minutes=minutes)
    local = now.astimezone(EASTERN)
    unasked_on = None if days_ago is None else local.date() - timedelta(days=days_ago)
    manner = replace(MANNER, first_hour=first, last_hour=last, is_held=is_held, last_unasked_on=unasked_on)
    rules = replace(RULES, is_pressing=is_pressing, useful_until=now + timedelta(days=30))

    found = decide(manner, WEB, rules, now)

    if found == NOW:
        assert first <= local.hour < last
        assert is_pressing or (not is_held and unasked_on != local.date())
    else:
        assert found.until is not None
        assert found.until > now
