"""Owners of invented lawns, who talk with the real conversation through a whole spring; what they are told is kept.

One seed and number make one lawn and one talk, whoever runs them and in whatever order. What is assumed:

- Photos err as `InventedSpot.readings` says; one in twenty cannot be read and is taken again at once. They come weekly
  from two weeks before warm soil to the end, and monthly once all of the lawn was told to be coming back.
- A look at the runners sees eight of them, each taken for the other kind one time in ten.
- By eye green is guessed with a logit error of 0.4 and told as the nearest of the words offered.
- One reminder in twenty is answered "later"; one in twenty of those without a test of life is not answered at all.
- Half of the owners press buttons, the others type what the buttons say.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

import numpy as np

from bot.talk.advice import lawn_view
from bot.talk.case import Task, TaskState
from bot.talk.cover import CoverSeen
from bot.talk.effects import Say
from bot.talk.incoming import Chose, SentPhoto
from bot.talk.messages import Text, Verbatim
from bot.talk.tasks import TOKEN_TASK
from rules.season import Season
from rules.task_kinds import TaskKind
from tests.talk.conversation import KNOWN, WORDS, Conversation, keys_in
from tests.talk.invented_lawns import Fate, InventedLawn, InventedPart, invented_lawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """Something said of a part: a verdict or what its photos show, by catalogue key."""

    on: date
    warm_days: int
    part: str
    key: str


@dataclass(slots=True)
class Spring:
    """What became of one talk."""

    lawn: InventedLawn
    season: Season
    told: list[Told] = field(default_factory=list)
    messages: int = 0
    questions: int = 0
    unasked: int = 0
    unasked_on: date | None = None
    by_eye_beside_photo: int = 0  # asked how much is green although a photo of that day or the day before was measured
    faults: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)

    def of(self, part: InventedPart, *prefixes: str) -> list[Told]:
        """What was said of a part, in order."""
        return [each for each in self.told if each.part == part.name and each.key.startswith(prefixes)]


VERDICTS = ("verdict-", "settled-early")
ALIVE_KEYS = frozenset({"photo-state-recovering", "photo-state-recovered", "settled-early", "verdict-coming_back"})

_BY_EYE: Mapping[str, float] = {
    "none": 0.0, "a few blades": 0.03, "about a tenth": 0.1, "about a quarter": 0.25, "about half": 0.5,
    "most of it": 0.75, "all of it": 0.95,
}  # fmt: skip
_RUNNERS_LOOKED_AT, _RUNNER_MISTAKEN, _EYE_LOGIT_SD = 8, 0.1, 0.4
_LATER_SHARE, _SILENT_SHARE, _UNREADABLE_SHARE = 0.05, 0.05, 0.05
_TESTS = frozenset({TaskKind.LOOK, TaskKind.POT_START, TaskKind.POT_READ, TaskKind.JUDGE})
_PICTURES = frozenset({TaskKind.FIRST_PHOTO, TaskKind.PHOTO})
MOST_ANSWERS_A_DAY = 15
JUDGED_TWICE = "the same part judged twice on one day"
OPEN_AT_MOST_DAYS = 120  # a judging day that is still open so long after the last verdict date is stuck
_MISSED = ("not-understood", "unclear-", "button-unknown")
_JUDGING = frozenset({TaskKind.JUDGE})


class Owner:
    """Answers as somebody with this lawn would, and writes down what is said."""

    def __init__(self, lawn: InventedLawn, chance: np.random.Generator, *, in_words: bool = False) -> None:
        self.lawn, self.chance, self.in_words = lawn, chance, in_words
        self.talk = Conversation()
        self.pictured: InventedPart = lawn.parts[0]
        self.photos = 0
        self.last_photos_on: date | None = None
        self.waited: set[str] = set()
        self.judged: set[tuple[date, str]] = set()
        self.potted_on: dict[str, date] = {}
        self.presses = chance.random() < 0.5
        self.spring: Spring | None = None

    # --- telling apart what is said ---

    def heard(self, said: str) -> None:
        """Write down one turn."""
        spring = self.spring_so_far()
        talk = self.talk
        if self.in_words:
            spring.lines.append(f"{self.today}  > {said}")
            spring.lines.extend(f"{self.today}  < {_plain(talk, say)}" for say in talk.heard)
        for say in talk.heard:
            spring.messages += 1
            if said == _NOTHING:
                self._count_unasked()
            spring.questions += self._questions(say, said)
            for told in self._told(say):
                self._look_at_verdict(told)
                spring.told.append(told)

    def _count_unasked(self) -> None:
        spring = self.spring_so_far()
        spring.unasked += 1
        if spring.unasked_on == self.today:
            self._fault("two messages on one day that nobody asked for")
        spring.unasked_on = self.today

    def _questions(self, say: Say, said: str) -> int:
        """How many questions a message asks; more than one, or one that was not understood, is a fault."""
        asked = sum(part.key.startswith("ask-") for part in say.parts)
        if asked > 1:
            self._fault(f"{asked} questions in one message")
        for key in (key for part in say.parts for key in keys_in(part) if key.startswith(_MISSED)):
            self._fault(f"not understood: {said!r} got {key}")
        return asked

    def _look_at_verdict(self, told: Told) -> None:
        if not told.key.startswith("verdict-"):
            return
        if (told.on, told.part) in self.judged:
            self._fault(JUDGED_TWICE)
        self.judged.add((told.on, told.part))

    def _told(self, say: Say) -> Iterator[Told]:
        names = [name for part in say.parts if (name := _part_named(part)) is not None]
        for part in say.parts:
            if part.key.startswith((*VERDICTS, "photo-state-")) and part.key != "verdict-pot-or-look":
                own = _part_named(part)
                name = own if own is not None else names[0] if names else ""
                warm = self.spring_so_far().season.warm_days_by(self.today)
                yield Told(on=self.today, warm_days=warm, part=name, key=part.key)

    def spring_so_far(self) -> Spring:
        """The record; its season follows the answers."""
        if self.spring is None:
            self.spring = Spring(lawn=self.lawn, season=lawn_view(self.talk.case, KNOWN).season)
        return self.spring

    @property
    def today(self) -> date:
        return self.talk.now.date()  # noon to evening in the eastern half of the country: the same day there

    # --- the first talk ---

    def agree(self) -> None:
        """The first talk up to a confirmed plan."""
        self.talk.arrive()
        self.heard("(arrives)")
        for _ in range(40):
            question = self.talk.asked
            if not question or self._is_confirmed:
                break
            self._say(self._first_answer(question))
        if not self._is_confirmed:
            self._fault("no confirmed plan after the first talk")
        self.spring_so_far().season = lawn_view(self.talk.case, KNOWN).season
        self._go_through_what_is_asked()

    @property
    def _is_confirmed(self) -> bool:
        return self.talk.case.planned_on is not None

    def _first_answer(self, question: str) -> str:
        lawn = self.lawn
        told = {
            "place": lawn.place, "air_min": f"{lawn.air_f} F", "days_cold": str(lawn.days_cold), "grass": lawn.grass,
            "spots": "front and back differ" if len(lawn.parts) > 1 else "all alike",
        }  # fmt: skip
        return told.get(question) or _FIRST.get(question, "not sure")

    # --- the days after ---

    def live_through(self) -> None:
        """Day by day until two weeks after the last verdict date, or until every judging day is closed."""
        season = self.spring_so_far().season
        end_on = season.likely_dead_on + timedelta(days=14)
        while self.today < end_on or (self._judging_open and self.today < end_on + timedelta(days=OPEN_AT_MOST_DAYS)):
            if self.talk.pass_days(1):
                self.heard(_NOTHING)
                self._go_through_what_is_asked()
            if self._is_picture_day:
                self._send_pictures()
        for task in self._judging_open:
            self._fault(f"never closed: {task.key}")

    @property
    def _judging_open(self) -> list[Task]:
        return [t for t in self.talk.case.tasks if t.kind in _JUDGING and t.state is TaskState.OPEN]

    @property
    def _is_picture_day(self) -> bool:
        first_on = self.spring_so_far().season.warm_soil_on - timedelta(days=14)
        if self.today < first_on:
            return False
        step = 28 if self._is_settled else 7
        return self.last_photos_on is None or (self.today - self.last_photos_on).days >= step

    @property
    def _is_settled(self) -> bool:
        """Every part was told to be coming back: nobody sends weekly pictures of a green lawn."""
        good = {each.part for each in self.spring_so_far().told if each.key in ("settled-early", "verdict-coming_back")}
        return good >= {part.name for part in self.lawn.parts}

    def _go_through_what_is_asked(self) -> None:
        """Reminders and questions, until nothing is open."""
        for _ in range(MOST_ANSWERS_A_DAY):
            if self.talk.asked:
                self._say(self._answer(self.talk.asked))
                continue
            task = self._reminded
            if task is None or not self._act(task):
                return
        self._fault(f"still asked after {MOST_ANSWERS_A_DAY} answers: {self.talk.asked}")

    def _fault(self, what: str) -> None:
        self.spring_so_far().faults.append(f"{self.today} {what}")

    @property
    def _reminded(self) -> Task | None:
        """The task whose reminder was said last and waits for an answer."""
        if not any(choice.token.startswith(f"{TOKEN_TASK}:") for choice in self.talk.choices):
            return None
        told = self.talk.homeowner.last_told_task if self.talk.homeowner else None
        tasks = (task for task in self.talk.case.tasks if told is not None and task.key == told[1])
        return next((task for task in tasks if task.state is TaskState.OPEN), None)

    def _act(self, task: Task) -> bool:
        """Do what a reminder asks for; False where the owner says nothing."""
        if task.kind in _PICTURES:
            self._send_pictures()
            return True
        drawn = float(self.chance.random())
        if drawn < _SILENT_SHARE and task.kind not in _TESTS:
            return False
        if drawn > 1 - _LATER_SHARE:
            self._say("later", "in 3 days")
        elif self.presses:
            self._press(0)
        else:
            self._say("done")
        return True

    def _send_pictures(self) -> None:
        self.last_photos_on = self.today
        for part in self.lawn.parts:
            self.pictured = part
            if self.chance.random() < _UNREADABLE_SHARE:
                self._send(part, "blurred")
            self._send(part)

    def _send(self, part: InventedPart, reason: str = "") -> None:
        (reading,) = part.spot.readings(self.chance, [self.true_warm_days])
        percent = round(reading.cover_percent, 1)
        width = 6 if percent < 15 else 10
        self.photos += 1
        seen = CoverSeen(
            percent=percent,
            low=max(0.0, percent - width),
            high=min(100.0, percent + width),
            upload="page",
            dhash=f"{int(self.chance.integers(2**63)):016x}",
            reason=reason,
        )
        self.talk.take(SentPhoto(photo_id=f"{self.photos:064x}", cover=seen))
        self.heard(f"(photo of {part.name or 'the lawn'}: {percent} % {reason})")
        self._go_through_what_is_asked()
        filed = next((each for each in self.talk.case.checkins if each.photo_id == f"{self.photos:064x}"), None)
        if filed is None or filed.spot != part.name:
            self._fault("a photo was not filed under the part it shows")

    @property
    def true_warm_days(self) -> float:
        """Warm days as the lawn had them, which may be others than the table's."""
        return float(max(0, (self.today - self.spring_so_far().season.warm_soil_on).days - self.lawn.season_off_days))

    # --- answers ---

    def _answer(self, question: str) -> str:
        part = self._part_asked()
        if question not in _SEEN:
            return _ALWAYS.get(question, "not sure")
        return _SEEN[question](self, part)

    def _part_asked(self) -> InventedPart:
        named = [_part_named(text) for say in self.talk.heard for text in say.parts if text.key.startswith("ask-")]
        return next((part for part in self.lawn.parts if part.name in named), self.lawn.parts[0])

    def spot_pictured(self, part: InventedPart) -> str:
        return self.pictured.name

    def weeds_in_photo(self, part: InventedPart) -> str:
        weights = {Fate.DEAD_WEEDS: (0.05, 0.15, 0.65, 0.15), Fate.DEAD: (0.5, 0.05, 0.05, 0.4)}
        chosen = self.chance.choice(4, p=weights.get(part.fate, (0.85, 0.05, 0.0, 0.1)))
        return ("no", "some", "most", "not sure")[chosen]

    def weeds_by_eye(self, part: InventedPart) -> str:
        likely = 0.85 if part.fate is Fate.DEAD_WEEDS else 0.05
        return "yes" if self.chance.random() < likely else "no"

    def green_by_eye(self, part: InventedPart) -> str:
        if self.last_photos_on is not None and (self.today - self.last_photos_on).days <= 1:
            self.spring_so_far().by_eye_beside_photo += 1
        true = part.spot.cover_percent(self.true_warm_days)
        if true < 2:
            return "none" if true < 1 or self.chance.random() < 0.5 else "a few blades"
        logit = math.log(true / (100 - min(true, 99.5))) + self.chance.normal(0, _EYE_LOGIT_SD)
        fraction = 1 / (1 + math.exp(-logit))
        return min(_BY_EYE, key=lambda words: abs(_BY_EYE[words] - fraction))

    def runners(self, part: InventedPart) -> str:
        right = np.where(self.chance.random(_RUNNERS_LOOKED_AT) < _RUNNER_MISTAKEN, 0.0, 1.0)
        alive = self.chance.random(_RUNNERS_LOOKED_AT) < part.spot.alive_fraction
        firm = float(np.mean(np.where(alive, right, 1 - right)))
        return "firm" if firm > 0.75 else "soft" if firm < 0.25 else "some firm, some soft"

    def plugs_potted(self, part: InventedPart) -> str:
        self.potted_on[part.name] = self.today
        return str(len(part.plugs.shows_from_week))

    def plugs_green(self, part: InventedPart) -> str:
        weeks = (self.today - self.potted_on.get(part.name, self.today)).days // 7
        return f"{part.plugs.green_at(weeks)} of {len(part.plugs.shows_from_week)}"

    def repair(self, part: InventedPart) -> str:
        """One owner in two waits once; then new grass."""
        if part.name not in self.waited and self.chance.random() < 0.5:
            self.waited.add(part.name)
            return "wait"
        return "sod"

    def shoots(self, part: InventedPart) -> str:
        return "yes" if part.is_alive and part.spot.cover_percent(self.true_warm_days) > 5 else "no"

    # --- saying ---

    def _say(self, *lines: str) -> None:
        """Press the button that reads so, where this owner presses buttons and there is one; else type it."""
        for line in lines:
            labels = [WORDS.text(choice.label) for choice in self.talk.choices]
            if self.presses and line in labels:
                self._press(labels.index(line))
            else:
                self.talk.say(line)
                self.heard(line)

    def _press(self, number: int) -> None:
        choice = self.talk.choices[number]
        self.talk.take(Chose(tokens=(choice.token,)))
        self.heard(f"[{WORDS.text(choice.label)}]")


