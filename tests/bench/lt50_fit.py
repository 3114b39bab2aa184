"""Invented regions whose LT50 is known, and how often the fit's 90 % interval holds it.

    python -m tests.bench.lt50_fit [--lawns 5000] [--times 100] [--seed 1] [--grass st_augustine]

Each time the region's common error of the minima and each cultivar's own part are drawn anew. Prints how often the
interval of the grass and of its cultivars holds the truth: with the LT50 1.5 degC off, with none, and with wrong
assumptions (the doubt of minima understated by 30 %; owners of dead lawns answering half as often); how often 30 lawns
say "not enough", and how often 5,000 say "enough"; and the seconds of a fit.
"""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass

import numpy as np

from rules.grasses import GrassCode
from rules.lt50_fit import LimitFit, fit_limit
from tests.rules.invented_region import InventedRegion

NAMED = {
    GrassCode.ST_AUGUSTINE: ("floratam", "raleigh", "palmetto"),
    GrassCode.BERMUDA: ("tifway", "common_bermuda", "celebration"),
}
REGION_SD_DC, CULTIVAR_SD_DC = 0.5, 0.5


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One kind of region: its truth, and how far the fit's assumptions miss it."""

    name: str
    shift_dc: float
    doubt_factor: float = 1.0
    dead_answer: float = 1.0


SETTINGS = (
    Setting(name="LT50 1.5 degC off", shift_dc=1.5),
    Setting(name="LT50 as published", shift_dc=0.0),
    Setting(name="1.5 off, doubt of minima understated by 30 %", shift_dc=1.5, doubt_factor=1 / 0.7),
    Setting(name="1.5 off, owners of dead lawns answer half as often", shift_dc=1.5, dead_answer=0.5),
)


def once(
    code: GrassCode, setting: Setting, lawns: int, chance: np.random.Generator
) -> tuple[InventedRegion, LimitFit, float]:
    region = InventedRegion(
        code=code,
        shift_dc=setting.shift_dc,
        cultivars={name: float(chance.normal(0.0, CULTIVAR_SD_DC)) for name in NAMED[code]},
        region_error_dc=float(chance.normal(0.0, REGION_SD_DC * setting.doubt_factor)),
        own_sd_factor=setting.doubt_factor,
        dead_answer=setting.dead_answer,
    )
    outcomes = region.lawns(chance, lawns)
    began = time.perf_counter()
    fit = fit_limit(code, outcomes)
    return region, fit, time.perf_counter() - began


def many(code: GrassCode, setting: Setting, lawns: int, times: int, chance: np.random.Generator) -> None:
    held = enough = named_held = named = 0
    middles, widths, seconds = [], [], []
    for _ in range(times):
        region, fit, took = once(code, setting, lawns, chance)
        found = fit.grass.found
        held += found.low_dc <= setting.shift_dc <= found.high_dc
        enough += fit.grass.is_enough
        middles.append(found.middle_dc)
        widths.append(found.width_dc)
        seconds.append(took)
        for each in fit.cultivars:
            truth = setting.shift_dc + region.cultivars[each.cultivar or ""]
            named_held += each.found.low_dc <= truth <= each.found.high_dc
            named += 1
    print(
        f"{setting.name:52} {lawns:5} lawns: interval holds the grass's truth {held:3} of {times}, the cultivars' "
        f"{named_held:3} of {named}; 'enough' {enough:3} of {times}; middle {np.mean(middles):+.2f} "
        f"(sd {np.std(middles):.2f}), width {np.mean(widths):.2f} degC; fit {np.median(seconds):.2f} s",
        flush=True,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--lawns", type=int, default=5000)
    parser.add_argument("--times", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--grass", choices=[code.value for code in NAMED], default=GrassCode.ST_AUGUSTINE.value)
    asked = parser.parse_args()
    code, chance = GrassCode(asked.grass), np.random.default_rng(asked.seed)
    print(f"{code}, seed {asked.seed}")
    for setting in SETTINGS:
        many(code, setting, asked.lawns, asked.times, chance)
    for setting in SETTINGS[:2]:
        many(code, setting, 30, asked.times, chance)


if __name__ == "__main__":
    main()
