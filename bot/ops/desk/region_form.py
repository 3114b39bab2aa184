"""The form a region is drawn by: what was sent, as an area, and as the form shows it again."""

from __future__ import annotations

import asyncio
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass

from starlette.datastructures import FormData, UploadFile

from bot.ops.regions.geojson import MOST_BYTES
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Shape, plain_shape
from bot.ops.regions.typed import Typed, shape_of

_BETWEEN = re.compile(r"[,;\s]+")
_FIELDS = ("name", "answering", "states", "counties", "zips", "circles", "codes", "points")


@dataclass(frozen=True, slots=True, kw_only=True)
class RegionForm:
    """The fields as they were typed. `kept`: a drawing that was handed in before, as GeoJSON; "" without."""

    name: str = ""
    answering: str = ""
    states: str = ""
    counties: str = ""
    zips: str = ""
    circles: str = ""
    codes: str = ""
    points: str = ""
    kept: str = ""

    @property
    def parts(self) -> Typed:
        """What was typed, part by part: words between commas or spaces, or whole lines."""
        return Typed(
            states=tuple(_words(self.states)),
            counties=tuple(_lines(self.counties)),
            zips=tuple(_words(self.zips)),
            circles=tuple(_lines(self.circles)),
            codes=tuple(_lines(self.codes)),
            geojson=(self.kept.encode(),) if self.kept else (),
            points=self.points,
        )


async def form_sent(form: FormData) -> RegionForm:
    """What a form holds. Raises `ShapeRefused` for a file that is too large."""
    kept = "" if form.get("leave_out") else _word(form, "kept")
    file = form.get("file")
    if isinstance(file, UploadFile) and file.size:
        if file.size > MOST_BYTES:
            raise ShapeRefused("too_large", f"The text is larger than {MOST_BYTES // 1_000_000} MB.")
        kept = (await file.read()).decode("utf-8", "replace")
    return RegionForm(**{name: _word(form, name) for name in _FIELDS}, kept=kept)


async def drawn_of(form: RegionForm) -> tuple[Shape, RegionForm, bool]:
    """The area, the form as it is shown again, and whether an outline was put right. Raises `ShapeRefused`.

    A file's drawing is kept as it was read, so that nobody has to hand it in a second time.
    """
    return await asyncio.to_thread(_drawn_of, form)


def without_file(form: RegionForm) -> RegionForm:
    """The form without the drawing of a file: what could not be used is not kept."""
    return RegionForm(**{name: getattr(form, name) for name in _FIELDS})


def _drawn_of(form: RegionForm) -> tuple[Shape, RegionForm, bool]:
    shape, is_mended = shape_of(form.parts)
    if not form.kept:
        return shape, form, is_mended
    read, _ = shape_of(Typed(geojson=(form.kept.encode(),)))
    kept = json.dumps(plain_shape(read)["area"], separators=(",", ":"))
    return shape, RegionForm(**{name: getattr(form, name) for name in _FIELDS}, kept=kept), is_mended


def _word(form: FormData, name: str) -> str:
    value = form.get(name)
    return value.replace("\r\n", "\n").strip() if isinstance(value, str) else ""


def _words(typed: str) -> Iterator[str]:
    yield from (each for each in _BETWEEN.split(typed) if each)


def _lines(typed: str) -> Iterator[str]:
    yield from (each.strip() for each in typed.splitlines() if each.strip())
