"""An invented region whose LT50s are known, its lawns, and what their owners saw. Shares no code with the fit.

The estimate of a lawn's minimum comes first (what weather says); the real one lies around it, with one error that all
lawns of the region share and one of its own. Crowns die one by one along a logistic curve. What is told of a lawn
comes from how its green fills in and from plugs in a pot, not from a table of likelihoods.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from rules.combine import Evidence, PotTest
from rules.grasses import GrassCode, cultivars_of, tolerance
from rules.lt50_evidence import CameOf, Judged, Way
from rules.lt50_lawns import LawnOutcome
from rules.site_cold import Basis, Layer, SiteCold, SpotTraits
from tests.rules.invented_spots import InventedSpot

SCALE_DC, HARDENED = 0.8, 0.85
CROWN_SD_DC, SOIL_SD_DC = 2.5, 1.7
DEPTHS = ((0.5, 0.25, 0.65), (1.0, 0.5, 0.4), (2.0, 0.25, 0.0))
OTHER_LOSS, ANY_SHARE = 0.02, 0.03
PLUGS, PLUG_SHOWS, PLUG_WEED = 6, 0.95, 0.02
JUDGING_WARM_DAYS = 49


@dataclass(frozen=True, kw_only=True)
class InventedRegion:
    """What is true of it.

    shift_dc : how far the real LT50 of the grass lies off the published one
    cultivars : named as by their owners, and how far each lies off its grass beside
    unknown : share of lawns whose owners do not know the cultivar
    region_error_dc : what all its minima are off; own_sd_factor : how much wider their own errors are than stated
    ways : shares of lawns told of by eye, by pot test, by photos
    dead_answer : how often owners of a lawn with nothing alive answer, against those with everything alive
    """

    code: GrassCode
    shift_dc: float
    cultivars: dict[str, float] = field(default_factory=dict)
    unknown: float = 0.6
    region_error_dc: float = 0.0
    own_sd_factor: float = 1.0
    ways: tuple[float, float, float] = (0.5, 0.35, 0.15)
    mildest_dc: float = 3.5
    coldest_dc: float = -3.5
    dead_answer: float = 1.0

    def lawns(self, chance: np.random.Generator, count: int) -> list[LawnOutcome]:
        """So many lawns whose owners answered."""
        found: list[LawnOutcome] = []
        while len(found) < count:
            lawn = self._lawn(chance)
            if lawn is not None:
                found.append(lawn)
        return found

    def _lawn(self, chance: np.random.Generator) -> LawnOutcome | None:
        names = list(self.cultivars)
        is_unknown = not names or chance.random() < self.unknown
        cultivar = None if is_unknown else names[int(chance.integers(len(names)))]
        cold = self._cold(tolerance(self.code, cultivar).lt50_c + chance.uniform(self.coldest_dc, self.mildest_dc))
        alive = self.alive(chance, cold, cultivar)
        if chance.random() > self.dead_answer + (1 - self.dead_answer) * alive:
            return None
        way, piece = self._told(chance, alive)
        return LawnOutcome(cultivar=cultivar, cold=cold, traits=SpotTraits(), way=way, piece=piece)

    def _cold(self, crown_c: float) -> SiteCold:
        soil_c = 0.3 * crown_c + 1.5
        layers = tuple(
            Layer(depth_in=d, share_fraction=s, min_c=soil_c + p * (crown_c - soil_c), sd_dc=SOIL_SD_DC + 0.8 * p)
            for d, s, p in DEPTHS
        )
        return SiteCold(
            air_min_c=crown_c - 4,
            crown=Layer(depth_in=0.0, share_fraction=1.0, min_c=crown_c, sd_dc=CROWN_SD_DC),
            rhizomes=layers,
            soil_2in_min_c=soil_c,
            soil_2in_sd_dc=SOIL_SD_DC,
            hours_near_min=3.0,
            hardened_fraction=HARDENED,
            snow_in=0.0,
            basis=Basis.MODELLED,
        )

    def alive(self, chance: np.random.Generator, cold: SiteCold, cultivar: str | None) -> float:
        """What really lives of a lawn with this estimated cold."""
        if chance.random() < OTHER_LOSS:
            return 0.0
        if chance.random() < ANY_SHARE:
            return float(chance.random())
        limit_c = self._limit_c(chance, cold, cultivar)
        error = chance.normal()

        def lives(layer: Layer) -> float:
            own = math.sqrt(max(layer.sd_dc**2 - 0.25, 0.0)) * self.own_sd_factor
            felt_c = layer.min_c + self.region_error_dc + error * own
            return 1 / (1 + math.exp(-(felt_c - limit_c) / SCALE_DC))

        top = lives(cold.crown)
        if self.code is not GrassCode.BERMUDA and self.code is not GrassCode.ZOYSIA:
            return top
        below = sum(layer.share_fraction * lives(layer) for layer in cold.rhizomes)
        return 1 - (1 - top) * (1 - below)

    def _limit_c(self, chance: np.random.Generator, cold: SiteCold, cultivar: str | None) -> float:
        known = tolerance(self.code, cultivar)
        hold_dc = 1.3 * math.log10(1 + 1.9 * cold.hours_near_min) if self.code is GrassCode.BERMUDA else 0.0
        soft_dc = known.unhardened_shift_dc * (1 - HARDENED + 0.2 * chance.normal())
        own_dc = self.cultivars[cultivar] if cultivar else chance.normal(0.0, mixed_cultivars_sd_dc(self.code))
        return known.lt50_c + hold_dc + soft_dc + self.shift_dc + own_dc

    def _told(self, chance: np.random.Generator, alive: float) -> tuple[Way, Evidence]:
        way = (Way.BY_EYE, Way.POT_TEST, Way.PHOTOS)[int(chance.choice(3, p=self.ways))]
        if way is Way.POT_TEST:
            return way, PotTest(alive=plugs_green(chance, alive), total=PLUGS, weeks=4)
        return way, Judged(on_a_photo(chance, alive) if way is Way.PHOTOS else by_eye(chance, alive))


def mixed_cultivars_sd_dc(code: GrassCode) -> float:
    """How far lawns of unknown cultivar lie apart: what the published doubt of the grass has more than a cultivar's."""
    named = sorted(each.lt50_sd_dc.value for each in cultivars_of(code))
    middle = float(np.median(named)) if named else tolerance(code).sd_dc
    return math.sqrt(max(0.0, tolerance(code).sd_dc ** 2 - middle**2))


