"""A person in a homeowner's talk, at the pure reducer: what is kept, what is said, how the bot gets it back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache

import pytest

from bot.talk.case import Standing
from bot.talk.cover import CoverSeen
from bot.talk.effects import CallPerson, KeepPhoto, OfferData, Urgency
from bot.talk.followup import HELD_TASK, SILENT_AT_MOST
from bot.talk.incoming import Advised, Arrived, Chose, PersonCame, PersonSaid, PhotoRefused, SentPhoto, SharedPlace
from bot.talk.understand.bot_back import wants_bot
from tests.talk.conversation import Conversation, confirmed, two_parts

ANA, BO = "Ana", "Bo"
COME, LEAVE = PersonCame(name=ANA), PersonCame(name=ANA, is_leaving=True)


@cache
def _started(parts: int) -> Conversation:
    return confirmed() if parts == 1 else two_parts()


def started(parts: int = 1) -> Conversation:
    """A homeowner with a confirmed plan, as often as one is needed."""
    return replace(_started(parts), heard=[], effects=[], record=[])


def held(talk: Conversation | None = None) -> Conversation:
    """A talk that Ana holds."""
    talk = talk or started()
    talk.take(COME)
    return talk


def holder(talk: Conversation) -> str:
    assert talk.homeowner is not None
    return talk.homeowner.held_by


def passed_on(talk: Conversation) -> list[str]:
    return [effect.question for effect in talk.effects if isinstance(effect, CallPerson)]


def test_a_homeowner_is_told_who_came_and_how_to_have_the_bot_back() -> None:
    """Silence that nobody explained would look like a broken bot."""
    talk = held()

    assert ANA in talk.text
    assert '"bot"' in talk.text


@pytest.mark.parametrize(
    "came",
    [SentPhoto(photo_id="a" * 64), PhotoRefused(reason="broken"), SharedPlace(latitude=31.2, longitude=-81.5)],
)
def test_pictures_and_places_are_kept_without_a_word(came: SentPhoto | PhotoRefused | SharedPlace) -> None:
    """The person answers."""
    assert held().take(came) == []


@pytest.mark.parametrize(
    "words", ["what now?", "plan", "done", "back", "never mind", "help", "move", "person", "1", ""]
)
def test_words_are_kept_without_a_word(words: str) -> None:
    """Even those that mean something to the bot: here they are said to a person."""
    talk = held()
    before = talk.case

    talk.say(words)

    assert talk.heard == []
    assert talk.case == before
    assert talk.homeowner is not None
    assert words in talk.homeowner.held_words


def test_a_button_of_before_does_nothing_while_a_person_holds_the_talk() -> None:
    """It is in the record for the person to see."""
    talk = started()
    talk.pass_days(days=3)
    tokens = tuple(choice.token for choice in talk.choices[:1])
    held(talk)
    before = talk.case

    assert talk.take(Chose(tokens=tokens)) == []
    assert talk.case == before


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("my dog ate the fertilizer", "emergency-"),
        ("I smell gas", "emergency-"),
        ("the power line is down", "emergency-"),
    ],
)
def test_emergencies_are_answered_at_once(words: str, key: str) -> None:
    """Whoever holds the talk may be asleep. The person sees the words too."""
    talk = held()
    talk.say(words)

    assert any(each.startswith(key) for each in talk.keys)
    assert talk.homeowner is not None
    assert words in talk.homeowner.held_words
    assert holder(talk) == ANA


def test_stopping_stops_at_once_and_ends_the_hold() -> None:
    """Nothing more comes, and a later "start" wakes the bot, not a person who has gone."""
    talk = held()
    talk.say("stop")

    assert talk.keys == ["stopped"]
    assert holder(talk) == ""
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.STOPPED


@pytest.mark.parametrize(("answer", "standing"), [("yes", Standing.STOPPED), ("no", Standing.ACTIVE)])
def test_a_doubtful_wish_to_stop_is_asked_about_and_its_answer_read(answer: str, standing: Standing) -> None:
    """It pauses, asks once, and no other question of the bot follows the answer."""
    talk = held()
    talk.say("we have got to stop this")
    assert talk.asked == "do_stop"

    talk.say(answer)

    assert len(talk.heard) == 1
    assert talk.asked == ""
    assert talk.homeowner is not None
    assert talk.homeowner.standing is standing


def test_the_question_about_stopping_can_be_answered_with_its_button() -> None:
    """As at any other time."""
    talk = held()
    talk.say("we have got to stop this")
    talk.press("no, go on")

    assert talk.keys == ["stop-not-meant"]
    assert holder(talk) == ANA


def test_words_that_do_not_answer_the_question_about_stopping_are_for_the_person() -> None:
    """It stays paused: silence counts as stop."""
    talk = held()
    talk.say("we have got to stop this", "the sprinkler I mean")

    assert talk.heard == []
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.PAUSED


def test_start_wakes_whoever_paused_and_the_person_stays() -> None:
    """It says who answers here."""
    talk = held()
    talk.say("we have got to stop this", "start")

    assert "person-holds" in talk.keys
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.ACTIVE
    assert holder(talk) == ANA


def test_whoever_opens_the_chat_again_is_told_who_answers() -> None:
    """A page that says nothing on return looks dead."""
    talk = held()
    talk.take(Arrived())

    assert talk.keys == ["welcome-back", "person-holds"]


def test_a_copy_of_the_data_is_a_right_at_any_time() -> None:
    """No person can give it."""
    talk = held()
    talk.say("my data")

    assert any(isinstance(effect, OfferData) for effect in talk.effects)
    assert holder(talk) == ANA


def test_whoever_wants_to_be_forgotten_gets_the_bot_back() -> None:
    """It asks whether that is meant, and the answer must reach it."""
    talk = held()
    talk.say("forget me")

    assert talk.asked == "do_forget"
    assert holder(talk) == ""


# --- one person at a time --------------------------------------------------------------------------------------------


def test_a_second_person_cannot_take_a_held_talk() -> None:
    """Nothing changes, and nothing is said."""
    talk = held()
    before = talk.homeowner

    assert talk.take(PersonCame(name=BO)) == []
    assert talk.homeowner == before


def test_what_a_second_person_writes_into_a_held_talk_has_no_effect() -> None:
    """Two people must not contradict each other in one chat."""
    talk = held()
    before = talk.homeowner

    assert talk.take(PersonSaid(words="Feed it now", name=BO)) == []
    assert talk.take(PersonCame(name=BO, is_leaving=True)) == []
    assert talk.homeowner == before


def test_taking_a_talk_twice_is_told_once() -> None:
    """A second press only says that the person is there."""
    talk = held()

    assert talk.take(COME) == []
    assert holder(talk) == ANA


def test_giving_back_what_nobody_holds_does_nothing() -> None:
    """Pressed twice, told once."""
    talk = held()
    talk.take(LEAVE)

    assert talk.take(LEAVE) == []


WRITTEN = 'Keep it brown on top. {x} "Feed" at 65 °F — 1 lb/1,000 sq ft. 🌱\n\n• call 811 first\n• then dig'


@pytest.mark.parametrize("is_held", [True, False])
def test_a_persons_words_are_shown_as_they_were_written(is_held: bool) -> None:
    """Under their name, sign by sign, whether they hold the talk or answer a question."""
    talk = held() if is_held else started()
    talk.take(PersonSaid(words=WRITTEN, name=ANA))

    assert talk.text == f"Ana writes:\n\n{WRITTEN}"
    assert holder(talk) == (ANA if is_held else "")


def test_an_answer_without_holding_leaves_the_talk_with_the_bot() -> None:
    """The next word is the bot's to answer."""
    talk = started()
    talk.take(PersonSaid(words="It is fine.", name=ANA))
    talk.say("plan")

    assert talk.heard


