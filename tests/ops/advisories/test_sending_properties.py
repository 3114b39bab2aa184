"""Advisories under every order of deeds: written, approved, taken back, paused, stopped, with people who leave, time
that passes and a service that starts anew in between.
"""

from __future__ import annotations

import asyncio
import re
import shutil
import tempfile
from collections import Counter
from collections.abc import Coroutine
from contextlib import AsyncExitStack
from datetime import timedelta
from pathlib import Path
from typing import Any, TypeVar

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from bot.ops.advisories.advisory import AdvisoryRefused, State
from bot.ops.advisories.report import Report, report
from tests.ops.advisories.town import NOON, Town, open_town

Result = TypeVar("Result")

PEOPLE = 7
OVER = (State.FINISHED, State.DROPPED, State.DRAFT)
_WORDS = re.compile(r"Advisory (\d+)\.")


class Sending(RuleBasedStateMachine):
    """One town, a few advisories, and everything that can happen to them."""

    def __init__(self) -> None:
        super().__init__()
        self.loop = asyncio.new_event_loop()
        self.stack = AsyncExitStack()
        self.folder = Path(tempfile.mkdtemp())
        self.advisories: list[int] = []
        self.stopped: dict[int, int] = {}
        self.left: dict[str, int] = {}

    def do(self, work: Coroutine[Any, Any, Result]) -> Result:
        """Do something in the town's own loop."""
        return self.loop.run_until_complete(work)

    @initialize()
    def open(self) -> None:
        """A town with a few people."""
        self.town: Town = self.do(self.stack.enter_async_context(open_town(self.folder)))
        for channel, count in (("web", 3), ("telegram", 3), ("sms", 1)):
            self.do(self.town.people(count, channel))

    # --- deeds -------------------------------------------------------------------------------------------------------

    @precondition(lambda self: len(self.advisories) < 4)
    @rule(pressing=st.booleans(), hours=st.none() | st.sampled_from([2, 30]), follows=st.booleans())
    def draft(self, pressing: bool, hours: int | None, follows: bool) -> None:
        """Somebody writes one, perhaps to follow another."""
        number = len(self.advisories) + 1
        more: dict[str, Any] = {"is_pressing": pressing}
        if hours is not None:
            more["useful_until"] = self.town.house.clock.now() + timedelta(hours=hours)
        if follows and self.advisories:
            more = {"after_id": self.advisories[0], "due_at": self.town.house.clock.now() + timedelta(days=1)}
        self.advisories += self.tried(self.town.draft(f"Advisory {number}.", **more))

    @precondition(lambda self: self.advisories)
    @rule(which=st.integers(0, 3), act=st.sampled_from(["approve", "undo", "pause", "resume", "cancel"]))
    def decide(self, which: int, act: str) -> None:
        """Somebody decides something about one, whether it can be done or not."""
        number = self.advisories[which % len(self.advisories)]
        acts = {
            "approve": lambda: self.town.approve(number),
            "undo": lambda: self.town.approving.undo(number, None),
            "pause": lambda: self.town.steering.pause(number, None),
            "resume": lambda: self.town.steering.resume(number, None),
            "cancel": lambda: self.town.steering.cancel(number, None),
        }
        if self.tried(acts[act]()) and act == "cancel":
            self.do(self.come_down())
            self.stopped[number] = self.got()[number].total()

    def tried(self, work: Coroutine[Any, Any, Result]) -> list[Result]:
        """What came of it; nothing where it was refused."""
        try:
            return [self.do(work)]
        except AdvisoryRefused:
            return []

    @rule(which=st.integers(0, PEOPLE - 1))
    def opt_out(self, which: int) -> None:
        """Somebody wants to hear nothing more."""
        channel = "web" if which < 3 else "telegram" if which < 6 else "sms"
        address = f"{channel} {which}"
        if address not in self.left:
            self.do(self.town.hears(channel, address, "stop"))
            self.do(self.come_down())
            self.left[address] = sum(counts[address] for counts in self.got().values())

    # --- time --------------------------------------------------------------------------------------------------------

    @rule(runs=st.integers(1, 3))
    def tick(self, runs: int) -> None:
        """A few seconds of the service."""
        for _ in range(runs):
            self.do(self.town.tick())

    @rule(hours=st.sampled_from([0.004, 0.5, 9, 24]))
    def pass_time(self, hours: float) -> None:
        """Seconds to a day."""
        self.town.house.pass_time(hours=hours)

    @rule()
    def restart(self) -> None:
        """The service ends and begins anew; what it held in memory is gone."""
        self.do(self.come_down())
        self.do(self.town.kill())

    async def come_down(self) -> None:
        """Let what is in the air arrive, and its answer be written down."""
        marked = "SELECT count(*) FROM outbox WHERE state = 1"
        await self.town.until(
            lambda: (
                not any(far.in_the_air for far in self.town.far.values())
                and self.town.house.value(marked) == sum(len(far.arrived) for far in self.town.far.values())
            )
        )

    # --- what always holds -------------------------------------------------------------------------------------------

    def got(self) -> dict[int, Counter[str]]:
        """How often each address got each advisory."""
        found = {number: Counter[str]() for number in self.advisories}
        for far in self.town.far.values():
            for each in far.arrived:
                words = _WORDS.search(each.text)
                if words:
                    found[self.advisories[int(words[1]) - 1]][each.address] += 1
        return found

    @invariant()
    def nobody_gets_one_twice(self) -> None:
        """On whatever channel, over whatever restart."""
        assert all(count == 1 for counts in self.got().values() for count in counts.values())

    @invariant()
    def nothing_comes_after_a_stop(self) -> None:
        """Neither of what was stopped nor to whoever said stop."""
        got = self.got()
        assert {number: got[number].total() for number in self.stopped} == self.stopped
        assert {each: sum(counts[each] for counts in got.values()) for each in self.left} == self.left

    @invariant()
    def every_report_adds_up(self) -> None:
        """At any moment, and it never counts more as surely sent than arrived."""
        got = self.got()
        for number in self.advisories:
            found = self.do(self.report(number))
            assert found.progress.adds_up
            assert found.progress.sent - found.unanswered <= got[number].total()

    async def report(self, number: int) -> Report:
        """As the desk shows it."""
        return await report(self.town.house.store.database, number)

    def teardown(self) -> None:
        """In the end everything is over, and what arrived is what the reports say."""
        if not hasattr(self, "town"):
            return
        try:
            self.run_to_the_end()
        finally:
            self.do(self.stack.aclose())
            self.loop.run_until_complete(self.loop.shutdown_asyncgens())
            self.loop.run_until_complete(self.loop.shutdown_default_executor())
            self.loop.close()
            shutil.rmtree(self.folder)

    def run_to_the_end(self) -> None:
        """Go on with what is paused, and let ten days pass."""
        for number in self.advisories:
            self.tried(self.town.steering.resume(number, None))
        day = max(self.town.house.clock.now(), NOON)
        for days in range(1, 11):
            self.town.house.clock.set((day + timedelta(days=days)).replace(hour=17, minute=0))
            self.do(self.town.settle())
            if days == 1:
                self.town.house.pass_time(minutes=3)
                self.do(self.town.settle())
        got = self.got()
        self.nobody_gets_one_twice()
        self.nothing_comes_after_a_stop()
        for number in self.advisories:
            found = self.do(self.report(number))
            assert found.advisory.state in OVER
            assert found.progress.sent - found.unanswered <= got[number].total() <= found.progress.sent
            assert found.progress.selected == found.progress.over


Sending.TestCase.settings = settings(
    max_examples=4,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
test_sending_under_every_order_of_deeds = Sending.TestCase
