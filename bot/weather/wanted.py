"""What the caller wants of a weather file: which station, and where it stands if the file does not say."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from bot.weather.faults import Spot, shown

_NAMED = 12  # stations an error lists at most


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The caller's own words; None leaves it to the file. Degrees north and east.

    is_ours : a table of our shelf, whose readings were judged when they were taken in: only its form is checked
    """

    station: str | None = None
    latitude: float | None = None
    longitude: float | None = None
    is_ours: bool = False

    def place(self, latitude: float | None, longitude: float | None) -> tuple[float, float] | None:
        """Where the station stands: what the caller says wins over the file."""
        if self.latitude is not None and self.longitude is not None:
            return self.latitude, self.longitude
        return None if latitude is None or longitude is None else (latitude, longitude)


@dataclass(slots=True)
class OneStation:
    """Lets the rows of one station through; a second one is an error unless the caller named which to take."""

    wanted: str | None
    first: str | None = None
    seen: dict[str, None] = field(default_factory=dict)

    def takes(self, spot: Spot, code: str, others: Iterable[str] = ()) -> bool:
        """Whether this row belongs to the station. `others` are further names of the same station."""
        if self.wanted is not None:
            if len(self.seen) < _NAMED:
                self.seen[code] = None
            return self.wanted in (code, *others)
        self.first = code if self.first is None else self.first
        if code == self.first:
            return True
        raise spot.fault(
            f"station {shown(code)} begins here, and the rows before are of {shown(self.first)}",
            "Say which one to read: --station CODE.",
        )

    def missing(self, file: str) -> Exception:
        """The error when no row was of the wanted station."""
        held = ", ".join(shown(code) for code in self.seen) or "none"
        more = ", and perhaps others" if len(self.seen) == _NAMED else ""
        return Spot(file).fault(
            f"no row is of station {shown(self.wanted or '')}; the file holds {held}{more}",
            "Name one of these with --station.",
        )
