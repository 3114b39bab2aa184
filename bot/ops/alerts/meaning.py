"""What an alert means for a lawn: which products are cold to us, how grave they are, when the weather is.

Names are those of the US weather service. Since 1 October 2024 there are Frost Advisory, Freeze Watch and Warning,
Extreme Cold Watch and Warning, and Cold Weather Advisory; the hard freeze and wind chill products were merged into
these and still stand in archives (forecastwatch.com/2024/11/13/nws-changes-winter-weather-headlines). Codes of event
tracking: NWS Instruction 10-1703 (6 April 2021); `CW` came after it (from memory).

Frost and freeze products are issued in the growing season and stop after the first killing freeze, so a January night
may carry none: alerts are one reason for a draft, our own estimate (`own_cold.py`) is the other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from bot.ops.alerts.alert import Alert, Info, Moment, MsgType, Scope, Status
from bot.ops.alerts.tracking import Tracked, tracked_in


class Cold(StrEnum):
    """What kind of cold."""

    FROST = "frost"  # white frost near the ground: blades
    FREEZE = "freeze"
    DEEP = "deep cold"  # the products of winter, far below freezing
    SNOW = "snow"  # no cold by itself: snow that lies shelters, ice does not


@dataclass(frozen=True, slots=True)
class Product:
    """One product of a weather service.

    name : as events tell it, in small letters
    tracked : phenomenon and significance in the code of event tracking; "" where there is none
    rank : how grave against the others (expert judgement); an update to a higher one is told again
    words : key of its name in the catalogue: what homeowners read never comes from a feed
    source : where it is from
    """

    name: str
    tracked: str
    cold: Cold
    rank: int
    words: str
    source: str


_NOW = "forecastwatch.com 2024-11-13; NWS 10-1703"
_OLD = "before October 2024; NWS 10-1703"
_SNOW = "NWS 10-1703"
PRODUCTS = (
    Product("frost advisory", "FR.Y", Cold.FROST, 1, "alert-name-frost-advisory", _NOW),
    Product("freeze watch", "FZ.A", Cold.FREEZE, 2, "alert-name-freeze-watch", _NOW),
    Product("freeze warning", "FZ.W", Cold.FREEZE, 3, "alert-name-freeze-warning", _NOW),
    Product("hard freeze watch", "HZ.A", Cold.FREEZE, 3, "alert-name-freeze-watch", _OLD),
    Product("hard freeze warning", "HZ.W", Cold.FREEZE, 4, "alert-name-freeze-warning", _OLD),
    Product("cold weather advisory", "CW.Y", Cold.DEEP, 3, "alert-name-cold-advisory", "forecastwatch.com 2024-11-13"),
    Product("extreme cold watch", "EC.A", Cold.DEEP, 4, "alert-name-cold-watch", _NOW),
    Product("extreme cold warning", "EC.W", Cold.DEEP, 5, "alert-name-cold-warning", _NOW),
    Product("wind chill advisory", "WC.Y", Cold.DEEP, 3, "alert-name-cold-advisory", _OLD),
    Product("wind chill watch", "WC.A", Cold.DEEP, 4, "alert-name-cold-watch", _OLD),
    Product("wind chill warning", "WC.W", Cold.DEEP, 5, "alert-name-cold-warning", _OLD),
    Product("winter storm watch", "WS.A", Cold.SNOW, 1, "alert-name-storm-watch", _SNOW),
    Product("winter storm warning", "WS.W", Cold.SNOW, 2, "alert-name-storm-warning", _SNOW),
    Product("blizzard warning", "BZ.W", Cold.SNOW, 2, "alert-name-storm-warning", _SNOW),
    Product("ice storm warning", "IS.W", Cold.SNOW, 2, "alert-name-ice-warning", _SNOW),
)
_BY_NAME = {product.name: product for product in PRODUCTS}
_BY_TRACKED = {product.tracked: product for product in PRODUCTS}

# Names change, and other services have their own: these words are cold to us. Freezing rain, fog and spray are not.
_COLD_WORDS = re.compile(r"\b(freeze|frost|extreme cold|cold wave|cold weather)\b", re.IGNORECASE)
_NO_COLD = re.compile(r"\b(flash|freezing|spray|fog|water)\b", re.IGNORECASE)  # a flash freeze is ice on roads
OTHER = Product("", "", Cold.FREEZE, 2, "alert-name-other", "by its words")


class Drill(StrEnum):
    """Why an alert is shown to operators and leads to nothing."""

    NOT_ACTUAL = "not actual"
    NOT_PUBLIC = "not public"
    NO_NEWS = "no news"  # says that another message arrived, or was wrong


def drill(alert: Alert) -> Drill | None:
    """Why nothing may be drafted from it; None for a real one that everybody may see."""
    tracked = tracked_of(alert)
    if alert.status is not Status.ACTUAL or (tracked and all(each.is_drill for each in tracked)):
        return Drill.NOT_ACTUAL
    if alert.scope is not Scope.PUBLIC:
        return Drill.NOT_PUBLIC
    if alert.msg_type in (MsgType.ACK, MsgType.ERROR):
        return Drill.NO_NEWS
    return None


def product_of(alert: Alert) -> Product | None:
    """The gravest product of cold it tells of, in any of its languages; None when it is about something else."""
    found = [product for info in alert.infos if (product := _product(info)) is not None]
    return max(found, key=lambda each: each.rank, default=None)


def tracked_of(alert: Alert) -> tuple[Tracked, ...]:
    """Its codes of event tracking."""
    return tuple(dict.fromkeys(each for info in alert.infos for each in tracked_in(info)))


def _product(info: Info) -> Product | None:
    """By the name of the event first, then by its codes, last by words in the name."""
    name = " ".join(info.event.lower().split())
    if name in _BY_NAME:
        return _BY_NAME[name]
    for tracked in tracked_in(info):
        if tracked.product in _BY_TRACKED:
            return _BY_TRACKED[tracked.product]
    return OTHER if _COLD_WORDS.search(name) and not _NO_COLD.search(name) else None


@dataclass(frozen=True, slots=True, kw_only=True)
class When:
    """When the weather is. `ends` None: no end is told, and none is made up from when the message expires."""

    begins: Moment
    ends: Moment | None


def when_of(alert: Alert) -> When:
    """From its onset, else from when it takes effect or was sent."""
    infos = alert.infos
    begins = _first(each.onset or each.effective for each in infos) or alert.sent
    ends = _first(each.ends for each in infos)
    for tracked in tracked_of(alert):
        if ends is None and tracked.ends_at is not None:
            ends = Moment(at=tracked.ends_at, offset_minutes=begins.offset_minutes)
    return When(begins=begins, ends=ends if ends is not None and ends.at > begins.at else None)


def is_over(alert: Alert, now: datetime) -> bool:
    """Whether its weather is over; where no end is told, whether the message has expired."""
    ends = when_of(alert).ends or _first(each.expires for each in alert.infos)
    return ends is not None and ends.at <= now


def _first(moments: Iterable[Moment | None]) -> Moment | None:
    return next((each for each in moments if each is not None), None)
