"""What can be said of an advisory before anybody is chosen: what must be put right, and what its writer should know.

1. Faults are refused, each with what to do about it: no words, a name in braces nobody knows, a stray brace, too long.
2. Notes are told: what makes a text message dearer, and what makes it hard to read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from bot.channels.sms.pages import AT_MOST
from bot.channels.sms.segments import gsm_text, is_gsm, segments_of
from bot.ops.advisories.advisory import AdvisoryRefused, NewAdvisory
from bot.ops.advisories.filling import Figure, has_stray_brace, placeholders_in
from bot.talk.messages import Number, Text, Verbatim, text

MOST_LETTERS = 1500
"""Of the words; a chat network takes more than twice as much, a reader does not."""
MOST_NAME_LETTERS = 120
LONG_SENTENCE_WORDS = 25
_JOINERS = "\n\u200d"  # a new line, and what joins several signs to one picture


class Note(StrEnum):
    """What a writer should know of the words."""

    ODD_LETTERS = "odd-letters"  # they cost more than twice as much by SMS
    LONG_FOR_SMS = "long-for-sms"  # goes out page by page
    LONG_SENTENCE = "long-sentence"
    CERTAIN = "certain"  # promises what nobody can know


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What the words cost by SMS before figures are filled in, and what their writer should know."""

    letters: int
    segments: int
    notes: tuple[Text, ...]


def check(content: NewAdvisory, now: datetime) -> Checked:
    """What can be told of words that may be sent. Raises `AdvisoryRefused` for those that may not."""
    for reason, message in _faults(content, now):
        raise AdvisoryRefused(reason, message)
    return Checked(
        letters=len(content.words.strip()),
        segments=segments_of(gsm_text(content.words.strip())),
        notes=tuple(_notes(content.words.strip())),
    )


def _faults(content: NewAdvisory, now: datetime) -> Iterator[tuple[str, str]]:
    words = content.words.strip()
    unknown = [name for name in placeholders_in(words) if name not in tuple(Figure)]
    if not content.name.strip() or len(content.name) > MOST_NAME_LETTERS:
        yield "name", f"An advisory needs a name of at most {MOST_NAME_LETTERS} letters."
    if not re.search(r"\w", words):
        yield "no_words", "There are no words to send."
    if len(words) > MOST_LETTERS:
        yield "too_long", f"The words have {len(words)} letters; at most {MOST_LETTERS} can be sent."
    if not _is_printable(words):
        yield "bad_letters", "The words hold letters that cannot be shown. Type them anew."
    if unknown:
        known = ", ".join(f"{{{name}}}" for name in Figure)
        yield "unknown_figure", f"Nothing can be filled in for {{{unknown[0]}}}. There are: {known}."
    if has_stray_brace(words):
        yield "stray_brace", "A brace stands by itself. Braces are for figures like {grass}."
    until, due = content.useful_until, content.due_at
    if until is not None and until <= max(now, due or now):
        yield "useless", "It would be of no use any more when it goes out. Give a later time until which it is."


def _is_printable(words: str) -> bool:
    return all(letter.isprintable() or letter in _JOINERS for letter in words)


def _notes(words: str) -> Iterator[Text]:
    folded = gsm_text(words)
    odd = list(dict.fromkeys(letter for letter in folded if not is_gsm(letter)))
    if odd:
        yield text(f"advisory-note-{Note.ODD_LETTERS}", letters=Verbatim(" ".join(odd[:5])))
    if segments_of(folded) > AT_MOST:
        yield text(f"advisory-note-{Note.LONG_FOR_SMS}", most=Number(AT_MOST))
    longest = max((len(each.split()) for each in re.split(r"[.!?\n]+", words)), default=0)
    if longest > LONG_SENTENCE_WORDS:
        yield text(f"advisory-note-{Note.LONG_SENTENCE}", words=Number(longest))
    certain = _CERTAIN.search(words)
    if certain:
        yield text(f"advisory-note-{Note.CERTAIN}", word=Verbatim(certain[0]))


_CERTAIN = re.compile(r"\b(?:guarantee[ds]?|certainly|definitely|always works|will (?:surely|definitely) \w+)\b", re.I)
