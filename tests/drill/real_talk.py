"""The real conversation for the drill, and homeowners who hold it: most of the way straight, with odd words between."""

from __future__ import annotations

import random

from bot.conversation import real_talk
from bot.settings import Settings
from bot.talk.incoming import Arrived, Incoming, Said
from tests.drill.scripts import Script

TALK = real_talk(Settings())

PLACES = ("31522", "Waycross, GA", "32601", "77019", "Mobile AL")
STRAIGHT = (
    "two weeks ago",
    "17",
    "3 days",
    "no snow",
    "St. Augustine",
    "1",
    "not sure",
    "all alike",
    "none",
    "3 inches",
    "40 by 30",
    "not sure",
    "yes",
    "yes",
)
BETWEEN = ("back", "not sure", "why", "eh 🦎?", "2", "person", "no, go on", "change", "in the teens")
AFTERWARDS = ("done", "not sure", "later", "tomorrow", "skip", "3 of 6", "plan", "yes", "no", "start", "1")


def scripts(homeowners: int, lines: int, seed: int) -> list[Script]:
    """Homeowners with a place, answers in the order they are asked for, and whatever else people type."""
    chance = random.Random(seed)
    made = []
    for number in range(homeowners):
        said: list[Incoming] = [Arrived(), Said(text=chance.choice(PLACES))]
        for words in STRAIGHT:
            if chance.random() < 0.15:
                said.append(Said(text=chance.choice(BETWEEN)))
            said.append(Said(text=words))
        said += [Said(text=chance.choice((*AFTERWARDS * 3, "stop"))) for _ in range(max(0, lines - len(said)))]
        made.append(Script(address=f"homeowner-{number}", lines=tuple(said)))
    return made
