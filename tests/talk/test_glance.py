"""A lawn at a glance: how far along it is, what is known of it, and nothing finer than an operator needs."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from bot.talk.advice import lawn_view
from bot.talk.case import Answer, Case, Homeowner, Picked, Place, PlacesTold
from bot.talk.glance import Glance, Stage, glances_of
from tests.talk.conversation import FIRST, KNOWN, Conversation, confirmed, talked_to_plan, two_parts, walk_to

NOW = datetime(2027, 2, 1, tzinfo=UTC)


def glance_of(talk: Conversation) -> Glance:
    assert talk.homeowner is not None
    (glance,) = glances_of(talk.homeowner, talk.known)
    return glance


def test_the_stage_follows_a_lawn_through_its_spring() -> None:
    """Asked about, planned, waiting, judging, and what is done about a spot that did not return."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FIRST[:3])
    stages = [glance_of(talk).stage, glance_of(talked_to_plan()).stage]

    talk = confirmed()
    stages.append(glance_of(talk).stage)
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week4")
    talk.say("done", "0 of 6")
    walk_to(talk, "judge:0")
    stages.append(glance_of(talk).stage)
    talk.say("judge now", "none")
    stages.append(glance_of(talk).stage)
    talk.say("sod")
    stages.append(glance_of(talk).stage)

    assert stages == [
        Stage.ASKING,
        Stage.PLANNED,
        Stage.WAITING,
        Stage.JUDGING,
        Stage.REPAIRING,
        Stage.REPAIRING,
    ]


def test_a_lawn_that_came_back_is_judged_and_then_rests() -> None:
    """Once every spot is settled the lawn is judged; when nothing is left to bring up it rests."""
    talk = confirmed()
    walk_to(talk, "judge:0")
    talk.say("judge now", "most of it", "no, it's the grass")
    stages = [glance_of(talk).stage]
    walk_to(talk, "feed:check")
    talk.say("skip")
    stages.append(glance_of(talk).stage)

    assert stages == [Stage.JUDGED, Stage.RESTING]


def test_a_person_who_holds_the_talk_holds_every_lawn() -> None:
    """Whatever a lawn's own stage, a talk that a person took over is told as such."""
    talk = confirmed()
    assert talk.homeowner is not None
    held = replace(talk.homeowner, held_by="Ann")

    assert [each.stage for each in glances_of(held, KNOWN)] == [Stage.HANDED_OVER]


def test_who_stopped_messages_is_quiet() -> None:
    """A wish for quiet shows, so that nobody counts on reaching them."""
    talk = confirmed()
    assert not glance_of(talk).is_quiet

    talk.say("stop", "yes")
    assert glance_of(talk).is_quiet


def test_what_is_known_of_the_cold_is_that_of_the_coldest_spot() -> None:
    """Two spots that differ: the estimates are those of the one whose crowns got colder, odds included."""
    talk = two_parts()
    view = lawn_view(talk.case, talk.known)
    coldest = min(view.spots, key=lambda spot: spot.cold.crown.min_c)
    glance = glance_of(talk)

    assert glance.crown_min_c == coldest.cold.crown.min_c
    assert glance.soil_min_c == coldest.cold.soil_2in_min_c
    assert glance.alive_fraction == coldest.odds.quantile_fraction(0.5)


def test_nothing_is_made_up_where_nothing_was_told() -> None:
    """Before the cold, the grass and the place are told there is no estimate, no grass and no position."""
    talk = Conversation()
    talk.arrive()
    glance = glance_of(talk)

    assert (glance.crown_min_c, glance.soil_min_c, glance.alive_fraction) == (None, None, None)
    assert (glance.grass, glance.cultivar) == (None, None)
    assert (glance.latitude, glance.longitude, glance.state, glance.county) == (None, None, "", "")


def test_a_cultivar_is_told_with_its_grass() -> None:
    """A named cultivar stands beside the species it is of."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FIRST[:5], "Raleigh")

    assert (glance_of(talk).grass, glance_of(talk).cultivar) == ("st_augustine", "raleigh")


def at(place: Place) -> Homeowner:
    """Somebody whose lawn is at a place, and nothing else is known."""
    told = Answer(question="place", value=PlacesTold(candidates=(place,)), words="here", at=NOW)
    return Homeowner(lawns=(Case(number=1, opened_at=NOW, answers=(told,)),), active_lawn=1)


@given(latitude=st.floats(25, 45), longitude=st.floats(-120, -65))
def test_no_place_leaves_finer_than_a_kilometre(latitude: float, longitude: float) -> None:
    """However exact a stored place is, a glance tells hundredths of a degree."""
    place = Place(name="", county="", state="GA", zone="America/New_York", latitude=latitude, longitude=longitude)
    (glance,) = glances_of(at(place), KNOWN)

    assert glance.latitude == round(latitude, 2)
    assert glance.longitude == round(longitude, 2)


def test_the_middle_of_a_state_is_no_position() -> None:
    """Who told only their state is in it, and at no point of it."""
    place = Place(
        name="Georgia", county="", state="GA", zone="America/New_York", latitude=32.7, longitude=-83.4, is_rough=True
    )
    (glance,) = glances_of(at(place), KNOWN)

    assert (glance.latitude, glance.longitude, glance.state) == (None, None, "GA")


def test_a_lawn_we_do_not_compute_for_rests() -> None:
    """Cool-season grass gets no estimate and no stage that promises something."""
    homeowner = at(Place(name="", county="", state="KY", zone="America/New_York", latitude=38.0, longitude=-85.0))
    case = homeowner.lawns[0]
    cool = Answer(question="grass", value=Picked(code="cool_season"), words="fescue", at=NOW)
    (glance,) = glances_of(replace(homeowner, lawns=(replace(case, answers=(*case.answers, cool)),)), KNOWN)

    assert (glance.stage, glance.crown_min_c, glance.alive_fraction) == (Stage.RESTING, None, None)
