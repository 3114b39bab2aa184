"""One turn, worked out in memory: from a homeowner and what came in to the rows that are to be written.

1. A turn is worked out whole before anything of it counts. If any part fails (the conversation, its words, a value that
   cannot be stored), nothing of the turn happened.
2. Turns of one homeowner follow each other; each sees what the one before it left.
3. After a turn that erases the homeowner, whoever writes from the same address is somebody new.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from bot.store import moves, schema
from bot.store.homeowners import Contact, StoredHomeowner
from bot.store.reminders import Wish
from bot.store.rows import dump_homeowner, dump_rendered, load_homeowner
from bot.talk.case import Homeowner, Standing
from bot.talk.effects import CallPerson, Effect, ForgetHomeowner, KeepPhoto, OfferData, OfferMove, Say, Urgency
from bot.talk.incoming import FROM_US, Incoming, RemindersDue, SentPhoto
from bot.talk.messages import Verbatim, text
from bot.talk.ports import Talk
from bot.talk.understand.move_codes import shown

BROKE = Say(parts=(text("broke"),))
"""What somebody is told whose message could not be handled."""

SHORT_CHANNELS = frozenset({"sms"})
"""Channels whose messages are short: each letter of theirs is paid for."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """One thing that came in, with its row in the inbox and where an answer goes.

    `reworded`: keys of the catalogue in whose place the shell, which sees all chats, has better words.
    """

    inbox_id: int
    channel: str
    address: str
    incoming: Incoming
    reworded: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_ours(self) -> bool:
        """Whether our own clock or a person of ours brought this up, not the homeowner."""
        return isinstance(self.incoming, FROM_US)

    @property
    def is_short(self) -> bool:
        """Whether what is said to it has to be short."""
        return self.channel in SHORT_CHANNELS


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """One message to queue."""

    turn: Turn
    kind: int
    urgency: int
    body: str
    hours: str | None = None  # in which it may be sent: zone, first and last local hour


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Everything one turn does."""

    homeowner: Homeowner
    doc: str
    wishes: frozenset[Wish]
    sayings: tuple[Saying, ...]
    questions: tuple[CallPerson, ...]
    filings: tuple[KeepPhoto, ...]
    is_erasing: bool
    code: str | None = None  # with which another chat may join


@dataclass(slots=True, kw_only=True)
class Person:
    """A homeowner while a batch is worked on: as stored, as they are now, and what is to be written for them."""

    id: int | None
    channel: str
    address: str
    rev: int = 0
    doc: str | None = None
    homeowner: Homeowner | None = None
    trouble: Exception | None = None  # why the stored homeowner could not be loaded
    wishes_before: frozenset[Wish] = frozenset()
    wishes: frozenset[Wish] = frozenset()
    is_heard: bool = False
    is_erased: bool = False
    is_silenced: bool = False  # a turn of this batch left them wanting no messages by ourselves
    is_joined: bool = False  # a chat joined them in this batch: rows of theirs were stored as somebody else's
    code: str | None = None  # with which another chat may join, if one was wanted in this batch
    turns: list[Turn] = field(default_factory=list)
    sayings: list[Saying] = field(default_factory=list)
    questions: list[tuple[Turn, CallPerson]] = field(default_factory=list)
    filings: list[KeepPhoto] = field(default_factory=list)
    errors: dict[int, str] = field(default_factory=dict)  # by inbox row

    def note(self, turn: Turn) -> None:
        """Count a turn, however it goes, and where they were heard."""
        self.turns.append(turn)
        self.rev += 1
        if not turn.is_ours:
            self.is_heard, self.channel, self.address = True, turn.channel, turn.address

    def accept(self, turn: Turn, step: Step) -> None:
        """Let a turn that was worked out count."""
        self.is_silenced = step.homeowner.standing is not Standing.ACTIVE
        self.homeowner, self.doc, self.wishes = step.homeowner, step.doc, step.wishes
        self.sayings += step.sayings
        self.questions += [(turn, question) for question in step.questions]
        self.filings += step.filings
        self.is_erased = step.is_erasing
        self.code = step.code or self.code

    def photos_sent(self) -> list[str]:
        """The photos that came in from them."""
        return [turn.incoming.photo_id for turn in self.turns if isinstance(turn.incoming, SentPhoto)]


class Crowd:
    """The people of a batch, by where they write from. Each is loaded at their first turn: all of them at once would
    keep everybody else waiting.
    """

    def __init__(self, talk: Talk, stored: Mapping[Contact, StoredHomeowner]) -> None:
        self._talk = talk
        self._stored = dict(stored)
        self._by_id: dict[int, Person] = {}
        self._by_contact: dict[Contact, Person] = {}
        self.people: list[Person] = []

    def at(self, contact: Contact) -> Person:
        """Who writes from there: somebody known, or somebody new."""
        row = self._stored.pop(contact, None)
        if row is not None:
            self._by_contact[contact] = self.of(row)
        person = self._by_contact.get(contact)
        if person is None or person.is_erased:
            person = self._added(Person(id=None, channel=contact[0], address=contact[1]))
            self._by_contact[contact] = person
        return person

    def of(self, row: StoredHomeowner) -> Person:
        """A stored homeowner, as this batch has them."""
        if row.id not in self._by_id:
            self._by_id[row.id] = self._added(loaded(self._talk, row))
        return self._by_id[row.id]

    def put(self, contact: Contact, person: Person | None) -> None:
        """Whoever writes from there is this person from now on, or somebody new."""
        self._stored.pop(contact, None)
        self._by_contact.pop(contact, None)
        if person is not None:
            self._by_contact[contact] = person

    def _added(self, person: Person) -> Person:
        self.people.append(person)
        return person


