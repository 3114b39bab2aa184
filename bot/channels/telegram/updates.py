"""Telegram's updates as plain data: whose they are, and what they mean. Knows no library, and raises for nothing.

1. An update without a chat of ours is nobody's; one in a group is only answered where it speaks to the bot, or as the
   bot is let in. A channel is never spoken in: everybody there would read it.
2. What cannot be handled gets a kind word, not silence.
3. Of a photo the largest size is taken. Parts of an album come one by one and share an id.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Any

from bot.arrivals import NewArrival
from bot.talk.incoming import INVITE, Arrived, Chose, Incoming, Said, SharedPlace

LATEST_SECONDS = 2**33
ALBUM_WAIT = timedelta(seconds=2)
LONGEST_TEXT, LONGEST_TOKEN = 4096, 64
PLACES_DECIMALS = 2  # about a kilometre: no finer than the work allows

_COMMAND = re.compile(r"/([A-Za-z0-9_]{1,32})(?:@\w+)?(?:\s+(.*))?", re.DOTALL)
_UNHANDLED = {
    "voice": "telegram-no-voice",
    "audio": "telegram-no-voice",
    "video": "telegram-no-video",
    "video_note": "telegram-no-video",
    "animation": "telegram-no-video",
    "sticker": "telegram-no-sticker",
    "contact": "telegram-no-other",
    "poll": "telegram-no-other",
    "dice": "telegram-no-other",
    "game": "telegram-no-other",
    "story": "telegram-no-other",
    "checklist": "telegram-no-other",
    "paid_media": "telegram-no-video",
    "document": "telegram-no-file",
}
_COMMANDS = {"delete": "forget me", "add": "new lawn", "time": "hours"}
"""Commands that mean more than their word alone."""
_IMAGE_KINDS = ("image/jpeg", "image/png", "image/webp", "image/heic", "image/heif")
_CLOSED = ("kicked", "left")

Plain = Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class File:
    """A picture to be fetched."""

    id: str
    size: int | None = None
    is_original: bool = False  # sent as a file, so as the camera stored it


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What one update means.

    press : the id of the press that waits for an answer
    incoming : for the conversation, after the file
    file : a picture to fetch
    reply : a word of the channel's own
    is_reachable, moved_to : as in `Reading`
    """

    press: str | None = None
    incoming: tuple[Incoming, ...] = ()
    file: File | None = None
    reply: str | None = None
    is_reachable: bool | None = None
    moved_to: str | None = None


def number_of(update: object) -> int | None:
    """The number of an update; what has none is no update."""
    return _whole(update.get("update_id")) if isinstance(update, Mapping) else None


def arrival_of(update: Plain, now: datetime) -> NewArrival:
    """An update as it is stored: under its chat, in its album."""
    message = _message(update)
    # A press carries the message it stands under, with that one's date; when it was pressed nobody says.
    at = None if "callback_query" in update else _whole(message.get("edit_date") or message.get("date"))
    group = message.get("media_group_id")
    return NewArrival(
        external_id=f"u{update.get('update_id')}",
        address=_chat_id(update),
        at=now if at is None or not 0 < at < LATEST_SECONDS else datetime.fromtimestamp(at, UTC),
        body=json.dumps(update, ensure_ascii=True, separators=(",", ":")),
        group=f"album:{group}" if isinstance(group, str) and group else None,
        wait=ALBUM_WAIT if isinstance(group, str) and group else timedelta(0),
    )


def meaning_of(update: Plain) -> Meaning:
    """What an update means. Nothing where it means nothing to us."""
    if isinstance(pressed := update.get("callback_query"), Mapping):
        return _pressed(pressed)
    if isinstance(member := update.get("my_chat_member"), Mapping):
        return _membership(member)
    if isinstance(edited := update.get("edited_message"), Mapping):
        is_words = _is_private(edited) and isinstance(edited.get("text"), str)
        return Meaning(reply="telegram-edited") if is_words else Meaning()
    if isinstance(message := update.get("message"), Mapping):
        return _said(message) if _is_private(message) else _in_a_group(message)
    return Meaning()


def _said(message: Plain) -> Meaning:
    words = message.get("text")
    if isinstance(words, str):
        return Meaning(incoming=(_words(words),))
    caption = message.get("caption")
    captioned = (_said_as(caption),) if isinstance(caption, str) and caption.strip() else ()
    if (file := _picture(message)) is not None:
        return Meaning(file=file, incoming=captioned)
    place = _place(message)
    if place is not None:
        return Meaning(incoming=(place,))
    for kind, reply in _UNHANDLED.items():
        if kind in message:
            return Meaning(reply=reply, incoming=captioned)
    return Meaning()


