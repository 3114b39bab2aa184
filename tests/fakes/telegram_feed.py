"""What people do on the Telegram of the tests, and the queue in which the bot reads of it.

An update stays until an offset above it is asked for; a poll that waits wakes at once when something comes.
"""

from __future__ import annotations

import asyncio
import itertools
from collections import deque
from collections.abc import Callable
from typing import Any

from tests.fakes.telegram_wire import Json

BOT = {"id": 1, "is_bot": True, "first_name": "Lawn", "username": "lawn_of_the_tests_bot"}


class Refusal(Exception):
    """An answer that is not ok."""

    def __init__(self, code: int, description: str, **parameters: Any) -> None:
        super().__init__(description)
        self.code = code
        self.parameters = parameters


class Feed:
    """The updates: people who write, and the queue that the bot reads with getUpdates."""

    def __init__(self, now: Callable[[], float]) -> None:
        self.now = now
        self.pending: deque[Json] = deque()
        self.confirmed = 0  # the highest offset asked for
        self.shuffle_next = False  # the next batch comes in reverse
        self.callbacks: set[str] = set()  # presses that can be answered
        self.files: dict[str, tuple[str, bytes]] = {}  # path and content by file id
        self.webhook = ""
        self._repeats: list[Json] = []
        self._update_id = 1000
        self._numbers = itertools.count(1)
        self._poll: asyncio.Future[bool] | None = None

    # What people do. Each gives back the update, already on its way.

    def say(self, chat: str | int, text: str) -> Json:
        return self._message(chat, text=text)

    def edited(self, chat: str | int, text: str) -> Json:
        return self.push({"edited_message": self._body(chat, text=text, edit_date=int(self.now()))})

    def share(self, chat: str | int, lat: float, lon: float) -> Json:
        return self._message(chat, location={"latitude": lat, "longitude": lon})

    def photo(self, chat: str | int, content: bytes, caption: str | None = None, group: str | None = None) -> Json:
        small = self._file(b"small", "jpg") | {"width": 90, "height": 67}
        large = self._file(content, "jpg") | {"width": 1280, "height": 960}
        more = {"caption": caption, "media_group_id": group}
        return self._message(chat, photo=[small, large], **{key: value for key, value in more.items() if value})

    def document(self, chat: str | int, content: bytes, name: str, mime: str) -> Json:
        kept = self._file(content, name.rpartition(".")[2])
        return self._message(chat, document=kept | {"file_name": name, "mime_type": mime})

    def voice(self, chat: str | int) -> Json:
        return self._message(chat, voice=self._file(b"OggS", "oga") | {"duration": 3, "mime_type": "audio/ogg"})

    def sticker(self, chat: str | int) -> Json:
        shape = {"width": 512, "height": 512, "is_animated": False, "is_video": False, "type": "regular"}
        return self._message(chat, sticker=self._file(b"RIFF", "webp") | shape | {"emoji": "🌱"})

    def group_says(self, chat: str | int, text: str) -> Json:
        body = self._body(chat, text=text)
        body["chat"] = {"id": int(chat), "type": "supergroup", "title": "Our street"}
        body["from"] = _person(4242)
        return self.push({"message": body})

    def press(self, chat: str | int, data: str) -> Json:
        query = {"id": f"q{next(self._numbers)}", "from": _person(chat), "chat_instance": f"i{chat}", "data": data}
        return self.push({"callback_query": query | {"message": self._body(chat, text="…") | {"from": BOT}}})

    def member(self, chat: str | int, status: str) -> Json:
        """The person stopped the bot ("kicked") or started it again ("member")."""
        before, after = (
            {"user": BOT, "status": state} | ({"until_date": 0} if state == "kicked" else {})
            for state in ("member" if status == "kicked" else "kicked", status)
        )
        change = {"chat": private_chat(chat), "from": _person(chat), "date": int(self.now())}
        return self.push({"my_chat_member": change | {"old_chat_member": before, "new_chat_member": after}})

    def _message(self, chat: str | int, **content: Any) -> Json:
        return self.push({"message": self._body(chat, **content)})

    def _body(self, chat: str | int, **content: Any) -> Json:
        head = {"message_id": next(self._numbers), "date": int(self.now()), "chat": private_chat(chat)}
        return head | {"from": _person(chat)} | content

    def _file(self, content: bytes, ending: str) -> Json:
        number = next(self._numbers)
        self.files[f"file-{number}"] = (f"files/file_{number}.{ending}", content)
        return {"file_id": f"file-{number}", "file_unique_id": f"unique-{number}", "file_size": len(content)}

    # The queue.

    def push(self, update: Json) -> Json:
        """Put an update on its way, with the next id if it has none."""
        update.setdefault("update_id", self._update_id + 1)
        self._update_id = max(self._update_id, update["update_id"])
        if "callback_query" in update:
            self.callbacks.add(update["callback_query"]["id"])
        self.pending.append(update)
        self._wake(True)
        return update

    def repeat(self, update: Json) -> None:
        """Deliver it once more under the same id, confirmed or not."""
        self._repeats.append(update)
        self._wake(True)

    @property
    def polled(self) -> bool:
        """Whether a poll waits now."""
        return self._poll is not None and not self._poll.done()

    def _wake(self, news: bool) -> None:
        if self._poll and not self._poll.done():
            self._poll.set_result(news)

    async def get_updates(self, fields: Json) -> list[Json]:
        if self.webhook:
            raise Refusal(409, "Conflict: can't use getUpdates method while webhook is active")
        self._confirm(int(fields.get("offset", 0)))
        self._wake(False)  # the newer poll goes on, the one that waited gets the conflict
        limit = min(max(int(fields.get("limit", 100)), 1), 100)
        batch = self._batch(limit)
        if not batch and (seconds := float(fields.get("timeout", 0))) > 0:
            await self._news(seconds)
            batch = self._batch(limit)
        return batch

    async def _news(self, seconds: float) -> None:
        poll = self._poll = asyncio.get_running_loop().create_future()
        try:
            async with asyncio.timeout(seconds):
                news = await poll
        except TimeoutError:
            return
        finally:
            self._poll = None if self._poll is poll else self._poll
        if not news:
            raise Refusal(409, "Conflict: terminated by other getUpdates request; make sure only one bot is running")

    def _confirm(self, offset: int) -> None:
        """Forget everything below the offset; a negative one keeps that many from the end."""
        if offset < 0:
            offset = min((update["update_id"] for update in list(self.pending)[offset:]), default=0)
        self.confirmed = max(self.confirmed, offset)
        self.pending = deque(update for update in self.pending if update["update_id"] >= offset)

    def _batch(self, limit: int) -> list[Json]:
        batch = [*self._repeats, *itertools.islice(self.pending, limit)][:limit]
        del self._repeats[:limit]
        if batch and self.shuffle_next:
            self.shuffle_next = False
            batch.reverse()
        return batch


def _person(chat: str | int) -> Json:
    return {"id": abs(int(chat)), "is_bot": False, "first_name": "Pat", "language_code": "en"}


def private_chat(chat: str | int) -> Json:
    """The chat of one person; a number below zero is a group's."""
    person = int(chat) > 0
    return {"id": int(chat)} | ({"type": "private", "first_name": "Pat"} if person else {"type": "supergroup"})
