"""Wishes that work everywhere, and wishes to be left alone."""

from __future__ import annotations

import pytest

from bot.talk.understand import Wish, wish

WISHES = {
    Wish.PULL: "pull test|tug test|i pulled on it|it lifts like a carpet|the grass pulls up easily",
    Wish.MOVE: "move|/move|move to my phone|continue on telegram|switch to text|use another phone|i have a new phone",
    Wish.BACK: "back|Back!|go back|go back please|/back|undo|previous|oops",
    Wish.NOT_SURE: "not sure|Not sure.|I'm not sure|im not sure|notsure|not suer|idk|dunno|no idea|i don't know|"
    "dont konw|"
    "can't tell|hard to say|/not_sure|I don’t remember",
    Wish.SKIP: "skip|skip this one|pass|next|rather not say|/skip",
    Wish.PERSON: "person|human|talk to a person|can I talk to someone please|real person|call me|/person|are you a bot",
    Wish.CHANGE: "change|change an answer|edit|change 3|change line 3|change the grass|change my zip|edit 2|fix 2|"
    "/change|/change 3",
    Wish.PLAN: "plan|my plan|show the whole plan|what's next?|What should I do now?|/plan|schedule",
    Wish.FEED: "feed|Can I feed it now?|feed check|can i fertilize|/feed",
    Wish.HELP: "help|HELP|/help|?|??|what can you do|i'm confused|how does this work?",
    Wish.WHY: "why|why?|why do you ask?|what for|why do you need to know?|/why",
    Wish.START_OVER: "start over|start ovr|restart|start again|/restart|start from scratch",
    Wish.NEW_LAWN: "new lawn|another lawn|add a lawn|i have another lawn",
    Wish.LAWNS: "lawns|my lawns|switch lawn|/lawns",
    Wish.DONE: "done|Done!|did it|i did it|all done|finished|/done|just did it|doen|dnoe|Mowed it!|i mowed|"
    "watered it|cut it|potted them|counted them|all potted|ok mowed it",
    Wish.LATER: "later|not now|remind me later|/later|not today|i'm driving|remind me tomorrow|"
    "Remind me tomorrow please|"
    "ask me saturday|ask me again on Saturday|do it saturday|I'll do it this weekend|remind me in 3 days|"
    "remind me in a few days|please remind me next week|remind me again in two weeks|do it tomorrow morning|"
    "remind me on march 3rd|ask me in an hour|check back next week|just remind me tomorrow",
    Wish.NEVER_MIND: "never mind|Nevermind.|never mnd|forget it|nvm|leave it|ok never mind|/nevermind|scratch that",
    Wish.PROBLEM: "problem|something's wrong|something is wrong|it looks worse",
    Wish.METRIC: "metric|use metric|celsius|centimeters",
    Wish.US_UNITS: "us units|fahrenheit|use inches|imperial",
    Wish.DATA: "data|/data|my data|what do you know about me?",
    Wish.FORGET_ME: "forget me|delete my data|erase everything|/forget|Delete everything.",
    Wish.START: "start|/start|/start@some_bot|unstop|resume|subscribe",
    Wish.HOURS: "hours|change the hours|quiet hours|don't text me before 9|please don't message me after 8 pm|"
    "too early|"
    "don't text me so early|only text me in the evening",
    Wish.MORE: "more|MORE|tell me more|more info|go on",
}


@pytest.mark.parametrize(
    ("expected", "said"), [(kind, said) for kind, phrases in WISHES.items() for said in phrases.split("|")]
)
def test_wish_is_recognised_as_a_whole_message(expected: Wish, said: str) -> None:
    """Typed or as a command, in capitals or not, with a please or a slip."""
    assert expected == wish(said)


def test_every_wish_has_phrases_under_test() -> None:
    """A wish added later brings its phrases."""
    assert set(Wish) == set(WISHES) | {Wish.STOP, Wish.STOP_DOUBTFUL}


@pytest.mark.parametrize(
    "said",
    [
        "",
        "front and back",
        "the back",
        "in the back",
        "back yard",
        "17",
        "st augustine",
        "hello",
        "yes",
        "no",
        "ok",
        "/nonsense",
        "chance",
        "the plan of the house shows 40 by 60",
        "I need help with the mower because it will not start",
        "40 by 60",
        "31522",
        "half",
        "it is done by the neighbor on saturdays",
        "brunswick ga",
        "when do the leaves change color?",
        "plants",
        "tomorrow",
        "next week",
        "saturday",
        "in a few days",
        "remind me",
        "do it",
        "do it every saturday",
        "can i do it saturday?",
        "remind me tomorrow to call the plumber about the sink",
        "tell me a story",
        "i did it my way on saturday",
        "nm",
        "leave it to the lawn guy",
    ],
)
def test_answer_holding_a_wish_word_is_no_wish(said: str) -> None:
    """ "Front and back" names two parts of a lawn."""
    assert wish(said) is None


