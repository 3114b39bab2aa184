"""The stored state of one homeowner: plain frozen data with a version number.

A homeowner may have several lawns; each lawn through one freeze is a case. What was answered is kept as given
(the words, the time, what was understood); everything that can be worked out from the answers is worked out, not
stored: the next question, the odds, the amounts. Only what happened (a task done, moved, skipped) is stored beside.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Literal

from bot.talk.cover import CoverSeen

CASE_VERSION = 1


# --- what a question was answered with -------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class NotSure:
    """The owner does not know. A real answer: it widens the odds."""

    kind: Literal["not_sure"] = "not_sure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped:
    """The owner would rather not say now."""

    kind: Literal["skipped"] = "skipped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Picked:
    """One of the offered choices, by its code."""

    code: str
    kind: Literal["picked"] = "picked"


@dataclass(frozen=True, slots=True, kw_only=True)
class PickedMany:
    """Any number of the offered choices, by code."""

    codes: tuple[str, ...]
    kind: Literal["picked_many"] = "picked_many"


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureTold:
    """A temperature with how exactly it was told. [degC], spread as a standard deviation in Celsius degrees."""

    mean_c: float
    sd_dc: float
    kind: Literal["temperature"] = "temperature"


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberTold:
    """A number in the unit its question is about (days, inches, plugs, percent)."""

    value: float
    kind: Literal["number"] = "number"


@dataclass(frozen=True, slots=True, kw_only=True)
class DayTold:
    """A calendar day, with how many days either way it may be off."""

    on: date
    give_or_take_days: int = 0
    kind: Literal["day"] = "day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a lawn is, no finer than the work allows (two decimals, about a kilometre)."""

    name: str
    county: str
    state: str
    zone: str
    latitude: float
    longitude: float
    zip_code: str | None = None
    is_rough: bool = False  # the middle of a state: good for dates, not for what was measured near


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacesTold:
    """What a place answer may mean. One candidate: settled. Several: the next question asks which."""

    candidates: tuple[Place, ...]
    kind: Literal["places"] = "places"


@dataclass(frozen=True, slots=True, kw_only=True)
class AreaTold:
    """A lawn size, with how it was put together (in square feet). `paced` widens what is said about it."""

    area_sqft: float
    paced: bool = False
    kind: Literal["area"] = "area"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelTold:
    """A fertilizer analysis from the bag, in percent; the slow-release part is percent of the product too."""

    n_percent: float
    p2o5_percent: float
    k2o_percent: float
    slow_n_percent: float | None = None
    kind: Literal["label"] = "label"


@dataclass(frozen=True, slots=True, kw_only=True)
class NamesTold:
    """Names of the parts of a lawn, in the owner's words."""

    names: tuple[str, ...]
    kind: Literal["names"] = "names"


@dataclass(frozen=True, slots=True, kw_only=True)
class CountTold:
    """So many of so many: living plugs of a pot test."""

    count: int
    total: int
    kind: Literal["count"] = "count"


