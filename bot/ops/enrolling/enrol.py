"""Takes a list of people who agreed: each gets one text that asks whether they did, and nothing else until they answer.

1. The proof stands in the record of consent from the start. It does not stand for consent: their own YES does.
2. Nobody is asked twice, however often a list is handed in: whoever was asked, agreed, or said no (now, or before they
   were erased) is left out, and told about.
3. The question goes out in their hours, behind every reply and every advisory.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from bot.arrivals import Consent, ConsentNote
from bot.channels.sms.consent import ASK
from bot.ops.enrolling.lists import Agreed
from bot.store import audits, outbox, reaches, schema
from bot.store.audits import Deed
from bot.store.database import Transaction, milliseconds
from bot.store.rows import dump_rendered
from bot.store.store import Store
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import text
from bot.words import Words

CHANNEL = "sms"
A_TRANSACTION = 200
HOURS = "America/New_York 14 20"
"""Whoever is asked has told no place. At these hours it is 8 to 20 o'clock from Hawaii to Florida, all year."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Enrolled:
    """What became of a list: how many were asked, and how many were left out by reason."""

    asked: int = 0
    left_out: dict[str, int] = field(default_factory=dict)


async def enrol(store: Store, words: Words, agreed: Sequence[Agreed], now: datetime, by: int | None) -> Enrolled:
    """Ask everybody on a list who was never asked. Broken off, it goes on where it was when it is done again."""
    counts: Counter[str] = Counter()
    body = dump_rendered(words.render(Say(parts=(text(ASK),)), Homeowner(), is_short=True))
    for first in range(0, len(agreed), A_TRANSACTION):
        async with store.database.write() as tx:
            fresh = []
            for each in agreed[first : first + A_TRANSACTION]:
                why_not = await _why_not(tx, each)
                counts[why_not or "asked"] += 1
                if why_not is None:
                    fresh.append(each)
            await _ask(tx, fresh, body, milliseconds(now))
            detail = f"{len(fresh)} asked"
            await audits.note(
                tx, Deed(at_ms=milliseconds(now), operator_id=by, act="enrolled", about="a list", detail=detail)
            )
    asked = counts.pop("asked", 0)
    return Enrolled(asked=asked, left_out=dict(counts))


async def _why_not(tx: Transaction, agreed: Agreed) -> str | None:
    if await reaches.has_refused(tx, CHANNEL, agreed.number):
        return "said no"
    match (await reaches.of(tx, CHANNEL, agreed.number)).consent:
        case Consent.GIVEN:
            return "with us already"
        case Consent.ASKED:
            return "asked before"
        case _:
            return None


async def _ask(tx: Transaction, agreed: Sequence[Agreed], body: str, now_ms: int) -> None:
    rows = []
    for each in agreed:
        proof = f"list: {each.where}, {each.agreed_at.date().isoformat()}"
        note = ConsentNote(consent=Consent.ASKED, said=each.agreed_to, shown=ASK, source=proof)
        await reaches.note_consent(tx, CHANNEL, each.number, [note], now_ms)
        rows.append(
            outbox.NewRow(
                homeowner_id=None,
                inbox_id=None,
                channel=CHANNEL,
                address=each.number,
                kind=schema.OPENING,
                urgency=schema.DIGEST,
                made_ms=now_ms,
                due_ms=0,
                body=body,
                hours=HOURS,
            )
        )
    if rows:
        await outbox.add(tx, rows)
