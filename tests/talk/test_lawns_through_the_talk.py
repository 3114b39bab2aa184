"""A few invented lawns of every fate, talked about through a whole spring: what is told fits what becomes of them.

The long version, with a thousand lawns and how often it errs: `tests/bench/lawns_through_the_talk.py`.
"""

from __future__ import annotations

import pytest

from rules.facts.season import JUDGING_WARM_DAYS
from tests.talk.invented_lawns import DEAD, Fate
from tests.talk.lawn_owner import JUDGED_TWICE, VERDICTS, Spring, lived_through

LAWNS_OF_A_FATE = 3
SEED = 1  # two of the lawns have a front and a back
LIKELY_DEAD = ("verdict-likely_dead", "photo-state-likely_dead")
BACK = ("verdict-coming_back", "settled-early", "photo-state-recovered")


@pytest.fixture(scope="module")
def springs() -> dict[Fate, list[Spring]]:
    """Three lawns of each fate, always the same ones."""
    return {
        fate: [
            lived_through(SEED, number, fate=fate)
            for number in range(LAWNS_OF_A_FATE * place, LAWNS_OF_A_FATE * (place + 1))
        ]
        for place, fate in enumerate(Fate)
    }


def said(springs: dict[Fate, list[Spring]], fates: set[Fate], *prefixes: str) -> list[str]:
    """What was said of all parts of lawns of such fates, with its lawn's grass and warm day."""
    return [
        f"{fate}: {told.key} on warm day {told.warm_days} ({spring.lawn.grass}, {spring.lawn.place})"
        for fate in fates
        for spring in springs[fate]
        for told in spring.told
        if told.key.startswith(prefixes)
    ]


def faults(springs: dict[Fate, list[Spring]]) -> list[str]:
    """Everything that went wrong in any of the talks."""
    return [fault for own in springs.values() for spring in own for fault in spring.faults]


def test_no_living_lawn_is_called_likely_dead(springs: dict[Fate, list[Spring]]) -> None:
    """Slow, late, thin or half dead: it lives, and is never told otherwise."""
    assert said(springs, set(Fate) - DEAD, *LIKELY_DEAD) == []


def test_no_dead_lawn_is_called_back(springs: dict[Fate, list[Spring]]) -> None:
    """Nor where weeds creep over it."""
    assert said(springs, set(DEAD), *BACK) == []


def test_what_grows_at_once_is_called_back_in_the_end(springs: dict[Fate, list[Spring]]) -> None:
    """Every part of it, whatever was said before."""
    for spring in springs[Fate.AT_ONCE]:
        for part in spring.lawn.parts:
            assert spring.of(part, *BACK)


def test_dead_lawns_are_called_so_at_last(springs: dict[Fate, list[Spring]]) -> None:
    """A talk that never says it would pass everything else here."""
    assert said(springs, {Fate.DEAD}, "verdict-likely_dead")


def test_no_talk_gets_stuck(springs: dict[Fate, list[Spring]]) -> None:
    """Every answer understood, every photo filed, one question a message, one message a day, every judging closed."""
    assert [fault for fault in faults(springs) if JUDGED_TWICE not in fault] == []


def test_no_part_is_judged_twice_on_one_day(springs: dict[Fate, list[Spring]]) -> None:
    """Whoever has a front and a back is asked about each once."""
    assert [fault for fault in faults(springs) if JUDGED_TWICE in fault] == []


def test_verdicts_wait_for_the_judging_day(springs: dict[Fate, list[Spring]]) -> None:
    """Only a lawn that is mostly green is settled before."""
    verdicts = [
        (told.on, spring.season.judging_on)
        for own in springs.values()
        for spring in own
        for told in spring.told
        if told.key.startswith(VERDICTS) and told.key != "settled-early"
    ]
    assert verdicts
    assert all(on >= judging_on for on, judging_on in verdicts)


def test_nothing_is_called_likely_dead_before_forty_two_warm_days(springs: dict[Fate, list[Spring]]) -> None:
    """By photo or verdict, with or without tests of life."""
    days = [
        told.warm_days
        for own in springs.values()
        for spring in own
        for told in spring.told
        if told.key.startswith(LIKELY_DEAD)
    ]
    assert days
    assert min(days) >= JUDGING_WARM_DAYS.value
