"""Codes of event tracking (VTEC) in the US weather service's alerts: one event keeps its number through its messages.

Source: NWS Instruction 10-1703, Valid Time Event Code, 6 April 2021:
`/k.aaa.cccc.pp.s.####.yymmddThhnnZ-yymmddThhnnZ/`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime

from bot.ops.alerts.alert import Info

PARAMETER = "VTEC"
_CODE = re.compile(
    r"/([OTEX])\.([A-Z]{3})\.([A-Z]{4})\.([A-Z]{2})\.([A-Z])\.(\d{4})\.(\d{6}T\d{4}Z)-(\d{6}T\d{4}Z)/", re.ASCII
)
_OPEN = "000000T0000Z"  # since before the message, or until further notice
_CALLED_OFF, _REPLACED = "CAN", "UPG"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tracked:
    """One event. `product` is phenomenon and significance (`FZ.W`); an instant the code leaves open is None."""

    is_drill: bool
    action: str
    office: str
    product: str
    number: str
    begins_at: datetime | None
    ends_at: datetime | None

    @property
    def is_called_off(self) -> bool:
        """It will not come."""
        return self.action == _CALLED_OFF

    @property
    def is_replaced(self) -> bool:
        """A graver one took its place (a watch became a warning), so nothing was called off."""
        return self.action == _REPLACED

    def event(self, sent_at: datetime) -> str:
        """One name for all messages about it. Numbers begin anew each year."""
        year = (self.begins_at or sent_at).year
        return f"{self.office}.{self.product}.{self.number}.{year}"


def tracked_in(info: Info) -> tuple[Tracked, ...]:
    """The codes of what one alert says; what is written otherwise is passed over."""
    return tuple(_tracked(found) for value in info.parameter(PARAMETER) for found in _CODE.finditer(value))


def _tracked(found: re.Match[str]) -> Tracked:
    kind, action, office, phenomenon, significance, number, begins, ends = found.groups()
    return Tracked(
        is_drill=kind == "T",
        action=action,
        office=office,
        product=f"{phenomenon}.{significance}",
        number=number,
        begins_at=_instant(begins),
        ends_at=_instant(ends),
    )


def _instant(written: str) -> datetime | None:
    if written == _OPEN:
        return None
    try:
        return datetime.strptime(written, "%y%m%dT%H%MZ").replace(tzinfo=UTC)
    except ValueError:
        return None  # no such day: the alert's own times stand
