"""What the homeowners of a drill say, for the small talk. Another conversation brings scripts of its own."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from bot.talk.incoming import Arrived, Incoming, Said

REMINDER_DAYS = 30


@dataclass(frozen=True, slots=True)
class Script:
    """Everything one homeowner will say, in order. `forgets_after` are the lines after which they are erased."""

    address: str
    lines: tuple[Incoming, ...]
    forgets_after: tuple[int, ...] = ()


def small_scripts(homeowners: int, lines: int, seed: int) -> list[Script]:
    """Chatter, plans, moves, mistakes and goodbyes, at random."""
    chance = random.Random(seed)
    today = datetime.now(UTC).date()
    scripts = []
    for number in range(homeowners):
        said: list[Incoming] = [Arrived()]
        for line in range(1, lines):
            day = today + timedelta(days=chance.randint(0, REMINDER_DAYS))
            said.append(Said(text=_line(chance, line, day.isoformat())))
        forgets = tuple(at for at, one in enumerate(said) if isinstance(one, Said) and one.text.startswith("forget"))
        scripts.append(Script(address=f"homeowner-{number}", lines=tuple(said), forgets_after=forgets))
    return scripts


def _line(chance: random.Random, number: int, day: str) -> str:
    kinds: Sequence[tuple[str, int]] = (
        (f"line {number}", 40),
        ("two", 12),
        (f"remind task-{chance.randint(0, 5)} {day} {chance.randint(0, 23):02d}:{chance.randint(0, 59):02d}", 25),
        (f"plan {day} {chance.randint(2, 6)}", 5),
        (f"skip task-{chance.randint(0, 5)}", 5),
        (f"zone {chance.choice(('America/Chicago', 'America/New_York', 'America/Denver'))}", 3),
        (f"person about line {number}", 3),
        ("data", 2),
        ("break here", 3),
        ("bad words", 1),
        ("forget me", 1),
    )
    words, weights = zip(*kinds, strict=True)
    return str(chance.choices(words, weights)[0])
