"""The last lines of a talk as a person of ours reads them: who said what when, and what came of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from bot.store.store import Entry
from bot.talk.incoming import Chose, PhotoRefused, Said, SentPhoto, SharedPlace

LAST = 20
_COORDINATES = re.compile(r"-?\d{1,3}\.\d{3,}\s*[,;/ ]\s*-?\d{1,3}\.\d{3,}")
"""A point finer than a kilometre. What is stored of a place is coarser, so a page must not be finer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseLine:
    """One line. `key` stands for what has no words of its own; `is_done`: handled, or sent."""

    at: datetime
    is_theirs: bool
    words: str = ""
    key: str = ""
    photo: str = ""
    is_done: bool = True


def last_lines(entries: Sequence[Entry], at_most: int = LAST) -> tuple[CaseLine, ...]:
    """The newest lines, in order."""
    labels = {
        choice.token: choice.label
        for entry in entries
        if entry.rendered is not None
        for choice in entry.rendered.choices
    }
    lines = (_theirs(entry, labels) if entry.incoming is not None else _ours(entry) for entry in entries)
    return tuple(line for line in lines if line is not None)[-at_most:]


def _ours(entry: Entry) -> CaseLine:
    if entry.rendered is None:
        return CaseLine(at=entry.at, is_theirs=False, key="cases-line-data", is_done=entry.is_done)
    return CaseLine(at=entry.at, is_theirs=False, words=entry.rendered.text, is_done=entry.is_done)


def _theirs(entry: Entry, labels: dict[str, str]) -> CaseLine | None:
    words, key, photo = "", "", ""
    match entry.incoming:
        case Said(text=said):
            words = _COORDINATES.sub(_coarser, said)
        case Chose(tokens=tokens):
            words = ", ".join(labels[token] for token in tokens if token in labels)
            key = "cases-line-pressed" if words else "cases-line-button"
        case SentPhoto(photo_id=photo):
            key = "cases-line-photo"
        case PhotoRefused():
            key = "cases-line-refused"
        case SharedPlace():
            key = "cases-line-place"
        case _:
            return None
    return CaseLine(at=entry.at, is_theirs=True, words=words, key=key, photo=photo, is_done=entry.is_done)


def _coarser(point: re.Match[str]) -> str:
    return re.sub(r"(\.\d{2})\d+", r"\1", point[0])
