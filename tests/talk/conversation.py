"""A homeowner at the pure reducer: says things, presses buttons, lets days pass, and sees what is said."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from bot.conversation import RegionalFacts, known_of
from bot.talk.case import Case, Homeowner, Task
from bot.talk.effects import Choice, Effect, Reminder, Say
from bot.talk.followup import wanted_reminders, zone_of
from bot.talk.incoming import Arrived, Chose, DueReminder, Incoming, RemindersDue, Said
from bot.talk.known import Known
from bot.talk.messages import Sentences, Several, Text
from bot.talk.reducer import reduce
from bot.words import Words

WORDS = Words()
KNOWN = known_of(WORDS, RegionalFacts())
NOON_IN_JANUARY = datetime(2027, 1, 19, 17, 0, tzinfo=UTC)


@dataclass(slots=True)
class Conversation:
    """One talk with the reducer, the words and the gazetteer, without a shell."""

    now: datetime = NOON_IN_JANUARY
    homeowner: Homeowner | None = None
    known: Known = KNOWN
    heard: list[Say] = field(default_factory=list)
    effects: list[Effect] = field(default_factory=list)
    record: list[Incoming] = field(default_factory=list)

    def take(self, incoming: Incoming) -> list[Say]:
        """Hand something in; returns what is said to it."""
        self.now += timedelta(seconds=20)
        self.record.append(incoming)
        outcome = reduce(self.homeowner, incoming, self.now, self.known)
        self.homeowner = outcome.homeowner
        self.effects = list(outcome.effects)
        self.heard = [effect for effect in outcome.effects if isinstance(effect, Say)]
        return self.heard

    def arrive(self) -> list[Say]:
        return self.take(Arrived())

    def say(self, *lines: str) -> list[Say]:
        """Type lines one after the other."""
        for line in lines:
            self.take(Said(text=line))
        return self.heard

    def press(self, *labels: str) -> list[Say]:
        """Press buttons of the last message by what they say."""
        wanted = [choice for choice in self.choices if WORDS.text(choice.label) in labels]
        assert len(wanted) == len(labels), f"no such buttons: {labels} in {self.labels}"
        return self.take(Chose(tokens=tuple(choice.token for choice in wanted)))

    def pass_days(self, days: float = 0, hours: float = 0) -> list[Say]:
        """Let time pass and bring up what is then due, as the ticker would."""
        self.now += timedelta(days=days, hours=hours)
        return self.tick()

    def tick(self) -> list[Say]:
        due = tuple(
            DueReminder(lawn=wanted.lawn, task=wanted.task, due_on=wanted.due_on)
            for wanted in sorted(self.wanted, key=lambda each: (each.due_on, each.task))
            if self.instant_of(wanted) <= self.now
        )
        if not due:
            self.heard = []
            return []
        return self.take(RemindersDue(reminders=due))

    def instant_of(self, wanted: Reminder) -> datetime:
        assert self.homeowner is not None
        zone = ZoneInfo(zone_of(self.homeowner))
        return datetime(
            wanted.due_on.year, wanted.due_on.month, wanted.due_on.day, wanted.hour, wanted.minute, tzinfo=zone
        ).astimezone(UTC)

    @property
    def wanted(self) -> frozenset[Reminder]:
        return wanted_reminders(self.homeowner) if self.homeowner else frozenset()

    @property
    def case(self) -> Case:
        assert self.homeowner is not None
        assert self.homeowner.lawn is not None
        return self.homeowner.lawn

    @property
    def text(self) -> str:
        """Everything said last, in words."""
        assert self.homeowner is not None
        return "\n\n".join(WORDS.render(say, self.homeowner).text for say in self.heard)

    @property
    def choices(self) -> tuple[Choice, ...]:
        return self.heard[-1].choices if self.heard else ()

    @property
    def labels(self) -> list[str]:
        return [WORDS.text(choice.label) for choice in self.choices]

    @property
    def asked(self) -> str:
        """The id of the question now open, from the last message's key."""
        keys = [part.key for say in self.heard for part in say.parts if part.key.startswith("ask-")]
        return keys[-1].removeprefix("ask-").removesuffix("-spot") if keys else ""

    @property
    def keys(self) -> list[str]:
        """Every catalogue key said last, the nested ones too."""
        return [key for say in self.heard for part in say.parts for key in keys_in(part)]


def keys_in(text: Text) -> Iterator[str]:
    """The key of a text and of every text inside it."""
    yield text.key
    for value in text.values.values():
        items = value.items if isinstance(value, Several | Sentences) else (value,)
        for item in items:
            if isinstance(item, Text):
                yield from keys_in(item)


FREEZE = ("31522", "Jan 16", "14", "5 days", "no")
FIRST = ("31522", "Jan 16", "17", "4 days", "no", "St. Augustine", "1")
DETAILS = ("not sure", "all alike", "none", "4 inches", "half", "1200 sq ft", "15-0-15", "7")


def talked_to_first_answer() -> Conversation:
    """A homeowner who has just got the first answer."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FIRST)
    return talk


def talked_to_plan() -> Conversation:
    """A homeowner who has just got the plan."""
    talk = talked_to_first_answer()
    talk.say(*DETAILS)
    return talk


def confirmed() -> Conversation:
    """A homeowner with a confirmed plan."""
    talk = talked_to_plan()
    talk.say("yes", "yes")
    return talk


def two_parts() -> Conversation:
    """A confirmed plan for a front and a back that differ."""
    talk = Conversation()
    talk.arrive()
    talk.say(*FREEZE, "St. Augustine", "1", "not sure", "front and back", "none", "none", "1")
    talk.say("4 inches", "half", "1200 sq ft", "15-0-15", "7", "yes", "yes")
    return talk


def task(talk: Conversation, key: str) -> Task:
    return next(each for each in talk.case.tasks if each.key == key)


def walk_to(talk: Conversation, key: str, most_days: int = 250) -> list:
    """Let days pass, answering nothing, until a task is brought up."""
    for _ in range(most_days):
        said = talk.pass_days(1)
        if talk.homeowner and talk.homeowner.last_told_task == (1, key) and said:
            return said
    raise AssertionError(f"{key} was never brought up")


def mildly_hit() -> Conversation:
    """A confirmed plan of a hardier lawn after a milder freeze: its feeding check comes while frost still may."""
    talk = Conversation()
    talk.arrive()
    talk.say("31522", "Jan 16", "24", "2", "no", "Raleigh", "1", "all alike", "none", "4 inches", "half", "1200 sq ft")
    talk.say("15-0-15", "7", "yes", "yes")
    return talk
