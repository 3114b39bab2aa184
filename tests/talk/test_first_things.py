"""What works whatever is being asked: a person, emergencies, stopping, one's data."""

from __future__ import annotations

import pytest

from bot.talk.case import LabelTold, Skipped, Standing
from bot.talk.effects import CallPerson, ForgetHomeowner, OfferData
from bot.talk.reading import label_of_bag
from tests.talk.conversation import Conversation, confirmed, talked_to_first_answer, talked_to_plan


def test_person_works_everywhere_and_carries_the_question() -> None:
    """ "person" asks what to pass on, passes it on, and the open question comes back."""
    talk = Conversation()
    talk.arrive()
    talk.say("person", "Is Floratam the same as Raleigh?")

    calls = [effect for effect in talk.effects if isinstance(effect, CallPerson)]
    assert [call.question for call in calls] == ["Is Floratam the same as Raleigh?"]
    assert talk.asked == "place"


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("my dog ate the fertilizer", "emergency-poison"),
        ("I smell gas in the yard", "emergency-gas"),
        ("there are wires down on the lawn", "emergency-wires"),
    ],
)
def test_emergency_words_come_before_everything(words: str, key: str) -> None:
    """The emergency line comes at once, and nothing of the talk is lost."""
    talk = talked_to_first_answer()
    before = talk.homeowner
    talk.say(words)

    assert talk.keys == [key]
    assert talk.homeowner is not None
    assert before is not None
    assert talk.homeowner.lawns == before.lawns


def test_a_plain_wish_to_stop_stops_at_once_with_one_confirmation() -> None:
    """No more reminders, one message, and only "start" wakes it."""
    talk = confirmed()
    assert talk.wanted
    talk.say("please stop texting me")
    assert talk.keys == ["stopped"]
    assert talk.wanted == frozenset()
    talk.say("the grass looks brown")
    assert talk.keys == ["stopped-still"]
    talk.say("start")
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.ACTIVE
    assert talk.wanted


def test_a_doubtful_wish_to_stop_pauses_and_asks_once() -> None:
    """Silence after it means stop: nothing is wanted while paused."""
    talk = confirmed()
    talk.say("we have got to stop this")
    assert talk.asked == "do_stop"
    assert talk.wanted == frozenset()
    talk.say("no")
    assert talk.wanted


@pytest.mark.parametrize("asked", ["how do i unsubscribe?", "forget me"])
def test_after_the_last_word_no_question_comes(asked: str) -> None:
    """Whoever confirms that they want to leave is not asked where the lawn is."""
    talk = Conversation()
    talk.arrive()
    talk.say(asked)

    assert len(talk.say("yes")) == 1
    assert "Where is the lawn" not in talk.text


@pytest.mark.parametrize("said", ["no", "nope", "none", "I don't have one", "no bag here"])
def test_who_has_no_bag_of_fertilizer_says_no(said: str) -> None:
    """There is nothing to read then; nobody is asked for numbers again."""
    assert label_of_bag(said) == Skipped()


def test_numbers_on_a_bag_count_whatever_stands_before_them() -> None:
    """ "No, it says 16-4-8" tells what stands on it."""
    assert isinstance(label_of_bag("no, it says 16-4-8"), LabelTold)


def test_stop_inside_another_sentence_is_no_wish_to_stop() -> None:
    """ "When should I stop mowing?" is a question about mowing."""
    talk = confirmed()
    talk.say("when should I stop mowing?")
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.ACTIVE


def test_forget_me_asks_once_and_then_erases() -> None:
    """Erasing needs a yes; a no keeps everything."""
    talk = talked_to_plan()
    talk.say("forget me", "no")
    assert "forget-kept" in talk.keys
    talk.say("forget me", "yes")
    assert any(isinstance(effect, ForgetHomeowner) for effect in talk.effects)


def test_data_offers_a_copy() -> None:
    """ "data" hands over everything that is kept."""
    talk = talked_to_first_answer()
    talk.say("data")
    assert any(isinstance(effect, OfferData) for effect in talk.effects)
