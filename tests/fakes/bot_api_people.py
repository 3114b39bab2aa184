"""People at the other end: every method makes one update as it would come in, and puts it into the queue."""

from __future__ import annotations

import io
import itertools
import json
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any

from tests.fakes.bot_api_files import Files
from tests.fakes.bot_api_http import Json
from tests.fakes.bot_api_updates import Updates

SIZES = (90, 320, 800)


def user(number: int) -> Json:
    """A person by number."""
    return {"id": number, "is_bot": False, "first_name": f"Owner {number}", "language_code": "en"}


def chat(number: int) -> Json:
    """A chat by number: of one person, or of a group if negative."""
    if number > 0:
        return {"id": number, "type": "private", "first_name": f"Owner {number}"}
    kind = "supergroup" if number < -1_000_000_000_000 else "group"
    return {"id": number, "type": kind, "title": f"Group {-number}"}


class People:
    """Makes updates. `messages` holds every message by chat and number, from both sides."""

    def __init__(self, updates: Updates, files: Files, now: Callable[[], datetime], me: Json) -> None:
        self._updates = updates
        self._files = files
        self._now = now
        self._me = me
        self.messages: dict[tuple[int, int], Json] = {}
        self.numbers = itertools.count(1)
        self.presses: dict[str, tuple[Json, datetime]] = {}
        self.is_blocking: Callable[[int, bool], None] = lambda number, is_so: None

    def message(self, number: int, sender: Json | None = None, **content: Any) -> Json:
        """A new message in a chat, not yet in the queue."""
        made: Json = {
            "message_id": next(self.numbers),
            "from": sender or user(abs(number)),
            "chat": chat(number),
            "date": int(self._now().timestamp()),
            **content,
        }
        self.messages[number, made["message_id"]] = made
        return made

    def sends(self, number: int, **content: Any) -> Json:
        """Any message at all; the update."""
        return self._updates.push({"message": self.message(number, **content)})

    def says(self, number: int, text: str, **more: Any) -> Json:
        """Types something. A command is marked as such."""
        if text.startswith("/"):
            length = len(text.split(" ")[0].encode("utf-16-le")) // 2
            more.setdefault("entities", [{"type": "bot_command", "offset": 0, "length": length}])
        return self.sends(number, text=text, **more)

    def starts(self, number: int, payload: str = "") -> Json:
        """Presses Start, perhaps after a link with something in it."""
        return self.says(number, f"/start {payload}".rstrip())

    def says_in_group(self, group: int, sender: int, text: str, **more: Any) -> Json:
        """Types something in a group."""
        return self.says(group, text, sender=user(sender), **more)

    def edits(self, update: Json, text: str) -> Json:
        """Changes a message that was sent before."""
        changed = update["message"] | {"text": text, "edit_date": int(self._now().timestamp())}
        self.messages[changed["chat"]["id"], changed["message_id"]] = changed
        return self._updates.push({"edited_message": changed})

    def presses_button(self, number: int, data: str, message_id: int | None = None, sender: int = 0) -> Json:
        """Presses a button of a message; without a number of the last one in the chat that has it."""
        on = self.messages[number, message_id] if message_id is not None else self._with_button(number, data)
        press: Json = {
            "id": f"{4_000_000_000_000 + next(self.numbers)}",
            "from": user(sender or abs(number)),
            "message": on,
            "chat_instance": f"{7_000_000_000 + number}",
            "data": data,
        }
        self.presses[press["id"]] = (press, self._now())
        return self._updates.push({"callback_query": press})

    def _with_button(self, number: int, data: str) -> Json:
        for (where, _), message in sorted(self.messages.items(), reverse=True):
            rows = message.get("reply_markup", {}).get("inline_keyboard", [])
            if where == number and any(each.get("callback_data") == data for row in rows for each in row):
                return message
        raise LookupError(f"no message in chat {number} has a button {data!r}")

    def shares_place(self, number: int, latitude: float, longitude: float, **more: Any) -> Json:
        """Shares where they are."""
        return self.sends(number, location={"latitude": latitude, "longitude": longitude, **more})

    def photo(self, content: bytes) -> list[Json]:
        """The sizes of a photo, each a stored file."""
        return photo_sizes(self._files, content)

    def sends_photo(self, number: int, content: bytes, caption: str = "", **more: Any) -> Json:
        """Sends a photo."""
        words = {"caption": caption} if caption else {}
        return self.sends(number, photo=self.photo(content), **words, **more)

    def sends_album(self, number: int, contents: Sequence[bytes], caption: str = "") -> list[Json]:
        """Sends photos together: an update each, with one mark. The words stand at the first."""
        mark = f"{13_000_000_000_000_000 + next(self.numbers)}"
        words = [caption, *([""] * (len(contents) - 1))]
        return [
            self.sends_photo(number, content, text, media_group_id=mark)
            for content, text in zip(contents, words, strict=True)
        ]

    def sends_document(
        self, number: int, content: bytes, name: str = "lawn.jpg", media_type: str = "image/jpeg", **more: Any
    ) -> Json:
        """Sends a file. `file_size` may be given to claim another one."""
        claimed = {"file_size": more.pop("file_size")} if "file_size" in more else {}
        stored = self._files.keep(content, "documents", name, **claimed)
        return self.sends(number, document=stored | {"file_name": name, "mime_type": media_type}, **more)

    def sends_voice(self, number: int, seconds: int = 3) -> Json:
        """Speaks."""
        stored = self._files.keep(b"OggS" + bytes(64), "voice", "speech.oga")
        return self.sends(number, voice=stored | {"duration": seconds, "mime_type": "audio/ogg"})

    def sends_sticker(self, number: int, emoji: str = "\N{SEEDLING}") -> Json:
        """Sends a sticker."""
        stored = self._files.keep(b"RIFF" + bytes(64), "stickers", "sticker.webp")
        looks = {"width": 512, "height": 512, "is_animated": False, "is_video": False, "type": "regular"}
        return self.sends(number, sticker=stored | looks | {"emoji": emoji})

    def blocks(self, number: int) -> Json:
        """Blocks the bot: it hears of it, and cannot write any more."""
        self.is_blocking(number, True)
        return self._updates.push({"my_chat_member": self._member(number, "member", "kicked")})

    def unblocks(self, number: int) -> Json:
        """Lets the bot write again."""
        self.is_blocking(number, False)
        return self._updates.push({"my_chat_member": self._member(number, "kicked", "member")})

    def _member(self, number: int, before: str, after: str) -> Json:
        states = {
            "member": {"user": self._me, "status": "member"},
            "kicked": {"user": self._me, "status": "kicked", "until_date": 0},
        }
        return {
            "chat": chat(number),
            "from": user(abs(number)),
            "date": int(self._now().timestamp()),
            "old_chat_member": states[before],
            "new_chat_member": states[after],
        }


