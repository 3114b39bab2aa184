"""County codes, offline: from the names the table of ZIP codes uses to the five digits alerts use, and back.

Names and codes stand in `counties.csv`, which says where they come from. The package of ZIP codes has names only, and
the one package of county codes in its registry is under a licence that would bind ours.

A ZIP code's county is the one it is filed under; its middle lies in another for about one code in thirty. Whoever
sends by county reaches homes by the county of their ZIP code.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from bot.ops.regions.codes import STATE_OF_DIGITS
from bot.ops.regions.refused import ShapeRefused
from bot.places.spelling import town_key

_COMMENT = "#"
_OPENINGS = ("city and borough of ", "municipality of ")
_ENDINGS = (
    " county", " parish", " city and borough", " census area", " borough", " municipality", " municipio", " city",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class County:
    """One county: its code, its name without "county" or "parish", and how large it is. [km2]"""

    code: str
    name: str
    area_km2: float

    @property
    def state(self) -> str:
        """The two letters of its state."""
        return STATE_OF_DIGITS[self.code[:2]]


@cache
def counties() -> Mapping[str, County]:
    """Every county by its code. Read once, in a few milliseconds."""
    lines = files("bot.ops.regions").joinpath("counties.csv").read_text(encoding="utf-8").splitlines()
    rows = (line.split(",", 2) for line in lines if not line.startswith(_COMMENT))
    return {code: County(code=code, name=name, area_km2=float(area_km2)) for code, area_km2, name in rows}


@cache
def county_code(state: str, county: str) -> str | None:
    """The code of a county of a state by its name, "Glynn County" or "Glynn"; None for a name that is not in the table.

    The name as it stands counts first, so that "Charles City County" is not looked for as "Charles", and
    "Baltimore City" is not the county around it.
    """
    of_state = _codes_by_name().get(state, {})
    key = town_key(county)
    for opening in _OPENINGS:
        key = key.removeprefix(opening)
    tries = [key, *(key.removesuffix(ending) for ending in _ENDINGS if key.endswith(ending))]
    return next((of_state[found] for each in tries if (found := _joined(each)) in of_state), None)


def county_named(typed: str) -> str:
    """The code of a county as an operator types it: "13127", or "Glynn, GA". Raises `ShapeRefused`."""
    name, _, state = typed.rpartition(",")
    code = typed.strip() if not name else county_code(state.strip().upper(), name)
    if code is None or code not in counties():
        raise ShapeRefused(
            "unknown_county", f"{typed!r} is no county we know. Type its code or name: 13127 or Glynn, GA."
        )
    return code


def county_told(code: str) -> str:
    """A county for people: "Glynn, GA"; the code itself where the table has no such county."""
    county = counties().get(code)
    return f"{county.name}, {county.state}" if county else code


@cache
def _codes_by_name() -> Mapping[str, Mapping[str, str]]:
    """Code by state and name; the county before an independent city of the same name."""
    found: dict[str, dict[str, str]] = {}
    for county in counties().values():
        found.setdefault(county.state, {}).setdefault(_joined(town_key(county.name)), county.code)
    return found


def _joined(key: str) -> str:
    """Without spaces: "De Witt" is "DeWitt"."""
    return key.replace(" ", "")
