"""What `afterfrost cases` prints: lines for people (tuples), or plain data for programs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

from bot.ops.cases.book import CaseBook
from bot.ops.cases.lines import CaseLine
from bot.ops.cases.story import LawnStory, SpotStory
from bot.ops.cases.waiting import Waiting
from bot.store.case_lists import Trouble
from bot.store.database import instant
from bot.store.handovers import StoredHandover, WaitingQuestion
from bot.talk.messages import Text, text
from bot.words import Words

Lines = tuple[str, ...]


def question_lines(questions: Sequence[WaitingQuestion]) -> Lines:
    """The open questions, oldest first."""
    return tuple(_question_line(each) for each in questions) or (Words().text(text("tray-empty")),)


def questions_plain(questions: Sequence[WaitingQuestion]) -> list[dict[str, Any]]:
    """The same as data."""
    return [
        {
            "id": each.id,
            "case": each.homeowner_id,
            "at": instant(each.at_ms).isoformat(),
            "lawn": each.lawn,
            "question": each.question,
            "left_by_a_person": each.is_left,
        }
        for each in questions
    ]


def _question_line(each: WaitingQuestion) -> str:
    day = f"{instant(each.at_ms).astimezone():%b %d, %H:%M}"
    lawn = f", lawn {each.lawn}" if each.lawn is not None else ""
    left = " (a person held the talk and did not answer)" if each.is_left else ""
    return f"case {each.homeowner_id}, question {each.id}, {day}{lawn}{left}: {each.question or 'no words'}"


def waiting_lines(found: Waiting) -> Lines:
    """Everything that waits, each kind under its heading; a kind of which there is none is left out."""
    held = [f"case {t.case_id}: {t.by}, last heard {_ago(found, t.heard_at)}" for t in found.held]
    silent = [f"case {s.case_id}: told {_ago(found, s.told_at)}, {s.told_times} times since" for s in found.silent]
    parts = (
        (f"Questions that wait ({found.open_count}):", [_question_line(each) for each in found.questions]),
        ("Held by a person:", held),
        ("Last words not understood:", [f"case {case_id}" for case_id in found.not_understood]),
        ("Came in and could not be handled:", [_trouble_line(found, each) for each in found.not_handled]),
        ("Told something and never answered:", silent),
    )
    lines = [line for heading, listed in parts if listed for line in (heading, *(f"  {each}" for each in listed))]
    return tuple(lines) or ("Nothing waits for a person.",)


def _trouble_line(found: Waiting, each: Trouble) -> str:
    whose = f"case {each.homeowner_id}" if each.homeowner_id is not None else "nobody known"
    return f"{whose}: {_ago(found, instant(each.at_ms))} ({each.error or 'no reason kept'})"


def _ago(found: Waiting, at: datetime) -> str:
    gone = found.seen_at - at
    if gone >= timedelta(days=2):
        return f"{gone.days} days ago"
    hours = int(gone / timedelta(hours=1))
    return f"{hours} hours ago" if hours != 1 else "1 hour ago"


def waiting_plain(found: Waiting) -> dict[str, Any]:
    """The same as data."""
    return {
        "open": found.open_count,
        "questions": questions_plain(found.questions),
        "held": [
            {"case": t.case_id, "by": t.by, "heard": t.heard_at.isoformat(), "unread": t.has_unread} for t in found.held
        ],
        "not_understood": list(found.not_understood),
        "not_handled": [
            {"case": t.homeowner_id, "at": instant(t.at_ms).isoformat(), "error": t.error} for t in found.not_handled
        ],
        "silent": [
            {
                "case": s.case_id,
                "heard": s.heard_at.isoformat(),
                "told": s.told_at.isoformat(),
                "told_times": s.told_times,
            }
            for s in found.silent
        ],
    }


# --- one case --------------------------------------------------------------------------------------------------------


def book_lines(book: CaseBook, words: Words) -> Lines:
    """One case to read."""
    return tuple(_book_lines(book, words))


def _book_lines(book: CaseBook, words: Words) -> Iterable[str]:
    story = book.story
    yield f"Case {book.id}" + (" (wants no messages)" if story.is_quiet else "")
    if book.invited_by:
        yield f"Came by the link of {book.invited_by}"
    if story.held_by:
        yield f"Held by {story.held_by}"
    for lawn in story.lawns:
        yield ""
        yield from _lawn_lines(lawn, words)
    yield from _part("Asked of a person:", [_asked_line(each) for each in book.questions])
    yield from _part("Photos:", [photo.photo_id for photo in book.photos])
    yield from _part("Notes:", [f"{note.by or 'at the command line'}: {note.words}" for note in book.notes])
    yield from _part("The last lines:", [_line(line, words) for line in book.lines])


def _lawn_lines(lawn: LawnStory, words: Words) -> Iterable[str]:
    place = words.text(lawn.place) if lawn.place is not None else "place not known"
    yield f"Lawn {lawn.number}: {words.text(lawn.grass)}, {place} {lawn.zip_code}".rstrip()
    yield f"  {lawn.stage}; it is {lawn.local_now:%a %H:%M} there"
    for spot in lawn.spots:
        yield from (f"  {told}" for told in _spot_told(spot, words))
    yield from (f"  {words.text(each)}" for each in lawn.moved)
    yield from (f"  {each.on:%b %d} {words.text(each.task)}: {words.text(each.state)}" for each in lawn.plan)


def _spot_told(spot: SpotStory, words: Words) -> Iterable[str]:
    yield words.text(text("cases-spot", where=spot.where))
    yield from (words.text(each) for each in (*spot.odds, *spot.why, spot.state))
    yield from (f"{report.on:%b %d} {words.text(report.told)}" for report in spot.reports)
    yield from (f"{shot.on:%b %d} {words.text(shot.green)} ({shot.photo_id})" for shot in spot.shots)


def _asked_line(each: StoredHandover) -> str:
    state = "open" if each.closed_ms is None else "closed"
    return (
        f"question {each.id}, {instant(each.at_ms).astimezone():%b %d, %H:%M}, {state}: {each.question or 'no words'}"
    )


def _line(line: CaseLine, words: Words) -> str:
    who = "homeowner" if line.is_theirs else "Afterfrost"
    said = " ".join(part for part in (words.text(Text(key=line.key)) if line.key else "", line.words) if part)
    said = "\n      ".join(part for part in said.split("\n") if part)
    undone = "" if line.is_done else " (not handled)" if line.is_theirs else " (not sent yet)"
    return f"{line.at.astimezone():%b %d, %H:%M} {who}{undone}: {said}"


def _part(heading: str, lines: Sequence[str]) -> Iterable[str]:
    if lines:
        yield from ("", heading, *(f"  {line}" for line in lines))


def book_plain(book: CaseBook, words: Words) -> dict[str, Any]:
    """One case as data, its texts in words."""
    story = book.story
    return {
        "case": book.id,
        "quiet": story.is_quiet,
        "held_by": story.held_by or None,
        "invited_by": book.invited_by or None,
        "lawns": [_lawn_plain(lawn, words) for lawn in story.lawns],
        "questions": [
            {
                "id": each.id,
                "at": instant(each.at_ms).isoformat(),
                "lawn": each.lawn,
                "question": each.question,
                "open": each.closed_ms is None,
            }
            for each in book.questions
        ],
        "photos": [photo.photo_id for photo in book.photos],
        "notes": [{"at": instant(n.at_ms).isoformat(), "by": n.by or None, "note": n.words} for n in book.notes],
        "lines": [
            {
                "at": line.at.isoformat(),
                "from": "homeowner" if line.is_theirs else "afterfrost",
                "words": line.words or words.text(Text(key=line.key)),
                "photo": line.photo or None,
                "done": line.is_done,
            }
            for line in book.lines
        ],
    }


def _lawn_plain(lawn: LawnStory, words: Words) -> dict[str, Any]:
    return {
        "lawn": lawn.number,
        "place": words.text(lawn.place) if lawn.place is not None else None,
        "zip": lawn.zip_code or None,
        "grass": words.text(lawn.grass),
        "stage": str(lawn.stage),
        "spots": [_spot_plain(spot, words) for spot in lawn.spots],
        "moved": [words.text(each) for each in lawn.moved],
        "plan": [
            {"on": each.on.isoformat(), "task": words.text(each.task), "state": words.text(each.state)}
            for each in lawn.plan
        ],
    }


def _spot_plain(spot: SpotStory, words: Words) -> dict[str, Any]:
    return {
        "spot": spot.name,
        "band": spot.band,
        "odds": [words.text(each) for each in spot.odds],
        "why": [words.text(each) for each in spot.why],
        "state": words.text(spot.state),
        "reports": [{"on": each.on.isoformat(), "told": words.text(each.told)} for each in spot.reports],
        "photos": [
            {"on": each.on.isoformat(), "photo": each.photo_id, "green": words.text(each.green)} for each in spot.shots
        ],
    }
