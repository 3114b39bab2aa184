"""Whole talks, and everything said in them: the stories, fixed talks over a spring, and seeded random ones."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from gsm0338 import Codec

from bot.talk.case import Homeowner
from bot.talk.effects import Say, Urgency
from bot.talk.incoming import Chose
from tests.fakes.coast import coast_known
from tests.stories.story import STORIES, read_story, time_of
from tests.talk.conversation import WORDS, Conversation, confirmed, keys_in, mildly_hit, two_parts
from tests.talk.test_measured import Spoiled, at_the_weather, with_weather
from tests.talk.test_measured_later import planned_without_weather
from tests.talk.test_reducer_properties import FIRST_WALK, LAST_WALK, next_incoming

TALKS_BY_CHANCE, STEPS, SEED = 25, 60, 20270118
SPRING_DAYS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One message: what was said, to whom, and whether nothing was said after it in that turn."""

    say: Say
    homeowner: Homeowner
    before: Conversation  # as the talk stood when it was said
    is_last: bool
    text: str
    labels: tuple[str, ...]
    keys: frozenset[str]

    @property
    def is_reminder(self) -> bool:
        return self.say.urgency is Urgency.REMINDER


def copy_of(talk: Conversation) -> Conversation:
    """The same talk at the same point, to be led on another way."""
    return Conversation(now=talk.now, homeowner=talk.homeowner, known=talk.known)


def said_now(talk: Conversation) -> Iterator[Told]:
    """Every message just heard."""
    for number, say in enumerate(talk.heard, start=1):
        assert talk.homeowner is not None
        rendered = WORDS.render(say, talk.homeowner, is_short=True)
        yield Told(
            say=say,
            homeowner=talk.homeowner,
            before=copy_of(talk),
            is_last=number == len(talk.heard),
            text=rendered.text,
            labels=tuple(choice.label for choice in rendered.choices),
            keys=frozenset(key for part in say.parts for key in keys_in(part)),
        )


@cache
def septets(text: str) -> int:
    """What a text costs of the 160 of a message. Raises for a letter that is not in the alphabet."""
    return len(Codec().encode(text)[0])


@cache
def fixed_talks() -> tuple[Told, ...]:
    """Everything said in the stories and in fixed talks over a spring."""
    return tuple(told for talk in (*_stories(), *_springs(), *_measured()) for told in talk)


@cache
def talks_by_chance() -> tuple[Told, ...]:
    """Everything said to random people."""
    chance = random.Random(SEED)
    return tuple(told for _ in range(TALKS_BY_CHANCE) for told in _by_chance(chance))


def everything_said() -> tuple[Told, ...]:
    return (*fixed_talks(), *talks_by_chance())


def _by_chance(chance: random.Random) -> Iterator[Told]:
    talk = Conversation()
    talk.arrive()
    yield from said_now(talk)
    for line in (FIRST_WALK + LAST_WALK)[: chance.randint(0, len(FIRST_WALK + LAST_WALK))]:
        talk.say(line)
        yield from said_now(talk)
    for _ in range(STEPS):
        if chance.random() < 0.25:
            talk.pass_days(days=chance.choice((0.1, 1, 3, 9, 40)))
            yield from said_now(talk)
        talk.take(next_incoming(talk, chance))
        yield from said_now(talk)


def _stories() -> Iterator[Iterator[Told]]:
    for path in STORIES:
        yield _story([(step.kind, step.words) for step in read_story(path)])


def _story(steps: list[tuple[str, str]]) -> Iterator[Told]:
    talk = Conversation()
    for kind, words in steps:
        if kind == ">":
            talk.say(words)
        elif kind == "[":
            wanted = [label.strip() for label in words.split("|")]
            pressed = [choice.token for choice in talk.choices if WORDS.text(choice.label) in wanted]
            talk.take(Chose(tokens=tuple(pressed)))
        elif kind == "@" and talk.homeowner is None:
            talk.arrive()
        elif kind == "@":
            talk.pass_days(time_of(words).total_seconds() / 86_400)
        else:
            continue
        yield from said_now(talk)


