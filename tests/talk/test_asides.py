"""What people write besides answers: trouble, thanks, questions about care, a change by name, second thoughts."""

from __future__ import annotations

import pytest

from bot.talk import chat, understand
from bot.talk.advice import lawn_view
from bot.talk.case import TaskState
from bot.talk.incoming import SentPhoto
from rules.combine import Direction
from rules.task_kinds import TaskKind
from tests.talk.conversation import Conversation, confirmed, talked_to_first_answer, task, two_parts, walk_to

BERMUDA = ("31522", "Jan 16", "12", "4 days", "no", "bermuda", "1", "not sure", "all alike", "none", "3 inches", "half")


def bermuda() -> Conversation:
    """A confirmed plan with several cuts."""
    talk = Conversation()
    talk.arrive()
    talk.say(*BERMUDA, "1200 sq ft", "15-0-15", "7", "yes", "yes")
    return talk


def cuts_open(talk: Conversation) -> int:
    return sum(each.kind == TaskKind.CUT and each.state is TaskState.OPEN for each in talk.case.tasks)


# --- trouble in one's own words --------------------------------------------------------------------------------------


def test_brown_stems_in_passing_stop_all_lowering() -> None:
    """ "done, brown stems everywhere" is not just "done": no cut goes lower after it."""
    talk = bermuda()
    walk_to(talk, "cut:1")
    assert cuts_open(talk) > 2

    talk.say("done, brown stems everywhere")

    assert talk.case.stopped_cutting_on is not None
    assert task(talk, "cut:1").state is TaskState.DONE
    assert all(each.state is not TaskState.OPEN for each in talk.case.tasks if each.key in ("cut:2", "cut:3"))


def test_frost_told_at_any_time_moves_the_plan() -> None:
    """Nobody has to wait for a reminder to say that it froze again."""
    talk = bermuda()
    walk_to(talk, "photo:2027-03-20")
    talk.say("skip")
    before = task(talk, "cut:1").on

    talk.say("it froze again last night")

    assert "problem-frost-again" in talk.keys
    assert task(talk, "cut:1").on > before or task(talk, "cut:2").on > before


@pytest.mark.parametrize(
    ("words", "key"), [("too wet", "problem-too-wet"), ("frost in the forecast", "problem-frost-ahead")]
)
def test_wet_ground_or_frost_ahead_puts_a_cut_off(words: str, key: str) -> None:
    """The same as picking it from the list."""
    talk = bermuda()
    walk_to(talk, "cut:1")
    was_on = task(talk, "cut:1").due_on
    talk.say(words)

    assert key in talk.keys
    assert (task(talk, "cut:1").due_on - was_on).days == 7


def test_a_change_tells_nothing_of_what_is_done() -> None:
    """Frost in May after all the cuts were made: no word of them."""
    talk = bermuda()
    for key in ("cut:1", "cut:2"):
        walk_to(talk, key)
        talk.say("done")
    talk.say("it froze again last night")

    assert task(talk, "cut:1").state is TaskState.DONE
    moved = [line for line in talk.text.splitlines() if "a cut" in line and line.startswith("Moved")]
    assert 0 < len(moved) <= cuts_open(talk)


def test_only_fitting_troubles_are_offered() -> None:
    """Brown stems show when it is cut, not when it is photographed."""
    talk = bermuda()
    talk.say("problem")
    assert "brown stems show" not in talk.labels

    walk_to(talk, "cut:1")
    talk.say("problem")
    assert "brown stems show" in talk.labels


# --- answers to what a reminder leads to -----------------------------------------------------------------------------


