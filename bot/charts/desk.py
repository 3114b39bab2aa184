"""Pictures of numbers for whoever shows them: drawn when asked for, one at a time, and kept for the next that asks."""

from __future__ import annotations

import asyncio
from collections import OrderedDict

from bot.talk.cover_chart import Chart, CoverChart
from bot.words import Words

KEPT = 64  # pictures of some 40 kB
Wanted = tuple[Chart, str, bool]


class ChartDesk:
    """Draws off the event loop. The same numbers, language and units are drawn once."""

    def __init__(self, words: Words) -> None:
        self._words = words
        self._kept: OrderedDict[Wanted, bytes] = OrderedDict()
        self._turn = asyncio.Lock()

    async def picture(self, chart: Chart, *, language: str, metric: bool) -> bytes:
        """A PNG of a freeze, or of a spot's green, which reads the same in all units."""
        wanted = (chart, language, metric and not isinstance(chart, CoverChart))
        async with self._turn:
            if wanted not in self._kept:
                self._kept[wanted] = await asyncio.to_thread(self._draw, wanted)
            self._kept.move_to_end(wanted)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
            return self._kept[wanted]

    def _draw(self, wanted: Wanted) -> bytes:
        from bot.charts.cover import draw_cover
        from bot.charts.trace import draw_trace
        from bot.charts.wording import cover_words, trace_words

        chart, language, metric = wanted
        if isinstance(chart, CoverChart):
            return draw_cover(chart, words=cover_words(chart, self._words, language=language), language=language)
        words = trace_words(chart, self._words, language=language, metric=metric)
        return draw_trace(chart, words=words, metric=metric, language=language)