_DEAD = {
    "remind-pot_start": ("done", "6"),
    "remind-pot_read": ("none of 6",),
    "remind-look": ("1", "soft"),
    "remind-first_photo": ("1", "none"),
    "remind-photo": ("1", "none"),
    "remind-judge": ("1", "none", "sod", "10 by 8"),
    "remind-feed_check": ("1", "no", "none", "no", "yes"),
}
_ALIVE = {
    "remind-pot_start": ("done", "4"),
    "remind-pot_read": ("3 of 4",),
    "remind-look": ("1", "firm", "firm"),
    "remind-first_photo": ("1", "a few", "yes"),
    "remind-photo": ("1", "a quarter", "no", "a tenth", "no"),
    "remind-judge": ("1", "half", "no", "plugs", "3 by 3"),
    "remind-feed_check": ("1", "no", "half", "two", "no", "yes", "16-4-8", "none"),
    "remind-cut-first": ("problem", "1"),
}
_ASIDES = (
    "help", "why", "plan", "change", "back", "metric", "plan", "us units", "data", "hours", "2", "forget me", "no",
    "start over", "no", "person", "what about moss", "new lawn", "lawns", "1", "my dog ate it", "i smell gas",
    "15 lbs of 16-4-8", "is it dead", "how cold did it get", "should i scalp it", "can i seed now", "thanks",
    "what", "what", "what", "no", "stop", "hello", "start",
)  # fmt: skip


def _springs() -> Iterator[Iterator[Told]]:
    for make in (confirmed, two_parts, mildly_hit):
        for answers in (_DEAD, _ALIVE):
            yield _spring(make(), answers)
    for after in (confirmed, two_parts, Conversation):
        yield _lines(after(), _ASIDES)
    two_lawns = confirmed()
    two_lawns.say("new lawn")
    yield _spring(two_lawns, _DEAD)
    for lines in _CHANGES:
        yield _lines(confirmed(), lines)
        yield _lines(two_parts(), lines)


_CHANGES = (
    ("change parts", "front, back and north side", "none", "none"),
    ("change place", "27601"),
    ("change size", "5000 sq ft"),
    ("change mowing", "8 inches"),
    ("change grass", "bermuda"),
)
_MODEL = {"is_thermometer": False, "days_filled": 2, "credit": "Weather: an open reanalysis, free for such use"}
_SAW = (("yes",), ("it was colder here",), ("milder",), ("11 F",), ("right, and it snowed here",))


def _measured() -> Iterator[Iterator[Told]]:
    """Talks in which the weather is told: read, modelled, with gaps, disputed, from higher up, and coming in late."""
    spoiled: tuple[dict[str, dict[str, object]], ...] = (
        {"measured": _MODEL},
        {"measured": {"may_have_snowed": True, "snow_is_measured": False, "height_m": 160.0}},
        {"cold": {"is_beyond_measured": True}},
    )
    for saw in _SAW:
        yield _lines(at_the_weather(), (*saw, "8 F", "raleigh", "straw, rings"))
    for how in spoiled:
        yield _lines(at_the_weather(with_weather(Spoiled(**how))), ("yes", "bermuda", "straw, rings"))
    yield _lines(at_the_weather(day="Dec 2"), ("yes",))
    late = planned_without_weather()
    late.known = coast_known()
    yield _spring(late, _DEAD)


def _lines(talk: Conversation, lines: tuple[str, ...]) -> Iterator[Told]:
    yield from said_now(talk)
    for line in lines:
        talk.say(line)
        yield from said_now(talk)


def _spring(talk: Conversation, answers: dict[str, tuple[str, ...]]) -> Iterator[Told]:
    for _ in range(SPRING_DAYS):
        talk.pass_days(1)
        yield from said_now(talk)
        for key in talk.keys:
            for line in answers.get(key, ()):
                talk.say(line)
                yield from said_now(talk)
