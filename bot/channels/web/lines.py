"""A stored conversation as the lines of a day-book. Pure: entries in, lines out.

1. A heading stands before the first line of each day, by the calendar where the lawn is.
2. What was pressed is shown in the words it showed when it was pressed.
3. At most one message is live: its choices can be pressed. Every other one is only there to be read.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal
from zoneinfo import ZoneInfo

from bot.store.store import Entry
from bot.talk.case import Homeowner, TaskState
from bot.talk.incoming import Arrived, Chose, Incoming, PhotoRefused, Said, SentPhoto, SharedPlace
from bot.talk.ports import Rendered, RenderedChoice
from bot.talk.tasks import TOKEN_TASK

BULLET = "• "


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A paragraph, or the lines of a list. `asks`: this is what the homeowner is to answer."""

    lines: tuple[str, ...]
    is_list: bool = False
    asks: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLine:
    """The heading of a day."""

    turn: int
    on: date
    kind: Literal["day"] = "day"

    @property
    def id(self) -> str:
        """The line's name on the page."""
        return f"d{self.on.isoformat()}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnLine:
    """What the homeowner did: words, or a key of the catalogue for what has none, and a photo they sent."""

    turn: int
    words: str = ""
    key: str = ""
    photo: str = ""
    kind: Literal["own"] = "own"

    @property
    def id(self) -> str:
        """The line's name on the page."""
        return f"t{self.turn}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldLine:
    """What they were told. `rendered` None: a copy of the data."""

    turn: int
    number: int
    blocks: tuple[Block, ...] = ()
    rendered: Rendered | None = None
    photos: tuple[str, ...] = ()
    kind: Literal["told"] = "told"

    @property
    def id(self) -> str:
        """The line's name on the page."""
        return f"m{self.number}"


Line = DayLine | OwnLine | ToldLine


def lines_of(entries: Sequence[Entry], zone: str) -> list[Line]:
    """The lines of a conversation, in order."""
    lines: list[Line] = []
    labels = _labels(entries)
    sent: dict[int, str] = {}
    for entry in entries:
        line = _own(entry, labels) if entry.incoming is not None else _told(entry, sent.get(entry.turn))
        if isinstance(entry.incoming, SentPhoto):
            sent[entry.turn] = entry.incoming.photo_id
        if line is not None:
            lines.append(line)
    return list(_dated(lines, {entry.turn: entry.at for entry in entries}, ZoneInfo(zone)))


def _dated(lines: Iterable[Line], at: dict[int, datetime], zone: ZoneInfo) -> Iterable[Line]:
    day: date | None = None
    for line in lines:
        on = at[line.turn].astimezone(zone).date()
        if on != day:
            day = on
            yield DayLine(turn=line.turn, on=on)
        yield line


def _labels(entries: Iterable[Entry]) -> dict[str, str]:
    """What each button said, by its token; a later wording wins."""
    return {
        choice.token: choice.label
        for entry in entries
        if entry.rendered is not None
        for choice in entry.rendered.choices
    }


def _own(entry: Entry, labels: dict[str, str]) -> OwnLine | None:
    match entry.incoming:
        case Said(text=words):
            return OwnLine(turn=entry.turn, words=words)
        case Chose(tokens=tokens):
            words = ", ".join(labels[token] for token in tokens if token in labels)
            return OwnLine(turn=entry.turn, words=words, key="" if words else "page-said-button")
        case SentPhoto(photo_id=photo_id):
            return OwnLine(turn=entry.turn, key="page-said-photo", photo=photo_id)
        case PhotoRefused():
            return OwnLine(turn=entry.turn, key="page-said-refused")
        case SharedPlace():
            return OwnLine(turn=entry.turn, key="page-said-place")
        case _:
            return None


def _told(entry: Entry, just_sent: str | None) -> ToldLine:
    rendered = entry.rendered
    number = entry.outbox_id or 0
    if rendered is None:
        return ToldLine(turn=entry.turn, number=number)
    photos = () if rendered.photos == (just_sent,) else rendered.photos  # it stands right above already
    return ToldLine(turn=entry.turn, number=number, blocks=blocks_of(rendered), rendered=rendered, photos=photos)


def blocks_of(rendered: Rendered) -> tuple[Block, ...]:
    """A text in paragraphs and lists. The last paragraph of a question is what is asked."""
    blocks: list[Block] = []
    for paragraph in rendered.text.split("\n\n"):
        for line in paragraph.split("\n"):
            is_item = line.startswith(BULLET)
            words = line.removeprefix(BULLET).strip()
            if is_item and blocks and blocks[-1].is_list:
                blocks[-1] = Block(lines=(*blocks[-1].lines, words), is_list=True)
            elif words:
                blocks.append(Block(lines=(words,), is_list=is_item))
    if blocks and not blocks[-1].is_list and _is_question(rendered, blocks[-1].lines[0]):
        blocks[-1] = Block(lines=blocks[-1].lines, asks=True)
    return tuple(blocks)


def _is_question(rendered: Rendered, last: str) -> bool:
    """A reminder has choices too, but what stands above them is a thing to do."""
    is_reminder = any(choice.token.startswith(f"{TOKEN_TASK}:") for choice in rendered.choices)
    return last.endswith("?") or (bool(rendered.choices) and not is_reminder)


# --- what can still be pressed ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """The message whose choices can be pressed."""

    id: str
    rendered: Rendered


def live_of(entries: Sequence[Entry], homeowner: Homeowner | None) -> Live | None:
    """The newest message with choices, while nobody answered it; a reminder as long as its task waits for one."""
    asked = next((entry for entry in reversed(entries) if entry.rendered and entry.rendered.choices), None)
    if asked is None or asked.rendered is None:
        return None
    later = [entry.incoming for entry in entries if entry.turn > asked.turn and entry.incoming and entry.is_done]
    answered = any(not isinstance(incoming, Arrived | PhotoRefused) for incoming in later)
    if answered and not _task_waits(asked.rendered.choices, later, homeowner):
        return None
    return Live(id=f"m{asked.outbox_id}", rendered=asked.rendered)


def _task_waits(choices: tuple[RenderedChoice, ...], later: list[Incoming], homeowner: Homeowner | None) -> bool:
    """Whether these are the answers to a reminder that is still open, with nothing else being asked."""
    if homeowner is None or homeowner.side is not None or homeowner.last_told_task is None or homeowner.lawn is None:
        return False
    number, key = homeowner.last_told_task
    about = f"{TOKEN_TASK}:{number}:{key}:"
    pressed = {token for incoming in later if isinstance(incoming, Chose) for token in incoming.tokens}
    is_open = any(task.key == key and task.state is TaskState.OPEN for task in homeowner.lawn.tasks)
    return (
        homeowner.lawn.number == number
        and is_open
        and all(choice.token.startswith(about) and choice.token not in pressed for choice in choices)
    )
