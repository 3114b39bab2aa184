"""The real conversation, put together: words, places, what an operator told about the region, and the pure reducer."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from bot.errors import SettingsError
from bot.garbage import made_to_stay
from bot.places import PlaceFinder
from bot.places.states import find_state
from bot.settings import Settings, read_facts
from bot.store.rows import build_adapters
from bot.talk.case import Homeowner, Place
from bot.talk.effects import Say
from bot.talk.followup import wanted_reminders, zone_of
from bot.talk.incoming import Incoming, Said
from bot.talk.known import FreezeReport, Known, NearWeather
from bot.talk.ports import Outcome, Talk
from bot.talk.reducer import reduce
from bot.words import Words
from rules.season import SeasonDates
from rules.units import f_to_c

FindPlaces = Callable[[str], tuple[Place, ...]]
PlaceAt = Callable[[float, float], Place | None]

GAZETTEER = PlaceFinder()
"""The table of places: read at the first question, or before it with `warm_up`. Never changes, so one serves all."""


FIRST_TALK = (
    "hello", "31545", "january 10", "18", "2 days", "no snow", "st augustine", "not sure", "not sure", "front, back",
    "not sure", "not sure", "not sure", "3", "half an inch", "40 by 30", "skip", "not sure", "yes", "plan",
    "why",
)  # fmt: skip
"""What is said in the talk that is held before anybody writes."""


async def warm_up(talk: Talk | None = None) -> None:
    """Build in a thread what is built once, so that the first homeowner does not wait for it.

    With a `talk`, hold a first talk that nobody hears: all its parts and words are read then.
    """
    await asyncio.to_thread(_build_once, talk)


def _build_once(talk: Talk | None) -> None:
    with made_to_stay():
        GAZETTEER.load()
        build_adapters()
        if talk is not None:
            _hold_a_first_talk(talk)


def _hold_a_first_talk(talk: Talk) -> None:
    homeowner, now = None, datetime(2026, 2, 1, 18, tzinfo=UTC)
    for words in FIRST_TALK:
        outcome = talk.reduce(homeowner, Said(text=words), now, talk.known)
        homeowner = outcome.homeowner
        for effect in outcome.effects:
            if isinstance(effect, Say):
                talk.render(effect, homeowner, is_short=False)


class RegionalFacts(BaseModel):
    """What an operator may tell about the region: the freeze as measured there, and the dates of this spring."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    air_min_f: float | None = Field(None, ge=-60, le=45, description="lowest air temperature of the freeze, degrees F")
    days_below_freezing: float = Field(3, ge=0, le=90, description="days with frost")
    snow_in: float = Field(0, ge=0, le=60, description="snow on the grass, inches")
    coldest_on: date | None = Field(None, description="the freeze asked about: its coldest day, YYYY-MM-DD")
    last_frost_on: date | None = Field(None, description="day from which frost is no longer expected, YYYY-MM-DD")
    warm_soil_on: date | None = Field(None, description="first day of 65 F soil at 4 inches, YYYY-MM-DD")


def real_talk(settings: Settings, weather: NearWeather | None = None) -> Talk:
    """The conversation as it runs for homeowners, with the weather it may look up."""
    words = Words()
    return talk_knowing(words, known_here(words, settings, weather))


def known_here(words: Words, settings: Settings, weather: NearWeather | None = None) -> Known:
    """What the running conversation knows beside the answers: the operator's region and hours, and the weather."""
    return replace(
        known_of(words, regional_facts(settings), weather=weather),
        first_hour=settings.first_hour,
        last_hour=settings.last_hour,
        contact_line=settings.contact_line,
    )


def talk_knowing(words: Words, lookups: Known) -> Talk:
    """The real reducer and the real words, with what it may look up."""

    def decide(homeowner: Homeowner | None, incoming: Incoming, now: datetime, known: object) -> Outcome:
        return reduce(homeowner, incoming, now, lookups)

    return Talk(reduce=decide, wanted_reminders=wanted_reminders, zone_of=zone_of, render=words.render)


def known_of(
    words: Words,
    facts: RegionalFacts,
    *,
    find_places: FindPlaces | None = None,
    place_at: PlaceAt | None = None,
    weather: NearWeather | None = None,
) -> Known:
    """What the reducer may look up: the real gazetteer unless another is given."""
    freeze = None
    if facts.air_min_f is not None or facts.coldest_on is not None:
        freeze = FreezeReport(
            air_min_c=None if facts.air_min_f is None else f_to_c(facts.air_min_f),
            days_below_freezing=facts.days_below_freezing,
            snow_in=facts.snow_in,
            coldest_on=facts.coldest_on,
        )
    return Known(
        find_places=find_places or GAZETTEER.find,
        place_at=place_at or GAZETTEER.at,
        find_state=find_state,
        spoken=words.spoken,
        freeze=freeze,
        weather=weather,
        dates=SeasonDates(last_frost_on=facts.last_frost_on, warm_soil_on=facts.warm_soil_on),
    )


def regional_facts(settings: Settings) -> RegionalFacts:
    """The operator's file, checked; an empty one where there is none. Raises SettingsError naming the field."""
    if settings.facts_file is None:
        return RegionalFacts()
    try:
        return RegionalFacts.model_validate(read_facts(settings.facts_file))
    except ValidationError as error:
        first = error.errors()[0]
        field = ".".join(str(part) for part in first["loc"])
        raise SettingsError(f"AFTERFROST_FACTS_FILE: {field}: {first['msg']}.") from error
