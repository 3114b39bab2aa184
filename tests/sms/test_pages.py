"""Long messages in pages: nothing lost, order kept, every page within three segments, and cut where people would."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.sms.pages import AT_MOST, pages
from bot.channels.sms.segments import segments_of

HINT = "Reply MORE for the rest."
words = st.text(st.sampled_from("abcdefg{€ñ.!?,"), min_size=1, max_size=30)
long_words = st.text(st.sampled_from("ab草🙂€"), min_size=300, max_size=900)
blanks = st.sampled_from([" ", " ", " ", "\n", "\n\n", ". ", "  "])
prose = st.lists(st.tuples(words | words | words | long_words, blanks), max_size=200).map(
    lambda pairs: "".join(word + blank for word, blank in pairs)
)
other_script = prose.map(lambda text: text.replace("a", "草").replace("e", "🙂"))
any_text = prose | other_script | st.text(max_size=2000)


def bare(text: str) -> str:
    """A text without its blanks."""
    return "".join(text.split())


@given(any_text, st.sampled_from([HINT, "Antworten Sie mit MORE für den Rest…", "回复 MORE"]))
def test_pages_hold_the_whole_text_in_order(text: str, hint: str) -> None:
    """Every letter is there once, and every page but the last ends with the hint within three segments."""
    *before, last = pages(text, hint)

    assert all(page.endswith("\n" + hint) for page in before)
    assert all(segments_of(page) <= AT_MOST for page in (*before, last))
    assert all(page.removesuffix(hint).strip() for page in before)
    assert bare("".join(page.removesuffix(hint) for page in before) + last) == bare(text)


@given(any_text)
def test_a_text_that_fits_is_one_page_as_it_is(text: str) -> None:
    """No hint where there is nothing more."""
    assert (pages(text, HINT) == (text,)) == (segments_of(text) <= AT_MOST)


@given(prose)
def test_pages_are_well_filled(text: str) -> None:
    """No page but the last is less than about half full, so nobody asks for more than needed."""
    for page in pages(text, HINT)[:-1]:
        assert segments_of(page.removesuffix(HINT).strip() + "x" * (459 // 2 + 40)) >= AT_MOST


@pytest.mark.parametrize(("letter", "most"), [("a", 459), ("草", 201)])
def test_three_full_segments_are_one_page(letter: str, most: int) -> None:
    """459 septets or 201 units; one more is two pages."""
    assert len(pages(letter * most, HINT)) == 1
    assert len(pages(letter * (most + 1), HINT)) == 2


def test_a_page_ends_where_a_paragraph_does() -> None:
    """Even if another sentence would fit."""
    text = "One sentence. " * 20 + "\n\n" + "Another one. " * 30

    assert pages(text, HINT)[0] == ("One sentence. " * 20).strip() + "\n" + HINT


def test_without_a_paragraph_it_ends_where_a_sentence_does() -> None:
    """No sentence is torn; a line of a list is as good as one."""
    for text in ("Keep the brown top on. " * 30, "- 40 by 30 feet of sod\n" * 30):
        first, second, *_ = pages(text, HINT)
        line = text[:22].strip()
        assert first.removesuffix("\n" + HINT).endswith(line)
        assert second.startswith(line)


def test_without_a_sentence_it_ends_where_a_word_does() -> None:
    """No word is torn unless it is longer than a page."""
    text = "stolon " * 100

    assert all(set(page.removesuffix(HINT).split()) == {"stolon"} for page in pages(text, HINT))


def test_a_number_is_no_end_of_a_sentence() -> None:
    """The point in 1.5 has no blank after it."""
    text = "mow at 1.5 in " * 60

    assert all("1.5" in page.removesuffix(HINT).split() for page in pages(text, HINT))
    assert sum(page.count("1.5") for page in pages(text, HINT)) == 60


def test_a_hint_that_fills_the_page_is_refused() -> None:
    """Nothing could be said beside it."""
    with pytest.raises(ValueError, match="hint"):
        pages("a" * 1000, "b" * 458)
