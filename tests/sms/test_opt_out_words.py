"""Wishes to stop as people type them on a phone, and what only sounds like one."""

from __future__ import annotations

import pytest

from bot.talk.understand import Wish, wish
from bot.talk.understand.answers import yes_no
from bot.talk.understand.plain_words import plain
from bot.talk.understand.stopping import Stopping, stopping


@pytest.mark.parametrize(
    "words",
    [
        "unsubscribe me now!!",
        "Un-subscribe",
        "un subscribe me please",
        "s-t-o-p",
        "🛑",
        "🛑 STOP 🛑",
        "‘stop’",
        "stop stop texting me",
        "STOP!! Stop texting me",
        "I SAID STOP!!!",
        "i told you to stop",
        "Reply STOP",
        "stop afterfrost",
        "stop please and thank you",
        "stop forever",
        "stop for good",
        "stop txting me",
        "quit txting me",
        "dont txt me",
        "no more txts",
        "stop msgs",
        "stop sms",
        "stop the spam",
        "end conversation",
        "delete my number",
        "you have the wrong number",
        "u have the wrong number",
        "stfu",
        "¡Alto!",
        "para",
        "basta",
        "cancelar",
        "no más mensajes",
    ],
)
def test_a_wish_to_stop_is_plain_however_it_is_typed(words: str) -> None:
    """Short forms, signs, curly quotes, said twice, said angrily, in Spanish."""
    assert stopping(plain(words)) is Stopping.PLAIN


@pytest.mark.parametrize(
    "words",
    [
        "Who is this? Stop.",
        "who is this stop",
        "I never signed up for this",
        "Sorry, wrong number",
        "this is the wrong number",
        "You never stop texting me",
        "why don't you stop texting me",
        "not interested in this",
        "No longer interested, thanks",
        "STOP 2",
    ],
)
def test_what_may_be_a_wish_to_stop_is_asked_about(words: str) -> None:
    """It is not read over, and not taken for certain."""
    assert stopping(plain(words)) is Stopping.DOUBTFUL


@pytest.mark.parametrize(
    "words",
    [
        "please don't stop texting me",
        "don’t stop",
        "Dont stop the reminders",
        "never stop",
        "I don't want to stop",
        "I didn't mean to stop",
        "not interested in sod",
        "Not interested in photos",
        "cancel that last answer",
        "cancel my last answer",
        "stop watering?",
        "should I stop mowing",
        "the frost won’t stop",
        "The end of the driveway. Also the north end.",
        "Should I water? Stop?",
        "para regar",
        "wrong number, I meant 4",
    ],
)
def test_what_only_sounds_like_it_is_none(words: str) -> None:
    """A pause that nobody asked for ends in silence, since silence after the question counts as stop."""
    assert stopping(plain(words)) is None


def test_cancelling_an_answer_goes_one_back() -> None:
    """That is what it asks for."""
    assert wish("cancel that last answer") is Wish.BACK
    assert wish("Undo my last answer") is Wish.BACK


@pytest.mark.parametrize(
    ("words", "answer"),
    [("yes 👍", True), ("Sure 👍🏽", True), ("no 👎", False), ("no 👍", None), ("looks dead 👍", None)],
)
def test_a_thumb_beside_words_says_them_again(words: str, answer: bool | None) -> None:
    """It takes nothing away, and decides nothing by itself there."""
    assert yes_no(words) is answer
