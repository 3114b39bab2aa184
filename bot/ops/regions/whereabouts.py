"""Where a lawn is, as far as areas need it: state, county code, ZIP code and a rough position."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from bot.ops.regions.counties import county_code

if TYPE_CHECKING:
    from bot.places import PlaceFinder
    from bot.store.glances import StoredGlance
    from bot.talk.glance import Glance

PLACES_KEPT = 20_000  # answers of the nearest ZIP code; neighbours share theirs


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """Where a lawn is. What is not known is empty, or None for the position."""

    latitude: float | None = None
    longitude: float | None = None
    state: str = ""
    county: str = ""  # five digits
    zip_code: str = ""


def whereabouts_of(row: StoredGlance) -> Whereabouts:
    """The whereabouts of a lawn as its row tells them."""
    return Whereabouts(
        latitude=None if row.latitude_e2 is None else row.latitude_e2 / 100,
        longitude=None if row.longitude_e2 is None else row.longitude_e2 / 100,
        state=row.state or "",
        county=row.county or "",
        zip_code=row.zip or "",
    )


class Geography:
    """Adds to a lawn's place what areas are told by. Reads the table of places at the first question."""

    def __init__(self, finder: PlaceFinder) -> None:
        self._nearest_zip = lru_cache(maxsize=PLACES_KEPT)(finder.zip_near)

    def of(self, glance: Glance) -> Whereabouts:
        """The whereabouts of a lawn.

        A town with several ZIP codes, and a shared position, have none of their own: there the nearest to the
        (rounded) position counts, so that whoever sends by ZIP prefix reaches such homes too.
        """
        zip_code = glance.zip_code
        if not zip_code and glance.latitude is not None and glance.longitude is not None:
            zip_code = self._nearest_zip(glance.latitude, glance.longitude) or ""
        return Whereabouts(
            latitude=glance.latitude,
            longitude=glance.longitude,
            state=glance.state,
            county=county_code(glance.state, glance.county) or "",
            zip_code=zip_code,
        )
