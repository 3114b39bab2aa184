"""Audiences as JSON from outside."""

from __future__ import annotations

from pydantic import Field

from bot.ops.regions.audience import Audience
from bot.ops.regions.geojson import values_in
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shape_file import ShapeIn, Strict, checked
from bot.talk.glance import Stage
from rules.grasses import GrassCode, cultivars_of

GRASSES = frozenset(map(str, GrassCode))
STAGES = frozenset(map(str, Stage))
MOST_BYTES = 32_000_000  # a correction names everybody who got the wrong text, perhaps a million
COLDEST_C, WARMEST_C = -60.0, 40.0


class AudienceIn(Strict):
    """An audience as `audience.plain_audience` writes it."""

    shape: ShapeIn | None = None
    grasses: list[str] = Field(default_factory=list)
    cultivars: list[str] = Field(default_factory=list)
    stages: list[str] = Field(default_factory=list)
    channels: list[str] = Field(default_factory=list)
    languages: list[str] = Field(default_factory=list)
    soil_min_below_c: float | None = Field(None, ge=COLDEST_C, le=WARMEST_C)
    crown_min_below_c: float | None = Field(None, ge=COLDEST_C, le=WARMEST_C)
    homeowner_ids: list[int] | None = None

    def made(self) -> Audience:
        """The audience it describes. Raises `ShapeRefused`."""
        _known("grass", self.grasses, GRASSES)
        _known("cultivar", self.cultivars, frozenset(each.code for code in GrassCode for each in cultivars_of(code)))
        _known("stage", self.stages, STAGES)
        return Audience(
            shape=None if self.shape is None else self.shape.made(),
            grasses=frozenset(self.grasses),
            cultivars=frozenset(self.cultivars),
            stages=frozenset(self.stages),
            channels=frozenset(self.channels),
            languages=frozenset(self.languages),
            soil_min_below_c=self.soil_min_below_c,
            crown_min_below_c=self.crown_min_below_c,
            homeowner_ids=None if self.homeowner_ids is None else frozenset(self.homeowner_ids),
        )


def read_audience(doc: str | bytes) -> Audience:
    """An audience from JSON text. Raises `ShapeRefused`."""
    return checked(AudienceIn, values_in(doc, MOST_BYTES)).made()


def _known(what: str, given: list[str], known: frozenset[str]) -> None:
    """Only what there is: a misspelt word would reach nobody, and nobody would notice."""
    wrong = sorted(set(given) - known)
    if wrong:
        raise ShapeRefused(f"unknown_{what}", f"{wrong[0]!r} is no {what}. There are: {', '.join(sorted(known))}.")
