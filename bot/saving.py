"""The rows of a batch: what its turns left behind, written with a fixed number of statements whatever its size.

The order matters. Whoever is forgotten goes first, so that somebody who writes again from the same address in the same
batch is stored as somebody new; newcomers come next, because everything else needs their ids.
"""

from __future__ import annotations

from collections.abc import Sequence

from bot.store import handovers, homeowners, inbox, moves, outbox, photos, reminders
from bot.store.database import Transaction
from bot.store.store import erase
from bot.turns import Person, Saying

AT_ONCE = 0
"""Due instant of what may go out now. Not the time it was made: a clock that is set back must not hold it up."""


async def save_people(tx: Transaction, people: Sequence[Person], now_ms: int) -> set[str]:
    """Write everything a batch did. Returns the photos whose files can go once this is on disk."""
    people = [person for person in people if person.turns or person.is_erased]
    gone = [person for person in people if person.is_erased]
    staying = [person for person in people if not person.is_erased]
    newcomers = [person for person in staying if person.id is None]
    known = [person for person in staying if person.id is not None]
    await _claim(tx, known)
    orphans = await _forget(tx, gone, newcomers) if gone else set()
    if newcomers:
        await _add(tx, newcomers, now_ms)
    await _save(tx, known, now_ms)
    codes = [(_id(person), person.code) for person in staying if person.code is not None]
    if codes:
        await moves.offer(tx, codes, now_ms)
    errors = {row: error for person in staying for row, error in person.errors.items()}
    if errors:
        await inbox.mark_failed(tx, errors)
    silenced = [_id(person) for person in known if person.is_silenced]
    if silenced:
        await outbox.withdraw_reminders(tx, silenced)
    queued = [_queued(person, saying, now_ms) for person in people for saying in person.sayings]
    if queued:
        await outbox.add(tx, queued)
    await save_wishes(tx, staying)
    await _save_photos(tx, staying, now_ms)
    await _pass_on(tx, staying, now_ms)
    return orphans


async def save_wishes(tx: Transaction, people: Sequence[Person]) -> None:
    """Turn the difference between what was wanted and what is wanted into rows."""
    dropped = []
    wanted = []
    for person in people:
        if person.wishes == person.wishes_before:
            continue
        keys = {reminders.key_of(reminder) for reminder, _ in person.wishes}
        keys_before = {reminders.key_of(reminder) for reminder, _ in person.wishes_before}
        dropped += [(_id(person), key) for key in sorted(keys_before - keys)]
        wanted += [(_id(person), wish) for wish in person.wishes - person.wishes_before]
    if dropped:
        await reminders.cancel(tx, dropped)
    if wanted:
        await reminders.want(tx, wanted)


async def _claim(tx: Transaction, known: Sequence[Person]) -> None:
    """Rows that were stored before it was known whose they are."""
    rows = {turn.inbox_id: person.id for person in known if person.is_joined for turn in person.turns}
    if rows:
        await inbox.assign(tx, rows)


async def _forget(tx: Transaction, gone: Sequence[Person], newcomers: Sequence[Person]) -> set[str]:
    """Erase, but not the messages of somebody who wrote on from the same address: those are a newcomer's."""
    if newcomers:
        await inbox.assign(tx, {turn.inbox_id: None for person in newcomers for turn in person.turns})
    await inbox.blank(tx, [turn.inbox_id for person in gone for turn in person.turns])
    ids = [person.id for person in gone if person.id is not None]
    await moves.erase_of(tx, ids)
    return await erase(tx, ids)


async def _add(tx: Transaction, newcomers: Sequence[Person], now_ms: int) -> None:
    rows = [
        homeowners.NewHomeowner(
            doc=person.doc, rev=person.rev, channel=person.channel, address=person.address, heard_ms=now_ms
        )
        for person in newcomers
    ]
    for person, of_id in zip(newcomers, await homeowners.add(tx, rows), strict=True):
        person.id = of_id
    await inbox.assign(tx, {turn.inbox_id: person.id for person in newcomers for turn in person.turns})


async def _save(tx: Transaction, known: Sequence[Person], now_ms: int) -> None:
    heard = [
        homeowners.Heard(
            of_id=_id(person),
            doc=person.doc,
            rev=person.rev,
            channel=person.channel,
            address=person.address,
            heard_ms=now_ms,
        )
        for person in known
        if person.is_heard
    ]
    if heard:
        await homeowners.save_heard(tx, heard)
    unheard = [(_id(person), person.doc, person.rev) for person in known if not person.is_heard]
    if unheard:
        await homeowners.save_unheard(tx, unheard)


def _queued(person: Person, saying: Saying, now_ms: int) -> outbox.NewRow:
    return outbox.NewRow(
        homeowner_id=None if person.is_erased else _id(person),
        inbox_id=None if person.is_erased else saying.turn.inbox_id,
        channel=saying.turn.channel,
        address=saying.turn.address,
        kind=saying.kind,
        urgency=saying.urgency,
        made_ms=now_ms,
        due_ms=AT_ONCE,
        body=saying.body,
        hours=saying.hours,
    )


async def _save_photos(tx: Transaction, people: Sequence[Person], now_ms: int) -> None:
    arrivals = [
        photos.Arrival(homeowner_id=_id(person), photo_id=photo_id, received_ms=now_ms)
        for person in people
        for photo_id in person.photos_sent()
    ]
    if arrivals:
        await photos.arrived(tx, arrivals)
    filings = [
        photos.Filing(
            homeowner_id=_id(person),
            photo_id=filing.photo_id,
            received_ms=now_ms,
            lawn=filing.lawn,
            spot=filing.spot,
            shown_on=filing.on.isoformat(),
        )
        for person in people
        for filing in person.filings
    ]
    if filings:
        await photos.file(tx, filings)


async def _pass_on(tx: Transaction, people: Sequence[Person], now_ms: int) -> None:
    questions = [
        handovers.NewHandover(
            homeowner_id=_id(person),
            inbox_id=turn.inbox_id,
            lawn=question.lawn,
            question=question.question,
            at_ms=now_ms,
        )
        for person in people
        for turn, question in person.questions
    ]
    if questions:
        await handovers.add(tx, questions)


def _id(person: Person) -> int:
    """The id of somebody who is stored by now."""
    if person.id is None:
        raise ValueError("a newcomer was not stored before the rows that belong to them")
    return person.id
