"""Moving to another chat as the conversation sees it: the wish, the codes, and the words."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from gsm0338 import Codec
from hypothesis import given
from hypothesis import strategies as st

from bot.talk.case import Standing
from bot.talk.effects import OfferMove
from bot.talk.messages import Verbatim, text
from bot.talk.understand import Wish, wish
from bot.talk.understand.move_codes import (
    ALPHABET,
    DIGITS,
    FEWEST_DIGITS,
    FEWEST_LETTERS,
    LENGTH,
    LETTERS,
    is_not_me,
    is_sound,
    move_code,
    shown,
)
from tests.talk.conversation import DETAILS, FIRST, WORDS, Conversation, talked_to_first_answer

# --- the wish -------------------------------------------------------------------------------------------------------

MOVING = (
    "move|MOVE|/move|Move.|move please|move to my phone|continue on telegram|switch to text|use another phone|"
    "Can I use another phone?|I have a new phone|switch to telegram please|continue on my phone|new number|"
    "change my number|send me a code"
)
NOT_MOVING = (
    "moved 8 plugs|I moved|moved it|move on|mowed|move the mower|move it|can I move the sod|remove me|moving|"
    "when should I move the plugs|mow|switch to metric|change phone 3|my phone died"
)


@pytest.mark.parametrize("said", MOVING.split("|"))
def test_a_wish_to_move_is_a_whole_message(said: str) -> None:
    """In everyday words, or as a command."""
    assert wish(said) is Wish.MOVE


@pytest.mark.parametrize("said", NOT_MOVING.split("|"))
def test_other_things_that_move_are_no_wish(said: str) -> None:
    """Plugs, sod and mowers are moved too."""
    assert wish(said) is not Wish.MOVE


def test_the_wish_wants_a_code_and_asks_nothing() -> None:
    """Chance is not the conversation's, and whoever moves is on their way: the open question waits for them there."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FIRST[:2])
    before = talk.homeowner
    said = talk.say("move to my phone")

    assert (said, talk.effects) == ([], [OfferMove()])
    assert talk.homeowner is not None
    assert before is not None
    assert talk.homeowner.lawns == before.lawns


@pytest.mark.parametrize("begin", [Conversation, talked_to_first_answer], ids=["new", "asked"])
def test_a_code_that_reaches_the_conversation_is_an_unknown_one(begin: Callable[[], Conversation]) -> None:
    """It is no answer to the open question, and no miss."""
    talk = begin()
    before = talk.homeowner
    talk.say("MOVE 7KQ4-M2XD")

    assert talk.keys[-1] == "move-unknown"
    assert talk.homeowner is not None
    assert talk.homeowner.misses == 0
    assert before is None or talk.homeowner.lawns == before.lawns


def test_where_nothing_was_told_nothing_moves() -> None:
    """Whoever types it in the new chat first hears where to type it."""
    talk = Conversation()
    talk.say("move")

    assert talk.keys[-1] == "move-nothing"
    assert OfferMove() not in talk.effects


def test_quiet_is_kept() -> None:
    """Somebody who stopped hears the one line of the quiet."""
    talk = talked_to_first_answer()
    talk.say("stop")
    for words in ("move", "MOVE 7KQ4-M2XD"):
        talk.say(words)
        assert talk.keys == ["stopped-still"]
    assert talk.homeowner is not None
    assert talk.homeowner.standing is Standing.STOPPED


def test_the_wish_works_with_every_question_open() -> None:
    """No question takes it for an answer, nor a code."""
    lines = (*FIRST, *DETAILS, "yes", "yes")
    for count in range(1, len(lines) + 1):
        talk = Conversation()
        talk.arrive()
        talk.say(*lines[:count])
        talk.say("move")
        assert talk.effects == [OfferMove()], lines[:count]
        talk.say("7KQ4-M2XD")
        assert talk.keys == ["move-unknown"], lines[:count]


# --- codes ----------------------------------------------------------------------------------------------------------


def codes() -> st.SearchStrategy[str]:
    """Codes as they are given out."""
    letters = st.lists(st.sampled_from(LETTERS), min_size=FEWEST_LETTERS, max_size=FEWEST_LETTERS, unique=True)
    digits = st.lists(st.sampled_from(DIGITS), min_size=FEWEST_DIGITS, max_size=FEWEST_DIGITS)
    rest_of = LENGTH - FEWEST_LETTERS - FEWEST_DIGITS
    rest = st.lists(st.sampled_from(ALPHABET), min_size=rest_of, max_size=rest_of)
    parts = st.tuples(letters, digits, rest).map(lambda each: [*each[0], *each[1], *each[2]])
    return parts.flatmap(st.permutations).map("".join)


FRAMES = (
    "MOVE {}|move {}|Move: {}|/move {}|move code {}|my code is {}|The code is {}.|MOVE '{}'|MOVE <{}>|  move   {}  |"
    "please move {}|move with code {}|MOVE #{}|code: {}|Move – {}"
)


@given(codes(), st.sampled_from(FRAMES.split("|")), st.sampled_from(["", "-", " ", " - ", "–", "."]), st.booleans())
def test_a_code_is_read_however_it_is_typed(code: str, frame: str, dash: str, is_low: bool) -> None:
    """With and without its dash, in any case, with what people put around it."""
    typed = frame.format(f"{code[:4]}{dash}{code[4:]}")

    assert is_sound(code)
    assert move_code(typed.lower() if is_low else typed) == code