def plugs_green(chance: np.random.Generator, alive: float) -> int:
    return int(chance.binomial(PLUGS, alive * PLUG_SHOWS + (1 - alive) * PLUG_WEED))


def by_eye(chance: np.random.Generator, alive: float) -> CameOf:
    """Green on the judging day is about as much as lives; some start late; a few owners say anything."""
    if chance.random() < 0.03:
        return list(CameOf)[int(chance.integers(3))]
    green = alive * chance.uniform(0.4, 1.6)
    if chance.random() < 0.25 * (1 - alive):
        green *= 0.1
    return CameOf.BACK if green >= 0.25 else CameOf.PARTLY if green >= 0.03 else CameOf.DEAD


def on_a_photo(chance: np.random.Generator, alive: float) -> CameOf:
    """The last photo, some days after the judging day: what lives has started late or soon, and grows from little."""
    if alive < 0.03:
        spot = InventedSpot(start_percent=float(chance.uniform(0.1, 2)))
    else:
        spot = InventedSpot(
            start_percent=float(chance.uniform(1, 2 + 12 * alive)),
            growth_per_day=float(chance.uniform(0.03, 0.06) + 0.06 * alive),
            late_warm_days=float(chance.uniform(0, 30) * (1 - alive)),
        )
    green = spot.readings(chance, [JUDGING_WARM_DAYS])[0].cover_percent / 100
    return CameOf.BACK if green >= 0.25 else CameOf.PARTLY if green >= 0.03 else CameOf.DEAD
