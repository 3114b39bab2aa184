"""A copy of everything stored about a homeowner, for them to keep."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from bot.store import case_notes, glances, handovers, homeowners, inbox, outbox, photos, reaches, reminders
from bot.store.database import Transaction, instant
from bot.store.rows import dump_incoming, dump_rendered
from bot.store.schema import CANCELLED, GIVEN_UP, HANDED_OVER, PENDING

_REMINDER_STATES = {PENDING: "waiting", HANDED_OVER: "brought up", CANCELLED: "cancelled", GIVEN_UP: "failed"}


async def export(tx: Transaction, homeowner_id: int) -> dict[str, object]:
    """Everything stored about a homeowner, as plain data that JSON can carry. Empty when there is nobody of that id."""
    stored = (await homeowners.by_id(tx, [homeowner_id])).get(homeowner_id)
    if stored is None:
        return {}
    contacts = await homeowners.contacts_of(tx, homeowner_id)
    return {
        "addresses": [{"channel": channel, "address": address} for channel, address in contacts],
        "consent": [_consent(row) for each in contacts for row in await reaches.record_of(tx, *each)],
        "answers": json.loads(stored.doc) if stored.doc else None,
        "came_in": [_came_in(row) for row in await inbox.of_homeowner(tx, homeowner_id)],
        "told": [_told(row) for row in await outbox.of_homeowner(tx, homeowner_id)],
        "reminders": [_reminder(row) for row in await reminders.of_homeowners(tx, [homeowner_id])],
        "photos": [_photo(row) for row in await photos.of_homeowner(tx, homeowner_id)],
        "notes_about_them": [_note(row) for row in await case_notes.of_homeowner(tx, homeowner_id)],
        "seen_by_operators": [glances.plain(row) for row in await glances.of_homeowners(tx, [homeowner_id])],
        "questions_for_a_person": [_question(row) for row in await handovers.of_homeowner(tx, homeowner_id)],
    }


def _consent(row: reaches.Recorded) -> dict[str, Any]:
    at = instant(row.at_ms).isoformat()
    return {"at": at, "consent": row.consent.name.lower(), "said": row.said, "shown": row.shown, "from": row.source}


def _came_in(row: inbox.CameIn) -> dict[str, Any]:
    return {"at": row.at.isoformat(), "what": json.loads(dump_incoming(row.incoming)), "handled": row.is_handled}


def _told(row: outbox.Told) -> dict[str, Any]:
    what = json.loads(dump_rendered(row.rendered)) if row.rendered else {"copy_of_data": True}
    return {"at": row.at.isoformat(), "what": what, "sent": row.is_sent}


def _reminder(row: reminders.Kept) -> dict[str, Any]:
    lawn, task, day = row.key
    state = _REMINDER_STATES[row.state]
    return {"lawn": lawn, "task": task, "day": day, "due": instant(row.due_ms).isoformat(), "state": state}


def _photo(row: photos.StoredPhoto) -> dict[str, Any]:
    kept = asdict(row)
    return {"received": instant(kept.pop("received_ms")).isoformat(), **kept}


def _question(row: handovers.StoredHandover) -> dict[str, Any]:
    closed = instant(row.closed_ms).isoformat() if row.closed_ms is not None else None
    return {"at": instant(row.at_ms).isoformat(), "lawn": row.lawn, "question": row.question, "closed": closed}


def _note(row: case_notes.StoredNote) -> dict[str, Any]:
    return {"at": instant(row.at_ms).isoformat(), "by": row.by, "note": row.words}
