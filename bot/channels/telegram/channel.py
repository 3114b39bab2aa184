"""Messages as Telegram shows them: words with buttons under them, pictures, long texts in pieces.

1. The choices of a question are buttons; each carries its token, which says which asking it stood under, so that one
   pressed weeks later is told apart. Where several may be picked they are numbered lines as well, with their numbers as
   buttons: one press picks one, since a button cannot be held down; several are typed.
2. A message may be several pieces. What Telegram has of it is remembered, so that another try goes on behind that. The
   pieces keep the pace of a chat.
3. Words matter more than pictures: where one cannot be drawn, or is not taken, the words go out without it.
4. Built-in drawings are vector files, which Telegram does not show: they are described in words.
5. Where a position is asked for there is no button: only keyboards in place of the phone's own have such, and everybody
   can send one from the menu for attachments, or type the place.
"""

from __future__ import annotations

import asyncio
import logging
from collections import OrderedDict
from collections.abc import AsyncIterator, Awaitable, Callable, Sequence
from functools import partial

from bot.channels.telegram.client import Button, Rows, TelegramClient
from bot.channels.telegram.inlet import NAME
from bot.charts.desk import ChartDesk
from bot.errors import Rejected, Uncertain
from bot.logs import trace_of
from bot.store.files import PhotoFolder
from bot.talk.messages import text
from bot.talk.ports import Rendered
from bot.words import Words

log = logging.getLogger(__name__)

LONGEST_TEXT, LONGEST_CAPTION = 4096, 1024
LONGEST_TOKEN, MOST_BUTTONS = 64, 100
MOST_IN_ALBUM = 10
SHORT_LABEL, MOST_IN_ROW, MOST_NUMBERS_IN_ROW = 12, 3, 5
CHAT_GAP_SECONDS = 1.0
REMEMBERED = 2000
LANGUAGE = "en"
DATA_FILE = "afterfrost-data.json"

Piece = Callable[[], Awaitable[None]]


class TelegramChannel:
    """Sends to one bot's chats."""

    name = NAME

    def __init__(
        self,
        client: TelegramClient,
        words: Words,
        charts: ChartDesk,
        files: PhotoFolder,
        *,
        gap_seconds: float = CHAT_GAP_SECONDS,
    ) -> None:
        self._client = client
        self._words = words
        self._charts = charts
        self._files = files
        self._gap_seconds = gap_seconds
        self._begun: OrderedDict[int, int] = OrderedDict()

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Send one message, piece by piece; another try goes on behind what went out."""
        pieces = [piece async for piece in self._pieces(address, rendered)]
        begin = min(self._begun.get(outbox_id, 0), len(pieces) - 1)
        for number in range(begin, len(pieces)):
            if number > begin:
                await asyncio.sleep(self._gap_seconds)
            try:
                await pieces[number]()
            except Uncertain:
                # It may be there. Amid a message a gap is better than the same again; what becomes of the end of one
                # is for the courier to say, who knows whether anybody waits for it.
                if number + 1 == len(pieces):
                    raise
            self._note(outbox_id, number + 1)
        self._begun.pop(outbox_id, None)

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Send a copy of the data as a file."""
        await self._client.send_document(address, document, DATA_FILE)

    def _note(self, outbox_id: int, pieces: int) -> None:
        """Note how many pieces of a message are there, at once: a send may be broken off at any moment."""
        self._begun[outbox_id] = pieces
        while len(self._begun) > REMEMBERED:
            self._begun.popitem(last=False)

    # --- what goes out -----------------------------------------------------------------------------------------------

    async def _pieces(self, chat: str, rendered: Rendered) -> AsyncIterator[Piece]:
        """What goes out, in order: pictures, then words with the buttons under the last of them."""
        chart = await self._drawn(rendered)
        photos = await asyncio.to_thread(self._read, rendered.photos) if rendered.photos else []
        buttons = _rows(rendered)
        words = self._words_of(rendered, is_drawn=chart is not None, has_buttons=bool(buttons))
        pictures = [each for each in (chart, *photos) if each is not None]
        if len(pictures) == 1 and _units(words) <= LONGEST_CAPTION:
            yield partial(self._send_picture, chat, pictures[0], words, buttons)
            return
        if chart is not None:
            yield partial(self._send_picture, chat, chart)
        for start in range(0, len(photos), MOST_IN_ALBUM):
            yield partial(self._send_album, chat, photos[start : start + MOST_IN_ALBUM])
        parts = split_text(words)
        for part in parts[:-1]:
            yield partial(self._client.send_text, chat, part)
        yield partial(self._client.send_text, chat, parts[-1], buttons)

    async def _send_picture(self, chat: str, picture: bytes, words: str = "", buttons: Rows = ()) -> None:
        try:
            await self._client.send_photo(chat, picture, words, buttons)
        except Rejected as error:
            log.error("Telegram did not take a picture; its words go out without it.\n%s", trace_of(error))
            if words:
                await self._client.send_text(chat, words, buttons)

    async def _send_album(self, chat: str, pictures: Sequence[bytes]) -> None:
        if len(pictures) == 1:
            await self._send_picture(chat, pictures[0])
            return
        try:
            await self._client.send_album(chat, pictures)
        except Rejected as error:
            log.error("Telegram did not take an album; its words go out without it.\n%s", trace_of(error))

    async def _drawn(self, rendered: Rendered) -> bytes | None:
        if rendered.chart is None:
            return None
        try:
            return await self._charts.picture(rendered.chart, language=LANGUAGE, metric=rendered.metric)
        except Exception as error:  # noqa: BLE001 - the edge: whatever ails the drawing, its words must go out
            log.error("A picture could not be drawn; its words go out without it.\n%s", trace_of(error))
            return None

    def _read(self, photo_ids: Sequence[str]) -> list[bytes]:
        """The photos that are still there."""
        return [content for each in photo_ids if (content := self._files.read(each)) is not None]

    def _words_of(self, rendered: Rendered, *, is_drawn: bool, has_buttons: bool) -> str:
        lines = [rendered.text]
        if rendered.step is not None:
            lines.insert(0, f"{rendered.step}/{rendered.steps}")
        is_told = rendered.picture is not None or (rendered.chart is not None and not is_drawn)
        if is_told and rendered.picture_alt:
            lines.append(f"({rendered.picture_alt})")
        if rendered.choices and (rendered.several or not has_buttons):
            lines += ["", *_listed(rendered)]
        if rendered.several:
            lines.append(self._words.text(text("telegram-pick-several")))
        return "\n".join(lines)


