"""Alphabets, counting and cutting of text messages against the standard's arithmetic and an independent counter.

The independent counter (`smsutil`) agrees with the standard on every text compared here, parts and all: it cuts before
a letter that no longer fits, so it splits neither escape pairs nor surrogate pairs. Two things it reads differently:

- U+001B, the escape by itself. It counts as one septet of the basic table there; by the standard it announces a letter
  and is none, so we send UCS-2. Generated texts hold none; `test_an_escape_by_itself_is_no_letter` does the arithmetic.
- The empty text. It is UCS-2 there and GSM here; both say one message.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import smsutil
from gsm0338 import Codec
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.sms.alphabet import decode_gsm, decode_ucs2, encode
from bot.channels.sms.segments import (
    ALONE,
    IN_PART,
    Encoding,
    gsm_text,
    is_gsm,
    mended,
    segments_of,
    split,
    units_of,
)
from bot.words import catalogue
from bot.words.short import plain

ESCAPE = "\x1b"
BASIC = "@£$¥èéùìòÇ\nØø\rÅåΔ_ΦΓΛΩΠΨΣΘΞÆæßÉ !\"#¤%&'()*+,-./0123456789:;<=>?¡ABCXYZÄÖÑÜ§¿abcxyzäöñüà"
EXTENSION = "\f^{}\\[~]|€"
LATIN_1 = "°½áíóúçÁ«»¢"
OTHERS = "🙂👍🏽🇺🇸e\u0301n\u0303草坪あأ—’…"
gsm_letters = st.sampled_from(BASIC + EXTENSION)
any_text = st.text(max_size=700) | st.text(gsm_letters, max_size=1000) | st.text(st.sampled_from(EXTENSION + OTHERS))


def generated_texts() -> list[str]:
    """10,000 texts of all lengths up to four parts: GSM alone, with extension letters, and with each kind of other."""
    chance = random.Random(20270117)
    texts = []
    for number in range(10_000):
        letters = [BASIC, BASIC + EXTENSION * 6, BASIC + LATIN_1, BASIC + OTHERS, OTHERS, EXTENSION][number % 6]
        length = chance.choice([chance.randrange(1, 40), chance.randrange(60, 170), chance.randrange(140, 620)])
        texts.append("".join(chance.choices(letters, k=length)))
    return texts


def test_parts_equal_those_of_an_independent_counter() -> None:
    """Ten thousand texts: same alphabet, same number, same parts."""
    seen = {Encoding.GSM: 0, Encoding.UCS2: 0}
    several = 0
    for text in generated_texts():
        other = smsutil.split(text)
        ours = split(text)
        assert [part.content for part in other.parts] == list(ours.texts)
        assert (other.encoding == "gsm0338") == (ours.encoding is Encoding.GSM)
        seen[ours.encoding] += 1
        several += len(ours.texts) > 1

    assert min(seen.values()) > 3000 and several > 3000


@pytest.mark.parametrize(
    ("letter", "lengths"),
    [
        ("a", {0: 1, 1: 1, 160: 1, 161: 2, 306: 2, 307: 3, 459: 3, 460: 4}),
        ("€", {80: 1, 81: 2, 152: 2, 153: 3, 228: 3, 229: 4}),  # 76 a part: the septet left over holds no half
        ("ñ", {160: 1, 161: 2}),
        ("草", {1: 1, 70: 1, 71: 2, 134: 2, 135: 3, 201: 3, 202: 4}),
        ("🙂", {35: 1, 36: 2, 66: 2, 67: 3}),  # 33 a part: the unit left over holds no half
    ],
)
def test_lengths_at_the_borders(letter: str, lengths: dict[int, int]) -> None:
    """160 or 153 septets, 70 or 67 units."""
    assert {length: segments_of(letter * length) for length in lengths} == lengths


def test_a_pair_that_crosses_the_border_goes_to_the_next_part() -> None:
    """152 septets, a double letter, 8 more: 162 septets in two parts, the first of them one short."""
    first, second = split("a" * 152 + "€" + "b" * 8).texts

    assert (first, second) == ("a" * 152, "€" + "b" * 8)


def test_pairs_at_borders_can_cost_a_part() -> None:
    """306 septets fill two parts exactly, unless a pair stands across the border."""
    assert segments_of("a" * 151 + "€" + "a" * 153) == 2
    assert segments_of("a" * 152 + "€" + "a" * 152) == 3


def test_one_other_letter_turns_the_whole_text() -> None:
    """71 letters are one message in GSM and two with a degree sign among them."""
    assert segments_of("a" * 71) == 1
    assert segments_of("a" * 70 + "°") == 2


def test_an_escape_by_itself_is_no_letter() -> None:
    """The independent counter takes it for one septet (160 to a message); it is UCS-2 here (70 to a message)."""
    text = "a" * 70 + ESCAPE

    assert not is_gsm(text)
    assert (segments_of(text), len(smsutil.split(text).parts)) == (2, 1)


def test_an_empty_text_is_still_a_message() -> None:
    """Nothing to say costs as much as a word."""
    assert segments_of("") == len(smsutil.split("").parts) == 1


@given(any_text)
def test_parts_are_the_text_and_none_is_too_long(text: str) -> None:
    """Nothing lost, nothing cut in half, and no part could have gone into the one before."""
    parts = split(text)

    assert "".join(parts.texts) == text
    if len(parts.texts) == 1:
        assert units_of(text, parts.encoding) <= ALONE[parts.encoding]
        return
    limit = IN_PART[parts.encoding]
    for part, following in zip(parts.texts, (*parts.texts[1:], ""), strict=True):
        units = units_of(part, parts.encoding)
        assert 0 < units <= limit
        assert not following or units + units_of(following[0], parts.encoding) > limit


@given(any_text)
def test_units_are_what_the_octets_take(text: str) -> None:
    """One octet a septet, two octets a unit."""
    for part in split(text).texts:
        encoding = split(text).encoding
        octets = encode(part, encoding)
        assert len(octets) == units_of(part, encoding) * (1 if encoding is Encoding.GSM else 2)


# --- octets ----------------------------------------------------------------------------------------------------------


@given(st.text(gsm_letters))
def test_gsm_octets_read_back(text: str) -> None:
    """And they are those of the library that holds the table."""
    octets = encode(text, Encoding.GSM)

    assert octets == Codec().encode(text)[0]
    assert decode_gsm(octets) == text


@given(st.text())
def test_ucs2_octets_read_back(text: str) -> None:
    """The high octet first."""
    assert decode_ucs2(encode(text, Encoding.UCS2)) == text


@given(st.binary(max_size=300))
def test_any_octets_can_be_read(octets: bytes) -> None:
    """Whatever a sender did, there is a text, and joined it can be stored."""
    for read in (decode_gsm, decode_ucs2):
        mended(read(octets)).encode()


@given(st.text(gsm_letters, min_size=1), st.integers(min_value=0))
def test_gsm_letters_cut_in_half_are_whole_again(text: str, cut: int) -> None:
    """A sender may cut between an escape and its code; joined it is one letter."""
    octets = encode(text, Encoding.GSM)
    cut %= len(octets)

    assert mended(decode_gsm(octets[:cut]) + decode_gsm(octets[cut:])) == text


@given(st.text(st.sampled_from(OTHERS), min_size=1), st.integers(min_value=0))
def test_unicode_letters_cut_in_half_are_whole_again(text: str, cut: int) -> None:
    """A sender may cut a surrogate pair; joined it is one letter."""
    octets = encode(text, Encoding.UCS2)
    cut = cut % (len(octets) // 2) * 2

    assert mended(decode_ucs2(octets[:cut]) + decode_ucs2(octets[cut:])) == text


@pytest.mark.parametrize(
    ("octets", "text"),
    [
        (b"28\x1b\x65", "28€"),
        (b"a\x1b\x41b", "aAb"),  # no such extension: the basic letter
        (b"a\x1b\x1bb", "a b"),  # an escape to a table there is none of
        (b"caf\xe9", "café"),  # no GSM code: Latin-1
    ],
)
def test_odd_octets_are_read_as_the_standard_says(octets: bytes, text: str) -> None:
    """Unknown extensions show the basic letter, a second escape a blank."""
    assert mended(decode_gsm(octets)) == text


# --- plain letters ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("written", "plain_text"),
    [
        ("“Don’t” – wait…", '"Don\'t" - wait...'),
        ("• one\n◦ two", "- one\n- two"),
        ("28 °F, 28°F, 28\u202f°F", "28 F, 28 F, 28 F"),
        ("-2 ℃", "-2 C"),
        ("a 30° slope", "a 30 degrees slope"),
        ("3½ in, ¾ in", "3 1/2 in, 3/4 in"),
        ("10 × 20 ft", "10 x 20 ft"),
        ("≤ 65, ≥ 70, ≠ 3, ±5", "<= 65, >= 70, != 3, +/-5"),
        ("10² ft²", "10^2 ft2"),
        ("a\u00a0b\u2009c", "a b c"),
        ("Zoë, façade, naïve, Dvořák", "Zoe, facade, naive, Dvorak"),
        ("café, señor, über", "café, señor, über"),  # the alphabet has these
        ("cafe\u0301", "café"),
        ("Good 🎉 news 👍🏽", "Good news"),
        ("🥶 Cold\n👨‍👩‍👧 All", "Cold\nAll"),
        ("ﬁrst, № 5, ™", "first, No 5, TM"),
        ("3 in → 2½ in", "3 in -> 2 1/2 in"),
    ],
)
def test_our_words_become_plain(written: str, plain_text: str) -> None:
    """What has a plain like is written so, and then all of it is GSM."""
    assert gsm_text(written) == plain_text
    assert is_gsm(plain_text)


@pytest.mark.parametrize("typed", ["草坪", "Ελλάδα", "हिन्दी", "می‌خواهم", "5 ¢", "≮ 3", "한국어", "¨"])
def test_what_has_no_equivalent_stays(typed: str) -> None:
    """A name in another script is worth more than room."""
    assert gsm_text(typed) == typed
    assert split(gsm_text(typed)).encoding is Encoding.UCS2


@given(any_text)
def test_folding_twice_is_folding_once(text: str) -> None:
    """What is plain stays."""
    once = gsm_text(text)

    assert gsm_text(once) == once


@given(any_text)
def test_letters_of_people_are_never_lost(text: str) -> None:
    """Every letter outside the alphabet is still there, or a letter stands for it."""
    letters = [letter for letter in text if letter.isalpha()]

    assert sum(letter.isalpha() for letter in gsm_text(text)) >= len(letters)


@given(st.text(gsm_letters))
def test_gsm_texts_stay_as_they_are(text: str) -> None:
    """No reason to touch them."""
    assert gsm_text(text) == text


def test_every_entry_of_our_catalogue_is_gsm_when_folded() -> None:
    """Nothing we say by ourselves needs UCS-2, not even the wordings for other channels."""
    folded = 0
    for language in catalogue.LANGUAGES:
        for source in (Path(catalogue.__file__).parent / language).glob("*.ftl"):
            for line in source.read_text(encoding="utf-8").splitlines():
                assert is_gsm(gsm_text(line)), line
                folded += not is_gsm(line)

    assert folded > 50


def test_short_words_and_this_folding_agree_where_all_is_plain() -> None:
    """The catalogue's own folding of names gives the same letters."""
    for written in ("Zoë", "Dvořák", "don’t", "“so”", "a–b"):
        assert gsm_text(written) == plain(written)
