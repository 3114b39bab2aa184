"""What the reducer may know beside the homeowner's own answers. Plain functions and data, so a talk replays exactly."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, time
from typing import TYPE_CHECKING, Protocol

from bot.talk.case import Measured, Place
from rules.grasses import GrassCode
from rules.lt50_shift import LimitShift

if TYPE_CHECKING:
    from bot.talk.chart import HalfDie, TraceChart
    from rules.feed_bans import FeedBan, MonthDay
    from rules.season import SeasonDates
    from rules.site_cold import OwnReading, SiteCold, SpotTraits


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezeReport:
    """What an operator says about the freeze in their area; used where an owner is not sure."""

    air_min_c: float | None
    days_below_freezing: float
    snow_in: float
    coldest_on: date | None = None


class NearWeather(Protocol):
    """Measured weather near places, looked up at once from what is at hand."""

    def freeze_near(self, place: Place, on: date | None, give_or_take_days: int, asked_on: date) -> Measured | None:
        """The freeze somebody means, as the station that speaks for a place measured it."""
        ...

    def cold_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits
    ) -> SiteCold | None:
        """What a spot of the lawn felt in it; None when the weather is no longer at hand."""
        ...

    def chart_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits, half_die: HalfDie
    ) -> TraceChart | None:
        """The hours of it as a picture of numbers, with where half of this grass dies; None when not at hand."""
        ...


ShiftAt = Callable[[Place | None, GrassCode, str | None], LimitShift | None]
"""What operators adopted for a lawn's grass and cultivar where it lies; None where the published figure stands."""


def as_published(place: Place | None, code: GrassCode, cultivar: str | None) -> LimitShift | None:
    """No correction, anywhere."""
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalDate:
    """A day of spring as somebody of the region knows it. `year` None: of every year. `is_exact`: they are sure of it,
    so that it is told without "about".
    """

    on: MonthDay
    year: int | None
    is_exact: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class WateringRule:
    """When a local code lets people water: on these weekdays (0 is Monday), and in these hours; none: all day."""

    code: str
    weekdays: tuple[int, ...]
    hours: tuple[tuple[time, time], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LocalRules:
    """What holds at one place, as whoever answers for its region said; what nobody said is None or empty."""

    nitrogen_ban: FeedBan | None = None
    phosphorus_ban: FeedBan | None = None
    watering: WateringRule | None = None
    last_frost: LocalDate | None = None
    warm_soil: LocalDate | None = None
    freeze: FreezeReport | None = None
    contact_line: str = ""
    note: str = ""


LocalAt = Callable[[Place | None], LocalRules | None]
"""What operators said of the region a place lies in; None where nobody said anything."""


def nothing_local(place: Place | None) -> LocalRules | None:
    """Nothing was said, anywhere."""
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Lookups and regional facts.

    `find_places(text)`, `place_at(latitude, longitude)` and `find_state(text)` are the offline gazetteer;
    `spoken(language, key)` are the words an owner may type for a choice.
    """

    find_places: Callable[[str], tuple[Place, ...]]
    place_at: Callable[[float, float], Place | None]
    find_state: Callable[[str], Place | None]
    spoken: Callable[[str, str], tuple[str, ...]]
    freeze: FreezeReport | None = None
    dates: SeasonDates | None = None
    weather: NearWeather | None = None
    shift_at: ShiftAt = as_published  # what was learned here of how much cold a grass stands
    local_at: LocalAt = nothing_local  # local codes, dates and the like: they win over what stands above and below
    first_hour: int = 9  # local hours in which we may start a message, until a homeowner chooses
    last_hour: int = 20
    contact_line: str = ""  # how to reach the advisor who runs this service
