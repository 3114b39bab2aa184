"""Which grass it may be, from what an owner sees; and which rules to keep while that is not settled.

A wrong guess costs most where surface runners are treated as if something lived below them. So while it is unsure,
the strictest of the candidates rules: stolon-only rules wherever a stolon-only grass is still possible.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType

from rules.errors import NotEnoughData
from rules.facts import identify as facts
from rules.facts.identify import (
    BladeTip,
    BladeWidth,
    Colour,
    Feel,
    Hairs,
    Runners,
    SeedHead,
    ShootBase,
    TraitAnswer,
)
from rules.grasses import GrassCode, GrowthHabit, grass

__all__ = [
    "BladeTip",
    "BladeWidth",
    "Candidate",
    "Colour",
    "Feel",
    "Hairs",
    "Runners",
    "SeedHead",
    "ShootBase",
    "Traits",
    "candidates",
    "is_certain",
    "next_trait",
    "strictest",
    "traits_of",
]

_ASKED_IN_ORDER = ("runners", "blade_width", "blade_tip", "shoot", "feel", "seed_head", "colour", "hairs")
_KINDS: Mapping[str, type[StrEnum]] = MappingProxyType(
    {
        "runners": Runners,
        "blade_width": BladeWidth,
        "blade_tip": BladeTip,
        "shoot": ShootBase,
        "feel": Feel,
        "hairs": Hairs,
        "seed_head": SeedHead,
        "colour": Colour,
    }
)
_CODES: Mapping[str, frozenset[str]] = MappingProxyType({name: frozenset(kind) for name, kind in _KINDS.items()})
_STRICTEST_FIRST = (
    GrowthHabit.STOLONS_ONLY,
    GrowthHabit.SHORT_RHIZOMES,
    GrowthHabit.DENSE_RHIZOMES,
    GrowthHabit.RHIZOMES_AND_STOLONS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traits:
    """What was seen. None where it was not asked, or the owner is not sure."""

    runners: Runners | None = None
    blade_width: BladeWidth | None = None
    blade_tip: BladeTip | None = None
    shoot: ShootBase | None = None
    feel: Feel | None = None
    hairs: Hairs | None = None
    seed_head: SeedHead | None = None
    colour: Colour | None = None

    @property
    def answers(self) -> tuple[TraitAnswer, ...]:
        """The answers that were given."""
        values = (getattr(self, field.name) for field in fields(self))
        return tuple(value for value in values if value is not None)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A grass that may be it. `score` is the share of the answers it fits, 0..1."""

    grass: GrassCode
    score: float


def traits_of(codes: Mapping[str, str | None]) -> Traits:
    """Traits from codes by trait name, as a conversation keeps them: {"runners": "on_top", "blade_tip": None}.

    Raises NotEnoughData for a trait or a code that is not in the key.
    """
    for name, code in codes.items():
        if name not in _KINDS or (code is not None and code not in _CODES[name]):
            raise NotEnoughData(f"the grass key has no answer {code!r} to {name!r}")
    return Traits(
        runners=Runners(code) if (code := codes.get("runners")) else None,
        blade_width=BladeWidth(code) if (code := codes.get("blade_width")) else None,
        blade_tip=BladeTip(code) if (code := codes.get("blade_tip")) else None,
        shoot=ShootBase(code) if (code := codes.get("shoot")) else None,
        feel=Feel(code) if (code := codes.get("feel")) else None,
        hairs=Hairs(code) if (code := codes.get("hairs")) else None,
        seed_head=SeedHead(code) if (code := codes.get("seed_head")) else None,
        colour=Colour(code) if (code := codes.get("colour")) else None,
    )


@lru_cache
def candidates(traits: Traits) -> tuple[Candidate, ...]:
    """Every grass that fits at least one answer, best first; all of them with score 0 when nothing was answered.

    A single misjudged trait lowers a grass, it does not drop it. Equal scores are ordered strictest first.
    Source: rules/facts/identify.py (UF EP646, Kentucky AGR-251, LSU 2009; much from memory).
    """
    answers = traits.answers
    if not answers:
        return tuple(Candidate(code, 0.0) for code in sorted(GrassCode, key=_strictness))
    scored = (Candidate(code, _fitting(code, answers) / len(answers)) for code in GrassCode)
    return tuple(
        sorted((each for each in scored if each.score > 0), key=lambda each: (-each.score, _strictness(each.grass)))
    )


@lru_cache
def is_certain(traits: Traits) -> bool:
    """Whether one grass alone fits everything, from at least two answers. Otherwise ask for a photo or a sample.

    Runners and width alone never settle it: on top and half a pencil wide fits centipede, and a dwarf St. Augustine.
    """
    answers = traits.answers
    fitting = [code for code in GrassCode if _fitting(code, answers) == len(answers)]
    tells_more = {type(answer) for answer in answers} - {Runners, BladeWidth}
    return len(answers) >= 2 and bool(tells_more) and len(fitting) == 1


def strictest(possible: tuple[Candidate, ...]) -> GrassCode:
    """The grass whose rules to keep while it is unsure which of these it is.

    Stolon-only grasses first, then short, dense and deep rhizomes; among equals the higher mowing floor. With no
    candidate at all it is the strictest grass there is.
    """
    codes = [each.grass for each in possible] or list(GrassCode)
    return min(codes, key=_strictness)


def next_trait(traits: Traits) -> str | None:
    """The name of the trait to ask about next, in the order that separates best; None when all are answered."""
    for name in _ASKED_IN_ORDER:
        if getattr(traits, name) is None:
            return name
    return None


def _fitting(code: GrassCode, answers: tuple[TraitAnswer, ...]) -> int:
    return sum(code in facts.TRAITS[answer].grasses for answer in answers)


def _strictness(code: GrassCode) -> tuple[int, float]:
    known = grass(code)
    return _STRICTEST_FIRST.index(known.habit), -known.mowing_in.low
