"""The invented season: a January freeze on the Tarrow coast, a stretch of coastal plain that is on no map.

Every place, person, lawn and thermometer here is made up. The coast carries its own coordinates and dates, so that
nothing depends on a real town. Each lawn has a fate; its owner answers questions and reminders from it, on the days
they come.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from zoneinfo import ZoneInfo

from bot.talk.case import Place

ZONE = "America/New_York"
FREEZE_ON = date(2027, 1, 17)
SEASON_ENDS_ON = date(2027, 7, 4)

PINDERS_MILL = Place(
    name="Pinders Mill", county="Tarrow County", state="TC", zone=ZONE, latitude=31.62, longitude=-81.75
)
OSPREY_FERRY = Place(
    name="Osprey Ferry", county="Sound County", state="TC", zone=ZONE, latitude=31.35, longitude=-81.42
)
WEATHER_FILES = ("pinders_mill.csv", "osprey_ferry.csv")
"""The coast's own weather, in `weather/` beside this file: two stations, each a few miles from its town."""
PLACES = {"pinders mill": PINDERS_MILL, "osprey ferry": OSPREY_FERRY}

Reply = str | Callable[[date, str], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owner:
    """An invented owner: what they answer to each question, by its id, and what they do about each kind of task.

    A reply may depend on the day. `deeds` answers reminders by task kind: done, later, skip, problem; a list is used
    up one by one. `says` are things they write by themselves on a day.
    """

    name: str
    lawn: str
    fate: str
    starts_at: datetime
    replies: Mapping[str, Reply]
    deeds: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    says: tuple[tuple[datetime, str], ...] = ()


def _at(month: int, day: int, hour: int = 18, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=ZoneInfo(ZONE))


def _on(*steps: tuple[date, str]) -> Callable[[date, str], str]:
    """A reply that changes with the season: the last one whose day has come."""

    def reply(today: date, asked: str) -> str:
        return [words for day, words in steps if day <= today][-1]

    return reply


def _at_spot(name: str, there: Callable[[date, str], str], elsewhere: Callable[[date, str], str]) -> Reply:
    """A reply that differs for one named part of the lawn."""

    def reply(today: date, asked: str) -> str:
        return there(today, asked) if name in asked else elsewhere(today, asked)

    return reply


_WINTER = date(2027, 1, 1)

MARISOL = Owner(
    name="Marisol",
    lawn="St. Augustine in Pinders Mill, front and a shady north side",
    fate="the north side dies, the front thins and returns",
    starts_at=_at(1, 20),
    replies={
        "place": "Pinders Mill",
        "coldest_on": "Jan 17",
        "weather_fits": "yes",
        "air_min": "14",
        "days_cold": "5 days",
        "snow": "no",
        "grass": "st augustin",
        "see": "straw and limp",
        "cultivar": "not sure",
        "spots": "front and north side",
        "site": _at_spot("north side", _on((_WINTER, "1 and 4")), _on((_WINTER, "none"))),
        "see_spot": "1, 3",
        "mow_height": "4 inches",
        "notch": "half",
        "size": "40 by 45",
        "bag": "15-0-15",
        "bag_slow": "7",
        "time_ok": "yes",
        "keep_track": "yes",
        "do_runners": "some firm, some soft",
        "do_plugs": "6",
        "do_count": _at_spot(
            "north side", _on((_WINTER, "none of 6")), _on((_WINTER, "1 of 6"), (date(2027, 2, 15), "2 of 6"))
        ),
        "do_green": _at_spot(
            "north side",
            _on((_WINTER, "none")),
            _on(
                (_WINTER, "none"),
                (date(2027, 4, 3), "a few blades"),
                (date(2027, 4, 17), "a quarter"),
                (date(2027, 5, 8), "half"),
            ),
        ),
        "do_weeds": "no",
        "do_frost": "no",
        "do_shoots": _on((_WINTER, "only in places"), (date(2027, 4, 24), "all over")),
        "do_mowed": "one",
        "do_rings": "no",
        "do_weather": "yes",
        "do_when": "Saturday",
        "do_repair": "plugs",
        "do_size": "16 by 20",
    },
    deeds={"cut": ("done", "problem"), "water": ("skip",), "look": ("done",)},
)

WALT = Owner(
    name="Walt",
    lawn="Raleigh St. Augustine in Osprey Ferry",
    fate="looks terrible until April, then returns",
    starts_at=_at(1, 21, 9, 30),
    replies={
        "place": "Osprey Ferry",
        "coldest_on": "Sunday",
        "weather_fits": "sounds right",
        "air_min": "low 20s I think",
        "days_cold": "three nights",
        "snow": "no just cold",
        "grass": "raleigh",
        "see": "1 and 4",
        "spots": "all alike",
        "site": "none",
        "mow_height": "3 1/2",
        "notch": "not sure",
        "size": "1,200 sq ft",
        "bag": "skip",
        "time_ok": "yep",
        "keep_track": "ok",
        "do_runners": "firm",
        "do_plugs": "six",
        "do_count": _on((_WINTER, "4 of 6"), (date(2027, 2, 15), "5 of 6")),
        "do_green": _on(
            (_WINTER, "none"),
            (date(2027, 3, 27), "a few blades"),
            (date(2027, 4, 10), "a quarter"),
            (date(2027, 4, 24), "half"),
            (date(2027, 5, 7), "most of it"),
        ),
        "do_weeds": "no",
        "do_frost": "no",
        "do_shoots": "all over",
        "do_mowed": "two",
        "do_rings": "no",
        "do_weather": "yes",
        "do_when": "in 3 days",
    },
    deeds={"cut": ("later", "done"), "water": ("done", "skip")},
)

JUNE = Owner(
    name="June",
    lawn="bermuda in Pinders Mill",
    fate="fine: brown, and green again by May",
    starts_at=_at(1, 23, 12),
    replies={
        "place": "Pinders Mill",
        "coldest_on": "last week",
        "weather_fits": "my thermometer read 12",
        "air_min": "14 F",
        "days_cold": "about a week",
        "snow": "none",
        "grass": "bermuda",
        "see": "straw",
        "cultivar": "tifway",
        "spots": "no",
        "site": "none",
        "mow_height": "2",
        "notch": "1/4",
        "size": "60x80",
        "bag": "16-4-8",
        "bag_slow": "half",
        "time_ok": "yes",
        "keep_track": "yes please",
        "do_runners": "firm",
        "do_green": _on((_WINTER, "none"), (date(2027, 4, 3), "a quarter"), (date(2027, 4, 20), "most")),
        "do_weeds": "no",
        "do_frost": "no",
        "do_shoots": "yes",
        "do_mowed": "one",
        "do_rings": "no",
        "do_weather": "yes",
        "do_when": "tomorrow",
    },
    deeds={"water": ("skip",)},
)

THEO = Owner(
    name="Theo",
    lawn="centipede in Osprey Ferry",
    fate="returns slowly, and must not be fed",
    starts_at=_at(1, 22, 17, 15),
    replies={
        "place": "Osprey Ferry",
        "coldest_on": "last weekend",
        "weather_fits": "milder I think",
        "air_min": "19",
        "days_cold": "2-3",
        "snow": "no",
        "grass": "centepede",
        "see": "straw",
        "cultivar": "no idea",
        "spots": "alike",
        "site": "windy",
        "mow_height": "2.5 inches",
        "notch": "1/2",
        "size": "20 paces by 30",
        "time_ok": "yes",
        "keep_track": "yes",
        "do_runners": "not sure",
        "do_plugs": "4",
        "do_count": _on((_WINTER, "2 of 4"), (date(2027, 2, 20), "3 of 4")),
        "do_green": _on((_WINTER, "none"), (date(2027, 4, 10), "a few blades"), (date(2027, 5, 1), "half")),
        "do_weeds": "yes, some",
        "do_frost": "no",
        "do_shoots": "all over",
        "do_mowed": "two",
        "do_rings": "no",
        "do_weather": "yes",
        "do_when": "next week",
    },
    deeds={"cut": ("done",), "water": ("skip",)},
    says=((_at(2, 25, 10), "the guy at the store said put 10 lbs of 16-4-8 down today"),),
)

NELL = Owner(
    name="Nell",
    lawn="an unknown grass in Pinders Mill",
    fate="finds out it is zoysia, then asks for quiet",
    starts_at=_at(1, 24, 20),
    replies={
        "place": "Pinders Mill",
        "coldest_on": "a week ago",
        "weather_fits": "not sure",
        "air_min": "teens",
        "days_cold": "not sure",
        "snow": "not sure",
        "grass": "not sure",
        "key_runners": "both",
        "key_width": "half",
        "key_tip": "sharp",
        "key_feel": "stiff, it pricks",
        "see": "patches, tracks",
        "cultivar": "skip",
        "spots": "all alike",
        "site": "not sure",
        "mow_height": "8 cm",
        "notch": "half an inch",
        "size": "skip",
        "bag": "skip",
        "time_ok": "yes",
        "keep_track": "yes",
        "do_runners": "firm",
        "do_green": "a few blades",
        "do_weeds": "no",
        "do_when": "weekend",
        "do_plugs": "6",
        "do_count": "4 of 6",
    },
    says=((_at(2, 20, 11), "please stop texting me"),),
)

OWNERS: tuple[Owner, ...] = (MARISOL, WALT, JUNE, THEO, NELL)
