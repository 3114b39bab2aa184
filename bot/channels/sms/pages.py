"""A message too long for three text messages, cut into pages that are sent one by one as they are asked for.

1. Every page but the last ends with a hint how to get the next, and with it stays within three segments.
2. A page ends where a paragraph does, else a sentence, else a word. An end that would leave the page less than half
   full is passed over for the next kind, and a single word longer than a page is cut anywhere.
3. The pages in order hold every letter of the text; only blanks at the cuts are left out.
"""

from __future__ import annotations

import re

from bot.channels.sms.segments import segments_of

AT_MOST = 3
"""Segments of one page."""

_ENDS = (re.compile(r"\n\s*\n"), re.compile(r"(?<=[.!?])[\"')\]]*\s+|\n"), re.compile(r"\s+"))
"""What stands after a paragraph, a sentence (or a line of a list), a word."""


def pages(text: str, hint: str) -> tuple[str, ...]:
    """A text as it is sent: one page where it fits, else several with the hint at the end of all but the last."""
    if segments_of("x\n" + hint) > AT_MOST:
        raise ValueError("The hint leaves no room for the text; shorten it.")
    found = []
    rest = text
    while segments_of(rest) > AT_MOST:
        page, rest = _first_page(rest, hint)
        if page:  # a page of blanks alone is none
            found.append(f"{page}\n{hint}")
    return (*found, rest)


def _first_page(text: str, hint: str) -> tuple[str, str]:
    """The first page without its hint, and the rest."""
    longest = _longest(text, hint)
    end, start = _best_end(text, longest)
    return text[:end].rstrip(), text[start:].lstrip()


def _longest(text: str, hint: str) -> int:
    """How many letters of the text fit on a page together with the hint; at least one."""
    fits, too_long = 1, len(text) + 1
    while too_long - fits > 1:
        middle = (fits + too_long) // 2
        if segments_of(f"{text[:middle]}\n{hint}") <= AT_MOST:
            fits = middle
        else:
            too_long = middle
    return fits


def _best_end(text: str, longest: int) -> tuple[int, int]:
    """Where the page ends and the next one starts."""
    for kind in _ENDS:
        ends = [match for match in kind.finditer(text, longest // 2) if match.start() <= longest]
        if ends:
            return ends[-1].start(), ends[-1].end()
    return longest, longest
