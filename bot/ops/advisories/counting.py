"""Counting, before anything is sent, who would get an advisory now, later, or not: everybody selected, once each.

It asks what the sending asks (`deciding.py`), page by page in a thread, from rows and the plain stored text of
homeowners. So a preview of thousands takes no time and one of a million half a minute, and both add up.
"""

from __future__ import annotations

import asyncio
import json
import logging
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from bot.logs import trace_of
from bot.ops.advisories.advisory import NewAdvisory
from bot.ops.advisories.deciding import Address, Decision, Rules, Why, decide, manner_in
from bot.ops.advisories.filling import is_left, known_figures, placeholders_in
from bot.store import sends
from bot.store.database import Database
from bot.store.sends import Figures, Standing
from bot.talk.answers import LEAST_KNOWN_PLACE

log = logging.getLogger(__name__)

PAGE = 4000
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
    by_channel: defaultdict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    examples: dict[tuple[str, str], int] = field(default_factory=dict)

    @property
    def reached(self) -> int:
        """Who gets it, now or later."""
        return sum(map(len, self.by_channel.values()))

    @property
    def adds_up(self) -> bool:
        """Whether everybody selected is counted once."""
        return self.selected == self.reached + self.left_out.total()


async def count(
    database: Database, content: NewAdvisory, homeowner_ids: Sequence[int], rules: Rules, now: datetime
) -> Counted:
    """Count everybody of these."""
    counting = _Counting(content, rules, now)
    for start in range(0, len(homeowner_ids), PAGE):
        page = homeowner_ids[start : start + PAGE]
        async with database.read() as tx:
            standings = await sends.standings(tx, page)
            lawns = await sends.figures_of(tx, page)
        await asyncio.to_thread(counting.add, standings, lawns)
    counting.counted.selected += len(homeowner_ids)
    gone = len(homeowner_ids) - counting.seen
    if gone:
        counting.counted.left_out[Why.GONE] += gone
    return counting.counted


class _Counting:
    def __init__(self, content: NewAdvisory, rules: Rules, now: datetime) -> None:
        self._content = content
        self._rules = rules
        self._now = now
        self._wanted = placeholders_in(content.words)
        self.counted = Counted()
        self.seen = 0

    def add(self, standings: Sequence[Standing], lawns: Mapping[int, Sequence[Figures]]) -> None:
        for each in standings:
            self.seen += 1
            try:
                self._add_one(each, lawns.get(each.homeowner_id, ()))
            except (ValueError, KeyError, TypeError) as error:
                log.error("Homeowner %d cannot be read.\n%s", each.homeowner_id, trace_of(error))
                self.counted.left_out[Why.BROKEN] += 1

    def _add_one(self, each: Standing, lawns: Sequence[Figures]) -> None:
        if each.doc is None:
            self.counted.left_out[Why.GONE] += 1
            return
        stored = json.loads(each.doc)
        manner = manner_in(stored, lawns[0].zone if lawns else LEAST_KNOWN_PLACE.zone)
        address = Address(channel=each.channel, consent=each.consent, is_unreachable=bool(each.is_unreachable))
        decision = decide(manner, address, self._rules, self._now)
        known = known_figures(self._content, stored["active_lawn"], lawns) if self._wanted else frozenset()
        if decision.why is None or decision.until is not None:
            if not is_left(self._content.words, known):
                decision = Decision(why=Why.NO_FIGURES)
        self._note(each, decision)
        if decision.why is None or decision.until is not None:
            self.counted.hours[each.channel][manner.hours] += 1
            self.counted.missing.update(name for name in self._wanted if name not in known)
            self._keep_example(each, lawns)

    def _note(self, each: Standing, decision: Decision) -> None:
        if decision.why is not None and decision.until is None:
            self.counted.left_out[decision.why] += 1
            return
        self.counted.by_channel[each.channel].append(each.homeowner_id)
        if decision.why is None:
            self.counted.now[each.channel] += 1
        else:
            self.counted.later[decision.why] += 1

    def _keep_example(self, each: Standing, lawns: Sequence[Figures]) -> None:
        kind = (each.channel, (lawns[0].grass if lawns else None) or "")
        if len(self.counted.examples) < SAMPLES_KEPT:
            self.counted.examples.setdefault(kind, each.homeowner_id)


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
