"""Typed words or a shared position to places.

1. Nothing is guessed silently: what could be several places comes back as several candidates, best first.
2. A town is one candidate however many ZIP codes it has, unless its codes lie in different time zones or far apart.
3. Coordinates leave here with two decimals (about a kilometre) and no more.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import cached_property
from typing import TYPE_CHECKING

from bot import places
from bot.places.spelling import (
    coordinates_in,
    key_of,
    plain_text,
    split_state,
    tokens_of,
    without_fillers,
    zip_codes_in,
)
from bot.talk.case import Place

if TYPE_CHECKING:
    from bot.places.gazetteer import Gazetteer, NameUse, ZipArea

MOST_CANDIDATES = 6
LONGEST_TEXT = 1000  # characters; nobody names a place at greater length
MOST_WORDS = 40
SHORTEST_OPENING, SHORTEST_OPENING_ALONE = 4, 6  # letters of a name cut short ("saint simons")
LONGEST_NAME = 4  # words of a town name looked for inside a sentence
NEAREST_WITHIN_KM = 60.0
APART_KM = 40.0  # towns of one name in one state farther apart than this are different towns
DECIMALS = 2

# Where warm-season lawns grow, the South and the transition zone; the order within does not matter
WARM_STATES = frozenset("TX LA MS AL GA FL SC NC TN AR OK VA KY MO KS NM AZ CA NV MD DE DC WV HI PR".split())

_LITTLE_WORDS = frozenset("and or the a an of to in on at by for with no yes ok".split())  # some are towns as well
_COUNTY_WORDS = frozenset({"county", "parish", "borough", "municipio", "municipality", "co"})
_COUNTY_ENDINGS = (" county", " parish", " borough", " municipio", " municipality", " census area", " city")


_MC = re.compile(r"\b(Mc)([a-z])")  # the table writes "Mcallen"


class PlaceFinder:
    """Finds places by ZIP code, town, county or coordinates. The table is read at the first question."""

    @cached_property
    def _table(self) -> Gazetteer:
        return places.gazetteer.load_gazetteer()

    def load(self) -> None:
        """Read the table now (about a second) instead of at the first question; safe in another thread."""
        _ = self._table

    def find(self, text: str) -> tuple[Place, ...]:
        """Places the words may mean, best first, at most six; empty when they name none."""
        if len(text) > LONGEST_TEXT:
            return ()
        plain = plain_text(text)
        if not plain:
            return ()
        position = coordinates_in(plain)
        if position:
            place = self._at_either_side(*position)
            return (place,) if place else ()
        return self._by_zip(plain) or _where_it_may_be(self._by_name(plain), plain)

    def at(self, latitude: float, longitude: float) -> Place | None:
        """The place of a position: named after the nearest ZIP area; None far from any (abroad, out at sea)."""
        if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
            return None
        around = self._table.near(latitude, longitude, NEAREST_WITHIN_KM)
        if not around:
            return None
        nearest = around[0][1]
        return _place(nearest.town, nearest, (latitude, longitude), None)

    def zip_near(self, latitude: float, longitude: float) -> str | None:
        """The ZIP code whose middle is nearest to a position; None far from any."""
        around = self._table.near(latitude, longitude, NEAREST_WITHIN_KM)
        return around[0][1].zip_code if around else None

    def areas(self) -> list[ZipArea]:
        """Every ZIP code that covers ground, with its town as we write it."""
        ground = (each for each in self._table.by_zip.values() if each.standard and each.active)
        return [replace(each, town=_written(each.town)) for each in ground]

    def _at_either_side(self, latitude: float, longitude: float) -> Place | None:
        """As `at`, forgiving the minus sign that people leave off western longitudes."""
        return self.at(latitude, longitude) or self.at(latitude, -abs(longitude))

    def _by_zip(self, plain: str) -> tuple[Place, ...]:
        """The last real code in the text: house numbers come before it."""
        for code in reversed(zip_codes_in(plain)):
            area = self._table.by_zip.get(code)
            if area:
                return (_place(area.town, area, (area.latitude, area.longitude), area.zip_code),)
        return ()

    def _by_name(self, plain: str) -> tuple[Place, ...]:
        tokens = [token for token in tokens_of(plain) if not token.isdigit()]
        if not tokens or len(tokens) > MOST_WORDS or set(tokens) <= _LITTLE_WORDS:
            return ()
        shorter = without_fillers(tokens)
        readings = [tokens] if shorter == tokens else [tokens, shorter]
        for reading in readings:
            found = self._by_parts(reading, exact=True)
            if found:
                return found
        return self._inside_sentence(shorter) or (self._by_parts(shorter, exact=False) if shorter else ())

    def _by_parts(self, tokens: list[str], *, exact: bool) -> tuple[Place, ...]:
        """One reading of the words: [town] [county] [state]."""
        before, state = split_state(tokens)
        if state and not before:
            return self._city_called_like_state(state)
        if len(before) > 1 and before[-1] in _COUNTY_WORDS:
            return self._in_county(before, state, exact=exact)
        found = self._towns(before, state, exact=exact)
        if not found and state == "CO" and tokens[-1] == "co":
            return self._in_county(tokens, None, exact=exact)  # "glynn co": the county, not Colorado
        return found or (self._towns(tokens, None, exact=exact) if state else ())

    def _city_called_like_state(self, state: str) -> tuple[Place, ...]:
        """A state alone names no place, but for New York and Washington."""
        if state == "NY":
            return self._towns(["new", "york"], "NY", exact=True)
        return self._towns(["washington"], "DC" if state == "DC" else None, exact=True) if state in ("WA", "DC") else ()

    def _towns(self, tokens: list[str], state: str | None, *, exact: bool) -> tuple[Place, ...]:
        key = key_of(tokens)
        if not key:
            return ()
        if exact:
            found = _ranked(self._uses(self._table.spellings.get(key.replace(" ", ""), ()), state))
            return found or _ranked(self._uses(self._longer_names(key, state), state))
        return _ranked(self._uses(self._similar_names(key, state), state))

    def _uses(self, keys: Iterable[str], state: str | None) -> list[NameUse]:
        """Uses of these names in this state; old names only where no better one is."""
        uses = [use for key in keys for use in self._table.names.get(key, ()) if state in (None, use.area.state)]
        return [use for use in uses if use.rank != places.gazetteer.OLD_NAME] or uses

    def _longer_names(self, key: str, state: str | None) -> list[str]:
        """Names that go on where the words stop: "saint simons" -> "saint simons island"."""
        if key in _COUNTY_WORDS or len(key) < (SHORTEST_OPENING if state else SHORTEST_OPENING_ALONE):
            return []
        names = self._table.names_of_state.get(state, ()) if state else self._table.good_names
        start, opening = bisect_left(names, key), key + " "
        longer = []
        for name in names[start : start + 200]:
            if not name.startswith(key):
                break
            if name.startswith(opening):
                longer.append(name)
        return longer

    def _similar_names(self, key: str, state: str | None) -> list[str]:
        """Names a slip or two away; stricter when no state narrows the search."""
        from rapidfuzz import process  # here and below: the first question does not wait for it
        from rapidfuzz.distance import OSA

        slips = _slips_allowed(len(key), narrowed=state is not None)
        if not slips:
            return []
        names = self._table.names_of_state.get(state, ()) if state else _with_initial(self._table.good_names, key[0])
        near = [name for name in names if abs(len(name) - len(key)) <= slips]  # the others need not be compared
        matches = process.extract(key, near, scorer=OSA.distance, score_cutoff=slips, limit=20)
        matches = [match for match in matches if match[0][0] == key[0] or match[1] == 1]
        nearest = min((match[1] for match in matches), default=0)
        return [match[0] for match in matches if match[1] == nearest]

    def _inside_sentence(self, tokens: Sequence[str]) -> tuple[Place, ...]:
        """A town written before its state somewhere in a sentence."""
        for end in range(len(tokens), 1, -1):
            before, state = split_state(list(tokens[:end]))
            if not state or _is_everyday_word(tokens[end - 1], len(before), end):
                continue
            for length in range(min(LONGEST_NAME, len(before)), 0, -1):
                found = _ranked(self._uses([key_of(before[-length:])], state))
                if found:
                    return found
        return ()

    def _in_county(self, tokens: list[str], state: str | None, *, exact: bool) -> tuple[Place, ...]:
        """[town] county: the town inside it, or the middle of the county itself."""
        for start in range(max(len(tokens) - LONGEST_NAME - 1, 0), len(tokens) - 1):
            areas = self._county_areas(tokens[start:], state, exact=exact)
            if areas:
                return _ranked(self._named_within(tokens[:start], areas))
        return ()

    def _named_within(self, town: list[str], areas: list[ZipArea]) -> list[NameUse]:
        codes = {area.zip_code for area in areas}
        uses = self._uses([key_of(town)], None) if town else []
        inside = [use for use in uses if use.area.zip_code in codes]
        return inside or [places.gazetteer.NameUse(places.gazetteer.OWN_NAME, area, area.county) for area in areas]

    def _county_areas(self, county: list[str], state: str | None, *, exact: bool) -> list[ZipArea]:
        """Codes of every county so called: by its full name, else by its name without "county"."""
        from rapidfuzz.distance import OSA

        wanted = key_of(["county" if token == "co" else token for token in county])
        full = [areas for (of, key), areas in self._table.counties.items() if key == wanted and state in (None, of)]
        if full:
            return [area for areas in full for area in areas]
        stem = _stem(wanted)
        slips = 0 if exact else _slips_allowed(len(stem) + 1, narrowed=state is not None)
        near: defaultdict[int, list[ZipArea]] = defaultdict(list)
        for (of, key), areas in self._table.counties.items():
            if state in (None, of):
                near[OSA.distance(stem, _stem(key), score_cutoff=slips)].extend(areas)
        nearest = min(near, default=0)
        return near[nearest] if nearest <= slips else []


def _with_initial(names: Sequence[str], initial: str) -> Sequence[str]:
    """The part of sorted names that begins with a letter."""
    return names[bisect_left(names, initial) : bisect_left(names, chr(ord(initial) + 1))]


def _where_it_may_be(found: tuple[Place, ...], plain: str) -> tuple[Place, ...]:
    """Without its state, a name that only fits places where no warm-season lawn grows is rather no place at all."""
    if any(place.state in WARM_STATES for place in found) or split_state(tokens_of(plain))[1]:
        return found
    return ()


def _written(name: str) -> str:
    return _MC.sub(lambda match: match[1] + match[2].upper(), name)


def _place(name: str, area: ZipArea, where: tuple[float, float], zip_code: str | None) -> Place:
    return Place(
        name=_written(name),
        county=area.county,
        state=area.state,
        zone=area.zone,
        latitude=round(where[0], DECIMALS),
        longitude=round(where[1], DECIMALS),
        zip_code=zip_code,
    )


def _ranked(uses: list[NameUse]) -> tuple[Place, ...]:
    """One candidate for each town meant: warm-season states first, then the post office's own name, then size."""
    towns: defaultdict[tuple[str, str], list[NameUse]] = defaultdict(list)
    for use in uses:
        towns[use.area.state, use.area.zone].append(use)
    on_the_ground = {members[0].area.state for members in towns.values() if _standard_codes(members)}
    scored = [
        entry
        for (state, _), members in towns.items()
        if state not in on_the_ground or _standard_codes(members)
        for entry in _candidates(members)
    ]
    scored.sort(key=lambda entry: entry[0])
    return tuple(place for _, place in scored[:MOST_CANDIDATES])


