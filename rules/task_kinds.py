"""What the tasks of a care plan ask for."""

from __future__ import annotations

from enum import StrEnum


class TaskKind(StrEnum):
    """What a task asks for."""

    FIRST_PHOTO = "first_photo"
    LOOK = "look"
    WATER = "water"
    POT_START = "pot_start"
    POT_READ = "pot_read"
    CUT = "cut"
    PHOTO = "photo"
    SPRING_WATER = "spring_water"
    FEED_CHECK = "feed_check"
    DONT_JUDGE = "dont_judge"
    JUDGE = "judge"
