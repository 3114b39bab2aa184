"""Any mixture of lines, people's acts and time: silent while held, never silent otherwise, nothing lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bot.store.rows import dump_homeowner, load_homeowner
from bot.talk.case import Homeowner, Standing, TaskState
from bot.talk.effects import CallPerson, KeepPhoto
from bot.talk.followup import SILENT_AT_MOST, held_until
from bot.talk.incoming import FROM_US, Arrived, Chose, Incoming, PersonCame, PersonSaid, Said, SentPhoto
from bot.talk.people import WORDS_KEPT
from bot.talk.ports import as_stored
from tests.talk.conversation import Conversation, confirmed, two_parts

SAID_WHILE_HELD = (
    "emergency-",
    "stopped",
    "ask-do_stop",
    "stop-not-meant",
    "welcome-back",
    "person-holds",
    "data-offer",
)
"""All that the bot says by itself while a person holds the talk."""


def before_a_task(talk: Conversation) -> Conversation:
    """The same two hours before its next reminder, so that something comes due while people come and go."""
    talk.now = min(map(talk.instant_of, talk.wanted)) - timedelta(hours=2)
    return talk


@cache
def starts() -> dict[str, Conversation]:
    """Talks at their confirmed plan, with one part and with two."""
    return {"alike": before_a_task(confirmed()), "two parts": before_a_task(two_parts())}


LONGEST_HOLD = SILENT_AT_MOST + timedelta(days=2)
"""A day of silence, then until hours that suit, on a day without another message."""

homeowner_lines = st.sampled_from(
    "is it dead?|plan|done|back|later|1|front|yes|no|not sure|my dog ate the fertilizer|we have got to stop this|stop|"
    "start|bot|my data|forget me|{ $x }|🦎|change|move|a few blades|person".split("|")
).map(lambda words: Said(text=words))
photos = st.integers(0, 9).map(lambda number: SentPhoto(photo_id=f"{number:064x}"))
presses = st.sampled_from(["t:1:photo:first:done", "q:1:grass:0:zoysia", "s:1:do_stop:0:yes", ":::"]).map(
    lambda token: Chose(tokens=(token,))
)
names = st.sampled_from(["Ana", "Bo"])
acts = st.one_of(
    st.builds(PersonCame, name=names, is_leaving=st.booleans()),
    st.builds(PersonSaid, name=names, words=st.sampled_from(["It is fine.", "Wait until May."])),
)
hours = st.sampled_from([1, 3, 9, 14, 25, 60])
steps = st.lists(
    st.one_of(homeowner_lines, photos, presses, st.just(Arrived()), acts, acts, hours), min_size=5, max_size=25
)


class Watch:
    """What must hold after every step of a talk."""

    def __init__(self, talk: Conversation) -> None:
        self.talk = talk
        self.unread: list[str] = []
        self.sent: set[str] = set()
        self.placed: set[str] = set()
        self.held_at: datetime | None = None

    @property
    def homeowner(self) -> Homeowner:
        assert self.talk.homeowner is not None
        return self.talk.homeowner

    def take(self, incoming: Incoming) -> None:
        before = self.homeowner
        self.talk.take(incoming)
        self.after(before, incoming)

    def pass_hours(self, number: int) -> None:
        """Hour by hour, as a ticker that looks often."""
        for _ in range(number):
            before = self.homeowner
            self.talk.pass_days(hours=1)
            self.after(before, None)

    def after(self, before: Homeowner, incoming: Incoming | None) -> None:
        self._check_voice(before, incoming)
        self._check_words(before, incoming)
        self._check_photos(incoming)
        self._check_tasks(before)
        self._check_time(incoming)
        assert load_homeowner(dump_homeowner(self.homeowner), as_stored) == self.homeowner

    def _check_voice(self, before: Homeowner, incoming: Incoming | None) -> None:
        is_held = bool(before.held_by) and before.held_by == self.homeowner.held_by
        keys = [part.key for say in self.talk.heard for part in say.parts]
        if is_held and not isinstance(incoming, PersonSaid):
            assert [key for key in keys if not key.startswith(SAID_WHILE_HELD)] == []
        if not before.held_by and incoming is not None and not isinstance(incoming, FROM_US):
            assert self.talk.effects  # a code to move is an effect of its own

    def _check_words(self, before: Homeowner, incoming: Incoming | None) -> None:
        """What was written to a person who fell silent is passed on again; while they hold, it is kept."""
        passed_on = [effect.question for effect in self.talk.effects if isinstance(effect, CallPerson)]
        if "person-silent" in self.talk.keys:
            assert passed_on[0] == "\n".join(self.unread)[-WORDS_KEPT:].strip()
        if not self.homeowner.held_by or self.homeowner.held_by != before.held_by or isinstance(incoming, PersonSaid):
            self.unread = [] if not self.homeowner.held_words else [self.homeowner.held_words]
        elif self.homeowner.held_words != before.held_words:
            assert isinstance(incoming, Said)
            assert self.homeowner.held_words.endswith(incoming.text.strip())
            self.unread.append(incoming.text.strip())
        assert self.homeowner.held_words == "\n".join(self.unread)[-WORDS_KEPT:].strip()

    def _check_photos(self, incoming: Incoming | None) -> None:
        if isinstance(incoming, SentPhoto) and self.homeowner.standing is not Standing.STOPPED:
            self.sent.add(incoming.photo_id)
        self.placed |= {effect.photo_id for effect in self.talk.effects if isinstance(effect, KeepPhoto)}
        in_hand = {photo.photo_id for case in self.homeowner.lawns for photo in case.in_hand}
        assert self.sent <= self.placed | in_hand

    def _check_tasks(self, before: Homeowner) -> None:
        """No task is told, missed or lost while a person holds the talk."""
        if not (before.held_by and self.homeowner.held_by):
            return
        for old, new in zip(before.lawns, self.homeowner.lawns, strict=True):
            assert [(task.key, task.state, task.told_on) for task in old.tasks] == [
                (task.key, task.state, task.told_on) for task in new.tasks
            ]
            assert all(task.state is not TaskState.PASSED or task in old.tasks for task in new.tasks)

    def _check_time(self, incoming: Incoming | None) -> None:
        """Nobody is left in silence for ever, and what ends it is always wanted."""
        until = held_until(self.homeowner)
        assert bool(until) == bool(self.homeowner.held_by)
        if until is not None:
            heard_at = self.homeowner.held_heard_at
            assert heard_at is not None
            assert until - heard_at <= LONGEST_HOLD
            assert self.talk.now <= until + timedelta(hours=1, minutes=5)


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(["alike", "two parts"]), steps)
def test_whatever_happens_the_talk_is_silent_while_held_and_only_then(start: str, taken: list[Incoming | int]) -> None:
    """Whoever writes, comes, leaves or falls silent, in whatever order."""
    watch = Watch(replace(starts()[start], heard=[], effects=[], record=[]))
    for step in taken:
        if isinstance(step, int):
            watch.pass_hours(step)
        else:
            watch.take(step)


@settings(max_examples=20, deadline=None)
@given(st.sampled_from(["alike", "two parts"]), steps)
def test_after_anything_the_bot_can_be_had_back_and_goes_on(start: str, taken: list[Incoming | int]) -> None:
    """Two days of nobody's word, "start", and the plan is told."""
    watch = Watch(replace(starts()[start], heard=[], effects=[], record=[]))
    for step in taken:
        watch.pass_hours(step) if isinstance(step, int) else watch.take(step)
    watch.pass_hours(24 * 4)

    assert watch.homeowner.held_by == ""
    watch.take(Said(text="start"))
    watch.take(Said(text="plan"))
    assert watch.talk.heard
