"""Official warnings as plain data. They are passed on as they are; those of frost are told apart."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from pydantic import ValidationError

from bot.weather.live.national_bodies import AlertFacts, AlertFeature
from bot.weather.source import Source

# Names change from time to time (warnings of hard freeze and of wind chill were merged into others in 2024, from
# memory), so words are looked for. Freezing rain, fog and spray are none of them.
_FREEZE = re.compile(r"\b(freeze|frost|extreme cold|cold weather)\b", re.IGNORECASE)


class AlertKind(StrEnum):
    """What a message does: begin a warning, change one, or call one off."""

    ALERT = "alert"
    UPDATE = "update"
    CANCEL = "cancel"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alert:
    """One warning message.

    id : of this message; an update has a new one and names the old ones in `replaces`
    event : the service's name of it, such as Freeze Warning
    severity : Extreme, Severe, Moderate, Minor or Unknown
    onset_at, ends_at : of the weather, not of the message; `ends_at` None when no end is told
    expires_at : of the message; a new one will have come by then
    counties : SAME codes of six digits, whose last five are the county's FIPS code
    zones : UGC codes of forecast zones or counties
    """

    id: str
    kind: AlertKind
    event: str
    severity: str
    sent_at: datetime
    onset_at: datetime | None
    ends_at: datetime | None
    expires_at: datetime | None
    area: str
    counties: tuple[str, ...]
    zones: tuple[str, ...]
    headline: str
    instruction: str
    replaces: tuple[str, ...]

    @property
    def is_freeze(self) -> bool:
        """Whether it is about cold that matters to a lawn."""
        return _FREEZE.search(self.event) is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Alerts:
    """The warnings in force somewhere, the earliest sent first. `unread` counts those that could not be understood."""

    alerts: tuple[Alert, ...]
    source: Source
    unread: int = 0


def read_alerts(features: Iterable[dict[str, object]]) -> tuple[tuple[Alert, ...], int]:
    """The real warnings among some features, each once, and how many could not be read. Drills are left out."""
    found: dict[str, Alert] = {}
    unread = 0
    for feature in features:
        try:
            facts = AlertFeature.model_validate(feature, strict=False).properties
        except ValidationError:
            unread += 1
            continue
        kind = facts.kind.lower()
        if facts.status.lower() == "actual" and kind in set(AlertKind):
            found[facts.id] = _alert(facts, AlertKind(kind))
    return tuple(sorted(found.values(), key=lambda each: (each.sent_at, each.id))), unread


def still_standing(alerts: Sequence[Alert]) -> tuple[Alert, ...]:
    """Those that nothing replaced or called off, and that do not themselves call one off."""
    replaced = {old for each in alerts for old in each.replaces}
    return tuple(each for each in alerts if each.id not in replaced and each.kind is not AlertKind.CANCEL)


def _alert(facts: AlertFacts, kind: AlertKind) -> Alert:
    return Alert(
        id=facts.id,
        kind=kind,
        event=facts.event,
        severity=facts.severity,
        sent_at=facts.sent_at,
        onset_at=facts.onset_at or facts.effective_at,
        ends_at=facts.ends_at,
        expires_at=facts.expires_at,
        area=facts.area,
        counties=tuple(facts.geocode.same),
        zones=tuple(facts.geocode.ugc),
        headline=facts.headline or "",
        instruction=facts.instruction or "",
        replaces=tuple(each.identifier for each in facts.references if each.identifier),
    )
