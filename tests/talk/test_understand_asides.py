"""What people write beside answers and wishes: trouble with the care, manners, and questions about care."""

from __future__ import annotations

import pytest

from bot.talk.understand import PLEASANTRIES, TOPICS, TROUBLES, pleasantry, topic, trouble

TROUBLE = {
    "brown_stem": "done, brown stems everywhere|brown stems|i see brown stem|cut into brown stems|scalped it, brown|"
    "stems are brown|i see brown stems, is that bad?|no, brown stems all over|brown stems are showing|"
    "I scalped it and now it's brown|why do I see brown stems?|done but I see a lot of brown stems|"
    "mowed into the runners",
    "frost_again": "it froze again last night|another freeze|we had frost again|froze again|second freeze hit us|"
    "hard frost last night|oh no it froze again|it froze last night|we got another hard freeze|no, it froze again|"
    "frost again this morning|not good, another freeze|we had a freeze last night|it's freezing again|"
    "frost on the lawn this morning|had a light frost this morning|it frosted again|what do i do it froze again|"
    "we had frost again saturday|froze again and more is coming|had another freeze|another freeze saturday night",
    "frost_ahead": "there's frost in the forecast|freeze warning for tomorrow|frost coming tonight|"
    "they say it will freeze tonight|another freeze is coming|it's going to freeze tonight|supposed to freeze saturday|"
    "they're calling for frost|forecast says freeze|it will be down to 25 tonight|frost advisory|"
    "more frost coming this week|might freeze tomorrow|tomorrow there will be a hard freeze|"
    "expecting a hard freeze this weekend|it is going to freeze again tomorrow|going down to 28 tonight|"
    "cold snap coming|frost tonight?|there's a freeze warning, should I cover it?|another freeze tonight",
    "too_wet": "too wet|it's soggy|ground is a swamp|it is raining|too muddy|it's too wet to mow|soggy|"
    "the yard is soaked|raining|it's pouring|lawn is still wet|there's standing water|it's been raining all week|"
    "rained all week|it won't stop raining|can't, it's raining",
}


@pytest.mark.parametrize(
    ("code", "said"), [(code, said) for code, phrases in TROUBLE.items() for said in phrases.split("|")]
)
def test_trouble_is_heard_in_many_words(code: str, said: str) -> None:
    """Brown stems, frost again, frost ahead, wet ground; beside a "done" and behind a "no" too."""
    assert code == trouble(said)


@pytest.mark.parametrize(
    "said",
    [
        "",
        "hello",
        "17",
        "st augustine",
        "front and back",
        "no frost",
        "no more frost",
        "no brown stems",
        "i don't see any brown stems",
        "no stems showing",
        "the stems are green",
        "didn't freeze again",
        "it hasn't frozen again",
        "has not frozen again",
        "never froze again",
        "i haven't had another freeze",
        "no freeze last night",
        "no frost in the forecast",
        "will it freeze again?",
        "will it freeze again",
        "when will it freeze again",
        "could it freeze again",
        "is another freeze coming?",
        "did it freeze again last night?",
        "do you think it will freeze tonight",
        "any chance of frost tonight?",
        "what if another freeze comes",
        "if it freezes again",
        "before another freeze",
        "should I see brown stems?",
        "the freeze was on Jan 16",
        "the second freeze was on jan 20",
        "we had a hard freeze two weeks ago",
        "we had a freeze saturday",
        "it froze on jan 16",
        "it got down to 17 last night",
        "last frost date",
        "when is the last frost expected",
        "first frost was in november",
        "freeze damage",
        "after the freeze",
        "not too wet",
        "isn't soggy",
        "is it too wet?",
        "not raining",
        "no rain for two months",
        "it never rains here",
        "limp, dark, wet-looking",
        "worse in low, wet places",
        "runners brown but firm",
        "the runners are soft and brown",
        "brown",
    ],
)
def test_what_tells_of_no_trouble_is_none(said: str) -> None:
    """Denials, questions, what may be, dates of the freeze that was, and what is seen on a lawn."""
    assert trouble(said) is None


MANNERS = {
    "thanks": "thanks!|thank you so much|thx|ty|great thanks|👍|👍🏽|❤️|appreciate it|awesome|ok thanks|Thanks a lot!!|"
    "thanks for the help|hi, thanks|thankssss|great|🙏|thank you 😊|much appreciated|thanks for everything",
    "hello": "hi|hello|hey there|good morning|Good morning!|hiiii|hey|howdy|hello there|👋|Hi again",
    "ok": "ok|okay|k|got it|sounds good|cool|alright|good|Ok.|OK!|okkk|ok cool|ok got it|makes sense",
}


