"""What can be wanted at any time. Apart from the words for it, which only typed text needs."""

from __future__ import annotations

from enum import StrEnum


class Wish(StrEnum):
    """What somebody wants apart from answering the question."""

    BACK = "back"
    NOT_SURE = "not_sure"
    SKIP = "skip"
    PERSON = "person"
    CHANGE = "change"
    PLAN = "plan"
    FEED = "feed"
    HELP = "help"
    WHY = "why"
    START_OVER = "start_over"
    NEW_LAWN = "new_lawn"
    LAWNS = "lawns"
    DONE = "done"
    LATER = "later"
    NEVER_MIND = "never_mind"
    PROBLEM = "problem"
    METRIC = "metric"
    US_UNITS = "us_units"
    DATA = "data"
    FORGET_ME = "forget_me"
    STOP = "stop"
    STOP_DOUBTFUL = "stop_doubtful"
    START = "start"
    HOURS = "hours"
    MORE = "more"
    MOVE = "move"
    PULL = "pull"