@given(codes(), st.sampled_from(["{}", " {} ", "{}.", '"{}"']), st.sampled_from(["", "-"]), st.booleans())
def test_a_bare_code_is_read_where_it_looks_exactly_like_one(code: str, frame: str, dash: str, is_low: bool) -> None:
    """Copied as it was told."""
    typed = frame.format(f"{code[:4]}{dash}{code[4:]}")

    assert move_code(typed.lower() if is_low else typed) == code
    assert move_code(shown(code)) == code


@given(codes(), st.data())
def test_look_alikes_are_read_as_what_was_meant(code: str, data: st.DataObject) -> None:
    """S, Z and B stand in no code: who types one means 5, 2 or 8."""
    place = data.draw(st.integers(0, LENGTH - 1))
    typed = code[:place] + {"5": "S", "2": "Z", "8": "B"}.get(code[place], code[place]) + code[place + 1 :]

    assert move_code(f"MOVE {typed}") == code


@given(codes(), st.integers(0, LENGTH - 1))
def test_a_code_with_a_slip_is_another_code_never_the_right_one(code: str, place: int) -> None:
    """A letter left out opens nothing; mostly it still counts as a code, so that its writer hears what is wrong."""
    assert move_code(f"MOVE {code[:place]}{code[place + 1 :]}") != code


NO_CODES = (
    "moved 8 plugs|moved 24 plugs|move 31522|31522|31522-1234|315221234|move 12345678|2222-3333|35degree|24ft-38ft|"
    "24ft38ft|22ft x 34ft|45x25x38|40 by 60|2400sqft|15-0-15|16-4-8|move|code|the code|bring the mower|MOVE plants|"
    "move twenty plugs|moved the grass|move my lawn|move 3 inches|zoysia|rhythms|2 1/2 in|move 25 lb 35 ft|"
    "5x7 and 4x3|move 20plugs|move to 24 by 38|move mower|1-800-222-1222|27F-25F|Jan 16|22-23-24|move 2.5-3.5|"
    "move it to 4pm|code red|zip code 31522|code 31522|front and back|move 8pm to 9pm|yes|3of6"
)


@pytest.mark.parametrize("said", NO_CODES.split("|"))
def test_answers_and_sentences_are_no_codes(said: str) -> None:
    """Numbers, sizes, days, ZIP codes and analyses stay what they are."""
    assert move_code(said) is None


@given(st.text(alphabet=DIGITS + "01 -.,/x", max_size=40))
def test_numbers_alone_are_never_a_code(said: str) -> None:
    """However they are put together: a ZIP code, a size, an analysis."""
    assert move_code(said) is None
    assert move_code(f"move {said}") is None


WORD = st.sampled_from(
    "moved move plugs sod the back yard 8 12 31522 feet ft lb inches front lawn dead brown st augustine bermuda freeze "
    "jan cold half spring grass mower my to from new phone code sqft lbs pm".split()
)


@given(st.lists(WORD, max_size=8).map(" ".join))
def test_sentences_of_lawn_words_are_never_a_code(said: str) -> None:
    """Words have vowels, and a code has none."""
    assert move_code(said) is None


@given(st.text(max_size=80))
def test_anything_else_gives_a_code_of_the_alphabet_or_none(said: str) -> None:
    """Whatever is typed, what comes back can be looked up."""
    code = move_code(said)

    assert code is None or set(code) <= set(ALPHABET)


@pytest.mark.parametrize("said", ["not me", "NOT ME", "Not me!", "that was not me", "No, it wasn't me", "notme"])
def test_not_me_is_understood(said: str) -> None:
    """As it was told, and in everyday words."""
    assert is_not_me(said)


@pytest.mark.parametrize("said", "me|it was me|not mine|not me but my wife mowed|do not text me|not metric|".split("|"))
def test_other_words_are_not_not_me(said: str) -> None:
    """The whole message says it, or it does not."""
    assert not is_not_me(said)


# --- words ----------------------------------------------------------------------------------------------------------

KEYS = sorted(key for key in WORDS.keys("en") if key.startswith("move-"))


def told(key: str, *, is_short: bool) -> str:
    values = {"code": Verbatim("7KQ4-M2XD")} if key == "move-code" else {}
    return WORDS.text(text(key, **values), is_short=is_short)


@pytest.mark.parametrize("key", KEYS)
def test_short_words_fit_one_text_message(key: str) -> None:
    """In letters of the GSM alphabet, at most 160 of them."""
    assert len(Codec().encode(told(key, is_short=True))[0]) <= 160


@pytest.mark.parametrize("is_short", [False, True])
def test_the_code_comes_with_what_it_is_for_and_a_caution(is_short: bool) -> None:
    """What to send, how long it works, and not to share it; what was told is read again as a code."""
    said = told("move-code", is_short=is_short)
    found = re.search(r"MOVE \S+", said)

    assert found is not None
    assert move_code(found[0]) == "7KQ4M2XD"
    assert all(word in said for word in ("once", "30 minutes", "Don't share"))


def test_the_notice_names_the_words_that_are_understood() -> None:
    """What a chat is told to reply works."""
    for is_short in (False, True):
        found = re.search(r"NOT ME", told("move-told", is_short=is_short))
        assert found is not None
        assert is_not_me(found[0])
