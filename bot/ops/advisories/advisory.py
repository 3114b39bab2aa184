"""What an advisory is: its content, its state, and how it is stored.

The states: a draft is written and changed; approved, it waits for its moment; then it goes out, may be paused, and is
finished. Dropped is a draft nobody wants, or what was stopped for good on its way.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from enum import StrEnum
from functools import lru_cache

from bot.errors import AfterfrostError
from bot.ops.regions.audience import Audience, audience_doc, audience_from
from bot.store.advisories import AdvisoryRow
from bot.store.database import instant, milliseconds

USEFUL = timedelta(days=7)
"""How long advice is of use after it begins to go out, where nobody says otherwise."""
PRESSING_USEFUL = timedelta(days=2)
"""The same for what is pressing: a warning two days old misleads."""


class State(StrEnum):
    """How far an advisory is."""

    DRAFT = "draft"
    APPROVED = "approved"
    GOING_OUT = "going out"
    PAUSED = "paused"
    FINISHED = "finished"
    DROPPED = "dropped"


class AdvisoryRefused(AfterfrostError):
    """An advisory cannot be what was asked for. `reason` is a short name (like "changed"), the message says more."""

    def __init__(self, reason: str, message: str) -> None:
        super().__init__(message)
        self.reason = reason


@dataclass(frozen=True, slots=True, kw_only=True)
class NewAdvisory:
    """What an operator (or an alert) wants said.

    name : for operators
    words : as written, with places to fill in; see `filling.py`
    audience : who is meant
    is_pressing : a freeze warning or a correction, which may come beside the one message a day nobody asked for
    due_at : not before; None for at once
    after_id : goes only to those who got that one
    useful_until : nobody gets it later; None for a week after it begins (two days where it is pressing)
    corrects : the advisory whose words were wrong; it goes to exactly those who got them
    zone : whose clock its times were typed by; None: told by that of most of those it is for
    """

    name: str
    words: str
    audience: Audience = field(default_factory=Audience)
    is_pressing: bool = False
    due_at: datetime | None = None
    after_id: int | None = None
    useful_until: datetime | None = None
    corrects: int | None = None
    zone: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Advisory:
    """An advisory as it stands. `changed_by`: who wrote the revision that stands; an approval holds for `rev` alone.

    overtaken_by : what puts it right or brings it up to date, and stopped it when it was approved
    """

    id: int
    rev: int
    state: State
    content: NewAdvisory
    made_by: int | None
    changed_by: int | None
    made_at: datetime
    approved_by: int | None = None
    approved_at: datetime | None = None
    ended_at: datetime | None = None
    selected: int | None = None
    overtaken_by: int | None = None

    def useful_until(self, now: datetime) -> datetime:
        """Until when it may reach anybody, if it begins at the latest now."""
        if self.content.useful_until is not None:
            return self.content.useful_until
        begins = max(filter(None, (self.approved_at, self.content.due_at)), default=now)
        return begins + (PRESSING_USEFUL if self.content.is_pressing else USEFUL)

    @property
    def about(self) -> str:
        """What it is called in the record of who did what."""
        return about(self.id)


def about(advisory_id: int) -> str:
    """What an advisory is called in the record of who did what."""
    return f"advisory {advisory_id}"


def dump_content(content: NewAdvisory, changed_by: int | None) -> str:
    """What has no column of its own, as JSON text."""
    until = content.useful_until
    return json.dumps(
        {
            "name": content.name,
            "words": content.words,
            "audience": json.loads(audience_doc(content.audience)),
            "is_pressing": content.is_pressing,
            "useful_until_ms": None if until is None else milliseconds(until),
            "corrects": content.corrects,
            "zone": content.zone,
            "changed_by": changed_by,
        },
        separators=(",", ":"),
    )


def loaded(row: AdvisoryRow) -> Advisory:
    """An advisory from its row. Raises `TypeError` for a field nobody knows."""
    content, changed_by = _content_in(row.doc)
    return Advisory(
        id=row.id,
        rev=row.rev,
        state=State(row.state),
        content=replace(content, due_at=_instant(row.due_ms), after_id=row.after_id),
        made_by=row.made_by,
        changed_by=changed_by,
        made_at=instant(row.made_ms),
        approved_by=row.approved_by,
        approved_at=_instant(row.approved_ms),
        ended_at=_instant(row.ended_ms),
        selected=row.selected,
        overtaken_by=row.overtaken_by,
    )


@lru_cache(maxsize=32)
def _content_in(doc: str) -> tuple[NewAdvisory, int | None]:
    """What stands in a document, and who wrote it. Kept, since what goes out is looked at every second."""
    stored = json.loads(doc)
    audience, changed_by = audience_from(json.dumps(stored.pop("audience"))), stored.pop("changed_by")
    until_at = _instant(stored.pop("useful_until_ms"))
    return NewAdvisory(audience=audience, useful_until=until_at, **stored), changed_by


def _instant(at_ms: int | None) -> datetime | None:
    return None if at_ms is None else instant(at_ms)
