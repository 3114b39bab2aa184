"""Wishes that work everywhere, wishes to be left alone, emergencies, and damage that is not frost."""

from __future__ import annotations

import pytest

from bot.talk.understand import ALARMS, OTHER_CAUSES, Wish, emergency, other_cause, wish

WISHES = {
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
    Wish.DONE: "done|Done!|did it|i did it|all done|finished|/done|just did it",
    Wish.LATER: "later|not now|remind me later|/later|not today|i'm driving",
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
    ],
)
def test_answer_holding_a_wish_word_is_no_wish(said: str) -> None:
    """ "Front and back" names two parts of a lawn."""
    assert wish(said) is None


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


EMERGENCIES = {
    "poison": "my dog ate fertilizer|dog ate|the dog got into the fertilizer|swallowed|she swallowed some|"
    "my kid drank weed killer|"
    "ate the weed killer|cat ate the bait|he drank antifreeze|my son ate some of it|I sprayed weed killer in my eyes|"
    "he was poisoned|"
    "my cat is vomiting|the puppy is foaming at the mouth|my dog is drooling since I spread it|"
    "the puppy licked the granules|Toddler ate some pellets!",
    "gas": "gas smell|I smell gas|smell of gas by the meter|smells like natural gas out here|gas leak|hit a gas line|"
    "we hit the neighbor's gas line with the spade|i dug into the gas main|the gas line is leaking|"
    "smells like rotten eggs|propane leak",
    "wires": "wires|wires down|wires down in the yard|power line down|downed power line|"
    "hit a power line while digging|cut a cable while "
    "digging|I think I cut a buried electric line|tree fell on the wires|the line is sparking at the pole|"
    "I got shocked by the fence|got an electric shock from the mower|"
    "live wire in the grass",
    "injury": "cut my foot with the mower|I cut off my finger|bleeding|he is bleeding badly|blood everywhere|"
    "ran over my toes|my hand is cut|"
    "chest pain|I can't breathe|he passed out|call 911|snake bite",
    "carbon_monoxide": "carbon monoxide|CO alarm going off|running the generator in the garage|"
    "the generator is inside the house and we feel "
    "dizzy|headache from the generator",
}


@pytest.mark.parametrize(
    ("code", "said"), [(code, said) for code, phrases in EMERGENCIES.items() for said in phrases.split("|")]
)
def test_emergency_is_heard_at_once(code: str, said: str) -> None:
    """Poison, gas, wires, injuries and carbon monoxide, in the words people use."""
    assert code == emergency(said)


def test_every_alarm_is_under_test() -> None:
    """An alarm added later brings its phrases."""
    assert set(ALARMS) == set(EMERGENCIES)


@pytest.mark.parametrize(
    "said",
    [
        "",
        "hello",
        "gas mower",
        "my gas-powered mower smells",
        "a gas powered mower, 3 inches",
        "gas mower smells",
        "mower out of gas",
        "gasoline",
        "spilled gas on the lawn",
        "wire grass",
        "wiregrass",
        "fine blades, wiry",
        "chicken wire",
        "the chicken wire is down",
        "i cut the wire grass",
        "the wire fence is down",
        "invisible fence wire cut",
        "cut the sprinkler line",
        "water line broke",
        "put fertilizer down",
        "the fertilizer burned it",
        "grubs ate my lawn",
        "deer ate the grass",
        "can my dog eat grass",
        "the puppy chewed the sprinkler",
        "kids play on the lawn",
        "i cut my grass by hand",
        "cut it a foot high",
        "my back hurts",
        "property line",
        "front line",
        "I ate dinner. Now the lawn: 40 by 60",
        "ate lunch then spread fertilizer",
        "it died at the end of the line",
        "burned grass",
    ],
)
def test_garden_talk_is_no_emergency(said: str) -> None:
    """Gas mowers, chicken wire, wiregrass and hungry grubs."""
    assert emergency(said) is None


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("fuel_spill", "I spilled gas on it"),
        ("fuel_spill", "the mower leaked oil there"),
        ("insects", "I found grubs"),
        ("insects", "chinch bugs got it"),
        ("animal", "armadillos tore it up"),
        ("dog_urine", "dog pee spots"),
        ("dog_urine", "the dog peed there"),
        ("herbicide", "I sprayed weed killer on it"),
        ("fertilizer_burn", "I put too much fertilizer down"),
        ("disease", "it's a fungus"),
        ("disease", "large patch"),
        ("drought", "no rain for two months"),
        ("drought", "the sprinklers broke in the fall"),
        ("scalped", "I scalped it"),
        ("salt", "salt water from the storm surge"),
        ("traffic", "somebody drove on the lawn"),
        ("flooding", "it was under water for a week"),
    ],
)
def test_other_causes_are_recognised(code: str, said: str) -> None:
    """Brown grass that the frost did not do."""
    assert code == other_cause(said)
    assert code in OTHER_CAUSES


@pytest.mark.parametrize(
    "said", ["", "the freeze killed it", "brown everywhere", "17 degrees", "40 by 60", "gas mower"]
)
def test_frost_is_no_other_cause(said: str) -> None:
    """Nothing else is read into plain frost damage."""
    assert other_cause(said) is None
