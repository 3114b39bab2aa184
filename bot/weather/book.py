"""The weather at hand, worked out ahead of the talk: which freeze a place had, and what its ground did.

A turn of the conversation may not wait for physics, so the ground beside every station is worked out when its table
changes, all of them together, and a turn only looks it up. A new book is made whole, then takes the old one's place.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from types import MappingProxyType

import numpy as np

from bot.talk.case import Measured, Place
from bot.talk.chart import HalfDie, TraceChart, trace_chart
from bot.weather.shelf import Kept, last_day
from rules.errors import NotEnoughData, OutOfRange
from rules.facts.soil import SETTLING_DAYS
from rules.facts.stations import KM_FOR_WHOLE_FREEZE, LEAD_KM
from rules.facts.weather import LONGEST_GAP_DAYS
from rules.freezes import Freeze
from rules.nearby_cold import FreezeGround, cold_here, freeze_grounds, freeze_near, trace_here
from rules.site_cold import OwnReading, SiteCold, SpotTraits, air_here
from rules.stations import Reach, distance_km, height_near, led_by, within_reach
from rules.trace import half_die_band_c
from rules.weather import DAY_SERIES, DailyWeather, between

log = logging.getLogger(__name__)

PAST_DAYS = 270
"""How much of a record is worked out: the newest winter, from the autumn before it on."""

Key = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One station: where its weather came from, its freezes, and a digest of the days they were worked out from."""

    kept: Kept
    freezes: tuple[FreezeGround, ...]
    made_from: bytes = b""
    lead_credit: str = ""  # of the model's days that lead up to a short record


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherBook:
    """What is known of the weather at one moment. Never changes. The `NearWeather` of the conversation."""

    pages: Mapping[Key, Page] = field(default_factory=lambda: MappingProxyType({}))

    def freeze_near(self, place: Place, on: date | None, give_or_take_days: int, asked_on: date) -> Measured | None:
        """The freeze somebody means, at the best station that has it."""
        candidates = []
        for reach in self.reach(place.latitude, place.longitude):
            page = self.pages[_key(reach)]
            if on is not None and last_day(page.kept) < on - timedelta(days=give_or_take_days):
                continue  # its record ends before the day that is meant
            ground = freeze_near(page.freezes, on, give_or_take_days, asked_on)
            if ground is not None:
                candidates.append((reach, page, ground))
        if not candidates:
            return None
        return _measured(*_with_all_its_nights(candidates))

    def cold_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits
    ) -> SiteCold | None:
        """What a spot felt in a freeze that `freeze_near` found; None when its table is gone or says otherwise now."""
        ground = self.ground(measured)
        if ground is None:
            return None
        return cold_here(ground, snow_in, air_here(measured.air_min_c, measured.air_sd_dc, own), traits)

    def chart_here(
        self, measured: Measured, snow_in: float | None, own: OwnReading | None, traits: SpotTraits, half_die: HalfDie
    ) -> TraceChart | None:
        """The hours of such a freeze as a picture of numbers.

        None too for snow in a freeze that had none by its record: its hours were not worked out under snow.
        """
        ground = self.ground(measured)
        if ground is None or (snow_in and not ground.may_have_snowed):
            return None
        air = air_here(measured.air_min_c, measured.air_sd_dc, own)
        suffers_c = half_die_band_c(half_die.middle_c, half_die.sd_dc)
        return trace_chart(trace_here(ground, snow_in, air, traits), suffers_c)

    def ground(self, measured: Measured) -> FreezeGround | None:
        """The ground of a freeze found before: its station's freeze on the same days, the coldest of several."""
        page = self.pages.get((measured.network, measured.code))
        found = page.freezes if page else ()
        same = [each for each in found if _overlaps(each.freeze, measured)]
        return min(same, key=lambda each: each.freeze.air_min_c, default=None)

    def may_go_on(self, measured: Measured) -> bool:
        """Whether a freeze lasted to the end of its station's record: more of it may come."""
        page = self.pages.get((measured.network, measured.code))
        return page is not None and measured.last_on >= last_day(page.kept)

    def reach(self, latitude: float, longitude: float) -> tuple[Reach, ...]:
        """The stations that speak for a place, the best first."""
        stations = [(page.kept.daily.station, page.kept.source.is_measured) for page in self.pages.values()]
        return within_reach(stations, latitude, longitude, height_near(stations, latitude, longitude))


def book_of(kept: Sequence[Kept], until_on: date | None = None, old: WeatherBook | None = None) -> WeatherBook:
    """The book of some stations' tables; of each what came before `until_on`, or before its own last day.

    What stands in an `old` book and was made from the same days is taken over as it is. A station whose weather the
    physics refuses is left out and named in the log.
    """
    records = {_station(each): _recent(each, kept, until_on) for each in kept}
    digests = {key: _digest(record) for key, record in records.items() if record is not None}
    same = {key: page for key, page in old.pages.items() if digests.get(key) == page.made_from} if old else {}
    new = [key for key in digests if key not in same]
    worked_out = _worked_out({key: record for key in new if (record := records[key]) is not None})
    pages = {}
    for each in kept:
        key = _station(each)
        if key in new and key not in worked_out:
            continue
        freezes = same[key].freezes if key in same else _its_own(each, worked_out.get(key, ()))
        cell = _nearest_cell(each, kept)
        credit = cell.source.credit_line if cell is not None and _days_led(each, cell) > 0 else ""
        pages[key] = Page(kept=each, freezes=freezes, made_from=digests.get(key, b""), lead_credit=credit)
    return WeatherBook(pages=MappingProxyType(pages))