@pytest.mark.parametrize(("words", "alive"), [("3", 3), ("3 of 6", 3), ("none", 0), ("all 6", 6)])
def test_a_count_answers_the_counting_reminder(words: str, alive: int) -> None:
    """ "3" is the count, never the third thing in a list."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1", "not sure", "all alike", "none")
    talk.say("4 inches", "half", "1200 sq ft", "15-0-15", "7", "yes", "yes")
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week2")
    talk.say(words)

    assert task(talk, "pot:0:week2").state is TaskState.DONE
    assert [seen.plugs_alive for seen in talk.case.checkins if seen.plugs_alive is not None] == [alive]


@pytest.mark.parametrize(
    ("words", "found"), [("they're firm", "firm"), ("mushy", "soft"), ("some firm, some soft", "mixed")]
)
def test_a_look_may_be_told_at_once(words: str, found: str) -> None:
    """Without saying first that it was done."""
    talk = confirmed()
    walk_to(talk, "look:1")
    talk.say(words)

    assert [seen.runners for seen in talk.case.checkins if seen.runners] == [found]


# --- courtesies and questions ----------------------------------------------------------------------------------------


def test_thanks_and_hello_are_answered() -> None:
    """Nobody is told that their thanks were not understood; a question that is open stays open."""
    talk = confirmed()
    talk.say("thanks!")
    assert "chat-thanks" in talk.keys

    talk = talked_to_first_answer()
    asked = talk.asked
    talk.say("thank you")
    assert "chat-thanks" in talk.keys
    assert talk.asked == asked


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("is it dead?", "summary-judging"),
        ("when can I mow?", "chat-mow"),
        ("should I water now?", "chat-water"),
        ("can I overseed with rye?", "chat-not-before"),
        ("my neighbor says to scalp it", "chat-scalp"),
        ("can I spray weeds", "chat-not-before"),
        ("should I put lime down", "not-now-lime-soil_test"),
    ],
)
def test_questions_about_care_are_answered_from_the_plan(words: str, key: str) -> None:
    """With this lawn's own dates."""
    talk = confirmed()
    walk_to(talk, "look:1")
    talk.say("firm")
    talk.say(words)

    assert key in talk.keys, talk.text


def test_every_topic_has_an_answer() -> None:
    """A topic added to the understanding needs an answer here."""
    assert set(understand.TOPICS) == chat.TOPICS_ANSWERED


def test_a_question_while_we_are_asking_is_promised_an_answer() -> None:
    """It counts as no misunderstanding."""
    talk = talked_to_first_answer()
    asked = talk.asked
    talk.say("is it dead?", "is it dead?", "is it dead?")

    assert "chat-first-answers" in talk.keys
    assert talk.asked == asked


# --- second thoughts -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("words", ["change size", "edit the size", "change mowing height"])
def test_an_answer_is_changed_by_its_name(words: str) -> None:
    """Without a walk through the list."""
    talk = confirmed()
    talk.say(words)

    assert talk.asked == ("mow_height" if "height" in words else "size")


def test_the_list_of_answers_takes_names_and_no() -> None:
    """A name picks the line, "no" and "never mind" leave it."""
    talk = confirmed()
    talk.say("change", "size")
    assert talk.asked == "size"

    for words in ("no", "never mind"):
        talk = confirmed()
        talk.say("change", words)
        assert talk.homeowner is not None
        assert talk.homeowner.side is None


def test_what_was_not_known_is_listed_as_such() -> None:
    """No blank lines in the list."""
    talk = confirmed()
    talk.say("change")

    assert "Kind: not sure" in talk.labels


def test_a_lawn_that_was_not_ours_can_become_ours() -> None:
    """ "Actually it is bermuda" after fescue goes on with bermuda."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4 days", "no", "fescue")
    assert "scope-cool_season" in talk.keys

    talk.say("actually it is bermuda")
    assert talk.asked == "see"


# --- pictures and parts ----------------------------------------------------------------------------------------------


def test_which_part_a_picture_shows_is_asked_again_after_something_else() -> None:
    """A picture is not lost because its owner wanted something first."""
    talk = two_parts()
    talk.take(SentPhoto(photo_id="c" * 64))
    assert talk.asked == "do_spot"
    talk.say("hours", "from 10 to 6")

    assert talk.asked == "do_spot"


def test_a_picture_put_off_to_the_next_one_joins_it() -> None:
    """No picture every day because one was moved."""
    talk = confirmed()
    walk_to(talk, "photo:2027-03-20")
    talk.say("later", "next week")

    assert "photo-joined" in talk.keys
    assert task(talk, "photo:2027-03-20").state is TaskState.SKIPPED


def test_one_part_that_differs_leaves_the_rest() -> None:
    """The rest of the lawn is judged too."""
    talk = talked_to_first_answer()
    talk.say("not sure", "the side yard")

    assert "the rest" in talk.text


def test_nobody_is_sent_out_in_the_dark() -> None:
    """A plan confirmed at night begins the next day."""
    talk = Conversation()
    talk.now = talk.now.replace(hour=3)
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1", "not sure", "all alike", "none")
    talk.say("4 inches", "half", "1200 sq ft", "15-0-15", "7", "yes", "yes")

    assert "remind-first_photo" not in talk.keys
    assert "next-task" in talk.keys


def test_a_whole_story_at_the_first_question_is_taken_one_thing_at_a_time() -> None:
    """The place is taken, and it is said that the rest is asked for."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522, 17 degrees, st augustine, it's all brown")

    assert "said-part" in talk.keys
    assert talk.asked == "coldest_on"


