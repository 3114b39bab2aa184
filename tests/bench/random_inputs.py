"""A hundred thousand random inputs at the conversation, as a figure.

    python -m tests.bench.random_inputs [inputs] [seed]

Walks many homeowners with words, buttons, photos, places and jumps in time; after each input the state is checked and
everything said is rendered. Prints how many were taken, how many raised, and the rate.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter

from tests.talk.conversation import Conversation
from tests.talk.test_reducer_properties import FIRST_WALK, LAST_WALK, check, next_incoming

WALK = FIRST_WALK + LAST_WALK
INPUTS_A_HOMEOWNER = 60


def main(inputs: int = 100_000, seed: int = 20270117) -> int:
    """Walk, and return how many inputs raised."""
    chance = random.Random(seed)
    taken, raised = 0, 0
    kinds: Counter[str] = Counter()
    began = time.perf_counter()
    while taken < inputs:
        talk = Conversation()
        talk.arrive()
        talk.say(*WALK[: chance.randint(0, len(WALK))])
        for _ in range(INPUTS_A_HOMEOWNER):
            if chance.random() < 0.08:
                talk.pass_days(days=chance.choice((0.1, 1, 3, 9, 40)))
            incoming = next_incoming(talk, chance)
            kinds[incoming.kind] += 1
            taken += 1
            try:
                talk.take(incoming)
                check(talk)
            except Exception as error:  # noqa: BLE001 - the count of these is the figure
                raised += 1
                print(f"raised by {incoming!r}: {error!r}")
                break
    seconds = time.perf_counter() - began
    print(f"{taken} inputs, {raised} raised, {taken / seconds:,.0f} a second with checks; {dict(kinds)}")
    return raised


if __name__ == "__main__":
    sys.exit(1 if main(*(int(argument) for argument in sys.argv[1:])) else 0)
