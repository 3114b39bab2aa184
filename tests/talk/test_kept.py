"""What is kept between questions of one turn, and between turns, is never somebody else's or out of date."""

from __future__ import annotations

import gc
import re
from dataclasses import replace
from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st

from bot.conversation import FIRST_TALK, GAZETTEER, real_talk, warm_up
from bot.garbage import look_not_yet
from bot.settings import Settings
from bot.talk import answers, flow
from bot.talk.case import Answer, Case, NotSure, Picked
from bot.talk.incoming import Said
from bot.talk.messages import Text
from bot.talk.understand import pick_one
from bot.words import Words
from tests.talk.conversation import WORDS, talked_to_plan

NOON = datetime(2027, 1, 19, 17, 0, tzinfo=UTC)


def case_with(grass: str | None) -> Case:
    """A case in which a grass was told, or nothing at all."""
    value = Picked(code=grass) if grass else NotSure()
    told = (Answer(question="grass", value=value, words="", at=NOON),) if grass != "" else ()
    return Case(number=1, opened_at=NOON, answers=told)


CASES = tuple(case_with(grass) for grass in ("bermuda", "zoysia", "cool_season", "not_grass", None, "", "mixed"))


@given(st.lists(st.integers(0, len(CASES) - 1), max_size=30))
def test_a_case_is_answered_from_its_own_answers_whatever_was_asked_before(order: list[int]) -> None:
    """In whatever order cases are asked about, each says what a fresh copy of it says."""
    for index in order:
        case, copy = CASES[index], replace(CASES[index])
        assert answers.code(case, "grass") == answers.code(copy, "grass")
        assert flow.instances(case) == flow.instances(copy)
        assert flow.is_ours(case) == flow.is_ours(copy)


def test_a_new_answer_counts_at_once() -> None:
    """Nothing that was worked out of a case is taken for the case that came after it."""
    before = talked_to_plan().case
    asked_before = flow.instances(before)
    told = Answer(question="grass", value=Picked(code="not_grass"), words="pebbles", at=NOON)
    after = answers.with_answer(before, told)
    assert answers.code(after, "grass") == "not_grass"
    assert not flow.is_ours(after)
    assert flow.is_ours(before)
    assert len(flow.instances(after)) < len(asked_before) == len(flow.instances(before))


def test_the_first_of_two_answers_to_one_question_counts() -> None:
    """A document with the same question twice is read as it always was."""
    first, second = (
        Answer(question="grass", value=Picked(code=code), words="", at=NOON) for code in ("zoysia", "bermuda")
    )
    assert answers.code(Case(number=1, opened_at=NOON, answers=(first, second)), "grass") == "zoysia"


def in_all_ways(words: Words, key: str) -> list[str]:
    """A text in both units, long and short."""
    ways = [(metric, is_short) for metric in (False, True) for is_short in (False, True)]
    return [words.text(Text(key=key), metric=metric, is_short=is_short) for metric, is_short in ways]


def test_a_text_without_values_is_kept_for_each_way_of_reading_it() -> None:
    """Units and length of a text come from who reads it now, not from who read it first."""
    key = "feed-gate-warm_soil"
    kept = [in_all_ways(WORDS, key) for _ in range(2)]
    assert kept[0] == kept[1] == in_all_ways(Words(), key)
    assert len(set(kept[0])) > 1


@given(st.text("ab' ", max_size=12), st.text("ab' ", min_size=2, max_size=5))
def test_words_of_a_choice_are_found_only_as_whole_words(said: str, words: str) -> None:
    """A choice is meant where its words stand by themselves, as a regular expression with word ends would say."""
    found = pick_one(f"zz {said} zz", [("right", (words,)), ("other", ("qqqqqq",))])
    bare, phrase = (" ".join(re.findall(r"[^\W_]+(?:'[^\W_]+)*", each)) for each in (said, words))
    stands_alone = len(phrase) > 1 and re.search(rf"(?<!\w){re.escape(phrase)}(?!\w)", bare)
    assert (found == "right") is bool(stands_alone)


async def test_warming_up_builds_the_table_and_ends_the_rest_of_the_collector() -> None:
    """What is built once is never looked through again; until it is there nothing is, and from then on what comes."""
    look_not_yet()
    before = gc.get_freeze_count()
    try:
        await warm_up(real_talk(Settings()))
        assert gc.isenabled()
        assert gc.get_freeze_count() > before
        assert GAZETTEER.find("31522")
    finally:
        gc.unfreeze()
        gc.enable()


def test_the_talk_that_is_held_before_anybody_writes_goes_all_the_way() -> None:
    """Every line of it is an answer to what was asked, and it ends with the plan under way: so all parts are read."""
    talk = real_talk(Settings())
    homeowner = None
    for words in FIRST_TALK:
        homeowner = talk.reduce(homeowner, Said(text=words), NOON, talk.known).homeowner
        assert homeowner.misses == 0, words
    assert talk.wanted_reminders(homeowner)
