"""One turn of the talk: the homeowner as they are, what has been said so far in this turn, and small moves on both.

A `Turn` lives inside one call of `reduce` and is never kept. The moves replace frozen data; nothing is changed in
place but the turn's own two fields.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from zoneinfo import ZoneInfo

from bot.talk import answers
from bot.talk.case import Case, Homeowner, SideTalk, Task, TaskState
from bot.talk.effects import Choice, Effect, Say, Urgency
from bot.talk.followup import zone_of
from bot.talk.known import Known
from bot.talk.messages import Text

_NEVER_LOST = frozenset({"stop", "repair", "photo_spot", "photo_weeds"})
"""Quiet or not; a spot that died; where a picture belongs, and what is weeds in it."""


@dataclass(slots=True)
class Turn:
    """What one message does, while it is being worked out."""

    homeowner: Homeowner
    now: datetime
    known: Known
    effects: list[Effect] = field(default_factory=list)
    urgency: Urgency = Urgency.REPLY

    @property
    def case(self) -> Case:
        """The lawn being talked about. Only for turns in which one exists."""
        case = self.homeowner.lawn
        if case is None:
            raise LookupError("no lawn is being talked about")
        return case

    @property
    def local_now(self) -> datetime:
        """The time at the active lawn."""
        case = self.homeowner.lawn
        zone = answers.zone(case) if case else answers.LEAST_KNOWN_PLACE.zone
        return self.now.astimezone(ZoneInfo(zone))

    @property
    def owner_now(self) -> datetime:
        """The time where the owner's hours are meant, whichever lawn is being talked about."""
        return self.now.astimezone(ZoneInfo(zone_of(self.homeowner)))

    @property
    def today(self) -> date:
        """The date at the active lawn."""
        return self.local_now.date()

    def update(self, **changes: object) -> None:
        """Change fields of the homeowner."""
        self.homeowner = replace(self.homeowner, **changes)  # type: ignore[arg-type]  # names are checked by replace

    def put_case(self, case: Case) -> None:
        """Put a lawn back in its place, or add it, and make it the one being talked about."""
        self.keep_case(case)
        self.update(active_lawn=case.number)

    def keep_case(self, case: Case) -> None:
        """Put a lawn back in its place, or add it. Whichever lawn is being talked about stays so."""
        lawns = self.homeowner.lawns
        if any(old.number == case.number for old in lawns):
            lawns = tuple(case if old.number == case.number else old for old in lawns)
        else:
            lawns = (*lawns, case)
        self.update(lawns=lawns)

    def update_case(self, **changes: object) -> None:
        """Change fields of the active lawn."""
        self.put_case(replace(self.case, **changes))  # type: ignore[arg-type]  # names are checked by replace

    def say(self, *parts: Text, choices: tuple[Choice, ...] = (), **more: object) -> None:
        """Add a message to what this turn says."""
        say = Say(parts=parts, choices=choices, urgency=self.urgency, **more)  # type: ignore[arg-type]
        self.effects.append(say)

    def say_any(self, parts: Sequence[Text]) -> None:
        """A message of these parts, if there are any."""
        if parts:
            self.say(*parts)

    def want(self, effect: Effect) -> None:
        """Add an effect that is not a message."""
        self.effects.append(effect)

    def start_side(self, topic: str, *about: str) -> None:
        """Open a side talk: its first question stands before the table's. One that must not get lost comes back after
        it; any other it takes the place of.
        """
        open_side = self.homeowner.side
        if open_side is not None and open_side.topic in _NEVER_LOST and open_side.topic != topic:
            self.update(parked=(*self.homeowner.parked, open_side))
        self.update(side=SideTalk(topic=topic, about=about, lawn=self.homeowner.active_lawn))

    def wait_with_side(self) -> None:
        """Let the open side talk wait until the next one is over, whatever it is about."""
        if self.homeowner.side is not None:
            self.update(parked=(*self.homeowner.parked, self.homeowner.side), side=None)

    def end_side(self) -> None:
        """Close the side talk, and go back to one that waits, if there is one."""
        parked = self.homeowner.parked
        self.update(side=parked[-1] if parked else None, parked=parked[:-1])

    def go_to_side_lawn(self) -> None:
        """Make the lawn of the open side talk the one being talked about."""
        side = self.homeowner.side
        if side is not None and any(case.number == side.lawn for case in self.homeowner.lawns):
            self.update(active_lawn=side.lawn)

    # --- tasks of the confirmed plan ---

    def task(self, key: str) -> Task | None:
        """A task of the active lawn by key."""
        return next((task for task in self.case.tasks if task.key == key), None)

    def put_task(self, task: Task, lawn: int | None = None) -> None:
        """Put a task back in its place; of the active lawn, or of another one without turning to it."""
        number = self.homeowner.active_lawn if lawn is None else lawn
        for case in self.homeowner.lawns:
            if case.number == number:
                tasks = tuple(task if old.key == task.key else old for old in case.tasks)
                self.keep_case(replace(case, tasks=tasks))

    def close_task(self, key: str, state: TaskState) -> None:
        """Mark a task done, skipped or dropped today."""
        task = self.task(key)
        if task is not None:
            self.put_task(replace(task, state=state, closed_on=self.today))
