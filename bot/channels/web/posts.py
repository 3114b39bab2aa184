"""What a form of the page means: the same for a plain form and for the page's script."""

from __future__ import annotations

import asyncio
import hashlib
import re
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass
from urllib.parse import parse_qsl

from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from bot.channels.web.guard import TEXT_BYTES
from bot.channels.web.house import House
from bot.photos.intake import MAX_BYTES, PhotoIntake, Refused, Wanted
from bot.talk.cover import cover_seen
from bot.talk.incoming import Chose, Incoming, PhotoRefused, Said, SentPhoto, SharedPlace
from rules.cover_reading import Upload

LONGEST_TEXT = 4000
MOST_TOKENS, LONGEST_TOKEN = 50, 64
MOST_FILES, MOST_FIELDS = 4, 200
PLACES_DECIMALS = 2  # about a kilometre: no finer than the work allows
_ID = re.compile(r"[0-9A-Za-z-]{8,64}")


class Unreadable(Exception):
    """A form that none of our pages sends."""


class Incomplete(Exception):
    """A form without what it is for. `note` is the catalogue's name of the hint."""

    def __init__(self, note: str) -> None:
        super().__init__(note)
        self.note = note


@dataclass(frozen=True, slots=True, kw_only=True)
class Posted:
    """What a form said: its own id, what it means, a digest of its content, and a hint if not all of it was kept."""

    id: str
    incoming: Incoming
    digest: str
    note: str = ""

    def external_id(self, address: str) -> str:
        """What a repeat is known by. An old page sent again with other content is no repeat: it has another digest."""
        return f"{address}:{self.id}:{self.digest}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """What reading a form may need: the record for photo files, the clock, and who opens photos."""

    house: House
    intake: PhotoIntake

    async def keep(self, jpeg: bytes) -> str:
        """Put a photo on disk, away from the loop, and give its id."""
        return await asyncio.to_thread(self.house.store.files.keep, jpeg, self.house.clock.now())


@asynccontextmanager
async def form_of(request: Request, most_fields: int = MOST_FIELDS) -> AsyncIterator[FormData]:
    """The fields of a form, until the end of the block. Raises `Unreadable` or `HTTPException` for what is no form."""
    if request.headers.get("content-type", "").startswith("application/x-www-form-urlencoded"):
        # Ten megabytes full of percent signs take a second to read: not in the loop, where everybody would wait.
        yield await asyncio.to_thread(_plain_form, await request.body(), most_fields)
        return
    async with request.form(max_files=MOST_FILES, max_fields=most_fields, max_part_size=TEXT_BYTES) as form:
        yield form


def _plain_form(body: bytes, most_fields: int) -> FormData:
    try:
        pairs = parse_qsl(body.decode("latin-1"), keep_blank_values=True, errors="replace", max_num_fields=most_fields)
    except ValueError as error:
        raise Unreadable from error
    return FormData([(name, value) for name, value in pairs])


def mark_of(form: FormData) -> str:
    """The mark that ties a form to a homeowner's page."""
    return _word(form, "mark")


async def posted(kind: str, form: FormData, desk: Desk) -> Posted:
    """What a form means. Raises `Unreadable` or `Incomplete`."""
    form_id = _word(form, "id")
    if not _ID.fullmatch(form_id):
        raise Unreadable
    return await _READERS[kind](form_id, form, desk)


async def _said(form_id: str, form: FormData, desk: Desk) -> Posted:
    words = _word(form, "text")
    if not words.strip():
        raise Incomplete("empty")
    note = "cut" if len(words) > LONGEST_TEXT else ""
    return _put_together(form_id, Said(text=words[:LONGEST_TEXT]), words.encode("utf-8", "replace"), note)


async def _chose(form_id: str, form: FormData, desk: Desk) -> Posted:
    tokens = tuple(token for token in form.getlist("token") if isinstance(token, str) and token)
    if not tokens:
        raise Incomplete("pick")
    if len(tokens) > MOST_TOKENS or any(len(token) > LONGEST_TOKEN for token in tokens):
        raise Unreadable
    return _put_together(form_id, Chose(tokens=tokens), "\0".join(tokens).encode("utf-8", "replace"))


async def _shared(form_id: str, form: FormData, desk: Desk) -> Posted:
    try:
        latitude, longitude = (round(float(_word(form, name)), PLACES_DECIMALS) for name in ("latitude", "longitude"))
    except (ValueError, OverflowError) as error:
        raise Unreadable from error
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise Unreadable
    incoming = SharedPlace(latitude=latitude, longitude=longitude)
    return _put_together(form_id, incoming, f"{latitude} {longitude}".encode())


async def _photographed(form_id: str, form: FormData, desk: Desk) -> Posted:
    file = form.get("photo")
    if not isinstance(file, UploadFile) or not (file.filename or file.size):
        raise Incomplete("no_photo")
    digest = hashlib.sha256()

    async def read() -> bytes:
        content: bytes = await file.read(MAX_BYTES + 1)
        await asyncio.to_thread(digest.update, content)
        return content

    has_paper = bool(_word(form, "paper"))
    incoming = await _opened(read, desk, Wanted(upload=Upload.PAGE, has_paper=has_paper))
    outcome = incoming.reason if isinstance(incoming, PhotoRefused) else ""  # refused as busy may be sent again
    return _put_together(form_id, incoming, digest.digest() + outcome.encode() + b"\0paper" * has_paper)


async def _opened(read: Callable[[], Awaitable[bytes]], desk: Desk, wanted: Wanted) -> SentPhoto | PhotoRefused:
    opened = await desk.intake.open_later(read, wanted)
    if isinstance(opened, Refused):
        return PhotoRefused(reason=opened.reason)
    return SentPhoto(photo_id=await desk.keep(opened.jpeg), cover=cover_seen(opened.reading))


_READERS: Mapping[str, Callable[[str, FormData, Desk], Awaitable[Posted]]] = {
    "say": _said,
    "choose": _chose,
    "place": _shared,
    "photo": _photographed,
}
KINDS = tuple(_READERS)


def _put_together(form_id: str, incoming: Incoming, content: bytes, note: str = "") -> Posted:
    digest = hashlib.sha256(type(incoming).__name__.encode() + b"\0" + content).hexdigest()[:24]
    return Posted(id=form_id, incoming=incoming, digest=digest, note=note)


def _word(form: FormData, name: str) -> str:
    value = form.get(name)
    return value if isinstance(value, str) else ""
