"""Emergencies, and damage that is not frost."""

from __future__ import annotations

import pytest

from bot.talk.understand import ALARMS, OTHER_CAUSES, Wish, emergency, other_cause, wish

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
    "I got shocked by the fence|I got shocked at the outlet|got a shock when I touched it|"
    "got an electric shock from the mower|"
    "live wire in the grass",
    "injury": "cut my foot with the mower|I cut off my finger|bleeding|he is bleeding badly|blood everywhere|"
    "ran over my toes|my hand is cut|blood all over the mower|I cut myself with the mower blade|a rock hit my eye|"
    "I burned my hand on the muffler",
    "medical": "chest pain|my chest hurts|I have pains in my chest|chest feels tight|pressure on my chest|"
    "I think I'm having a heart attack|I can't breathe|cant breathe|he is having trouble breathing|she's not breathing|"
    "short of breath|he can't catch his breath|his lips are turning blue|asthma attack|he passed out|my dad collapsed|"
    "my neighbor fainted in the yard|she is unconscious|my husband won't wake up|can't wake him|"
    "someone is unresponsive on the lawn|my wife is having a stroke|stroke symptoms|his face is drooping|"
    "her speech is slurred|my left arm is numb|heat stroke|heatstroke|heat exhaustion|so dizzy from the heat|"
    "it's so hot I feel faint|I'm choking|my son is choking|choking!|he choked on a piece of meat|snake bite|"
    "snake bit me|a snake bit my dog|I got bitten by a snake|bit by a copperhead|copperhead got me|"
    "a rattlesnake just bit my hand|bitten by some kind of snake|water moccasin bit her|snakebite|"
    "stung by a bee and my throat is tight|bee sting and I can't breathe|stung by wasps, my face is swelling|"
    "I got stung and I'm allergic|stung all over by yellow jackets|fire ants stung me and my tongue is swelling up|"
    "allergic reaction|anaphylaxis|my throat is closing|call 911|911|I need an ambulance|the shed collapsed on him|"
    "my dad is on the lawn and can't breathe|mowing the grass can't breathe|he was cutting the grass and can't breathe|"
    "he stood by the shed and collapsed|my son on the lawn is choking|he just had a stroke a few minutes ago|"
    "I'm about to pass out|he may pass out any second|he had a heart attack over there|he's choking up blood|"
    "snake got my dog|he was hit by lightning|"
    "he fell off the ladder and can't move|the thatch dust, I can't breathe",
    "crisis": "I want to die|i just want to die|I wanna die|I really want to be dead|i'm ready to die|"
    "I want to kill myself|thinking about killing myself|i could kill myself|I want to end it all|end it all|"
    "I'm going to end it all|I feel like ending my life|suicidal|I'm feeling suicidal|thinking of suicide|"
    "I don't want to live anymore|i dont wanna live|I don't want to be here anymore|I'd be better off dead|"
    "they'd be better off without me|I wish I was dead|no reason to live|life isn't worth living|"
    "I want to hurt myself|thoughts of harming myself|self harm|my husband wants to kill himself|"
    "nobody would miss me|I can't go on|I've been cutting myself|I swallowed weed killer because I want to die",
    "carbon_monoxide": "carbon monoxide|CO alarm going off|running the generator in the garage|"
    "the generator is inside the house and we feel "
    "dizzy|headache from the generator",
}


@pytest.mark.parametrize(
    ("code", "said"), [(code, said) for code, phrases in EMERGENCIES.items() for said in phrases.split("|")]
)
def test_emergency_is_heard_at_once(code: str, said: str) -> None:
    """Poison, gas, wires, injuries, a life at risk and carbon monoxide, in the words people use."""
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
        "the lawn is choking on weeds",
        "I think the lawn is choking on weeds",
        "the kids say weeds are choking it",
        "weeds are choking out the grass",
        "the mower is choking",
        "the grass can't breathe under the thatch",
        "the soil has trouble breathing",
        "a two stroke mower",
        "4-stroke engine",
        "what a stroke of luck",
        "he had a stroke last year so I mow for him",
        "it gave me a heart attack when I saw the bill",
        "I almost had a heart attack when I saw it",
        "the fence collapsed",
        "the mole tunnel collapsed",
        "there was a snake in the grass",
        "I saw a copperhead by the shed",
        "snake plants",
        "the snake got away",
        "chest high weeds",
        "treasure chest by the patio",
        "bees love the clover",
        "we keep bee hives in back",
        "stung by a bee",
        "the lawn won't wake up",
        "lawn is in heat stress",
        "hot and sunny side",
        "I was shocked to see it brown",
        "I was shocked at how dead it looks",
        "my dog is allergic to grass",
        "the roots can't breathe",
        "thatch is so thick it can't breathe",
        "he says the soil can't breathe",
        "he had a stroke two years ago",
        "I cut it myself",
        "cut myself some slack",
        "my lawn is suicidal",
        "I was shocked by how brown it is",
        "the blades are drooping",
    ],
)
def test_garden_talk_is_no_emergency(said: str) -> None:
    """Gas mowers, chicken wire, wiregrass and hungry grubs."""
    assert emergency(said) is None


@pytest.mark.parametrize(
    "said",
    [
        "my lawn wants to die",
        "I'm dying to mow",
        "I am dying to get out there",
        "this heat is killing me",
        "the grass is going to die",
        "I could die of embarrassment",
        "I could have died laughing",
        "is it going to die",
        "will it die",
        "I want it to die",
        "I want the weeds to die",
        "I want to kill the weeds",
        "kill my grass",
        "the mower quit and died",
        "I don't want to die of heat out there",
        "I want to dye the lawn green",
        "mowing this hill is killing me",
        "it all died",
        "end of it all",
        "I don't want to live with brown grass",
        "I don't want to hurt myself with the rake",
        "it would be better off dead",
        "dead",
        "tired of living with weeds",
        "the neighbors will kill me",
        "drop dead gorgeous",
        "my back is killing me",
        "to die for",
        "I want to end it all and pave the yard",
    ],
)
def test_figures_of_speech_are_no_crisis(said: str) -> None:
    """Grass dies, heat kills, and people are dying to mow."""
    assert emergency(said) is None


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("poison", "my dog ate fertilizer and collapsed"),
        ("poison", "he drank weed killer and can't breathe"),
        ("medical", "my son swallowed a bee and can't breathe"),
        ("medical", "my husband is throwing up and has chest pain"),
        ("wires", "he got shocked by the fence and passed out"),
        ("carbon_monoxide", "headache from the generator and I feel faint in the heat"),
        ("injury", "cut my leg and passed out"),
    ],
)
def test_of_two_emergencies_the_one_with_the_better_advice_is_told(code: str, said: str) -> None:
    """Named poison goes before somebody's state, a state before what may be an upset stomach."""
    assert code == emergency(said)


def test_words_of_a_crisis_still_stop_what_they_stop() -> None:
    """ "End it all" may be meant for the messages: whoever reads the alarm can read the wish too."""
    assert emergency("end it all") == "crisis"
    assert wish("end it all") is Wish.STOP


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