_NOTHING = "(a day passes)"
_FIRST: Mapping[str, str] = {
    "coldest_on": "Jan 16", "snow": "no", "see": "blades straw-colored and crisp", "site": "none of these",
    "see_spot": "blades straw-colored and crisp", "mow_height": "3 inches", "notch": "half", "size": "1200 sq ft",
    "bag": "15-0-15", "bag_slow": "7", "time_ok": "yes", "keep_track": "yes, remind me",
}  # fmt: skip
_ALWAYS: Mapping[str, str] = {
    "do_frost": "no", "do_rings": "no", "do_weather": "yes", "do_mowed": "once", "do_when": "in 3 days",
    "do_size": "600 sq ft", "bag": "15-0-15", "bag_slow": "7",
}  # fmt: skip
_SEEN: Mapping[str, Callable[[Owner, InventedPart], str]] = {
    "do_spot": Owner.spot_pictured,
    "do_photo_weeds": Owner.weeds_in_photo,
    "do_weeds": Owner.weeds_by_eye,
    "do_green": Owner.green_by_eye,
    "do_runners": Owner.runners,
    "do_plugs": Owner.plugs_potted,
    "do_count": Owner.plugs_green,
    "do_repair": Owner.repair,
    "do_shoots": Owner.shoots,
}


def _part_named(text: Text) -> str | None:
    """The part of the lawn a text is about: its name, "" for the whole lawn, None where it names none."""
    where = text.values.get("where")
    if not isinstance(where, Text):
        return None
    name = where.values.get("name")
    return name.text if isinstance(name, Verbatim) else ""


def _plain(talk: Conversation, say: Say) -> str:
    homeowner = talk.homeowner
    if homeowner is None:
        return ""
    shown = WORDS.render(say, homeowner).text.replace("\n", " / ")
    labels = " ".join(f"[{WORDS.text(choice.label)}]" for choice in say.choices)
    return f"{shown} {labels}".strip()


def lived_through(
    seed: int, number: int, *, fate: Fate | None = None, season_off_sd_days: float = 0, in_words: bool = False
) -> Spring:
    """One lawn's spring; the same for the same seed and number. `in_words` keeps every line of it."""
    chance = np.random.default_rng([seed, number])
    lawn = invented_lawn(chance, fate=fate, season_off_sd_days=season_off_sd_days)
    owner = Owner(lawn, chance, in_words=in_words)
    owner.agree()
    owner.live_through()
    return owner.spring_so_far()
