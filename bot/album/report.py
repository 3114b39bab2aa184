"""The album as one HTML file that needs nothing else: photos and charts are inside, for the screen and for paper.

Everything from outside is escaped, and the file itself forbids scripts and whatever lies elsewhere.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from bot.album.season import Album, Shot, SpotAlbum
from bot.album.shrinking import ReadPhoto, opened, packed, within
from bot.album.thinning import thinned
from bot.album.wording import Teller
from bot.talk.cover_chart import CoverChart

MOST_PHOTOS = 60  # in one file; more are thinned evenly
LONGEST_PX, LONGEST_OF_MANY_PX, MANY = 900, 640, 24
QUALITY = 72
_TEMPLATES = Path(__file__).parent / "templates"

Charts = Mapping[CoverChart, bytes]
"""The drawn chart of every spot that has one: PNG by its numbers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Inside:
    """A picture within the file."""

    uri: str
    width: int
    height: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownSpot:
    """A spot with the photos that are shown of it; a photo's picture is None where its file is gone."""

    spot: SpotAlbum
    photos: tuple[tuple[Shot, Inside | None], ...]
    left_out: int
    chart_uri: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShownAlbum:
    """An album with everything that is shown of it."""

    album: Album
    spots: tuple[ShownSpot, ...]


def album_report(albums: Sequence[Album], charts: Charts, read: ReadPhoto, teller: Teller) -> bytes:
    """The file. Takes up to a few seconds with many photos: call it off the event loop."""
    shown = _shown(albums, charts, read)
    return _template_of().get_template("album.html").render(albums=shown, tell=teller).encode()


def _shown(albums: Sequence[Album], charts: Charts, read: ReadPhoto) -> list[ShownAlbum]:
    spots = [spot for album in albums for spot in album.spots if spot.shots]
    each = max(2, MOST_PHOTOS // max(1, len(spots)))
    count = sum(min(each, len(spot.shots)) for spot in spots)
    longest_px = LONGEST_PX if count <= MANY else LONGEST_OF_MANY_PX

    def show(spot: SpotAlbum) -> ShownSpot:
        chosen = thinned(spot.shots, each)
        png = charts.get(spot.chart) if spot.chart is not None else None
        return ShownSpot(
            spot=spot,
            photos=tuple((shot, _inside(read(shot.photo_id), longest_px)) for shot in chosen),
            left_out=len(spot.shots) - len(chosen),
            chart_uri=_uri(png, "image/png") if png is not None else "",
        )

    return [ShownAlbum(album=album, spots=tuple(map(show, album.spots))) for album in albums]


def _inside(content: bytes | None, longest_px: int) -> Inside | None:
    picture = opened(content, (longest_px, longest_px))
    if picture is None:
        return None
    small = within(picture, longest_px)
    return Inside(uri=_uri(packed(small, QUALITY), "image/jpeg"), width=small.width, height=small.height)


def _uri(content: bytes, media_type: str) -> str:
    return f"data:{media_type};base64,{b64encode(content).decode('ascii')}"


@cache
def _template_of() -> Environment:
    return Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
