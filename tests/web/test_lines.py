"""A conversation as the lines of the page: days, lists, what was pressed, and what can still be pressed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta

import pytest

from bot.channels.web.book import BACK_AFTER
from bot.channels.web.lines import blocks_of
from bot.channels.web.pages import run_in
from bot.talk.ports import Rendered
from tests.fakes.house import House
from tests.web.visitor import Visitor, plain

TO_THE_PLAN = ("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1", "raleigh", "all alike", "none", "4")
THE_REST = ("half", "1200 sq ft", "skip", "yes", "yes")


@pytest.fixture
async def reminded(visitor: Visitor, house: House) -> Visitor:
    """Somebody with a confirmed plan, on the day a task is brought up."""
    for words in (*TO_THE_PLAN, *THE_REST, "skip"):
        await visitor.say(words)
    for _ in range(30):
        house.pass_time(days=1)
        if await house.bring_up_all():
            break
    await visitor.look()
    return visitor


def verbs(visitor: Visitor) -> set[str]:
    """The answers to a reminder that can be pressed."""
    return {token.rpartition(":")[2] for token in visitor.choices.values() if token.startswith("t:")}


async def test_only_the_newest_question_can_be_pressed(visitor: Visitor) -> None:
    """What was asked before is there to be read."""
    await visitor.say("31522")
    await visitor.say("Jan 16")

    assert visitor.seen.count('<form class="choices"') == 1
    assert all(":air_min:" in token for token in visitor.choices.values())


async def test_what_was_pressed_is_shown_in_its_words(visitor: Visitor) -> None:
    """Not as the token it sent."""
    for words in ("31522", "Jan 16", "17", "4 days"):
        await visitor.say(words)
    await visitor.press("a dusting")

    assert "You a dusting" in plain(visitor.seen)
    assert "q:1:snow" not in visitor.seen


async def test_an_old_button_is_still_heard(visitor: Visitor) -> None:
    """A page that stood open for long sends what it has."""
    for words in ("31522", "Jan 16", "17", "4 days"):
        await visitor.say(words)
    snow = visitor.choices["no snow"]
    await visitor.press("a dusting")
    await visitor.post("/choose", {**visitor.fields("choices"), "token": [snow]})

    assert "You already answered that" in visitor.newest


async def test_a_reminder_waits_through_a_look_at_the_plan(reminded: Visitor) -> None:
    """Whoever asks for the plan can still press the answers to the reminder; a side question takes them away."""
    assert verbs(reminded) == {"done", "later", "skip", "problem"}
    await reminded.say("plan")

    assert verbs(reminded) == {"done", "later", "skip", "problem"}
    await reminded.say("person")
    assert not verbs(reminded)


async def test_a_reminder_waits_for_somebody_who_was_long_away(reminded: Visitor, house: House) -> None:
    """The welcome is not an answer to it."""
    house.pass_time(seconds=(BACK_AFTER + timedelta(minutes=1)).total_seconds())
    await reminded.look()

    assert "Good to see you again." in plain(reminded.seen)
    assert verbs(reminded) == {"done", "later", "skip", "problem"}


@pytest.mark.parametrize(("first", "then"), [("later", "tomorrow"), ("skip this", "")])
async def test_an_answered_reminder_can_not_be_pressed_again(reminded: Visitor, first: str, then: str) -> None:
    """Put off or skipped, its answers have done their work."""
    await reminded.press(first)
    if then:
        await reminded.press(then)

    assert not verbs(reminded)


async def test_days_are_those_at_the_lawn(visitor: Visitor, house: House) -> None:
    """Eleven at night in Honolulu is tomorrow in Georgia, but the lawn is in Texas."""
    await visitor.say("78701")
    house.pass_time(hours=8)
    await visitor.say("Jan 16")
    await visitor.look()

    days = [plain(part.partition("</h2>")[0]) for part in visitor.seen.split('<h2 class="day"')[1:]]
    local = house.clock.now() - timedelta(hours=6)
    assert len(days) == len(set(days))
    assert days[-1].endswith(f"{local:%a, %b} {local.day}")


def test_bullets_become_one_list_and_the_last_paragraph_the_question() -> None:
    """Lines with a bullet stand together; a question is what the last paragraph asks."""
    rendered = Rendered(text="Head:\n\n• one\n• two: yes\n\nAnd?", choices=())
    blocks = blocks_of(rendered)

    assert [(block.lines, block.is_list, block.asks) for block in blocks] == [
        (("Head:",), False, False),
        (("one", "two: yes"), True, False),
        (("And?",), False, True),
    ]


@pytest.mark.parametrize(
    ("line", "parts"),
    [
        ("Fri, Jan 23: look at the runners.", ("Fri, Jan 23:", "look at the runners.")),
        ("Then, one thing at a time:", ("Then, one thing at a time:", "")),
        ("No colon here.", ("", "No colon here.")),
        ("It is 9:00 AM now.", ("", "It is 9:00 AM now.")),
        ("A sentence. And then: more", ("", "A sentence. And then: more")),
        ("x" * 100 + ": more", ("", "x" * 100 + ": more")),
    ],
)
def test_short_first_words_stand_out(line: str, parts: tuple[str, str]) -> None:
    """A day, "Why:", a heading; never half a sentence."""
    assert run_in(line) == parts


async def test_two_tabs_opened_at_once_after_days_are_greeted_once(
    visitor: Visitor, another: Callable[[], Visitor], house: House
) -> None:
    """Both loads take the same arrival in."""
    import asyncio

    await visitor.say("31522")
    house.pass_time(days=3)
    await asyncio.gather(*(visitor.client.get("/") for _ in range(5)))
    await visitor.look()

    assert plain(visitor.seen).count("Good to see you again.") == 1
