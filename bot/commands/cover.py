"""`afterfrost cover`: green cover of photos of a lawn, as a table or as JSON.

Photos are opened apart, two at a time, as the service does it. One that cannot be opened does not keep the others from
being measured; the exit code tells that there was one.
"""

from __future__ import annotations

import asyncio
import json
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import click
from pydantic import BaseModel

from bot.photos.opening import OpenedPhoto, Reason, Refused, Wanted
from bot.talk.messages import Number, text
from bot.words import Words
from rules.cover_reading import Colour, CoverReason, Upload

UNOPENED = 1
"""Exit code where a file could not be opened as a picture."""
PROGRESS_FROM = 6
NOT_FOUND = "not_found"
WAIT_SECONDS = 3600.0

REASONS = {
    NOT_FOUND: "cover-not-found",
    Reason.TOO_BIG: "photo-refused-too_big",
    Reason.NOT_A_PICTURE: "photo-refused-not_a_picture",
    Reason.HEIC: "photo-refused-heic",
    Reason.BROKEN: "photo-refused-broken",
    Reason.BUSY: "photo-refused-busy",
    CoverReason.TOO_SMALL: "cover-reason-too_small",
    CoverReason.DARK: "cover-reason-dark",
    CoverReason.OVEREXPOSED: "cover-reason-overexposed",
    CoverReason.BLURRED: "cover-reason-blurred",
    CoverReason.BLACK_AND_WHITE: "photo-refused-black_and_white",
    CoverReason.BLUE_LIGHT: "cover-reason-blue_light",
    CoverReason.ORANGE_LIGHT: "cover-reason-orange_light",
    CoverReason.NOT_LAWN: "cover-reason-not_lawn",
}
COLOURS = {
    Colour.YELLOWISH: "cover-colour-yellowish",
    Colour.MEDIUM: "cover-colour-medium",
    Colour.DARK: "cover-colour-dark",
}
HEADS = (
    "cover-head-file",
    "cover-head-green",
    "cover-head-range",
    "cover-head-colour",
    "cover-head-size",
    "cover-head-taken",
    "cover-head-note",
)
OPENED_BUT_REFUSED = (Reason.TOO_SMALL, Reason.BLACK_AND_WHITE)


class CoverOut(BaseModel):
    """What one photo says. Percent are of the picture; low and high hold 95 times in 100.

    reason : why it is not usable, else null
    green_percent, colour : told for whoever looks closer, also where `usable` is false; null where it was not measured
    ambiguous : straw and green run into each other, so only the range counts
    width, height : of the photo as it is, upright [pixels]
    taken_on : the day that the camera noted, which may be wrong
    paper_used : colours were put right by a sheet of paper in the picture
    """

    file: str
    usable: bool
    reason: str | None = None
    green_percent: float | None = None
    green_percent_low: float | None = None
    green_percent_high: float | None = None
    colour: str | None = None
    ambiguous: bool | None = None
    width: int | None = None
    height: int | None = None
    taken_on: str | None = None
    paper_used: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CoverTold:
    """What the command prints, and its exit code: 0, or UNOPENED where a file could not be opened as a picture."""

    text: str
    exit_code: int


def cover_command(files: Sequence[str], *, paper: bool = False, as_json: bool = False) -> CoverTold:
    """Measure these photos."""
    words = Words()
    found = asyncio.run(_measured(files, Wanted(upload=Upload.FILE, has_paper=paper, keep=False), words))
    opened = all(each.width is not None or each.reason in OPENED_BUT_REFUSED for each in found)
    told = json.dumps([each.model_dump() for each in found], indent=2) if as_json else _told(found, words, paper=paper)
    return CoverTold(text=told, exit_code=0 if opened else UNOPENED)


async def _measured(files: Sequence[str], wanted: Wanted, words: Words) -> list[CoverOut]:
    """One result a file, in their order. As many wait in memory as are being opened, and two more."""
    from bot.photos.intake import AT_ONCE, PhotoIntake

    intake, places = PhotoIntake(wait_seconds=WAIT_SECONDS), asyncio.Semaphore(2 * AT_ONCE)

    async def one(file: str) -> CoverOut:
        async with places:
            content = await asyncio.to_thread(_content, Path(file))
            if content is None:
                return CoverOut(file=file, usable=False, reason=NOT_FOUND)
            return _out(file, await intake.open(content, wanted))

    progress = _Progress(len(files), words)
    tasks = [asyncio.create_task(one(file)) for file in files]
    for task in tasks:
        task.add_done_callback(progress.step)
    found = await asyncio.gather(*tasks)
    intake.close()
    return found


def _content(file: Path) -> bytes | None:
    """A file's bytes, no more than are looked at; None where it cannot be read."""
    from bot.photos.opening import MAX_BYTES

    try:
        with file.open("rb") as opened:
            return opened.read(MAX_BYTES + 1)
    except OSError:
        return None


class _Progress:
    """A line on standard error, where many files keep somebody at a screen waiting."""

    def __init__(self, total: int, words: Words) -> None:
        self._done, self._total = 0, total
        self._label = words.text(text("cover-progress"))
        self._is_shown = total >= PROGRESS_FROM and sys.stderr.isatty()

    def step(self, _: object = None) -> None:
        """One more is done."""
        self._done += 1
        if self._is_shown:
            click.echo(f"\r{self._label} {self._done}/{self._total}", nl=self._done == self._total, err=True)


def _out(file: str, result: OpenedPhoto | Refused) -> CoverOut:
    if isinstance(result, Refused):
        return CoverOut(file=file, usable=False, reason=result.reason)
    reading = result.reading
    return CoverOut(
        file=file,
        usable=reading.usable,
        reason=reading.reason,
        green_percent=round(reading.green_percent, 2),
        green_percent_low=round(reading.low, 2),
        green_percent_high=round(reading.high, 2),
        colour=reading.colour,
        ambiguous=reading.ambiguous,
        width=reading.width,
        height=reading.height,
        taken_on=result.taken_on.isoformat() if result.taken_on else None,
        paper_used=reading.paper_used,
    )


# --- as text ---------------------------------------------------------------------------------------------------------


def _told(found: Sequence[CoverOut], words: Words, *, paper: bool) -> str:
    """A table, then what it means."""
    rows = [[words.text(text(head)) for head in HEADS], *(_row(each, words) for each in found)]
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADS))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
    return "\n".join([*lines, *_notes(found, words, paper=paper)])


def _notes(found: Sequence[CoverOut], words: Words, *, paper: bool) -> Iterator[str]:
    without = sum(each.width is not None and not each.paper_used for each in found)
    if paper and without:
        yield "\n" + words.text(text("cover-no-paper", n=Number(value=without)))
    if any(each.usable for each in found):
        yield "\n" + words.text(text("cover-note"))


def _row(each: CoverOut, words: Words) -> list[str]:
    size = f"{each.width}x{each.height}" if each.width else ""
    if not each.usable:
        return [each.file, "", "", "", size, each.taken_on or "", words.text(text(REASONS[each.reason or NOT_FOUND]))]
    note = words.text(text("cover-unclear")) if each.ambiguous else ""
    green = "" if each.ambiguous else f"{each.green_percent:.0f} %"
    likely = f"{each.green_percent_low:.0f}-{each.green_percent_high:.0f} %"
    colour = words.text(text(COLOURS[Colour(each.colour)])) if each.colour else ""
    return [each.file, green, likely, colour, size, each.taken_on or "", note]
