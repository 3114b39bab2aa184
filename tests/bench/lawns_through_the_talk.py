"""Invented lawns of known fate, each talked about with the real conversation through a whole spring.

    python -m tests.bench.lawns_through_the_talk [--lawns 1000] [--seed 1] [--jobs 2] [--season-off 0] [--show NUMBER]

Fates and their weights: `tests/talk/invented_lawns.py`. Errors of photos, looks and eyes: `tests/talk/lawn_owner.py`.
Prints: fate against the last verdict told and against the last word on photos; how often "likely dead" was told of
living ground; how soon growing ground was called so; when dead ground was; messages and questions a lawn took; faults
of the talk with their lawns. `--season-off 7`: the ground warms so many days (a standard deviation) off the table's
date, which the talk goes by. `--show 17` prints the whole talk of lawn 17. The same figures for the same seed, whatever
the jobs.
"""

from __future__ import annotations

import argparse
import re
import sys
import time
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from statistics import median, quantiles

import click
from scipy.stats import binomtest

from tests.rules.invented_spots import InventedSpot
from tests.talk.invented_lawns import DEAD, WEIGHTS, Fate
from tests.talk.lawn_owner import ALIVE_KEYS, VERDICTS, Spring, Told, lived_through

FOUR_WEEKS, FIVE_WEEKS = 28, 35
VERDICT_COLUMNS = ("coming_back", "settled-early", "partly_back", "test_again", "no-answer", "likely_dead", "none")
STATE_COLUMNS = ("recovered", "recovering", "too_early", "stalled", "no_regrowth_seen", "likely_dead", "none")
DEAD_BY_WARM_DAYS = (42, 56, 63, 70, 77, 84, 91, 105)


