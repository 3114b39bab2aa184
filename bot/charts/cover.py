"""The picture of one spot's green over the weeks: each photo with its likely range, the trend, and what to expect."""

from __future__ import annotations

from dataclasses import dataclass

from bot.talk.cover_chart import CoverChart

RUNGS_PERCENT = (0, 25, 50, 75, 100)


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverWords:
    """The words in the picture, finished: in the reader's language. `cover_words` makes them.

    title, finding : over the picture; the finding is one or two short sentences
    photo, other, trend, later : beside the shapes under it; other is a photo sent another way
    judging : over the line of the judging day; "" where there is none
    first_figure, last_figure, later_figure : beside their dots; "" where there is none
    rungs : at the left, for 0, 25, 50, 75 and 100 percent
    """

    title: str
    finding: str
    photo: str
    other: str
    trend: str
    later: str
    judging: str
    first_figure: str
    last_figure: str
    later_figure: str
    rungs: tuple[str, ...]


def draw_cover(chart: CoverChart, *, words: CoverWords, language: str) -> bytes:
    """A PNG of 720 x 640 px, for a screen 360 px wide. The same input gives the same bytes; nothing else is in it.

    `language` names the days. Takes a few tenths of a second, so call it off the event loop; safe from any thread.
    """
    from bot.charts.cover_figure import CoverFigure  # loading its plotting library takes longer than all the rest

    return CoverFigure(chart, words=words, language=language).sheet.png()