@pytest.mark.parametrize(
    ("code", "said"), [(code, said) for code, phrases in MANNERS.items() for said in phrases.split("|")]
)
def test_manners_are_a_whole_message(code: str, said: str) -> None:
    """Thanks, greetings and assent, alone or together; thanks first, then a greeting."""
    assert code == pleasantry(said)


@pytest.mark.parametrize(
    "said",
    [
        "",
        "?",
        "17",
        "yes",
        "front",
        "hello?",
        "hi is it dead",
        "hi bermuda",
        "ok stop",
        "ok 17",
        "ok it froze",
        "okra",
        "TX",
        "no thanks",
        "thanks but no",
        "thanks, when do I mow",
        "good question",
        "good grass",
        "not good",
        "the good part",
        "so much",
        "you",
        "😢",
        "👍👎",
        "👎",
        "thanks " * 60,
    ],
)
def test_manners_with_anything_else_are_none(said: str) -> None:
    """ "Thanks, when do I mow" wants an answer."""
    assert pleasantry(said) is None


QUESTIONS = {
    "cold": "how cold did it get?|what weather station did you use|what does the picture mean?|explain the chart|"
    "how cold was it at my place",
    "dead": "is it dead?|did it die|will it come back?|is my lawn gone|is it all dead|will my grass recover|it's dead|"
    "can it be saved|do you think it survived|is there any hope it is alive",
    "mow": "when can I mow?|should I cut it|can I mow now|when can I mow after feeding|is it ok to cut the grass|"
    "mow now?",
    "scalp": "my neighbor says to scalp it|should I scalp|cut it really short|mow it as low as it goes|"
    "should I mow it low|lowest setting?|can i cut it down to the dirt|mow the lawn really short|cut it short?",
    "water": "should I water now?|do I need to water|can I turn the sprinklers on|how often should i water|"
    "should I water after I fertilize|water?",
    "seed": "can I overseed with rye?|should I reseed|can I put down seed|when can I lay sod|should I resod|plugs now?|"
    "can i seed|new sod?|when to replant",
    "rake": "should I rake|dethatch|power rake|can i rake it now|should I dethach it|what about thatch",
    "aerate": "aerate|should I aerate|aeration?|can I areate now|core aeration",
    "topdress": "compost|sand on top|should I topdress|can I put sand on it|can i spread compost|top soil",
    "weed_killer": "can I spray weeds|weed killer|herbicide|post emergent|how do i kill the weeds|what about the weeds|"
    "can I use 2,4-d",
    "preventer": "pre-emergent|crabgrass preventer|weed preventer|when should I put down pre emergent|preemergent",
    "weed_and_feed": "weed and feed|can I use weed & feed|weed n feed|weed-and-feed",
    "lime": "lime|should I lime it|can I put lime down|does it need lime",
    "traffic": "can the kids play on it|can I walk on it|park on it|can my dog go on it|should we stay off|"
    "is foot traffic ok|can we drive on it",
    "feed": "can I fertilize|when should I fertilize|should I feed|can I fertalize|can I put fertilizer down|"
    "should it be fertilized|can I use 10-10-10|i haven't fertilized yet|fertilizer?|can i feed before it rains|"
    "should i have it fertilized|if i put fertilizer down will it help|i want to put down fertilizer",
    "fed": "I already fertilized yesterday|i fertilized last week|we fed it in february|already put down fertilizer|"
    "my lawn guy fertilized it|i put fertilizer down last week|just fertilized|I've already fed it|"
    "threw some 10-10-10 on it|it was fertilized in january|is it bad that i already fertilized?",
    "photo": "do you need a picture?|should I send a photo|can I send pics",
    "tonic": "seaweed|kelp|humic|biostimulant|iron?|should I use seaweed|can I spray liquid iron|humic acid",
}


@pytest.mark.parametrize(
    ("code", "said"), [(code, said) for code, phrases in QUESTIONS.items() for said in phrases.split("|")]
)
def test_question_about_care_has_its_topic(code: str, said: str) -> None:
    """Asked in full, told by a neighbor, or as a word or two."""
    assert code == topic(said)


@pytest.mark.parametrize(
    "said",
    [
        "",
        "hello",
        "17",
        "yes",
        "st augustine",
        "front and back",
        "brunswick ga",
        "the soil is sandy loam here in my neighborhood",
        "there is water near the lot and we have many neighbors",
        "it was cold that night and the kids stayed home with us",
        "my iron fence is next to it and looks very old",
        "the lime green shed is by the road and the trees",
        "what is the weather",
        "who are you",
    ],
)
def test_what_asks_nothing_about_care_has_no_topic(said: str) -> None:
    """Everyday words in a story are no question."""
    assert topic(said) is None


def test_every_code_is_under_test() -> None:
    """A code added later brings its phrases."""
    assert set(TROUBLES) == set(TROUBLE)
    assert set(PLEASANTRIES) == set(MANNERS)
    assert set(TOPICS) == set(QUESTIONS)