AnswerValue = (
    NotSure
    | Skipped
    | Picked
    | PickedMany
    | TemperatureTold
    | NumberTold
    | DayTold
    | PlacesTold
    | AreaTold
    | LabelTold
    | NamesTold
    | CountTold
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """One answered question: which one, for which spot, what was understood, the words, and when."""

    question: str
    value: AnswerValue
    words: str
    at: datetime
    spot: str = ""


# --- what happened after the plan was confirmed -----------------------------------------------------------------


class TaskState(StrEnum):
    """Where a task of the care plan stands."""

    OPEN = "open"
    DONE = "done"
    SKIPPED = "skipped"
    DROPPED = "dropped"  # the plan itself let it go (no longer right), not the owner
    PASSED = "passed"  # its days went by before it could be brought up


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One task of a confirmed plan: what is stored of it. Its reason and amount are worked out when told."""

    key: str
    kind: str
    on: date
    until_on: date
    spot: str = ""
    state: TaskState = TaskState.OPEN
    moved_to: date | None = None
    told_on: tuple[date, ...] = ()
    closed_on: date | None = None

    @property
    def due_on(self) -> date:
        """The day it should be brought up: where it was moved to, or where the plan put it."""
        return self.moved_to or self.on


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckIn:
    """What the owner reported of one spot on one day: green share by eye, plugs counted, a photo, a runner look."""

    on: date
    spot: str
    task: str
    green: float | None = None
    plugs_alive: int | None = None
    plugs_total: int | None = None
    runners: str | None = None
    photo_id: str | None = None
    cover: CoverSeen | None = None  # what was measured on the photo; `green` is then the part of it taken as grass
    area_sqft: float | None = None  # the size of the spot, told for its repair
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoInHand:
    """A photo that was sent, while the spot it shows is still asked for.

    number : the how many-th it is of those that waited together
    """

    photo_id: str
    cover: CoverSeen | None = None
    number: int = 1
    sent_at: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class FeedGiven:
    """A feeding that was done, for the yearly and running caps."""

    on: date
    n_lb_per_1000_sqft: float
    p2o5_lb_per_1000_sqft: float
    soluble_n_lb_per_1000_sqft: float
    green: float | None = None  # how green it was then


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The freeze as it was measured near a lawn: what was found once place and day were told.

    station, code, network : its name as told, and what it is found by again
    distance_km, height_m : from the lawn; how much higher it stands, where both heights are known
    is_thermometer : False for the grid cell of a weather model
    credit : the line that must be shown with it, if any
    air_min_c, air_sd_dc : lowest air there [degC], and how far the lawn's may differ as a standard deviation
    days_filled : days whose reading was missing
    snow_in : lying on its coldest day [in], measured or worked out
    may_have_snowed : something fell in the cold, or nobody measured whether it did
    snow_is_measured : its snow was read, not worked out
    record_first_on, record_last_on : the days its record holds
    is_other : of another day than the owner named, on which it read no frost; counts once they say that they mean it
    came_late : it was not at hand yet when the owner was asked how cold it got; what they said then still counts
    """

    station: str
    code: str
    network: str
    distance_km: float
    height_m: float | None
    is_thermometer: bool
    credit: str
    first_on: date
    coldest_on: date
    last_on: date
    air_min_c: float
    air_sd_dc: float
    days_below_freezing: int
    days_filled: int
    snow_in: float
    may_have_snowed: bool
    snow_is_measured: bool = True
    record_first_on: date | None = None
    record_last_on: date | None = None
    is_other: bool = False
    came_late: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One lawn through one freeze."""

    number: int
    opened_at: datetime
    answers: tuple[Answer, ...] = ()
    planned_on: date | None = None  # the day the confirmed plan was worked out from; None before that
    tasks: tuple[Task, ...] = ()
    checkins: tuple[CheckIn, ...] = ()
    in_hand: tuple[PhotoInHand, ...] = ()
    unread_photos: int = 0  # in a row, however they were refused
    feeds: tuple[FeedGiven, ...] = ()
    told: tuple[str, ...] = ()  # one-time things already said (the summary, a hint)
    stopped_cutting_on: date | None = None  # brown stem showed: no further lowering this spring
    cold_again_on: date | None = None  # a later frost the owner reported
    measured: Measured | None = None  # the freeze in the weather at hand, where there is any near enough


# --- a short side talk that stands before the next question ----------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class SideTalk:
    """A question outside the table: 'later, but when?', 'what is wrong?', 'really erase everything?'.

    `about` names what it is about: a task key, a question and spot, whatever its kind needs. Its own answers are
    kept with it and go when it ends; what they change is written into the case.
    """

    topic: str
    about: tuple[str, ...] = ()
    answers: tuple[Answer, ...] = ()
    lawn: int = 0  # number of the lawn it is about; 0 for none in particular


class Standing(StrEnum):
    """Whether we may start a message by ourselves."""

    ACTIVE = "active"
    PAUSED = "paused"  # a doubtful wish to stop: asked once, silence means stop
    STOPPED = "stopped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Homeowner:
    """One person: how they like to be spoken to, their lawns, and where the talk stands."""

    version: int = CASE_VERSION
    language: str = "en"
    metric: bool = False
    first_hour: int = 9  # local hours in which we may start a message
    last_hour: int = 20
    standing: Standing = Standing.ACTIVE
    lawns: tuple[Case, ...] = ()
    active_lawn: int = 0  # number of the lawn being talked about; 0 before the first
    side: SideTalk | None = None
    parked: tuple[SideTalk, ...] = ()  # side talks that must not get lost, waiting for the present one to end
    misses: int = 0  # unclear inputs in a row
    last_heard_at: datetime | None = None
    last_unasked_on: date | None = None  # local date of the last message nobody asked for
    last_told_task: tuple[int, str] | None = None  # (lawn, task key) a bare "done" refers to
    task_was_last: bool = False  # a reminder's choices were the last ones shown: a bare number means them
    minute_of_hour: int = 0  # spreads reminders over the first twenty minutes of the hour
    invite: str = ""  # the code of the first link they came by that had one
    held_by: str = ""  # the person who holds the talk; empty: the bot does
    held_heard_at: datetime | None = None  # when that person was last heard
    held_words: str = ""  # what was written since, for a person to read

    @property
    def lawn(self) -> Case | None:
        """The lawn being talked about, if there is one."""
        for case in self.lawns:
            if case.number == self.active_lawn:
                return case
        return None
