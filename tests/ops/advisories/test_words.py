from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.ops.advisories.advisory import AdvisoryRefused, NewAdvisory
from bot.ops.advisories.checking import check
from bot.ops.advisories.filling import (
    Figure,
    Filler,
    filled,
    has_stray_brace,
    is_left,
    placeholders_in,
    sentences_of,
)
from bot.ops.regions.audience import Audience
from bot.store.sends import Figures
from tests.ops.advisories.town import KNOWN, WORDS, lawn

NOON = datetime(2027, 2, 2, 17, 0, tzinfo=UTC)
FILLER = Filler(words=WORDS, known=KNOWN)
SEEN = Figures(
    homeowner_id=1,
    lawn=1,
    zone="America/New_York",
    state="GA",
    grass="st_augustine",
    crown_min_dc=-30,
    soil_min_dc=22,
    alive_percent=58,
)
ALL = "{place}; {grass}; {coldest_soil}; {coldest_runners}; {alive}; {judging_day}."


def filled_for(words: str, seen: Figures | None = SEEN, *, metric: bool = False, is_short: bool = False) -> str:
    """What somebody with a St. Augustine lawn in Georgia reads."""
    homeowner = replace(lawn(), metric=metric)
    return FILLER.fill(NewAdvisory(name="x", words=words), homeowner, [seen] if seen else [], is_short=is_short)


def test_every_figure_is_filled_in_as_they_read_it() -> None:
    """In their units, and as about."""
    assert filled_for(ALL) == ("Glynn County, GA; St. Augustine; about 36 °F; about 27 °F; about 6 in 10; about May 7.")
    assert filled_for(ALL, metric=True).split("; ")[2:4] == ["about 2 °C", "about -3 °C"]
    assert filled_for(ALL, is_short=True).split("; ")[2] == "about 36 F"


def test_a_sentence_with_a_figure_that_is_not_known_is_left_out() -> None:
    """And nothing else is; whoever would be left without a word gets nothing."""
    words = "Soil fell to {coldest_soil}. Leave the brown top on.\n\nYour {grass} may come back."
    bare = replace(SEEN, soil_min_dc=None)

    assert filled_for(words, bare) == "Leave the brown top on.\n\nYour St. Augustine may come back."
    assert filled_for("Soil fell to {coldest_soil}.", bare) == ""
    assert filled_for("Near {place}.", None) == "Near Glynn County, GA."


def test_figures_are_those_of_a_lawn_that_is_meant() -> None:
    """Of several lawns the one being talked about, or the first of the grasses that are named."""
    other = replace(SEEN, lawn=2, grass="bermuda", soil_min_dc=100)
    homeowner = lawn()
    plain = NewAdvisory(name="x", words="{grass} {coldest_soil}")
    named = replace(plain, audience=Audience(grasses=frozenset({"bermuda"})))

    assert FILLER.fill(plain, homeowner, [other, SEEN], is_short=False) == "St. Augustine about 36 °F"
    assert FILLER.fill(named, homeowner, [SEEN, other], is_short=False) == "bermuda about 50 °F"


@pytest.mark.parametrize(
    ("words", "count"),
    [
        ("One. Two! Three?", 3),
        ("St. Augustine lawns are brown. Wait.", 2),
        ("It freezes at 5 a.m. Friday. Wait.", 2),
        ("Call J. Doe at the county. Wait.", 2),
        ('He said "wait." Then he left.', 2),
        ("First line\nsecond line", 2),
        ("It fell to 17.5 degrees.", 1),
    ],
)
def test_sentences_end_where_a_reader_sees_it(words: str, count: int) -> None:
    """Short forms with a point end none."""
    assert len(sentences_of(words)) == count


@given(st.text(alphabet="ab .!?\n\"')A{}", max_size=60))
def test_sentences_together_are_the_words(words: str) -> None:
    """Nothing is lost or doubled by taking words apart."""
    assert "".join(sentences_of(words)) == words


@given(
    sentences=st.lists(
        st.sampled_from(["Wait. ", "Soil {coldest_soil}. ", "A {grass} lawn. ", "\n", "{alive}! "]), max_size=6
    ),
    known=st.sets(st.sampled_from(list(map(str, Figure)))),
)
def test_the_quick_look_knows_who_is_left_without_a_word(sentences: list[str], known: set[str]) -> None:
    """What the preview counts is what the filling does; no brace ever reaches anybody."""
    words = "".join(sentences)
    told = filled(words, dict.fromkeys(known, "x"))

    assert bool(told) == is_left(words, frozenset(known))
    assert "{" not in told
    assert all(word in told for word in ["Wait."] if word in words)


@pytest.mark.parametrize(
    ("changes", "reason"),
    [
        ({"words": "Hi {nme}."}, "unknown_figure"),
        ({"words": "Hi {first_name}."}, "unknown_figure"),
        ({"words": "Hi {grass."}, "stray_brace"),
        ({"words": "Hi {{grass}}."}, "stray_brace"),
        ({"words": "  \n "}, "no_words"),
        ({"words": "..."}, "no_words"),
        ({"words": "x" * 1501}, "too_long"),
        ({"words": "a\x00b"}, "bad_letters"),
        ({"words": "half \ud83d"}, "bad_letters"),
        ({"name": " "}, "name"),
        ({"useful_until": NOON - timedelta(minutes=1)}, "useless"),
        ({"due_at": NOON + timedelta(days=2), "useful_until": NOON + timedelta(days=1)}, "useless"),
    ],
)
def test_words_that_cannot_be_sent_are_refused_by_name(changes: dict[str, object], reason: str) -> None:
    """Each with what is wrong."""
    with pytest.raises(AdvisoryRefused) as refused:
        check(replace(NewAdvisory(name="Freeze", words="Wait."), **changes), NOON)

    assert refused.value.reason == reason


@pytest.mark.parametrize(
    ("words", "notes"),
    [
        ("Wait until May — it won’t hurt.", []),
        ("Погода. Wait.", ["odd-letters"]),
        ("wait " * 110 + ".", ["long-for-sms", "long-sentence"]),
        ("It will definitely come back.", ["certain"]),
    ],
)
def test_a_writer_is_told_what_makes_words_dear_or_hard_to_read(words: str, notes: list[str]) -> None:
    """Signs that have a plain like cost nothing more."""
    found = check(NewAdvisory(name="Freeze", words=words), NOON)

    assert [note.key.removeprefix("advisory-note-") for note in found.notes] == notes
    assert all(WORDS.text(note) for note in found.notes)


def test_placeholders_are_found_once_each() -> None:
    """In order."""
    assert placeholders_in("{a} {b} {a}") == ["a", "b"]
    assert not has_stray_brace("{a} {b}")
