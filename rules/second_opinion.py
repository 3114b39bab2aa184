"""What practitioners go by: a soil temperature at which losses become serious, beside our odds.

Common practice without a source. Where the two say different things there are plain reasons, and they are told.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from rules.facts import cold as facts
from rules.grasses import GrassCode
from rules.site_cold import SiteCold
from rules.survival import AliveOdds


class WhyDifferent(StrEnum):
    """Why a rule of thumb and our odds may differ."""

    ANOTHER_DEPTH = "another_depth"  # the rule reads soil, crowns on top are colder
    ANOTHER_LOSS = "another_loss"  # the rule is about serious loss of a stand, the odds about each runner
    OTHER_PLACES = "other_places"  # the rule comes from other soils and winters


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondOpinion:
    """A rule of thumb against one spot. Temperatures in degC.

    from_c, to_c : soil temperature at which losses are said to become serious, lower and upper end
    soil_2in_min_c : the spot's lowest soil temperature 2 in down
    is_serious : whether the rule calls it serious (at or below the upper end)
    odds_are_serious : whether more than half of the growing points are more likely lost than not
    """

    from_c: float
    to_c: float
    soil_2in_min_c: float
    is_serious: bool
    odds_are_serious: bool

    @property
    def agrees(self) -> bool:
        """Whether both say serious, or both not."""
        return self.is_serious == self.odds_are_serious

    @property
    def reasons(self) -> tuple[WhyDifferent, ...]:
        """Why they differ; empty where they agree."""
        if self.agrees:
            return ()
        first = WhyDifferent.ANOTHER_DEPTH if self.odds_are_serious else WhyDifferent.ANOTHER_LOSS
        return (first, WhyDifferent.OTHER_PLACES)


def second_opinion(code: GrassCode, cultivar_code: str | None, cold: SiteCold, top: AliveOdds) -> SecondOpinion | None:
    """The practitioners' rule for a grass, or None where there is none.

    Parameters
    ----------
    code, cultivar_code
        The grass, and its cultivar where known. St. Augustine without one goes by the middle of its cultivars.
    cold : SiteCold
        What the spot felt. [degC]
    top : AliveOdds
        Our odds of what grows on top.

    Returns
    -------
    SecondOpinion or None

    Source
    ------
    Common practice: zoysia 15 to 17, bermuda 18 to 20, St. Augustine Raleigh 23 to 24, Palmetto 25 to 26, Floratam
    28 to 29 degF of soil temperature.
    """
    known = facts.SERIOUS_SOIL_C.get(cultivar_code or "") or facts.SERIOUS_SOIL_C.get(code)
    if known is None:
        return None
    return SecondOpinion(
        from_c=known.low,
        to_c=known.high,
        soil_2in_min_c=cold.soil_2in_min_c,
        is_serious=cold.soil_2in_min_c <= known.high,
        odds_are_serious=top.quantile_fraction(0.5) < 0.5,
    )
