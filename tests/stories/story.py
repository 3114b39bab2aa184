"""Reads a story and plays it for anybody who can say, press, wait and be killed."""

from __future__ import annotations

import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

FOLDER = Path(__file__).parent
STORIES = sorted(FOLDER.glob("*.story"))


@dataclass(frozen=True, slots=True)
class Step:
    """One line of a story."""

    number: int
    kind: str
    words: str


@dataclass(slots=True)
class Heard:
    """What was said since the owner last did something: keys, the open question, the buttons by label."""

    keys: set[str]
    question: str
    buttons: dict[str, str]


@dataclass(frozen=True, slots=True)
class Player:
    """How a story is played somewhere."""

    say: Callable[[str], Awaitable[Heard]]
    press: Callable[[tuple[str, ...]], Awaitable[Heard]]
    wait: Callable[[timedelta], Awaitable[Heard]]
    kill: Callable[[], Awaitable[None]]


def read_story(path: Path) -> list[Step]:
    """The steps of a story, remarks left out."""
    steps = []
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
        if line.strip() and not line.startswith("#"):
            steps.append(Step(number, line[0], line[1:].strip()))
    return steps


def time_of(words: str) -> timedelta:
    """How much time passes: 3d, 5h."""
    amount, unit = re.fullmatch(r"(\d+)([dh])", words).groups()  # type: ignore[union-attr]
    return timedelta(**{"d": {"days": int(amount)}, "h": {"hours": int(amount)}}[unit])


async def play(path: Path, player: Player) -> None:
    """Play a story; every expectation that fails names its line."""
    heard = Heard(set(), "", {})
    for step in read_story(path):
        where = f"{path.name}, line {step.number}"
        match step.kind:
            case ">":
                heard = await player.say(step.words)
            case "[":
                labels = [label.strip() for label in step.words.split("|")]
                missing = [label for label in labels if label not in heard.buttons]
                assert not missing, f"{where}: no button {missing} among {list(heard.buttons)}"
                heard = await player.press(tuple(heard.buttons[label] for label in labels))
            case "@":
                heard = await player.wait(time_of(step.words))
            case "!":
                await player.kill()
            case "<":
                missing = [key for key in step.words.split() if key not in heard.keys]
                assert not missing, f"{where}: {missing} not said, but {sorted(heard.keys)}"
            case "?":
                assert heard.question == step.words, f"{where}: the open question is {heard.question!r}"
            case _:
                raise AssertionError(f"{where}: a story line begins with > < ? [ @ or !")
