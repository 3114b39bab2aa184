"""The first conversation, question by question: order, corrections, misunderstandings, wishes at any time."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bot.talk import answers
from bot.talk.case import NotSure
from bot.talk.effects import CallPerson
from bot.talk.incoming import Arrived, Chose, PhotoRefused, Said, SentPhoto, SharedPlace
from bot.talk.questions import QUESTIONS
from bot.talk.reducer import reduce
from tests.talk.conversation import (
    DETAILS,
    FIRST,
    KNOWN,
    Conversation,
    confirmed,
    talked_to_first_answer,
    talked_to_plan,
)


def test_the_first_useful_answer_comes_within_eight_questions() -> None:
    """Seven questions in the usual case, and the summary follows the last of them at once."""
    talk = Conversation()
    talk.arrive()
    asked = 0
    for line in FIRST:
        assert talk.asked
        asked += 1
        talk.say(line)

    assert asked <= 8
    assert "summary-head" in talk.keys
    assert "summary-judging" in talk.keys


def test_an_ambiguous_town_and_an_unknown_grass_still_get_it_within_eight() -> None:
    """The longest way to the first answer asks eight questions."""
    talk = Conversation()
    talk.arrive()
    replies = {
        "place": "Jackson",
        "place_which": "1",
        "coldest_on": "Jan 16",
        "air_min": "12",
        "days_cold": "5",
        "snow": "no",
        "grass": "not sure",
        "key_runners": "on top",
        "key_width": "pencil",
        "see": "straw",
    }
    asked: list[str] = []
    while "summary-head" not in talk.keys:
        asked.append(talk.asked)
        talk.say(replies[talk.asked])

    assert len(asked) <= 8
    assert "place_which" in asked


def test_all_not_sure_ends_in_a_plan_too() -> None:
    """Somebody who knows nothing gets the most careful plan, not a dead end."""
    talk = Conversation()
    talk.arrive()
    for _ in range(40):
        if "tracked" in talk.keys or "not-tracked" in talk.keys:
            break
        talk.say("not sure")

    assert "not-tracked" in talk.keys
    assert "summary" in talk.case.told
    assert "plan" in talk.case.told


def test_questions_that_change_nothing_are_not_asked() -> None:
    """A light frost asks neither for snow nor days; centipede is not asked for a bag; no frost ends the talk."""
    light = Conversation()
    light.arrive()
    light.say("31522", "Jan 16", "31")
    assert light.asked == "grass"

    centipede = talked_to_first_answer()
    centipede = Conversation()
    centipede.arrive()
    centipede.say("31522", "Jan 16", "17", "4", "no", "centipede", "1", "skip", "alike", "none", "2", "half", "1200")
    assert centipede.asked == "time_ok"

    warm = Conversation()
    warm.arrive()
    warm.say("31522", "Jan 16", "35")
    assert warm.case.told == ("scope-not_frost",)


@pytest.mark.parametrize(("grass", "scope"), [("tall fescue", "cool_season"), ("artificial turf", "not_grass")])
def test_lawns_that_are_not_ours_are_told_so(grass: str, scope: str) -> None:
    """Cool-season grass and no grass at all get a plain word and no numbers."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4", "no", grass)

    assert f"scope-{scope}" in talk.keys
    assert "summary-head" not in talk.keys


def test_rye_over_a_warm_season_lawn_asks_what_lies_under_it() -> None:
    """Overseeded and mixed lawns are judged by the summer grass."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "17", "4", "no", "bermuda overseeded with rye")

    assert talk.asked in ("base_grass", "see")


def test_typing_and_pressing_mean_the_same() -> None:
    """Every choice can be typed by its words, by its number, or pressed."""
    pressed, typed, numbered = Conversation(), Conversation(), Conversation()
    for talk in (pressed, typed, numbered):
        talk.arrive()
        talk.say(*FIRST[:5])
    pressed.press("zoysia")
    typed.say("zoyzia grass")
    numbered.say("3")

    grasses = [answers.code(talk.case, "grass") for talk in (pressed, typed, numbered)]
    assert grasses == ["zoysia"] * 3


def test_back_goes_one_question_back_and_asks_it_again() -> None:
    """ "back" takes the newest answer away, at any depth, until the first question."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16")
    talk.say("back")
    assert talk.asked == "coldest_on"
    talk.say("back")
    assert talk.asked == "place"
    talk.say("back")
    assert talk.asked == "place"
    assert "back-first" in talk.keys


