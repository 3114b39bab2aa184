"""The hours in which somebody may be written to without having asked."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo


def opens_at(hours: str, now: datetime) -> datetime | None:
    """When the hours of a row ("zone first last") begin next; None while they are open."""
    zone, first, last = _read(hours)
    local = now.astimezone(zone)
    if first <= local.hour < last:
        return None
    day = local.date() if local.hour < first else local.date() + timedelta(days=1)
    return datetime.combine(day, time(first), tzinfo=zone).astimezone(UTC)


@lru_cache(maxsize=1024)
def _read(hours: str) -> tuple[ZoneInfo, int, int]:
    zone, first, last = hours.split(" ")
    return ZoneInfo(zone), int(first), int(last)