def test_later_with_a_day_takes_the_day() -> None:
    """ "Remind me Saturday" needs no second question, before it and as its answer."""
    for lines in (("remind me tomorrow",), ("later", "remind me tomorrow"), ("later", "tomorrow")):
        talk = bermuda()
        walk_to(talk, "cut:1")
        today = task(talk, "cut:1").due_on
        talk.say(*lines)

        assert (task(talk, "cut:1").due_on - today).days == 1, lines
        assert talk.asked == ""


@pytest.mark.parametrize(
    ("words", "is_state"), [("Georgia", True), ("GA", True), ("ok", False), ("hi", False), ("in", False)]
)
def test_a_state_alone_is_a_rough_place(words: str, is_state: bool) -> None:
    """ "ok" and "hi" are courtesies before they are states."""
    talk = Conversation()
    talk.arrive()
    talk.say(words)

    assert (talk.asked != "place") is is_state


def test_two_grasses_at_once_are_asked_about() -> None:
    """Which one counts is not guessed."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4 days", "no", "centipede or maybe st aug")

    assert talk.asked == "grass"


def test_what_was_done_to_it_is_another_cause_and_what_may_be_done_is_a_question() -> None:
    """ "I scalped it" tells of damage; "should I scalp it" asks."""
    talk = confirmed()
    talk.say("skip")
    talk.say("i scalped it last fall")
    assert "cause-scalped" in talk.keys
    talk.say("should i scalp it?")
    assert "chat-scalp" in talk.keys


def test_what_was_just_done_is_not_told_as_dropped() -> None:
    """A look changes odds and plan; the look itself is done, not "no longer in the plan"."""
    talk = bermuda()
    walk_to(talk, "look:1")
    talk.say("soft and brown")

    assert "look at the runners" not in talk.text.replace("Next: look at the runners", "")


def test_the_rule_of_thumb_is_told_where_it_says_something_else() -> None:
    """Cold enough to kill runners on top, soil two inches down far from it: both are told, and why they differ."""
    talk = Conversation()
    talk.arrive()
    talk.say("72201", "Jan 16", "9", "5 days", "no", "raleigh", "1")
    assert "summary-thumb-another_depth" in talk.keys
    assert "23 °F to 24 °F" in talk.text

    mild = Conversation()
    mild.arrive()
    mild.say("31522", "Jan 16", "25", "2 days", "no", "raleigh", "1")
    assert not [key for key in mild.keys if key.startswith("summary-thumb")]


def test_why_after_the_plan_tells_what_moved_the_odds() -> None:
    """Each piece with the odds without it and with it; nothing yet is said as that."""
    talk = confirmed()
    talk.say("why")
    assert "Nothing seen or tested has moved the odds for the lawn yet" in talk.text
    walk_to(talk, "look:1")
    talk.say("they're firm")
    walk_to(talk, "pot:0:start")
    talk.say("done", "6")
    walk_to(talk, "pot:0:week2")
    talk.say("5 of 6", "why")
    told = talk.text
    effects = {effect.direction: effect for effect in lawn_view(talk.case, talk.known).spots[0].effects}
    assert set(effects) >= {Direction.MORE_ALIVE}
    assert "What moved the odds for the lawn, beside the cold" in told
    assert "pot test, 5 of 6 alive: up, from" in told
