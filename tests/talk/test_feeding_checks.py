"""The feeding check: its gates, its dose, the bag, and what it is worked out for."""

from __future__ import annotations

from datetime import timedelta

import pytest

from bot.talk.case import TaskState
from rules.plan import spot_key
from tests.talk.conversation import Conversation, confirmed, mildly_hit, task, two_parts, walk_to


def test_the_feeding_check_refuses_with_the_gates_and_asks_again() -> None:
    """Frost in the forecast, or no green: not yet, why, both schools, and again in a week."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    today = talk.now.date()
    talk.say("check now", "yes", "none", "no", "yes")

    assert "feed-wait" in talk.keys
    assert "feed-gate-freeze_forecast" in talk.keys
    assert "feed-gate-green_shoots" in talk.keys
    assert "feed-two-schools" in talk.keys
    assert task(talk, "feed:check").due_on == today + timedelta(days=7)


def test_a_feeding_check_that_keeps_failing_comes_ever_later_and_then_ends() -> None:
    """A week, two, three; then feeding is left out, which does no harm, and nobody is asked for ever."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    waits = []
    for _ in range(3):
        asked_on = talk.now.date()
        talk.say("check now")
        talk.say(*(["no"] if talk.asked == "do_frost" else []), "none", "no", "yes")
        assert "feed-leave-out" not in talk.keys
        waits.append((task(talk, "feed:check").due_on - asked_on).days)
        walk_to(talk, "feed:check")
    talk.say("check now", "none", "no", "yes")

    assert waits == [7, 14, 21]
    assert "feed-leave-out" in talk.keys
    assert task(talk, "feed:check").state is not TaskState.OPEN


def test_rain_ahead_is_asked_about_again_in_two_days() -> None:
    """Weather alone is no reason to wait a week."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    today = talk.now.date()
    talk.say("check now", "no", "a quarter", "yes", "no", "no")

    assert task(talk, "feed:check").due_on == today + timedelta(days=2)


def test_a_few_shoots_in_places_open_no_feed() -> None:
    """A light feed wants a live shoot in each square foot, or half of it green."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    talk.say("check now", "no", "a few blades", "no", "no", "yes")

    assert "feed-gate-green_shoots" in talk.keys


def test_nobody_is_asked_about_frost_in_may() -> None:
    """A question whose answer is known is not asked."""
    talk = confirmed()
    walk_to(talk, "feed:check")
    talk.say("check now")

    assert talk.now.month == 5
    assert talk.asked == "do_green"


def test_the_feeding_check_gives_the_dose_for_this_lawn() -> None:
    """All gates open: 0.35 lb of nitrogen from 15-0-15 on 1,200 sq ft is 2.8 lb of product, with every caution."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    talk.say("check now", "no", "a quarter", "yes", "no", "yes")

    assert "feed-open-light" in talk.keys
    assert "2.8 lb" in talk.text
    for caution in ("label", "kids and pets", "creeks", "gloves"):
        assert caution in talk.text
    assert [feed.n_lb_per_1000_sqft for feed in talk.case.feeds] == [pytest.approx(0.35)]
    assert task(talk, "feed:check").due_on == talk.now.date() + timedelta(days=30)  # then perhaps a normal one


def test_the_bag_is_asked_for_when_it_is_needed() -> None:
    """Centipede in June, all green, twice mown: half a pound of nitrogen, worked out from the bag at hand."""
    talk = Conversation()
    talk.arrive()
    talk.say(
        "31522", "Jan 16", "19", "2", "no", "centipede", "1", "not sure", "all alike", "none", "2", "half", "1000 sq ft"
    )
    talk.say("yes", "yes")
    walk_to(talk, "feed:check")
    talk.say("check now", "all of it", "twice", "no", "yes")
    assert "feed-open-normal" in talk.keys
    assert talk.asked == "bag"
    talk.say("15-0-15", "7")

    assert "3.3 lb" in talk.text
    assert [feed.n_lb_per_1000_sqft for feed in talk.case.feeds] == [pytest.approx(0.5)]


def test_feed_asks_for_the_check_when_it_is_time() -> None:
    """Before its day it is refused; after the check was closed it can be asked for again."""
    talk = mildly_hit()
    talk.say("feed")
    assert "feed-too-early" in talk.keys
    walk_to(talk, "feed:check")
    talk.say("skip", "feed")

    assert talk.asked == "do_frost"


def test_all_green_opens_the_normal_feed() -> None:
    """ "All of it" can be said, and with two mowings it is fully green: half a pound to a pound."""
    talk = mildly_hit()
    walk_to(talk, "feed:check")
    talk.say("check now", "no", "all of it", "twice", "no", "yes")

    assert "feed-open-normal" in talk.keys


def test_dead_ground_is_not_counted_in_the_dose() -> None:
    """The front lives, the back (320 sq ft of 1,200) was judged lost: the dose is for 880 sq ft."""
    talk = two_parts()
    walk_to(talk, f"pot:{spot_key('front')}:start")
    talk.say("done", "6", "6")
    walk_to(talk, f"pot:{spot_key('front')}:week4")
    talk.say("done", "2 of 6", "0 of 6")
    walk_to(talk, f"judge:{spot_key('front')}")
    talk.say("judge now", "half", "no")
    talk.say("none", "sod", "16 by 20")
    talk.say("feed", "half", "once", "no", "yes")

    assert "880 sq ft" in talk.text