def test_a_changed_answer_keeps_the_later_ones_and_tells_the_difference() -> None:
    """Changing the cold after the plan recomputes it, keeps what still holds, and says what changed."""
    talk = talked_to_plan()
    before = {answer.question for answer in talk.case.answers}
    talk.say("change")
    assert "do_which" in talk.asked
    number = talk.labels.index(next(label for label in talk.labels if label.startswith("Lowest air"))) + 1
    talk.say(str(number))
    assert talk.asked == "air_min"
    talk.say("26")

    assert {answer.question for answer in talk.case.answers} == before
    assert "change-odds" in talk.keys


def test_a_changed_answer_that_changes_nothing_says_so() -> None:
    """The same answer again changes nothing, and that is what is said."""
    talk = talked_to_plan()
    talk.say("change")
    number = talk.labels.index(next(label for label in talk.labels if label.startswith("Lowest air"))) + 1
    talk.say(str(number), "17")

    assert "change-nothing" in talk.keys


def test_changing_the_place_moves_the_dates() -> None:
    """A lawn further north is judged later, and that is said."""
    talk = confirmed()
    talk.say("change", "1", "27601")

    assert "change-judging" in talk.keys
    judge = talk.homeowner and next(task for task in talk.case.tasks if task.key == "judge:0")
    assert judge
    assert judge.due_on >= date(2027, 6, 1)


def test_answers_that_no_longer_apply_are_dropped() -> None:
    """A milder cold makes the snow question void; its answer goes with it."""
    talk = talked_to_first_answer()
    talk.say("change")
    number = talk.labels.index(next(label for label in talk.labels if label.startswith("Lowest air"))) + 1
    talk.say(str(number), "30")

    assert answers.find(talk.case, "snow") is None


def test_unclear_words_get_help_then_choices_then_a_person() -> None:
    """One helpful re-ask, the choices again, then the offer to pass it on."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16")
    talk.say("purple")
    assert "help-air_min" in talk.keys
    talk.say("purple monkeys")
    assert "unclear-choices" in talk.keys
    talk.say("purple dishwasher")
    assert talk.asked == "do_person"
    talk.say("yes")
    assert any(isinstance(effect, CallPerson) for effect in talk.effects)
    assert talk.asked == "air_min"


def test_metric_is_chosen_once_and_used_everywhere() -> None:
    """After "metric" a bare number is Celsius and amounts read in metric."""
    talk = Conversation()
    talk.arrive()
    talk.say("metric", "31522", "Jan 16", "-8", "4", "no", "St. Augustine", "1")

    assert answers.air_min(talk.case) is not None
    assert answers.air_min(talk.case).mean_c == pytest.approx(-8)  # type: ignore[union-attr]
    assert "°C" in talk.text
    assert "°F" not in talk.text


def test_start_over_needs_a_yes() -> None:
    """Starting over erases this lawn's answers only after a yes."""
    talk = talked_to_first_answer()
    talk.say("start over", "no")
    assert len(talk.case.answers) == len(FIRST)
    talk.say("start over", "yes")
    assert talk.case.answers == ()
    assert talk.asked == "place"


def test_a_second_lawn_keeps_the_town_and_the_cold() -> None:
    """One person may have several lawns; the second is not asked where it froze again."""
    talk = confirmed()
    talk.say("new lawn")
    assert talk.asked == "grass"
    talk.say("bermuda")
    assert talk.case.number == 2
    talk.say("lawns", "1")
    assert talk.case.number == 1


def test_a_shared_place_answers_the_place_question() -> None:
    """A position from the phone is taken for the town, stored no finer than two decimals."""
    talk = Conversation()
    talk.arrive()
    talk.take(SharedPlace(latitude=31.154321, longitude=-81.491234))

    place = answers.settled_place(talk.case)
    assert place is not None
    assert place.county == "Glynn County"
    assert round(place.latitude, 2) == place.latitude
    assert talk.asked == "coldest_on"


def test_a_photo_where_a_number_was_asked_is_kept_and_the_question_comes_back() -> None:
    """Nothing that is sent is lost, and nothing is lost over it."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16")
    talk.take(SentPhoto(photo_id="a" * 64))

    assert talk.asked == "air_min"
    assert [checkin.photo_id for checkin in talk.case.checkins] == ["a" * 64]


def test_a_refused_photo_names_one_thing_to_do() -> None:
    """The reason, then the open question again."""
    talk = Conversation()
    talk.arrive()
    talk.take(PhotoRefused(reason="too_small"))

    assert talk.keys[0] == "photo-refused-too_small"
    assert talk.asked == "place"


def test_an_old_button_offers_to_change_that_answer() -> None:
    """A button pressed weeks later does something sensible."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FIRST[:5])
    old = talk.choices[1].token
    talk.say("St. Augustine", "1")
    talk.take(Chose(tokens=(old,)))
    assert talk.asked == "do_change_it"
    talk.say("yes")
    assert talk.asked == "grass"
    talk.take(Chose(tokens=("z:1:nonsense",)))
    assert "button-unknown" in talk.keys