@pytest.mark.parametrize(
    "said",
    [
        "can i seed",
        "can i seed it now",
        "when can i seed",
        "should i seed",
        "can i weed",
        "can i need",
        "should i seed it",
        "not snow",
        "not wet",
        "not low",
        "all gone",
        "it's gone",
        "i moved",
        "moved it",
        "forgot it",
        "my date",
        "my plant",
        "no lime",
        "put it",
    ],
)
def test_a_letter_that_makes_another_word_is_no_slip(said: str) -> None:
    """ "Can I seed" is not "can I feed" misspelled, nor "all gone" a slip of "all done"."""
    assert wish(said) is None


@pytest.mark.parametrize("said", ["forget me", "forget everything", "forget", "forget about me"])
def test_to_forget_it_is_not_to_be_forgotten(said: str) -> None:
    """An erasure is asked for by its own words."""
    assert Wish.FORGET_ME == wish(said)
    assert Wish.NEVER_MIND == wish("forget it") == wish("forget about it")


@pytest.mark.parametrize(
    "said",
    [
        "stop",
        "STOP",
        "Stop.",
        "stop!!!",
        "“Stop”",
        "ｓｔｏｐ",
        "STOP STOP STOP",
        "Stop. Thank you",
        "stop please",
        "please stop",
        "ok stop",
        "stop it",
        "stop now",
        "quit",
        "end",
        "END",
        "revoke",
        "opt out",
        "opt-out",
        "optout",
        "Opt Out!",
        "cancel",
        "unsubscribe",
        "stopall",
        "stop all",
        "STOP ALL",
        "arret",
        "alto",
        "/stop",
        "/cancel",
        "please stop texting me",
        "stop messaging me",
        "Stop sending me texts",
        "stop reminding me",
        "stop bothering me already",
        "quit texting me",
        "don't message me any more",
        "don’t text me anymore",
        "do not text me again",
        "do not contact me",
        "leave me alone",
        "please leave me alone",
        "take me off your list",
        "remove me",
        "remove me from this list",
        "no more texts",
        "no more reminders please",
        "i want to opt out",
        "i want to stop",
        "unsubscribe me",
        "i'd like to unsubscribe",
        "opt me out",
        "stop the reminders",
        "turn off reminders",
        "cancel my subscription",
        "can you stop?",
        "can you please stop",
        "can you stop texting me",
        "i no longer want these messages",
        "I don't want to get any more texts",
        "I revoke my consent",
        "wrong number",
        "go away",
        "lose my number",
        "Stopp",
        "s t o p",
        "PARAR",
        "I want out",
    ],
)
def test_plain_wish_to_stop_is_one(said: str) -> None:
    """The words of the consent rule and of the carriers, and the same in everyday words."""
    assert Wish.STOP == wish(said)


@pytest.mark.parametrize(
    "said",
    [
        "we have got to stop this",
        "this is annoying please stop",
        "please make it stop",
        "stop that",
        "stop doing that",
        "cancel that",
        "how do i unsubscribe?",
        "can I opt out later?",
        "stop reminding me about mowing",
        "stop sending me photos",
        "when will you stop asking",
        "I hit stop",
        "stop i'm driving",
        "STOP 2",
        "not interested",
        "sorry, I'm not interested in this",
        "should I type stop to end the texts?",
    ],
)
def test_doubtful_wish_to_stop_is_asked_about(said: str) -> None:
    """It may be a wish to stop: pause and ask once."""
    assert Wish.STOP_DOUBTFUL == wish(said)


@pytest.mark.parametrize(
    "said",
    [
        "when should I stop mowing?",
        "should i stop watering",
        "stop watering?",
        "do I stop feeding it in fall?",
        "it stopped growing",
        "the grass quit growing",
        "the mower quit",
        "it won't stop raining",
        "the end of march",
        "end of march",
        "the north end",
        "dead end street",
        "the weekend",
        "stop sign at the corner",
        "the frost will end soon",
        "i quit smoking",
        "stopped",
        "shop",
        "spot",
        "i stop by the house on weekends",
        "they ended it at the bottom",
        "I cancelled the lawn service",
    ],
)
def test_garden_talk_with_a_stop_word_is_no_wish_to_stop(said: str) -> None:
    """ "When should I stop mowing?" is about mowing."""
    assert wish(said) not in (Wish.STOP, Wish.STOP_DOUBTFUL)
