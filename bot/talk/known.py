"""What the reducer may know beside the homeowner's own answers. Plain functions and data, so a talk replays exactly."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bot.talk.case import Place
from rules.season import SeasonDates


@dataclass(frozen=True, slots=True, kw_only=True)
class FreezeReport:
    """What an operator says about the freeze in their area; used where an owner is not sure."""

    air_min_c: float
    days_below_freezing: float
    snow_in: float


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
    first_hour: int = 9  # local hours in which we may start a message, until a homeowner chooses
    last_hour: int = 20
    contact_line: str = ""  # how to reach the advisor who runs this service
