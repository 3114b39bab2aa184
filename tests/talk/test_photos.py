"""Photo check-ins: filed by spot, measured, told with care, and what they do to the odds and the verdict."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bot.store.rows import dump_homeowner, load_homeowner
from bot.talk import answers
from bot.talk.advice import lawn_view
from bot.talk.case import Task
from bot.talk.cover import names_only_paper, names_paper
from bot.talk.seen import readings_of, recoveries
from bot.talk.telling_evidence import moved_parts
from rules.combine import Cover
from rules.recovery import Weeds
from tests.talk.conversation import KNOWN, confirmed, keys_in, talked_to_plan
from tests.talk.photo_sender import Album, in_spring, in_two_spots


def test_weeds_are_asked_about_before_the_green_is_told() -> None:
    """To a camera green is green: first the question, then the number, with its range."""
    album = in_spring()
    album.send(20)
    assert album.talk.asked == "do_photo_weeds"
    assert "20%" not in album.talk.text
    album.talk.say("no")
    assert "about 20% of the lawn is green (likely 14 to 26%)" in album.talk.text


def test_bare_ground_is_not_asked_about_weeds() -> None:
    """Nothing green: nothing to ask."""
    album = in_spring()
    album.send(0.5)
    assert album.talk.asked != "do_photo_weeds"
    assert "photo-green" in album.talk.keys


def test_weeds_count_little() -> None:
    """What the owner calls weeds is taken off what counts as grass, and told so."""
    album = in_spring()
    album.send(40)
    album.talk.say("yes, most of it")
    assert "photo-weeds-most" in album.talk.keys
    season = lawn_view(album.talk.case, KNOWN).season
    (reading,) = readings_of(album.talk.case, "", season)
    assert reading.weeds is Weeds.MOST
    assert reading.grass_percent < 20


def test_a_change_too_small_to_see_is_not_commented_on() -> None:
    """Three points between two photos are chance."""
    album = in_spring()
    album.over_weeks(10, 13)
    assert not {"photo-up", "photo-down"} & set(album.talk.keys)


def test_a_clear_change_is_told_with_its_day() -> None:
    """More than chance: told against the first photo."""
    album = in_spring()
    album.over_weeks(5)
    first_day = (album.talk.now - timedelta(days=7)).date()
    album.send(45)
    album.talk.say("no")
    assert "photo-up" in album.talk.keys
    assert str(first_day.day) in album.talk.text


def test_growth_over_warm_weeks_is_called_recovering_with_what_to_expect() -> None:
    """Four weekly photos of growing grass: it says so, and how far it may come."""
    album = in_spring()
    album.over_weeks(5, 8, 13, 20)
    album.send(30)
    album.talk.say("no")
    assert "photo-state-recovering" in album.talk.keys
    assert "four more warm weeks" in album.talk.text


def test_the_first_photo_and_the_newest_stand_side_by_side() -> None:
    """Nobody remembers how bad it was."""
    album = in_spring()
    album.over_weeks(5, 8)
    album.send(30)
    album.talk.say("no")
    assert album.talk.heard[0].photos == (f"{1:064x}", f"{3:064x}")


def test_the_same_picture_again_counts_once() -> None:
    """Also when it was packed anew on the way: a hash a few bits off."""
    album = in_spring()
    album.send(0.5, dhash="00000000000000ff")
    album.talk.pass_days(7)
    album.send(0.5, dhash="00000000000001fe")
    assert album.talk.keys[0] == "photo-same"
    album.send(0.5, dhash="ffff0000ffff0000")
    assert "photo-same" not in album.talk.keys
    assert len([each for each in album.talk.case.checkins if each.photo_id]) == 2


def test_an_unreadable_photo_names_one_thing_to_change_and_is_kept() -> None:
    """One reason, the picture task stays open, and the photo is there to look back on."""
    album = in_spring()
    album.send(30, reason="dark")
    assert [key for key in album.talk.keys if key.startswith("cover-reason")] == ["cover-reason-dark"]
    assert album.talk.case.checkins[-1].photo_id is not None
    assert album.talk.case.checkins[-1].green is None
    season = lawn_view(album.talk.case, KNOWN).season
    assert readings_of(album.talk.case, "", season) == ()


def test_three_unreadable_photos_are_replaced_by_two_questions() -> None:
    """Nobody is sent back a fourth time."""
    talk = talked_to_plan()
    talk.say("yes")
    talk.say("yes, remind me")
    album = Album(talk)
    for _ in range(3):
        album.send(30, reason="blurred")
    assert "photo-in-words" in talk.keys
    assert talk.asked == "do_green"


def test_several_photos_at_once_are_filed_one_after_the_other() -> None:
    """Two spots and two photos of one moment: each is asked for its spot, none gets lost."""
    album = in_two_spots()
    album.send(0.5)
    album.send(0.5)
    talk = album.talk
    assert len(talk.case.in_hand) == 2
    assert talk.asked == "do_spot"
    talk.say("1")
    assert talk.asked == "do_spot"
    talk.say("2")
    spots = [each.spot for each in talk.case.checkins if each.photo_id]
    assert spots == list(answers.spots(talk.case))
    assert talk.case.in_hand == ()


def test_photos_of_one_visit_count_as_one_reading() -> None:
    """Three photos of a spot on one day steady its reading; they are no three visits."""
    album = in_spring()
    for percent in (0.6, 1.0, 1.4):
        album.send(percent)
    season = lawn_view(album.talk.case, KNOWN).season
    (reading,) = readings_of(album.talk.case, "", season)
    assert (reading.photos, reading.cover_percent) == (3, 1.0)


def test_photos_move_the_odds_and_are_told_among_what_moved_them() -> None:
    """One number per spot: cold, signs and photos together, each piece with what it did."""
    album = in_spring()
    before = lawn_view(album.talk.case, KNOWN).spots[0].odds.mean_fraction
    album.over_weeks(5, 12, 25, 45)
    view = lawn_view(album.talk.case, KNOWN)
    assert view.spots[0].odds.mean_fraction > before
    assert any(isinstance(effect.piece, Cover) for effect in view.spots[0].effects)
    assert "moved-photos" in {key for part in moved_parts(view) for key in keys_in(part)}


def test_bare_photos_alone_say_nothing_final_in_the_first_warm_weeks() -> None:
    """Six silent warm weeks are "no regrowth seen", never dead."""
    album = in_spring()
    album.over_weeks(*(0.5,) * 6)
    season = lawn_view(album.talk.case, KNOWN).season
    state = recoveries(album.talk.case, season)[""].state
    assert state == "no_regrowth_seen"
    assert not any("dead" in key for key in album.talk.keys)


@settings(deadline=None, max_examples=20)
@given(st.lists(st.floats(0, 100), min_size=1, max_size=12), st.sampled_from(["no", "some", "most", "not sure"]))
def test_a_lawn_with_photos_is_stored_and_loaded_the_same(percents: list[float], weeds: str) -> None:
    """Whatever the photos show, the case stays one that can be loaded."""
    album = Album(talked_to_plan())
    album.over_weeks(*percents, weeds=weeds, days=1)
    homeowner = album.talk.homeowner
    assert homeowner is not None
    assert load_homeowner(dump_homeowner(homeowner), lambda document: document) == homeowner


def test_words_beside_a_photo_can_name_the_paper() -> None:
    """Only then is paper looked for: pale soil looks like it."""
    assert names_paper("With a sheet of paper in the corner")
    assert not names_paper("Newspapers say frost tonight")
    assert not names_paper("I had no paper this time")
    assert not names_paper("sorry, forgot the sheet")


def test_words_that_only_name_the_paper_answer_nothing() -> None:
    """They are about the picture beside them; with anything else in them they are heard as words."""
    assert names_only_paper("White paper in the lower left corner.")
    assert names_only_paper("with a sheet of paper")
    assert not names_only_paper("back yard, with paper")
    assert not names_only_paper("no paper")
    assert not names_only_paper("in the corner")


@pytest.mark.parametrize("colour", ["yellowish", "medium", "dark"])
def test_the_colour_of_the_green_moves_nothing_in_the_talk(colour: str) -> None:
    """It is no grade and no call to feed: whatever it is, the same is said, asked and planned."""

    def talked(word: str) -> tuple[list[str], tuple[Task, ...]]:
        album, said = Album(confirmed()), []
        for percent in (5, 30, 60):
            album.send(percent, colour=word)
            album.talk.say("no")
            said.append(album.talk.text)
            album.talk.pass_days(40)
        album.talk.say("can I feed it now?", "plan")
        return [*said, album.talk.text], album.talk.case.tasks

    assert talked(colour) == talked("")


def test_a_day_of_photos_before_anything_grows_is_what_others_are_compared_with() -> None:
    """In January there is nothing to judge, and it says why."""
    album = Album(talked_to_plan())
    assert album.talk.now.date() < date(2027, 2, 1)
    album.send(1)
    assert "photo-state-cold" in album.talk.keys


def test_a_part_called_back_can_be_named() -> None:
    """Where the question is which part, "back" is the part and not the way back; elsewhere it stays the way back."""
    album = in_two_spots()
    album.send(0.5)
    talk = album.talk
    assert talk.asked == "do_spot"
    talk.say("back")
    assert [each.spot for each in talk.case.checkins if each.photo_id] == ["back"]


def test_a_photo_nobody_can_place_is_evidence_for_no_part() -> None:
    """It is kept to look back on, and moves no odds."""
    album = in_two_spots()
    album.send(40)
    album.talk.say("not sure")
    assert "photo-kept-unplaced" in album.talk.keys
    assert not any(each.cover for each in album.talk.case.checkins)
    assert album.talk.case.in_hand == ()