# --- the bot again ---------------------------------------------------------------------------------------------------


def test_giving_back_goes_on_at_the_open_question() -> None:
    """One message: who left, and the question that was open."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522")
    asked = talk.asked
    held(talk)
    talk.say("hello?")
    talk.take(LEAVE)

    assert talk.asked == asked
    assert len(talk.heard) == 1
    assert talk.keys[0] == "person-left"


def test_giving_back_tells_what_comes_next_where_nothing_is_asked() -> None:
    """The plan goes on."""
    talk = held()
    talk.take(LEAVE)

    assert talk.keys[:2] == ["person-left", "next-task"]
    assert len(talk.heard) == 1


@pytest.mark.parametrize(
    "words", ["bot", "BOT", "/bot", "the bot please", "can I have the bot back?", "I'd like to talk to the bot again"]
)
def test_a_homeowner_gets_the_bot_back_by_asking(words: str) -> None:
    """In the words they were told, or others that say the same."""
    assert wants_bot(words)
    talk = held()
    talk.say(words)

    assert talk.keys[0] == "person-bot-back"
    assert holder(talk) == ""
    assert talk.say("plan")


@pytest.mark.parametrize(
    "words", ["are you a bot?", "the bot said it is dead", "bot fly", "no bot please", "who is bot"]
)
def test_words_about_the_bot_are_for_the_person(words: str) -> None:
    """Only a whole message that asks for it."""
    assert not wants_bot(words)
    assert held().say(words) == []


def test_a_person_who_is_silent_for_a_day_loses_the_talk() -> None:
    """It is said honestly, and what they did not answer is passed on again."""
    talk = held()
    talk.say("is it dead?", "hello?")
    assert talk.pass_days(hours=20) == []

    talk.pass_days(hours=5)

    assert talk.keys[:2] == ["person-silent", "person-silent-passed"]
    assert passed_on(talk) == ["is it dead?\nhello?"]
    assert holder(talk) == ""
    assert talk.say("plan")


def test_every_word_of_the_person_begins_the_day_anew() -> None:
    """Whoever still writes still holds the talk."""
    talk = held()
    for _ in range(4):
        talk.pass_days(hours=20)
        talk.take(PersonSaid(words="Still here.", name=ANA))

    assert holder(talk) == ANA


def test_a_silent_person_is_told_of_in_the_homeowners_hours() -> None:
    """Taken over at 10 at night: the day is over at 10 at night, and it is told at 9 the next morning."""
    talk = started()
    talk.pass_days(hours=10)  # ten at night
    held(talk)
    (reminder,) = [each for each in talk.wanted if each.task == HELD_TASK]

    assert (reminder.hour, reminder.minute) == (9, 0)
    assert talk.instant_of(reminder) > talk.now + SILENT_AT_MOST


def test_whoever_writes_after_the_day_is_answered_at_once() -> None:
    """Nobody has to wait for the morning to be answered."""
    talk = held()
    talk.say("is it dead?")
    talk.now += SILENT_AT_MOST + timedelta(minutes=1)

    talk.say("plan")

    assert talk.keys[0] == "person-silent"
    assert "plan-head" in talk.keys or len(talk.heard) > 1
    assert passed_on(talk) == ["is it dead?"]


def test_a_silent_person_is_not_told_of_to_somebody_who_paused() -> None:
    """The talk is the bot's again all the same, and the desk is told."""
    talk = held()
    talk.say("we have got to stop this")
    talk.pass_days(days=3)

    assert talk.heard == []
    assert holder(talk) == ""
    assert len(passed_on(talk)) == 1


