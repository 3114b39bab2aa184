"""Typed words to values. What is unclear is a value (`Unclear`), never an exception; nothing here asks the time."""

from __future__ import annotations

from bot.talk.understand.alarms import ALARMS, OTHER_CAUSES, emergency, other_cause
from bot.talk.understand.answers import yes_no
from bot.talk.understand.areas import area
from bot.talk.understand.choices import Options, is_exactly, pick_one, picks
from bot.talk.understand.counts import count_of, days_count, hours_of_day, share
from bot.talk.understand.days import day, freeze_day, later_day
from bot.talk.understand.differences import difference_dc, own_part
from bot.talk.understand.grasses_spoken import GrassHeard, grass
from bot.talk.understand.labels import DoseTold, label, told_dose
from bot.talk.understand.lawn_names import names
from bot.talk.understand.lengths import inches_height, notch_step, snow_depth
from bot.talk.understand.plain_words import REASONS, Reason, Unclear, cleaned, plain
from bot.talk.understand.pleasantries import PLEASANTRIES, pleasantry
from bot.talk.understand.temperatures import temperature
from bot.talk.understand.topics import TOPICS, topic
from bot.talk.understand.troubles import TROUBLES, trouble
from bot.talk.understand.wishes import Wish, first_number, wish

__all__ = [
    "ALARMS",
    "OTHER_CAUSES",
    "PLEASANTRIES",
    "REASONS",
    "TOPICS",
    "TROUBLES",
    "DoseTold",
    "GrassHeard",
    "Options",
    "Reason",
    "Unclear",
    "Wish",
    "area",
    "cleaned",
    "count_of",
    "day",
    "days_count",
    "difference_dc",
    "emergency",
    "first_number",
    "freeze_day",
    "grass",
    "hours_of_day",
    "inches_height",
    "is_exactly",
    "label",
    "later_day",
    "names",
    "notch_step",
    "other_cause",
    "own_part",
    "pick_one",
    "picks",
    "plain",
    "pleasantry",
    "share",
    "snow_depth",
    "temperature",
    "told_dose",
    "topic",
    "trouble",
    "wish",
    "yes_no",
]