def _words(words: str) -> Incoming:
    """Typed words; a command as the words it stands for."""
    command = _COMMAND.fullmatch(words.strip())
    if command is None:
        return _said_as(words)
    name, rest = command.group(1).lower(), (command.group(2) or "").strip()
    if name == "start":
        return Arrived(invite=rest if INVITE.fullmatch(rest) else "")
    return _said_as(f"{_COMMANDS.get(name, name.replace('_', ' '))} {rest}".strip())


def _said_as(words: str) -> Said:
    """Words that can be stored: halves of a sign, which JSON can hold and UTF-8 cannot, are marked as unreadable."""
    return Said(text=words[:LONGEST_TEXT].encode("utf-16", "surrogatepass").decode("utf-16", "replace"))


def _pressed(pressed: Plain) -> Meaning:
    press, data = pressed.get("id"), pressed.get("data")
    message = pressed.get("message")
    is_ours = isinstance(message, Mapping) and _is_private(message)
    is_sound = isinstance(data, str) and data.isprintable() and 0 < len(data.encode()) <= LONGEST_TOKEN
    return Meaning(
        press=press if isinstance(press, str) else None,
        incoming=(Chose(tokens=(str(data),)),) if is_ours and is_sound else (),
    )


def _membership(member: Plain) -> Meaning:
    old, new = (_status(member.get(name)) for name in ("old_chat_member", "new_chat_member"))
    if new is None:
        return Meaning()
    if _is_private(member):
        return Meaning(is_reachable=new not in _CLOSED)
    is_let_in = new not in _CLOSED and (old is None or old in _CLOSED)
    return Meaning(reply="telegram-only-private" if is_let_in and _is_group(member) else None)


def _status(member: object) -> str | None:
    status = member.get("status") if isinstance(member, Mapping) else None
    return status if isinstance(status, str) else None


def _in_a_group(message: Plain) -> Meaning:
    """Only what speaks to the bot is answered, and only with where to find it."""
    if not _is_group(message):
        return Meaning()
    moved = _whole(message.get("migrate_to_chat_id"))
    if moved is not None:
        return Meaning(moved_to=str(moved))
    words = message.get("text")
    is_to_us = isinstance(words, str) and words.startswith("/")
    return Meaning(reply="telegram-only-private" if is_to_us else None)


def _picture(message: Plain) -> File | None:
    sizes = message.get("photo")
    if isinstance(sizes, list) and sizes:
        known = [each for each in sizes if isinstance(each, Mapping) and isinstance(each.get("file_id"), str)]
        largest = max(known, key=_pixels, default=None)
        return None if largest is None else File(id=largest["file_id"], size=_whole(largest.get("file_size")))
    document = message.get("document")
    if isinstance(document, Mapping) and document.get("mime_type") in _IMAGE_KINDS:
        file_id = document.get("file_id")
        if isinstance(file_id, str):
            return File(id=file_id, size=_whole(document.get("file_size")), is_original=True)
    return None


def _place(message: Plain) -> SharedPlace | None:
    location = message.get("location")  # a venue carries one, too
    if not isinstance(location, Mapping):
        return None
    latitude, longitude = location.get("latitude"), location.get("longitude")
    if not (isinstance(latitude, (int, float)) and isinstance(longitude, (int, float))):
        return None
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        return None
    return SharedPlace(latitude=round(latitude, PLACES_DECIMALS), longitude=round(longitude, PLACES_DECIMALS))


def _message(update: Plain) -> Plain:
    """The part of an update that names its chat."""
    pressed = update.get("callback_query")
    if isinstance(pressed, Mapping):
        message = pressed.get("message")
        return message if isinstance(message, Mapping) else {}
    for name in ("message", "edited_message", "my_chat_member"):
        if isinstance(part := update.get(name), Mapping):
            return part
    return {}


def _chat_id(update: Plain) -> str:
    chat = _message(update).get("chat")
    of_chat = chat.get("id") if isinstance(chat, Mapping) else None
    return str(of_chat) if isinstance(of_chat, int) and not isinstance(of_chat, bool) else ""


def _is_private(message: Plain) -> bool:
    chat = message.get("chat")
    return isinstance(chat, Mapping) and chat.get("type") == "private"


def _is_group(message: Plain) -> bool:
    chat = message.get("chat")
    return isinstance(chat, Mapping) and chat.get("type") in ("group", "supergroup")


def _pixels(size: Plain) -> int:
    return (_whole(size.get("width")) or 0) * (_whole(size.get("height")) or 0)


def _whole(value: object) -> int | None:
    return value if isinstance(value, int) and not isinstance(value, bool) else None