def test_telling_of_a_silent_person_is_the_one_unasked_message_of_its_day() -> None:
    """A task that is due the same morning waits for the next."""
    talk = started()
    talk.pass_days(days=1, hours=20)
    held(talk)
    said_on = [
        talk.now.date()
        for _ in range(6)
        if talk.pass_days(days=1)
        for each in talk.heard
        if each.urgency is not Urgency.REPLY
    ]

    assert len(said_on) == len(set(said_on))


# --- what waits ------------------------------------------------------------------------------------------------------


def test_tasks_that_come_due_meanwhile_wait_day_by_day() -> None:
    """Nothing is lost: given back, they are brought up."""
    talk = held()
    told_before = {task.key: task.told_on for task in talk.case.tasks}
    for _ in range(10):
        talk.pass_days(hours=20)
        talk.take(PersonSaid(words="Looking into it.", name=ANA))
        assert talk.keys == ["person-said"]
    assert {task.key: task.told_on for task in talk.case.tasks} == told_before
    talk.take(LEAVE)

    assert talk.pass_days(hours=16)


def seen(percent: float) -> CoverSeen:
    return CoverSeen(percent=percent, low=0, high=percent + 1, upload="picture", dhash="0" * 16)


def test_a_photo_sent_meanwhile_is_read_when_the_bot_is_back() -> None:
    """It is kept with its measure, and told then."""
    talk = held()
    talk.take(SentPhoto(photo_id="a" * 64, cover=seen(0.5)))
    assert talk.case.in_hand[0].cover == seen(0.5)

    talk.take(LEAVE)

    assert any(isinstance(effect, KeepPhoto) for effect in talk.effects)
    assert talk.case.in_hand == ()
    assert any(each.startswith("photo-green") for each in talk.keys)


def test_photos_of_a_lawn_in_parts_are_asked_about_when_the_bot_is_back() -> None:
    """One after the other, none lost."""
    talk = held(started(parts=2))
    for letter in "ab":
        talk.take(SentPhoto(photo_id=letter * 64))
    talk.take(LEAVE)

    assert talk.asked == "do_spot"
    assert len(talk.case.in_hand) == 2


# --- advice to many --------------------------------------------------------------------------------------------------


def test_a_freeze_advisory_goes_out_while_a_person_holds_the_talk_and_others_do_not() -> None:
    """Cold does not wait for a conversation to end."""
    talk = held()

    assert talk.take(Advised(advisory=1, words="Next week: mow.")) == []
    assert talk.take(Advised(advisory=2, words="Hard freeze tonight.", is_pressing=True))
    assert talk.text == "Hard freeze tonight."


# --- hours -----------------------------------------------------------------------------------------------------------


def test_a_persons_words_at_night_wait_unless_their_owner_just_wrote() -> None:
    """Ten at night: somebody who wrote a minute ago is answered; somebody who wrote at noon sleeps."""
    talk = started()
    talk.pass_days(hours=10)
    (late,) = talk.take(PersonSaid(words="It is fine.", name=ANA))
    talk.say("plan")
    (at_once,) = talk.take(PersonSaid(words="It is fine.", name=ANA))

    assert late.in_hours
    assert not at_once.in_hours
    assert late.urgency is Urgency.REPLY


def test_somebody_who_wants_quiet_is_told_of_no_coming_or_going() -> None:
    """Only the answer to their question reaches them."""
    talk = started()
    talk.say("stop")

    assert talk.take(COME) == []
    assert talk.take(PersonSaid(words="It is fine.", name=ANA))
    assert talk.take(LEAVE) == []


def test_a_person_can_answer_somebody_of_whom_nothing_is_known_yet() -> None:
    """No lawn, no plan: the words alone."""
    talk = Conversation()
    talk.take(PersonSaid(words="Hello.", name=ANA))
    talk.take(COME)
    talk.take(LEAVE)

    assert talk.keys == ["person-left"]
