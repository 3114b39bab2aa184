"""The picture of what survived: alive share against crown minimum, as published, as found, and what was seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rules.lt50_curve import SurvivalCurve

RUNGS_PERCENT = (0, 25, 50, 75, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitWords:
    """The words in the picture, finished. `limit_words` makes them.

    title, finding : over the picture
    found, published, seen : beside the shapes under it; seen is "" where there are no dots
    up, across : what the axes are
    rungs : at the left, for 0, 25, 50, 75 and 100 percent
    """

    title: str
    finding: str
    found: str
    published: str
    seen: str
    up: str
    across: str
    rungs: tuple[str, ...]


def draw_limit(curve: SurvivalCurve, *, words: LimitWords, metric: bool) -> bytes:
    """A PNG of 720 x 640 px. The same input gives the same bytes; nothing else is in it.

    Takes a few tenths of a second, so call it off the event loop.
    """
    from bot.charts.limit_figure import LimitFigure  # loading its plotting library takes longer than all the rest

    return LimitFigure(curve, words=words, metric=metric).sheet.png()
