"""Photos that wait and photos refused: which one a question is about, what comes next, words instead, the judging."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from bot.photos.intake import Reason
from bot.talk import answers
from bot.talk.case import TaskState
from bot.talk.incoming import PhotoRefused, RemindersDue, SentPhoto, as_one_sending
from bot.talk.messages import text
from rules.cover_reading import CoverReason
from tests.talk.conversation import WORDS, confirmed, task, two_parts
from tests.talk.photo_sender import Album, in_spring, in_two_spots

REFUSALS = [f"photo-refused-{each}" for each in Reason] + [f"cover-reason-{each}" for each in CoverReason]
_ASKS = re.compile(r"(please|take|hold|send|point|in (its|the) camera settings)\b", re.IGNORECASE)
_SENTENCE = re.compile(r"(?<=[.?!]) ")


def sent(number: int) -> str:
    """The id of the how many-th photo."""
    return f"{number:064x}"


# --- which photo -----------------------------------------------------------------------------------------------------


def test_a_photo_that_was_just_sent_alone_is_the_photo() -> None:
    """Nobody needs to be shown what they just sent."""
    album = in_two_spots()
    album.send(0.5)
    assert album.talk.text.endswith("Which part does the photo show?")
    assert album.talk.heard[-1].photos == ()


def test_one_of_several_is_shown_and_named_by_number_and_time() -> None:
    """Where pictures can be shown it stands beside the question; where not, its number and time tell it."""
    album = in_two_spots()
    album.send(0.5)
    album.send(0.5)
    talk = album.talk
    assert re.search(r"your first photo \(sent at \d+:\d\d [AP]M\) show\?", talk.text)
    assert talk.heard[-1].photos == (sent(1),)
    talk.say("front")
    assert re.search(r"your second photo \(sent at \d+:\d\d [AP]M\) show\?", talk.text)
    assert talk.heard[-1].photos == (sent(2),)
    short = WORDS.render(talk.heard[-1], talk.homeowner, is_short=True)  # type: ignore[arg-type]
    assert "your second photo (sent at" in short.text


def test_a_photo_that_waited_is_told_by_its_time_and_later_by_its_day() -> None:
    """After a while "the photo" would be a riddle."""
    album = in_two_spots()
    album.send(0.5)
    talk = album.talk
    talk.now += timedelta(hours=2)
    talk.say("help")
    assert re.search(r"the photo you sent at \d+:\d\d [AP]M", talk.text)
    assert talk.heard[-1].photos == (sent(1),)
    talk.now += timedelta(days=2)
    talk.say("help")
    assert "the photo of Tue, Jan 19" in talk.text


def test_photos_of_one_sending_are_asked_about_once_they_are_all_here() -> None:
    """An album of three: one question, about the first; each of the others after it."""
    album = in_two_spots()
    album.send(0.5, more_follow=True)
    assert album.talk.heard == []
    album.send(0.5, more_follow=True)
    album.send(0.5)
    talk = album.talk
    assert [key for key in talk.keys if key.startswith("ask-")] == ["ask-do_spot"]
    assert talk.heard[-1].photos == (sent(1),)
    for said in ("front", "back", "front"):
        assert talk.asked == "do_spot"
        talk.say(said)
    assert talk.case.in_hand == ()


def test_photos_of_one_sending_of_a_lawn_without_parts_are_told_together() -> None:
    """They count as one visit, so they are told as one."""
    album = in_spring()
    album.send(0.5, more_follow=True)
    album.send(0.7, more_follow=True)
    assert album.talk.heard == []
    album.send(0.6)
    assert album.talk.keys.count("photo-green") == 1
    assert len([each for each in album.talk.case.checkins if each.photo_id]) == 3


def test_only_a_photo_right_before_another_has_more_to_come() -> None:
    """The last one is answered, and so is one before a picture that does not open."""
    photo, broken = SentPhoto(photo_id="a"), PhotoRefused(reason="broken")
    marked = as_one_sending([photo, photo, broken, photo])
    assert [getattr(each, "more", None) for each in marked] == [True, False, None, False]


# --- photos in hand are not forgotten --------------------------------------------------------------------------------


def test_a_photo_in_hand_is_asked_about_after_two_questions_in_words() -> None:
    """Three that cannot be read end in words; the fourth, which came meanwhile, is the next thing asked about."""
    album = in_two_spots()
    talk = album.talk
    while "plan" not in talk.case.told:
        talk.say("skip" if talk.asked == "bag" else "not sure")
    for _ in range(3):
        album.send(30, reason="blurred")
    album.send(0.5)
    for _ in range(3):
        assert talk.asked == "do_spot"
        talk.say("front")
    assert talk.asked == "do_green"
    talk.say("none")
    while talk.asked == "do_green":
        talk.say("none")
    assert talk.asked == "do_spot"
    assert talk.heard[-1].photos == (sent(4),)


def test_a_photo_left_with_back_comes_up_after_the_next_side_talk() -> None:
    """ "Back" leaves the question, and does not lose the photo."""
    album = in_two_spots()
    talk = album.talk
    album.send(0.5)
    talk.say("go back")
    assert talk.homeowner is not None
    assert talk.homeowner.side is None
    talk.say("person", "is my mower fine?")
    assert talk.asked == "do_spot"


def test_who_stops_is_not_asked_about_a_photo() -> None:
    """A goodbye is the last word."""
    album = in_two_spots()
    album.send(0.5)
    album.talk.say("go back", "stop")
    assert "do_spot" not in album.talk.asked


# --- refusals --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("is_short", [False, True])
@pytest.mark.parametrize("key", REFUSALS)
def test_each_refusal_names_exactly_one_thing_to_do(key: str, is_short: bool) -> None:
    """One request, with no other one to choose from."""
    told = WORDS.text(text(key), is_short=is_short)
    requests = [each for each in _SENTENCE.split(told) if _ASKS.search(each)]
    assert len(requests) == 1, told
    assert not re.search(r"\bor\b", requests[0]), told


@pytest.mark.parametrize("reason", [each for each in Reason if each is not Reason.BUSY])
def test_three_pictures_that_do_not_open_are_replaced_by_two_questions(reason: Reason) -> None:
    """However they were refused: nobody is sent back a fourth time."""
    talk = confirmed()
    for count in range(3):
        assert talk.asked != "do_green", count
        talk.take(PhotoRefused(reason=reason))
    assert "photo-in-words" in talk.keys
    assert talk.asked == "do_green"
    talk.say("none")
    assert task(talk, "photo:first").state is TaskState.DONE


def test_refusals_of_both_kinds_count_together_and_a_read_photo_starts_anew() -> None:
    """In a row: what does not open, and what opens and cannot be read."""
    album = Album(confirmed())
    talk = album.talk
    talk.take(PhotoRefused(reason="heic"))
    album.send(30, reason="dark")
    album.send(0.5)
    talk.take(PhotoRefused(reason="heic"))
    album.send(30, reason="dark")
    assert talk.asked != "do_green"
    album.send(30, reason="blurred")
    assert talk.asked == "do_green"


def test_what_is_nobodys_fault_does_not_count() -> None:
    """A busy service sends nobody away from their camera."""
    talk = confirmed()
    for _ in range(4):
        talk.take(PhotoRefused(reason="busy"))
    assert talk.asked != "do_green"


def test_before_there_is_a_plan_refusals_lead_to_no_questions_in_words() -> None:
    """Then the question that is open is what helps."""
    album = in_two_spots()
    talk = album.talk
    asked = talk.asked
    for _ in range(4):
        talk.take(PhotoRefused(reason="heic"))
    assert talk.asked == asked != "do_green"


def test_a_file_that_can_only_be_read_with_its_paper_is_no_repeat() -> None:
    """Refused for its light, sent once more with a word about the paper in it: read, and kept once."""
    album = in_spring()
    album.send(30, reason="blue_light")
    seen = album.talk.case.checkins[-1].cover
    album.count = 0
    album.send(28)
    assert seen is not None
    assert album.talk.asked == "do_photo_weeds"
    assert [each.cover.reason for each in album.talk.case.checkins if each.photo_id and each.cover] == [""]
    album.count = 0
    album.send(28)
    assert "photo-same" in album.talk.keys


# --- the judging day -------------------------------------------------------------------------------------------------


def on_judging_day(album: Album, key: str = "judge:0") -> None:
    """Let days pass, one photo in the first warm week, until the judging of a spot is brought up."""
    talk = album.talk
    due = task(talk, key).due_on
    talk.pass_days((due - talk.now.date()).days - 20)
    album.send(3)
    while talk.asked in ("do_spot", "do_photo_weeds"):
        talk.say("front" if talk.asked == "do_spot" else "no")
    for _ in range(60):
        talk.pass_days(1)
        if talk.homeowner and talk.homeowner.last_told_task == (1, key) and isinstance(talk.record[-1], RemindersDue):
            return
    raise AssertionError("it was never brought up")


def test_the_judging_asks_for_a_last_photo_and_shows_the_first() -> None:
    """A wish, no duty: the judging can be had without."""
    album = Album(confirmed())
    on_judging_day(album)
    assert "remind-judge-photo" in album.talk.keys
    assert album.talk.heard[-1].photos == (sent(1),)
    assert "judge now" in album.talk.labels
    album.talk.press("judge now")
    assert album.talk.asked == "do_green"


def test_who_turned_photos_down_is_not_asked_for_a_last_one() -> None:
    """No photo was ever sent, and every wish for one was skipped."""
    talk = confirmed()
    for _ in range(200):
        talk.pass_days(1)
        if "remind-judge" in talk.keys:
            break
        if any(key.startswith(("remind-photo", "remind-first_photo")) for key in talk.keys):
            talk.say("skip")
    assert "remind-judge" in talk.keys
    assert "remind-judge-photo" not in talk.keys


@pytest.mark.parametrize("said", [(), ("judge now",)])
def test_a_photo_on_the_judging_day_takes_the_place_of_the_look_by_eye(said: tuple[str, ...]) -> None:
    """Sent to the reminder or in the middle of the talk: the reading, then the verdict, and nothing more is asked."""
    album = Album(confirmed())
    on_judging_day(album)
    if said:
        album.talk.press(*said)
    album.send(70)
    assert album.talk.asked == "do_photo_weeds"
    album.talk.say("no")
    assert "photo-green" in album.talk.keys
    assert "verdict-coming_back" in album.talk.keys
    assert album.talk.asked == ""
    assert task(album.talk, "judge:0").state is TaskState.DONE


def test_a_bare_photo_on_the_judging_day_is_judged_too() -> None:
    """Nothing green, so nothing to ask about weeds; and never dead by it alone."""
    album = Album(confirmed())
    on_judging_day(album)
    album.talk.press("judge now")
    album.send(0.4)
    assert "photo-green" in album.talk.keys
    assert any(key.startswith("verdict-") for key in album.talk.keys)
    assert not any("dead" in key for key in album.talk.keys)
    assert album.talk.asked == ""


@pytest.mark.parametrize("words", ["not sure", "a tenth"])
def test_the_judging_goes_on_in_words_after_a_photo_that_cannot_be_read(words: str) -> None:
    """The look by eye is asked again, and takes any answer."""
    album = Album(confirmed())
    on_judging_day(album)
    album.talk.press("judge now")
    album.send(30, reason="dark")
    assert album.talk.asked == "do_green"
    album.talk.say(words)
    while album.talk.asked == "do_weeds":
        album.talk.say("no")
    assert any(key.startswith("verdict-") for key in album.talk.keys)


def test_each_part_is_judged_by_its_own_photo_one_after_the_other() -> None:
    """Two photos at once on the judging day of two parts: which part, weeds, verdict; then the same for the other."""
    album = Album(two_parts())
    keys = [each.key for each in album.talk.case.tasks if each.kind == "judge"]
    on_judging_day(album, keys[0])
    album.send(70, more_follow=True)
    album.send(75)
    told = []
    for part in answers.spots(album.talk.case):
        assert album.talk.asked == "do_spot"
        album.talk.say(part)
        assert album.talk.asked == "do_photo_weeds"
        album.talk.say("no")
        told += [key for key in album.talk.keys if key.startswith("verdict-")]
    assert told == ["verdict-coming_back"] * 2
    assert {task(album.talk, key).state for key in keys} == {TaskState.DONE}
    assert album.talk.asked == ""


def test_the_part_without_a_photo_is_asked_about_by_eye() -> None:
    """One photo for two parts: the first is judged by it, the other one goes on in words."""
    album = Album(two_parts())
    keys = [each.key for each in album.talk.case.tasks if each.kind == "judge"]
    on_judging_day(album, keys[0])
    album.send(70)
    album.talk.say("front", "no")
    assert "verdict-coming_back" in album.talk.keys
    assert album.talk.asked == "do_green"
    assert "back" in album.talk.text.rpartition("\n\n")[2]
