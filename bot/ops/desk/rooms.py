"""Which rooms the desk has beside its own. A new one is added here; the access tests walk through all of them."""

from __future__ import annotations

from collections.abc import Sequence

from bot.ops.advisories.office import Beside
from bot.ops.desk.advisory_pages import AdvisoryRoom
from bot.ops.desk.alert_pages import AlertRoom
from bot.ops.desk.case_pages import CaseRoom
from bot.ops.desk.desk import Room
from bot.ops.desk.digest_pages import DigestRoom
from bot.ops.desk.lawn_pages import LawnRoom
from bot.ops.desk.learning_pages import LearningRoom
from bot.ops.desk.local_pages import LocalRoom
from bot.ops.desk.region_pages import RegionRoom
from bot.settings import Settings
from bot.talk.known import Known


def rooms_of(known: Known, settings: Settings | None = None, beside: Beside | None = None) -> Sequence[Room]:
    """The rooms, in the order of their tabs.

    `known` is what the talk knows beside the answers; `beside` the running parts that advisories are sent by, without
    which none is.
    """
    return (
        CaseRoom(known),
        LawnRoom(known),
        AdvisoryRoom(known, settings, beside),
        AlertRoom(settings),
        LearningRoom(known),
        RegionRoom(),
        DigestRoom(),
        LocalRoom(),
    )
