"""Whatever comes in, in whatever order: a valid state, always an answer, and ways out that work."""

from __future__ import annotations

import random
from datetime import timedelta

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.store.rows import dump_homeowner, load_homeowner
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.followup import wanted_reminders, zone_of
from bot.talk.incoming import Arrived, Chose, Incoming, PhotoRefused, Said, SentPhoto, SharedPlace
from bot.talk.ports import as_stored
from bot.talk.reducer import reduce
from tests.talk.conversation import KNOWN, WORDS, Conversation

LINES = (
    "31522|27601|Jackson|Jackson MS|Brunswick, GA|not a place|Jan 16|last night|yesterday|1890-01-01|17|-8 C|teens|"
    "below zero|4 days|a week|no|yes|2 inches|st augustin|bermuda|zoysia|centipede|fescue|floratam|mixed|another one|"
    "bahia|on top|pencil|rounded|1|2|3|4|5|6|1, 3|1 and 5|none|all alike|front and north side|front, back, side|windy|"
    "3.5|4 inches|40 inches|half|0|0-0-0|16-4-8|15-0-15 with 7% slow|1200 sq ft|40 by 60|30x20 + 10x15|0 by 0|"
    "paced 20 by 30|back|change|not sure|skip|person|plan|why|help|start over|new lawn|lawns|done|later|problem|metric|"
    "us units|data|forget me|stop|start|hours|from 10 to 6|Saturday|tomorrow|3 of 6|none of 6|a few blades|a quarter|"
    "most|firm|soft and brown|sod|plugs|wait|we have got to stop this|my dog ate it|15 lbs of 16-4-8|🦎|שלום||"
    "{ $x }|%s|\x00"
).split("|")
FIRST_WALK = (
    "31522",
    "Jan 16",
    "17",
    "4",
    "no",
    "St. Augustine",
    "1",
    "not sure",
    "alike",
    "none",
    "4",
    "half",
    "1200",
)
LAST_WALK = ("15-0-15", "7", "yes", "yes")


def next_incoming(talk: Conversation, chance: random.Random) -> Incoming:
    """Something a person might do now: mostly words and buttons, now and then a photo or a place."""
    roll = chance.random()
    if roll < 0.35 and talk.choices:
        picked = chance.sample(list(talk.choices), k=min(len(talk.choices), chance.randint(1, 3)))
        return Chose(tokens=tuple(choice.token for choice in picked))
    if roll < 0.88:
        return Said(text=chance.choice(LINES))
    if roll < 0.91:
        return SentPhoto(photo_id=f"{chance.getrandbits(256):064x}")
    if roll < 0.93:
        return PhotoRefused(reason=chance.choice(("too_big", "broken", "too_small", "busy", "not_a_picture")))
    if roll < 0.96:
        return SharedPlace(latitude=chance.uniform(-95, 95), longitude=chance.uniform(-190, 190))
    if roll < 0.98:
        return Chose(tokens=(chance.choice(("q:1:air_min:0:teens", "t:1:cut:1:done", "t:9:x:later", "", ":::::")),))
    return Arrived()


def check(talk: Conversation) -> None:
    """What must hold after anything."""
    homeowner = talk.homeowner
    assert homeowner is not None
    assert homeowner.lawn is not None
    assert load_homeowner(dump_homeowner(homeowner), as_stored) == homeowner
    assert zone_of(homeowner)
    for say in talk.heard:
        assert WORDS.render(say, homeowner).text.strip()
        assert all(len(choice.token.encode()) <= 64 for choice in say.choices)
    keys = [(wanted.lawn, wanted.task, wanted.due_on) for wanted in wanted_reminders(homeowner)]
    assert len(keys) == len(set(keys))
    for case in homeowner.lawns:
        asked = [(answer.question, answer.spot) for answer in case.answers]
        assert len(asked) == len(set(asked))


def wander(talk: Conversation, chance: random.Random, steps: int) -> None:
    for _ in range(steps):
        if chance.random() < 0.08:
            talk.pass_days(days=chance.choice((0.1, 1, 3, 9, 40)))
            check(talk) if talk.homeowner else None
            continue
        talk.take(next_incoming(talk, chance))
        assert talk.heard, "everything that comes in gets an answer"
        check(talk)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.integers(0, 2**32), st.integers(0, len(FIRST_WALK) + len(LAST_WALK)))
def test_any_50_inputs_leave_a_valid_state_with_ways_out(seed: int, head_start: int) -> None:
    """From anywhere: fifty random things, then "back" moves or says it cannot, and "start over" starts over."""
    talk = Conversation()
    talk.arrive()
    talk.say(*(FIRST_WALK + LAST_WALK)[:head_start])
    wander(talk, random.Random(seed), 50)
    talk.say("start")
    before = len(talk.case.answers)

    talk.say("back")
    assert talk.heard
    assert len(talk.case.answers) <= before
    for _ in range(4):
        talk.say("back")
    talk.say("start over", "yes")

    assert talk.case.answers == ()
    assert talk.asked == "place"


def test_random_inputs_by_the_thousand_raise_nothing() -> None:
    """A long seeded walk over many homeowners; the hundred thousand stand in the benchmark."""
    chance = random.Random(20270117)
    for _ in range(40):
        talk = Conversation()
        talk.arrive()
        talk.say(*(FIRST_WALK + LAST_WALK)[: chance.randint(0, len(FIRST_WALK + LAST_WALK))])
        wander(talk, chance, 60)


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=300))
def test_any_text_at_any_question_gets_an_answer(words: str) -> None:
    """Arbitrary text never raises and never goes unanswered."""
    talk = Conversation()
    talk.arrive()
    for line in FIRST_WALK:
        outcome = reduce(talk.homeowner, Said(text=words), talk.now + timedelta(seconds=5), KNOWN)
        assert isinstance(outcome.homeowner, Homeowner)
        assert any(isinstance(effect, Say) for effect in outcome.effects)
        talk.say(line)
