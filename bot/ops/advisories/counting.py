"""Counting, before anything is sent, who would get an advisory now, later, or not: everybody selected, once each.

1. It asks what the sending asks (`deciding.py`), once for each kind of people: a million fall into some hundred, by
   channel, hours, consent and what stands against a message. Their rows are read in one pass, with no document.
2. Whoever the rows do not tell enough about, or who took a turn since their row was made, is decided on by their own
   document, one by one; so the numbers are what would happen now. Where more than `DOCUMENTS_AT_MOST` are behind, their
   rows are taken as they are, and the preview says so.
3. It all happens in threads: replies go on.
"""

from __future__ import annotations

import asyncio
import logging
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

import numpy as np

from bot.logs import trace_of
from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.deciding import Address, Decision, Manner, Rules, Why, decide, manner_of
from bot.ops.advisories.filling import figures_known, is_left, known_figures, placeholders_in
from bot.store import glances, sends, stances
from bot.store.columns import Wholes
from bot.store.database import Transaction
from bot.store.rows import load_homeowner
from bot.store.sends import Figures, Standing
from bot.store.stances import Flag, Stance, Stances
from bot.store.store import Store
from bot.talk.ports import Talk

log = logging.getLogger(__name__)

PAGE = 1000
DOCUMENTS_AT_MOST = 5000
"""So many people who took a turn meanwhile are decided on by their documents."""
SAMPLES_KEPT = 40
"""Of each channel and grass one person is kept in mind, to show what they would read; no more kinds than this."""


