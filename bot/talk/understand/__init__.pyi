from .alarms import ALARMS, OTHER_CAUSES, emergency, other_cause
from .answers import yes_no
from .areas import area
from .choices import Options, is_exactly, pick_one, picks
from .counts import count_of, days_count, hours_of_day, share
from .days import day, freeze_day, later_day
from .differences import difference_dc, own_part
from .grasses_spoken import GrassHeard, grass
from .labels import DoseTold, label, told_dose
from .lawn_names import names
from .lengths import inches_height, notch_step, snow_depth
from .plain_words import REASONS, Reason, Unclear, cleaned, plain
from .pleasantries import PLEASANTRIES, pleasantry
from .temperatures import temperature
from .topics import TOPICS, topic
from .troubles import TROUBLES, trouble
from .wish_kinds import Wish
from .wishes import first_number, wish

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