def _listed(rendered: Rendered) -> list[str]:
    """The choices as lines; with numbers where a number typed is a choice."""
    marks = (f"{number}." if rendered.numbered else "•" for number in range(1, len(rendered.choices) + 1))
    return [f"{mark} {choice.label}" for mark, choice in zip(marks, rendered.choices, strict=True)]


def _rows(rendered: Rendered) -> Rows:
    """Numbers and short labels side by side, long ones each in a row of its own. Nothing where they cannot be sent."""
    choices = rendered.choices
    if len(choices) > MOST_BUTTONS or any(len(choice.token.encode()) > LONGEST_TOKEN for choice in choices):
        log.error("A message has choices that Telegram takes no buttons for; they are listed.")
        return ()
    if rendered.several and rendered.numbered:
        numbers = [Button(label=str(number), data=choice.token) for number, choice in enumerate(choices, start=1)]
        return _in_rows(numbers, MOST_NUMBERS_IN_ROW)
    buttons = [Button(label=choice.label, data=choice.token) for choice in choices]
    return _in_rows(buttons, MOST_IN_ROW if all(len(button.label) <= SHORT_LABEL for button in buttons) else 1)


def _in_rows(buttons: Sequence[Button], most: int) -> Rows:
    """Rows of nearly the same length: five stand as three and two, four as two and two."""
    count = -(-len(buttons) // most)
    if not count:
        return ()
    size = -(-len(buttons) // count)
    return [buttons[start : start + size] for start in range(0, len(buttons), size)]


def _units(words: str) -> int:
    """The length as Telegram counts it: in UTF-16 units."""
    return len(words.encode("utf-16-le")) // 2


def split_text(words: str, longest: int = LONGEST_TEXT) -> list[str]:
    """A text in pieces none of which is too long, cut at paragraph ends, else at line ends, else at blanks."""
    pieces: list[str] = []
    rest = words
    while _units(rest) > longest:
        cut = _cut(rest, longest)
        if piece := rest[:cut].rstrip():
            pieces.append(piece)
        rest = rest[cut:].lstrip()
    return [*pieces, rest] if rest or not pieces else pieces


def _cut(words: str, longest: int) -> int:
    """Where to cut: the last good place within what fits."""
    fitting = words.encode("utf-16-le")[: longest * 2].decode("utf-16-le", "ignore")
    for mark in ("\n\n", "\n", ". ", " "):
        found = fitting.rfind(mark)
        if found > 0 and fitting[:found].strip():
            return found + len(mark)
    return len(fitting)
