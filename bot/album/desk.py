"""Makes albums for whoever asks for their own: off the event loop, one at a time, and keeps nothing."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

from bot.album.picture import album_picture
from bot.album.report import album_report
from bot.album.season import Album
from bot.album.shrinking import ReadPhoto
from bot.album.wording import Teller
from bot.charts.desk import ChartDesk
from bot.talk.case import Homeowner
from bot.words import Words


class AlbumDesk:
    """Photos are large: one album at a time keeps the memory of one."""

    def __init__(self, words: Words, charts: ChartDesk, read: ReadPhoto) -> None:
        self._words = words
        self._charts = charts
        self._read = read
        self._turn = asyncio.Lock()

    async def report(self, albums: Sequence[Album], homeowner: Homeowner) -> bytes:
        """The HTML file."""
        told = {spot.chart for album in albums for spot in album.spots if spot.chart is not None}
        teller = self._teller(homeowner)
        async with self._turn:
            drawn = {
                chart: await self._charts.picture(chart, language=homeowner.language, metric=homeowner.metric)
                for chart in told
            }
            return await asyncio.to_thread(album_report, albums, drawn, self._read, teller)

    async def picture(self, albums: Sequence[Album], homeowner: Homeowner) -> bytes | None:
        """The JPEG to share; None where no photo is left."""
        async with self._turn:
            return await asyncio.to_thread(album_picture, albums, self._read, self._teller(homeowner))

    def _teller(self, homeowner: Homeowner) -> Teller:
        return Teller(self._words, language=homeowner.language, metric=homeowner.metric)