def _worked_out(records: Mapping[Key, DailyWeather]) -> dict[Key, tuple[FreezeGround, ...]]:
    """The freezes of each record, all at once; a record the physics refuses is looked for by halves and left out."""
    try:
        return dict(zip(records, freeze_grounds(list(records.values())), strict=True))
    except (OutOfRange, NotEnoughData) as error:
        items = list(records.items())
        if len(items) == 1:
            ((key, record),) = items
            log.warning("The weather of %s (%s) is left out: %s.", record.station.name or key[1], key[0], error)
            return {}
        middle = len(items) // 2
        return _worked_out(dict(items[:middle])) | _worked_out(dict(items[middle:]))


def _station(kept: Kept) -> Key:
    return kept.daily.station.network, kept.daily.station.code


def _digest(record: DailyWeather) -> bytes:
    """What the ground is worked out from, in short: other days or readings give another one."""
    made = hashlib.blake2b(repr((record.station, record.days[0])).encode(), digest_size=16)
    for name in DAY_SERIES:
        made.update(np.ascontiguousarray(getattr(record, name)).tobytes())
    return made.digest()


def _recent(kept: Kept, others: Sequence[Kept], until_on: date | None) -> DailyWeather | None:
    """A station's last winter, led up to by a model's days where its own record is short."""
    last_on = last_day(kept) if until_on is None else until_on
    first_on = last_on - timedelta(days=PAST_DAYS)
    days = kept.daily.days
    if days[-1].item() < first_on or days[0].item() > last_on:
        return None
    cell = _nearest_cell(kept, others)
    whole = kept.daily if cell is None else led_by(kept.daily, cell.daily)
    return between(whole, first_on, last_on)


def _nearest_cell(kept: Kept, others: Sequence[Kept]) -> Kept | None:
    """The grid cell near a station that leads up to its record: the nearest of those that lead long enough."""
    if not kept.source.is_measured:
        return None
    here = kept.daily.station
    cells = [
        (-_days_led(kept, each), distance_km(here.latitude, here.longitude, each.daily.station), at)
        for at, each in enumerate(others)
        if not each.source.is_measured
    ]
    near = [each for each in cells if each[1] <= LEAD_KM.value]
    return others[min(near)[2]] if near else None


def _days_led(kept: Kept, cell: Kept) -> int:
    """How many days a cell has before a station's first, and up to it but for a gap that can be filled.

    More than the ground needs are no better.
    """
    first = kept.daily.days[0]
    if cell.daily.days[-1] < first - np.timedelta64(1 + int(LONGEST_GAP_DAYS.value), "D"):
        return 0
    days = int((first - cell.daily.days[0]).astype(np.int64))
    return min(max(days, 0), int(SETTLING_DAYS.value))


def _its_own(kept: Kept, found: Sequence[FreezeGround]) -> tuple[FreezeGround, ...]:
    """The freezes whose coldest night the station itself read; days of them it did not read count as filled."""
    daily = kept.daily
    read = set(daily.days[np.isfinite(daily.air_min_c) & np.isfinite(daily.air_max_c)].tolist())
    own = [each for each in found if each.freeze.coldest_on in read]
    return tuple(replace(each, days_filled=_not_read(each.freeze, read)) for each in own)


def _not_read(freeze: Freeze, read: set[date]) -> int:
    count = (freeze.last_on - freeze.first_on).days + 1
    return sum(freeze.first_on + timedelta(days=day) not in read for day in range(count))


def _with_all_its_nights(candidates: list[tuple[Reach, Page, FreezeGround]]) -> tuple[Reach, Page, FreezeGround]:
    """The best station, unless it missed days of the freeze and another not much farther has them all."""
    best = candidates[0]
    if not best[2].days_filled:
        return best
    farthest_km = best[0].weight_km + KM_FOR_WHOLE_FREEZE.value
    whole = (each for each in candidates if not each[2].days_filled and each[0].weight_km <= farthest_km)
    return next(whole, best)


def _overlaps(freeze: Freeze, measured: Measured) -> bool:
    return freeze.first_on <= measured.last_on and measured.first_on <= freeze.last_on


def _key(reach: Reach) -> Key:
    return reach.station.network, reach.station.code


def _measured(reach: Reach, page: Page, ground: FreezeGround) -> Measured:
    freeze, station, kept = ground.freeze, reach.station, page.kept
    return Measured(
        station=station.name or station.code,
        code=station.code,
        network=station.network,
        distance_km=round(reach.distance_km, 1),
        height_m=reach.height_m,
        is_thermometer=reach.is_thermometer,
        credit=" ".join(dict.fromkeys(each for each in (kept.source.credit_line, page.lead_credit) if each)),
        first_on=freeze.first_on,
        coldest_on=freeze.coldest_on,
        last_on=freeze.last_on,
        air_min_c=freeze.air_min_c,
        air_sd_dc=round(reach.air_sd_dc, 2),
        days_below_freezing=freeze.days_below_freezing,
        days_filled=ground.days_filled,
        snow_in=ground.worked_out_snow_in,
        may_have_snowed=ground.may_have_snowed,
        snow_is_measured=ground.snow_is_measured,
        record_first_on=kept.daily.days[0].item(),
        record_last_on=last_day(kept),
    )