@dataclass(slots=True, kw_only=True)
class Counted:
    """Everybody selected: who gets it now, who later and why, who not and why.

    hours : of those who get it, by channel and their hours ("zone first last")
    missing : of those who get it, by figure in the words: for how many it is not known
    by_channel : those who get it, in order
    examples : one person of each channel and grass
    """

    selected: int = 0
    now: Counter[str] = field(default_factory=Counter)
    later: Counter[Why] = field(default_factory=Counter)
    left_out: Counter[Why] = field(default_factory=Counter)
    hours: defaultdict[str, Counter[str]] = field(default_factory=lambda: defaultdict(Counter))
    missing: Counter[str] = field(default_factory=Counter)
    by_channel: dict[str, Wholes] = field(default_factory=dict)
    examples: dict[tuple[str, str], int] = field(default_factory=dict)

    @property
    def reached(self) -> int:
        """Who gets it, now or later."""
        return sum(map(len, self.by_channel.values()))

    @property
    def adds_up(self) -> bool:
        """Whether everybody selected is counted once."""
        return self.selected == self.reached + self.left_out.total()


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is to be counted: the words, what holds for everybody, and when it begins."""

    content: NewAdvisory
    rules: Rules
    now: datetime


async def count(store: Store, talk: Talk, question: Question, homeowner_ids: Wholes) -> Counted:
    """Count everybody of these; their ids are sorted, each once."""
    counting = _Counting(store, talk, question)
    async with store.database.read() as tx:  # all of it at one moment
        late = await glances.ids_out_of_date(tx, DOCUMENTS_AT_MOST + 1)
        found = await stances.of(tx, homeowner_ids)
        behind = np.array(late if len(late) <= DOCUMENTS_AT_MOST else [], dtype=np.int64)
        rest = await asyncio.to_thread(counting.add_kinds, found, homeowner_ids, behind)
        for start in range(0, len(rest), PAGE):
            await counting.add_people(tx, rest[start : start + PAGE].tolist())
    return await asyncio.to_thread(counting.done, len(homeowner_ids))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kind:
    """What decides on people, and what is known of the lawn they would be told of."""

    channel: str
    decision: Decision
    hours: str
    known: frozenset[str]
    grass: str

    @property
    def is_reached(self) -> bool:
        """Whether they get it, now or later."""
        return self.decision.why is None or self.decision.until is not None


class _Counting:
    def __init__(self, store: Store, talk: Talk, question: Question) -> None:
        self._store = store
        self._talk = talk
        self._content = question.content
        self._rules = question.rules
        self._now = question.now
        self._wanted = placeholders_in(question.content.words)
        self._reached: defaultdict[str, list[Wholes]] = defaultdict(list)
        self._counted = Counted()
        self._seen = 0

    # --- many at once ------------------------------------------------------------------------------------------------

    def add_kinds(self, found: Stances, wanted: Wholes, behind: Wholes) -> Wholes:
        """Count all of whom the rows tell enough; the others of those wanted."""
        owners, numbers = self._one_lawn_each(found)
        tells = np.array([kind.hours is not None for kind in found.kinds], dtype=np.bool_)
        is_meant = np.isin(owners, wanted, assume_unique=True) & ~np.isin(owners, behind, assume_unique=True)
        if len(tells):
            is_meant &= tells[numbers]
        owners, numbers = owners[is_meant], numbers[is_meant]
        order = np.argsort(numbers, kind="stable")
        starts = np.searchsorted(numbers[order], np.arange(len(found.kinds) + 1))
        for number, stance in enumerate(found.kinds):
            people = owners[order[starts[number] : starts[number + 1]]]
            if len(people):
                self._add(self._kind_of(stance), people)
        return np.setdiff1d(wanted, owners, assume_unique=True)

    def _one_lawn_each(self, found: Stances) -> tuple[Wholes, Wholes]:
        """Every owner once, with the lawn whose figures they would be told."""
        owners, numbers = found.homeowner_ids, found.numbers
        if not len(owners):
            return owners, numbers
        ranks = np.array([self._rank(kind) for kind in found.kinds], dtype=np.int64)
        order = np.lexsort((ranks[numbers], owners))  # it keeps the order of lawns of one rank
        owners, numbers = owners[order], numbers[order]
        is_first = np.ones(len(owners), dtype=np.bool_)
        is_first[1:] = owners[1:] != owners[:-1]
        return owners[is_first], numbers[is_first]

    def _rank(self, stance: Stance) -> int:
        """Which lawn is told of, as `seen_meant` has it: of the grasses named, then the one being talked about."""
        grasses = self._content.audience.grasses
        fits = not grasses or stance.grass in grasses
        return 2 * (not fits) + (not stance.has(Flag.ACTIVE_LAWN))

    def _kind_of(self, stance: Stance) -> _Kind:
        zone, first_hour, last_hour = (stance.hours or "").split(" ")
        manner = Manner(
            zone=zone,
            first_hour=int(first_hour),
            last_hour=int(last_hour),
            is_active=not stance.has(Flag.QUIET),
            is_held=stance.has(Flag.HELD),
            last_unasked_on=None if stance.unasked_on is None else date.fromisoformat(stance.unasked_on),
        )
        is_unreachable = stance.has(Flag.UNREACHABLE)
        address = Address(channel=stance.channel, consent=stance.consent, is_unreachable=is_unreachable)
        seen = Figures(
            homeowner_id=0,
            lawn=0,
            zone=zone,
            state="" if stance.has(Flag.STATE) else None,
            grass=stance.grass,
            crown_min_dc=0 if stance.has(Flag.CROWN_MIN) else None,
            soil_min_dc=0 if stance.has(Flag.SOIL_MIN) else None,
            alive_percent=0 if stance.has(Flag.ALIVE) else None,
        )
        return self._decided(manner, address, figures_known(seen), stance.grass)

    # --- one by one --------------------------------------------------------------------------------------------------

    async def add_people(self, tx: Transaction, homeowner_ids: Sequence[int]) -> None:
        """Count people by their documents."""
        standings = await sends.standings(tx, homeowner_ids)
        lawns = await sends.figures_of(tx, homeowner_ids)
        await asyncio.to_thread(self._add_people, standings, lawns)
        self._gone(len(homeowner_ids) - len(standings))

    def _add_people(self, standings: Sequence[Standing], lawns: Mapping[int, Sequence[Figures]]) -> None:
        for each in standings:
            try:
                self._add_one(each, lawns.get(each.homeowner_id, ()))
            except Exception as error:  # noqa: BLE001 - one who cannot be read must not hold up the others
                log.error("Homeowner %d cannot be read.\n%s", each.homeowner_id, trace_of(error))
                self._counted.left_out[Why.BROKEN] += 1

    def _add_one(self, each: Standing, lawns: Sequence[Figures]) -> None:
        if each.doc is None:
            self._gone(1)
            return
        homeowner = load_homeowner(each.doc, self._store.upgrade)
        manner = manner_of(homeowner, self._talk.zone_of(homeowner))
        address = Address(channel=each.channel, consent=each.consent, is_unreachable=bool(each.is_unreachable))
        known = known_figures(self._content, homeowner.active_lawn, lawns)
        grass = lawns[0].grass if lawns else None
        self._add(self._decided(manner, address, known, grass), np.array([each.homeowner_id], dtype=np.int64))

    def _gone(self, people: int) -> None:
        if people:
            self._counted.left_out[Why.GONE] += people

    # --- both --------------------------------------------------------------------------------------------------------

    def _decided(self, manner: Manner, address: Address, known: frozenset[str], grass: str | None) -> _Kind:
        decision = decide(manner, address, self._rules, self._now)
        if (decision.why is None or decision.until is not None) and not is_left(self._content.words, known):
            decision = Decision(why=Why.NO_FIGURES)
        return _Kind(channel=address.channel, decision=decision, hours=manner.hours, known=known, grass=grass or "")

    def _add(self, kind: _Kind, people: Wholes) -> None:
        counted, why = self._counted, kind.decision.why
        if why is not None and not kind.is_reached:
            counted.left_out[why] += len(people)
            return
        self._reached[kind.channel].append(people)
        if why is None:
            counted.now[kind.channel] += len(people)
        else:
            counted.later[why] += len(people)
        counted.hours[kind.channel][kind.hours] += len(people)
        counted.missing.update({name: len(people) for name in self._wanted if name not in kind.known})
        if len(counted.examples) < SAMPLES_KEPT:
            counted.examples.setdefault((kind.channel, kind.grass), int(people[0]))

    def done(self, selected: int) -> Counted:
        """Everything counted."""
        self._counted.selected = selected
        self._counted.by_channel = {
            channel: np.sort(np.concatenate(people)) for channel, people in self._reached.items()
        }
        return self._counted


def three_of(examples: Mapping[tuple[str, str], int]) -> list[int]:
    """Up to three people who differ in channel and grass as far as can be."""
    chosen: list[tuple[str, str]] = []
    while len(chosen) < min(3, len(examples)):
        rest = [kind for kind in examples if kind not in chosen]
        chosen.append(
            min(
                rest,
                key=lambda kind: (
                    sum(other[0] == kind[0] for other in chosen),
                    sum(other[1] == kind[1] for other in chosen),
                    kind[1] == "",
                ),
            )
        )
    return [examples[kind] for kind in chosen]