def loaded(talk: Talk, row: StoredHomeowner) -> Person:
    """A person from their row. One that cannot be loaded is a trouble of their own turns, not of the batch."""
    person = Person(id=row.id, channel=row.channel, address=row.address, rev=row.rev, doc=row.doc)
    if row.doc is None:
        return person
    try:
        person.homeowner = load_homeowner(row.doc, talk.upgrade)
        person.wishes_before = person.wishes = wishes_of(talk, person.homeowner)
    except Exception as error:  # noqa: BLE001 - kept, and raised again by each of their turns, where it is logged
        person.trouble = error
    return person


def wishes_of(talk: Talk, homeowner: Homeowner) -> frozenset[Wish]:
    """Every reminder a homeowner wants, with the zone it is meant in."""
    zone = talk.zone_of(homeowner)
    return frozenset((wanted, zone) for wanted in talk.wanted_reminders(homeowner))


def hours_of(talk: Talk, homeowner: Homeowner) -> str:
    """The zone and the local hours in which a homeowner wants what they did not ask for."""
    return f"{talk.zone_of(homeowner)} {homeowner.first_hour} {homeowner.last_hour}"


NewCode = Callable[[], str]
"""Makes a code with which a chat may join: chance, so no business of the conversation."""


def work_out(talk: Talk, person: Person, turn: Turn, now: datetime, new_code: NewCode = moves.new_code) -> Step:
    """What a turn does. Changes nothing, and raises whatever the conversation raises."""
    if person.trouble is not None:
        raise person.trouble
    outcome = talk.reduce(person.homeowner, turn.incoming, now, talk.known)
    homeowner = outcome.homeowner
    is_erasing = any(isinstance(effect, ForgetHomeowner) for effect in outcome.effects)
    code = new_code() if any(isinstance(effect, OfferMove) for effect in outcome.effects) else None
    effects = [_code_told(code) if isinstance(each, OfferMove) and code else each for each in outcome.effects]
    return Step(
        homeowner=homeowner,
        doc=person.doc if person.doc is not None and homeowner is person.homeowner else dump_homeowner(homeowner),
        wishes=wishes_of(talk, homeowner),
        sayings=tuple(_sayings(talk, homeowner, turn, effects, is_erasing=is_erasing)),
        questions=tuple(effect for effect in outcome.effects if isinstance(effect, CallPerson)),
        filings=tuple(effect for effect in outcome.effects if isinstance(effect, KeepPhoto)),
        is_erasing=is_erasing,
        code=code,
    )


def _code_told(code: str) -> Say:
    return Say(parts=(text("move-code", code=Verbatim(shown(code))),))


def say_it_broke(talk: Talk, person: Person, turn: Turn) -> Saying:
    """The message for somebody whose turn failed. Raises whatever the words raise."""
    body = dump_rendered(talk.render(BROKE, person.homeowner or Homeowner(), is_short=turn.is_short))
    return Saying(turn=turn, kind=schema.MESSAGE, urgency=schema.REPLY, body=body)


def _sayings(
    talk: Talk, homeowner: Homeowner, turn: Turn, effects: Iterable[Effect], *, is_erasing: bool
) -> Iterable[Saying]:
    for effect in effects:
        if isinstance(effect, Say):
            is_reminder = isinstance(turn.incoming, RemindersDue)
            urgency = schema.REMINDER if is_reminder else _URGENCIES[effect.urgency]
            is_any_time = urgency == schema.REPLY and not effect.in_hours
            hours = None if is_any_time else hours_of(talk, homeowner)
            said = _reworded(effect, turn) if turn.reworded else effect
            body = dump_rendered(talk.render(said, homeowner, is_short=turn.is_short))
            yield Saying(turn=turn, kind=schema.MESSAGE, urgency=urgency, body=body, hours=hours)
        elif isinstance(effect, OfferData) and not is_erasing and not turn.is_short:  # a text says where to get it
            yield Saying(turn=turn, kind=schema.DATA_COPY, urgency=schema.REPLY, body="")


_URGENCIES = {
    Urgency.REPLY: schema.REPLY,
    Urgency.ADVISORY: schema.ADVISORY,
    Urgency.REMINDER: schema.REMINDER,
}


def _reworded(say: Say, turn: Turn) -> Say:
    return replace(say, parts=tuple(replace(part, key=turn.reworded.get(part.key, part.key)) for part in say.parts))