def photo_sizes(files: Files, content: bytes) -> list[Json]:
    """The sizes of a photo from small to large, each a stored file of its own. Bytes that are no picture get one."""
    from PIL import Image

    try:
        with Image.open(io.BytesIO(content)) as picture:
            width, height = picture.size
            smaller = [size for size in SIZES if size < max(width, height)]
            found = [_smaller(files, picture, size) for size in smaller]
    except OSError:
        width, height, found = 1, 1, []
    return [*found, files.keep(content, "photos", "photo.jpg") | {"width": width, "height": height}]


def _smaller(files: Files, picture: Any, size: int) -> Json:
    copy = picture.convert("RGB")
    copy.thumbnail((size, size))
    written = io.BytesIO()
    copy.save(written, "JPEG")
    return files.keep(written.getvalue(), "photos", "photo.jpg") | {"width": copy.width, "height": copy.height}


def from_wire(people: People, wanted: Json) -> object:
    """One method by name with its arguments as JSON; contents of files as Latin-1 text."""
    values = {name: value for name, value in wanted.items() if name != "do"}
    for name in ("content",):
        if name in values:
            values[name] = values[name].encode("latin-1")
    if "contents" in values:
        values["contents"] = [each.encode("latin-1") for each in values["contents"]]
    if wanted["do"] not in ON_THE_WIRE:
        raise ValueError(f"nobody can {json.dumps(wanted['do'])}")
    made: object = getattr(people, wanted["do"])(**values)
    return made


ON_THE_WIRE = frozenset(
    {
        "sends", "says", "starts", "says_in_group", "edits", "presses_button", "shares_place", "sends_photo",
        "sends_album", "sends_document", "sends_voice", "sends_sticker", "blocks", "unblocks",
    }
)  # fmt: skip
