"""What came of lawns as a table anybody may have: nothing in it tells whose lawn a row is.

1. A row stands for a spot. It carries no id, no name, no day, no place finer than a county.
2. Area, grass and winter of a row are shared by at least `k` homeowners. Where a county has too few, its rows carry
   their state alone; where that has too few, they are left out, and counted.
3. A cultivar stands in a row only where at least `k` homeowners share it with area, grass and winter; else it is empty.
4. Days are weeks (told by their Monday), temperatures half degrees, green tenths. Rows are sorted by what they hold, so
   their order tells nothing either.
"""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta

from bot.errors import AfterfrostError
from bot.ops.learning.outcomes import LawnEnd
from bot.talk.outcome import SpotOutcome

USUAL_K = 10
"""Homeowners that share a row's area, grass and winter. Expert judgement; tables of counts often use 3 to 10."""
LEAST_K = 3


class ExportRefused(AfterfrostError):
    """A table that would tell too much."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One spot. Temperatures in degrees Celsius; `winter` is the year of its spring; empty where it is not known.

    crown_min_c, crown_sd_c : estimated lowest of the crown, and its standard deviation; soil_2in_min_c : 2 in down
    known_by : pot test, photos or by eye; came_of : back, partly or dead
    """

    state: str
    county: str
    winter: int
    grass: str
    cultivar: str
    freeze_week: str
    crown_min_c: float
    crown_sd_c: float
    soil_2in_min_c: float
    hours_near_min: int
    hardened_tenths: int
    snow_in: int
    known_by: str
    came_of: str
    plugs_alive: str
    plugs_total: str
    green_percent: str
    seen_week: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Export:
    """A table and what is not in it: spots of lawns that too few share area, grass and winter with."""

    rows: tuple[Row, ...]
    left_out: int
    k: int

    @property
    def by_state(self) -> int:
        """How many rows carry their state alone."""
        return sum(not row.county for row in self.rows)


def export(ends: Iterable[LawnEnd], k: int = USUAL_K) -> Export:
    """The table of some lawns. Raises ExportRefused for a `k` that protects nobody."""
    if k < LEAST_K:
        raise ExportRefused(f"A row must be shared by at least {LEAST_K} homeowners, {k} protects nobody.")
    all_rows = [(end.homeowner_id, _row(end, spot)) for end in ends for spot in end.spots]
    in_county, few = _parted(all_rows, k, lambda row: (row.state, row.county, row.winter, row.grass))
    wider = [(owner, _with(row, county="")) for owner, row in few]
    in_state, left_out = _parted(wider, k, lambda row: (row.state, row.winter, row.grass))
    kept = _cultivars_hidden([*in_county, *in_state], k)
    return Export(rows=tuple(sorted(kept, key=_values_of)), left_out=len(left_out), k=k)


def csv_of(table: Export) -> str:
    """The table as CSV with a head."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow([field.name for field in fields(Row)])
    writer.writerows(_values_of(row) for row in table.rows)
    return file.getvalue()


_Owned = tuple[int, Row]


def _parted(rows: Sequence[_Owned], k: int, group_of: Callable[[Row], Hashable]) -> tuple[list[_Owned], list[_Owned]]:
    """Rows whose group enough homeowners share, and the others."""
    owners: defaultdict[Hashable, set[int]] = defaultdict(set)
    for owner, row in rows:
        owners[group_of(row)].add(owner)
    enough = {group for group, of_group in owners.items() if len(of_group) >= k}
    inside = [each for each in rows if group_of(each[1]) in enough]
    return inside, [each for each in rows if group_of(each[1]) not in enough]


def _cultivars_hidden(rows: Sequence[_Owned], k: int) -> list[Row]:
    shared, few = _parted(rows, k, lambda row: (row.state, row.county, row.winter, row.grass, row.cultivar))
    return [row for _, row in shared] + [_with(row, cultivar="") for _, row in few]


def _row(end: LawnEnd, spot: SpotOutcome) -> Row:
    cold, seen = spot.cold, spot.seen
    has_plugs = bool(seen.plugs_total) and seen.plugs_alive is not None
    return Row(
        state=end.place.state,
        county=end.place.county,
        winter=end.winter,
        grass=end.code.value,
        cultivar=spot.cultivar or "",
        freeze_week=_week(spot.freeze_on),
        crown_min_c=_half(cold.crown.min_c),
        crown_sd_c=_half(cold.crown.sd_dc),
        soil_2in_min_c=_half(cold.soil_2in_min_c),
        hours_near_min=round(cold.hours_near_min),
        hardened_tenths=round(10 * cold.hardened_fraction),
        snow_in=round(cold.snow_in),
        known_by=str(seen.way),
        came_of=str(seen.came_of),
        plugs_alive=str(seen.plugs_alive) if has_plugs else "",
        plugs_total=str(seen.plugs_total) if has_plugs else "",
        green_percent="" if seen.green_fraction is None else str(10 * round(10 * seen.green_fraction)),
        seen_week=_week(seen.seen_on),
    )


def _week(on: date) -> str:
    return (on - timedelta(days=on.weekday())).isoformat()


def _half(value: float) -> float:
    return round(2 * value) / 2


def _with(row: Row, **changes: str) -> Row:
    return Row(**({field.name: getattr(row, field.name) for field in fields(Row)} | changes))


def _values_of(row: Row) -> list[str | int | float]:
    return [getattr(row, field.name) for field in fields(Row)]