_Score = tuple[bool, int, int, str, str]


def _candidates(uses: list[NameUse]) -> list[tuple[_Score, Place]]:
    """Towns among the uses of a name in one state and zone: the largest county, and others well apart from it."""
    best_rank = min(use.rank for use in uses)
    counties: defaultdict[str, list[NameUse]] = defaultdict(list)
    for use in uses:
        if use.rank == best_rank:
            counties[use.area.county].append(use)
    groups = sorted(counties.values(), key=lambda group: (-_standard_codes(group), -len(group), group[0].area.county))
    if _standard_codes(groups[0]):
        groups = [group for group in groups if _standard_codes(group)]
    kept: list[tuple[_Score, Place]] = []
    for group in groups:
        place, areas = _gather(group)
        if all(
            places.gazetteer.km_between(other.latitude, other.longitude, _middle(areas)) > APART_KM for _, other in kept
        ):
            score = (place.state not in WARM_STATES, best_rank, -_standard_codes(group), place.state, place.county)
            kept.append((score, place))
    return kept


def _gather(group: list[NameUse]) -> tuple[Place, list[ZipArea]]:
    """One place for the codes of one town in one county."""
    areas = [use.area for use in group if use.area.active] or [use.area for use in group]
    areas = [area for area in areas if area.standard] or areas
    written = min((use.written for use in group), key=lambda name: (-len(name), name))
    zip_code = areas[0].zip_code if len(areas) == 1 else None
    return _place(written, areas[0], places.gazetteer.centre_of(areas), zip_code), areas


def _middle(areas: list[ZipArea]) -> ZipArea:
    """The area nearest to the centre of them all."""
    centre = places.gazetteer.centre_of(areas)
    return min(areas, key=lambda area: places.gazetteer.km_between(*centre, area))


def _standard_codes(group: list[NameUse]) -> int:
    return sum(use.area.standard and use.area.active for use in group)


def _stem(county_key: str) -> str:
    for ending in _COUNTY_ENDINGS:
        if county_key.endswith(ending):
            return county_key.removesuffix(ending)
    return county_key


def _slips_allowed(length: int, *, narrowed: bool) -> int:
    """How many wrong, missing, added or swapped letters a name of this length may have."""
    if length < 5:
        return 0
    if not narrowed:
        return 1 if length < 10 else 2
    return 1 if length < 8 else 2 if length < 12 else 3


def _is_everyday_word(token: str, words_before: int, end: int) -> bool:
    """Two letters that are a word as often as a state ("in", "or", "me") count only as a sentence's end."""
    return (
        len(token) == 2 and token in {"in", "or", "me", "ok", "hi", "la", "al", "de", "ma", "pa"} and words_before > 2
    )