@dataclass(frozen=True, slots=True, kw_only=True)
class PartResult:
    """One part of a lawn: its fate and everything that was said of it."""

    fate: Fate
    spot: InventedSpot
    is_explained: bool
    told: tuple[Told, ...]

    def last(self, *prefixes: str) -> str:
        """The end of the last key with such a start."""
        keys = [each.key for each in self.told if each.key.startswith(prefixes)]
        return (
            keys[-1].removeprefix("verdict-").removeprefix("photo-state-").removesuffix("-tested") if keys else "none"
        )

    def first_day(self, keys: Iterable[str]) -> int | None:
        """Warm days when one of these was said first."""
        wanted = tuple(keys)
        return next((each.warm_days for each in self.told if each.key.startswith(wanted)), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One lawn, small enough to be handed between processes."""

    number: int
    parts: tuple[PartResult, ...] = ()
    messages: int = 0
    questions: int = 0
    unasked: int = 0
    by_eye_beside_photo: int = 0
    faults: tuple[str, ...] = ()


def run(number: int, *, seed: int, season_off: float) -> Result:
    """One lawn; what breaks is a fault with its place."""
    try:
        spring = lived_through(seed, number, season_off_sd_days=season_off)
    except Exception as error:  # noqa: BLE001 - whatever breaks is what this looks for
        place = traceback.extract_tb(error.__traceback__)[-1]
        broke = f"{type(error).__name__}: {error} ({place.filename.rpartition('/')[2]}:{place.lineno})"
        return Result(number=number, faults=(broke,))
    return Result(
        number=number,
        parts=tuple(_parts(spring)),
        messages=spring.messages,
        questions=spring.questions,
        unasked=spring.unasked,
        by_eye_beside_photo=spring.by_eye_beside_photo,
        faults=tuple(spring.faults),
    )


def _parts(spring: Spring) -> Iterator[PartResult]:
    for part in spring.lawn.parts:
        told = tuple(spring.of(part, *VERDICTS, "photo-state-"))
        yield PartResult(fate=part.fate, spot=part.spot, is_explained=spring.lawn.is_explained, told=told)


def share(count: int, whole: int) -> str:
    """Percent with its exact 95 % interval."""
    if not whole:
        return "none to count"
    held = binomtest(count, whole).proportion_ci(0.95, method="exact")
    return f"{100 * count / whole:5.1f} % ({100 * held.low:.1f} to {100 * held.high:.1f}; {count} of {whole})"


# --- what is printed -------------------------------------------------------------------------------------------------


def confusion(parts: Sequence[PartResult], title: str, columns: Sequence[str], *prefixes: str) -> None:
    print(f"\n## {title}, percent of each fate")
    print(f"  {'':22}{'parts':>6}" + "".join(f"{column:>17}" for column in columns))
    for fate in Fate:
        own = [part for part in parts if part.fate is fate]
        counts = Counter(part.last(*prefixes) for part in own)
        cells = "".join(f"{100 * counts[column] / max(1, len(own)):17.1f}" for column in columns)
        print(f"  {fate:22}{len(own):6}{cells}")


def false_dead(parts: Sequence[PartResult]) -> None:
    living = [part for part in parts if part.fate not in DEAD]
    print('\n## "Likely dead" of living ground (goal: at most 2 % with tests of life)')
    for name, keys in (("verdict", ("verdict-likely_dead",)), ("photo", ("photo-state-likely_dead",))):
        hits = [part for part in living if part.first_day(keys) is not None]
        fates = Counter(str(part.fate) for part in hits)
        print(f"  ever told as {name:8}: {share(len(hits), len(living))} {dict(fates) or ''}")
    dead_keys = ("verdict-likely_dead", "photo-state-likely_dead")
    ever = sum(part.first_day(dead_keys) is not None for part in living)
    print(f"  ever told either way : {share(ever, len(living))}")
    print(f"  as the last verdict  : {share(sum(p.last(*VERDICTS) == 'likely_dead' for p in living), len(living))}")


def called_growing(parts: Sequence[PartResult]) -> None:
    print("\n## Called recovering, recovered or coming back (goal: 90 % of what grows at once)")
    groups = {
        "grows at once": [part for part in parts if part.fate is Fate.AT_ONCE],
        "slow": [part for part in parts if part.fate is Fate.SLOW],
        "starts late": [part for part in parts if part.fate is Fate.LATE],
    }
    for name, own in groups.items():
        days = [part.first_day(ALIVE_KEYS) for part in own]
        for label, limit in (
            ("by warm day 28", FOUR_WEEKS),
            ("by the photo after it (35)", FIVE_WEEKS),
            ("by day 56", 56),
        ):
            hits = sum(day is not None and day <= limit for day in days)
            print(f"  {name:14} {label:27}: {share(hits, len(own))}")


def dead_called(parts: Sequence[PartResult]) -> None:
    print("\n## Dead ground called likely dead by the verdict, percent of it by warm day")
    print(f"  {'':38}" + "".join(f"{day:>7}" for day in DEAD_BY_WARM_DAYS) + "    ever   called alive by a verdict")
    for fate in (Fate.DEAD, Fate.DEAD_WEEDS):
        for explained in (True, False):
            own = [part for part in parts if part.fate is fate and part.is_explained is explained]
            days = [part.first_day(("verdict-likely_dead",)) for part in own]
            cells = "".join(f"{_percent(days, limit):7.0f}" for limit in DEAD_BY_WARM_DAYS)
            alive = sum(part.first_day(("verdict-coming_back", "settled-early")) is not None for part in own)
            why = "freeze tells why" if explained else "freeze was mild"
            print(f"  {fate:20} {why:17}{cells}{_percent(days, 999):8.0f}   {share(alive, len(own))}")


def _percent(days: Sequence[int | None], limit: int) -> float:
    return 100 * sum(day is not None and day <= limit for day in days) / max(1, len(days))


def turned_round(parts: Sequence[PartResult]) -> None:
    """What was said and later taken back without anything in between."""
    print("\n## Words taken back, parts")
    dead = [part for part in parts if part.first_day(("photo-state-likely_dead",)) is not None]
    back = sum(
        _followed(part, "photo-state-likely_dead", ("photo-state-no_regrowth", "photo-state-too")) for part in dead
    )
    print(f"  photo says likely dead, a later one no longer: {share(back, len(dead))}")
    for first, later in (
        ("verdict-likely_dead", ("verdict-coming_back", "verdict-partly_back", "settled-early")),
        ("photo-state-recovered", ("photo-state-likely_dead", "verdict-likely_dead")),
        ("verdict-coming_back", ("verdict-likely_dead", "photo-state-likely_dead")),
    ):
        own = [part for part in parts if part.first_day((first,)) is not None]
        back = sum(_followed(part, first, later) for part in own)
        print(f"  {first}, later one of {', '.join(later)}: {share(back, len(own))}")
    for verdict in ("verdict-test_again", "verdict-partly_back", "verdict-no-answer"):
        own = [part for part in parts if part.first_day((verdict,)) is not None]
        same = sum(_same_day(part, verdict, ("photo-state-recover", "photo-state-likely_dead")) for part in own)
        print(f"  {verdict} and on that very day a photo that says recovering or likely dead: {share(same, len(own))}")


def _followed(part: PartResult, first: str, later: tuple[str, ...]) -> bool:
    place = next(n for n, each in enumerate(part.told) if each.key.startswith(first))
    return any(each.key.startswith(later) for each in part.told[place + 1 :])


def _same_day(part: PartResult, verdict: str, states: tuple[str, ...]) -> bool:
    days = {each.on for each in part.told if each.key.startswith(verdict)}
    return any(each.on in days and each.key.startswith(states) for each in part.told)


def effort(results: Sequence[Result]) -> None:
    print("\n## What a lawn took, from the first word to two weeks after the last date")
    whole = [result for result in results if result.parts]
    for count in (1, 2):
        own = [result for result in whole if len(result.parts) == count]
        if len(own) < 2:
            continue
        print(f"  {count} part{'s' if count > 1 else ' '}, {len(own)} lawns: " + "; ".join(
            f"{name} {_spread([getattr(each, name) for each in own])}" for name in ("messages", "questions", "unasked")
        ) + f"; asked by eye beside a fresh photo {_spread([each.by_eye_beside_photo for each in own])}")  # fmt: skip


def _spread(counts: Sequence[int]) -> str:
    cuts = quantiles(counts, n=10)
    return f"{median(counts):.0f} ({cuts[0]:.0f} to {cuts[-1]:.0f} in eight of ten)"


def faults(results: Sequence[Result]) -> None:
    broken = [result for result in results if result.faults]
    print(f"\n## Faults of the talk: {share(len(broken), len(results))} lawns with any")
    kinds: dict[str, list[int]] = {}
    for result in broken:
        for kind in dict.fromkeys(_DATE.sub("", fault) for fault in result.faults):
            kinds.setdefault(kind, []).append(result.number)
    for kind, numbers in sorted(kinds.items(), key=lambda item: -len(item[1])):
        shown = ", ".join(map(str, numbers[:8]))
        print(f"  {len(numbers):5} lawns: {kind} (--show {shown}{', ...' if len(numbers) > 8 else ''})")


_DATE = re.compile(r"^\d{4}-\d\d-\d\d ")


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--lawns", type=int, default=1000)
    options.add_argument("--seed", type=int, default=1)
    options.add_argument("--jobs", type=int, default=2)
    options.add_argument("--season-off", type=float, default=0.0)
    options.add_argument("--show", type=int)
    given = options.parse_args()
    if given.show is not None:
        spring = lived_through(given.seed, given.show, season_off_sd_days=given.season_off, in_words=True)
        print(spring.lawn, *spring.lines, *spring.faults, sep="\n")
        return 0
    began = time.perf_counter()
    work = partial(run, seed=given.seed, season_off=given.season_off)
    with get_context("spawn").Pool(given.jobs) as pool:
        coming = pool.imap(work, range(given.lawns), chunksize=4)
        with click.progressbar(coming, length=given.lawns, label="lawns", file=sys.stderr) as bar:
            results = list(bar)
    parts = [part for result in results for part in result.parts]
    weights = ", ".join(f"{fate} {100 * weight:.0f} %" for fate, weight in WEIGHTS.items())
    print(f"# {given.lawns} lawns, {len(parts)} parts, seed {given.seed}. Fates drawn: {weights}")
    confusion(parts, "Fate against the last verdict told", VERDICT_COLUMNS, *VERDICTS)
    confusion(parts, "Fate against the last word on photos", STATE_COLUMNS, "photo-state-")
    for told in (false_dead, called_growing, dead_called, turned_round):
        told(parts)
    effort(results)
    faults(results)
    print(f"\n{time.perf_counter() - began:.0f} s with {given.jobs} jobs")
    return int(any("Error" in fault for result in results for fault in result.faults))


if __name__ == "__main__":
    sys.exit(main())