def test_a_talk_resumes_after_days_where_it_stood() -> None:
    """Coming back after a week shows the open question and how far it was."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16")
    talk.now += timedelta(days=8)
    talk.take(Arrived())

    assert "welcome-question" in talk.keys
    assert talk.asked == "air_min"


def test_a_talk_replays_exactly() -> None:
    """The same things in the same order at the same times give the same homeowner."""
    talk = talked_to_plan()
    homeowner = None
    at = Conversation().now
    for incoming in talk.record:
        at += timedelta(seconds=20)
        homeowner = reduce(homeowner, incoming, at, KNOWN).homeowner

    assert homeowner == talk.homeowner


def test_words_of_every_answer_are_kept_as_said() -> None:
    """The raw words, the time and what was understood stay together."""
    talk = talked_to_first_answer()

    kept = {answer.question: answer.words for answer in talk.case.answers}
    assert kept["air_min"] == "17"
    assert kept["place"] == "31522"
    assert all(answer.at.tzinfo is not None for answer in talk.case.answers)


def test_a_dose_somebody_was_told_is_worked_out() -> None:
    """15 lb of 16-4-8 on 1,200 sq ft is 2 lb of nitrogen per 1,000: many times the light feed, and too early."""
    talk = confirmed()
    talk.say("the guy at the store said put 15 lbs of 16-4-8 down today")

    assert talk.keys[0] == "dose-means"
    assert "2 lb per 1,000 sq ft" in talk.text
    assert "dose-wait" in talk.keys


BAD = (
    "",
    "   ",
    "🦎🦎🦎",
    "שלום העולם",
    "x" * 10_000_000,
    "-5",
    "0",
    "0-0-0",
    "40 inches",
    "1890-01-01",
    "99999999999999999999",
    "\x00\x01\u202e",
    "back back back",
    "DROP TABLE homeowner;",
    "1e309",
    "{ $n }",
)


@pytest.mark.parametrize("question", [question.id for question in QUESTIONS])
def test_every_question_survives_bad_input(question: str) -> None:
    """Whatever is typed at whatever question, there is an answer and the talk goes on."""
    talk = Conversation()
    talk.arrive()
    lines = [*FIRST, *DETAILS, "yes", "yes"]
    while talk.asked != question and lines:
        talk.say(lines.pop(0))
    for words in BAD:
        talk.say(words)
        assert talk.heard
    talk.say("start over", "yes")

    assert talk.asked == "place"


@pytest.mark.parametrize("question", [question.id for question in QUESTIONS])
def test_every_question_takes_not_sure_and_why(question: str) -> None:
    """ "not sure" is a real answer to every question, and every question says why it is asked."""
    talk = Conversation()
    talk.arrive()
    lines = [*FIRST, *DETAILS, "yes", "yes"]
    while talk.asked != question and lines:
        talk.say(lines.pop(0))
    if talk.asked != question:
        return  # a question of another way through the table; the sweep below walks those
    talk.say("why")
    assert f"why-{question}" in talk.keys
    talk.say("not sure")

    answer = next(each for each in talk.case.answers if each.question == question)
    assert isinstance(answer.value, NotSure)


def test_saying_while_nothing_is_asked_gets_an_answer() -> None:
    """After the plan, words that mean nothing get a hint and what comes next; the third time a person."""
    talk = confirmed()
    talk.take(Said(text="purple"))
    assert "not-understood" in talk.keys
    talk.say("purple", "purple")
    assert talk.asked == "do_person"


def test_damage_that_is_not_frost_is_recognised_and_told_so() -> None:
    """Another cause gets a plain word, and nothing else changes."""
    talk = talked_to_first_answer()
    before = len(talk.case.answers)
    talk.say("some of it is where gasoline spilled from the mower")

    assert "cause-fuel_spill" in talk.keys
    assert len(talk.case.answers) == before
    assert talk.asked == "cultivar"


def test_a_cultivar_goes_with_its_grass() -> None:
    """Changing the grass drops a cultivar of the old one and asks for the new one's."""
    talk = talked_to_first_answer()
    talk.say("raleigh", "change", "6", "bermuda")

    assert answers.find(talk.case, "cultivar") is None
    assert "tifway" in talk.text.lower() or talk.asked == "cultivar"


def test_a_guessed_cold_is_called_a_guess() -> None:
    """Who was not sure how cold it got is told that the figure is ours, and that the odds are wide."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "not sure", "not sure", "no", "St. Augustine", "1")

    assert "summary-cold-guess" in talk.keys
    assert "summary-cold-guess" not in talked_to_first_answer().keys
