"""Messages as Telegram shows them: words with buttons under them, pictures, long texts in pieces.

1. A question with one answer has its choices as buttons; each carries its token, which says which asking it stood
   under, so that one pressed weeks later is told apart. Where several may be picked they are numbered lines, since a
   button cannot be held down.
2. A message may be several pieces. What Telegram has of it is remembered, so that another try goes on behind that.
3. Built-in drawings are vector files, which Telegram does not show: they are described in words.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Awaitable, Callable, Iterator
from functools import partial

from bot.channels.telegram.client import Button, Rows, TelegramClient
from bot.channels.telegram.inlet import NAME
from bot.charts.desk import ChartDesk
from bot.errors import ChannelError, Uncertain
from bot.store.files import PhotoFolder
from bot.talk.messages import text
from bot.talk.ports import Rendered
from bot.words import Words

LONGEST_TEXT, LONGEST_CAPTION = 4096, 1024
MOST_IN_ALBUM = 10
SHORT_LABEL, MOST_IN_ROW = 12, 3
REMEMBERED = 2000
LANGUAGE = "en"
DATA_FILE = "afterfrost-data.json"

Piece = Callable[[], Awaitable[None]]


class TelegramChannel:
    """Sends to one bot's chats."""

    name = NAME

    def __init__(self, client: TelegramClient, words: Words, charts: ChartDesk, files: PhotoFolder) -> None:
        self._client = client
        self._words = words
        self._charts = charts
        self._files = files
        self._begun: OrderedDict[int, int] = OrderedDict()

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> None:
        """Send one message, piece by piece; another try goes on behind what went out."""
        pieces = list(self._pieces(address, rendered))
        for number in range(self._begun.get(outbox_id, 0), len(pieces)):
            try:
                await pieces[number]()
            except Uncertain:
                self._note(outbox_id, number + 1)  # it may be there: better a gap than the same again
                if number + 1 == len(pieces):
                    raise
            except ChannelError:
                self._note(outbox_id, number)
                raise
        self._begun.pop(outbox_id, None)

    async def send_data(self, address: str, outbox_id: int, document: bytes) -> None:
        """Send a copy of the data as a file."""
        await self._client.send_document(address, document, DATA_FILE)

    def _note(self, outbox_id: int, pieces: int) -> None:
        self._begun[outbox_id] = pieces
        while len(self._begun) > REMEMBERED:
            self._begun.popitem(last=False)

    def _pieces(self, chat: str, rendered: Rendered) -> Iterator[Piece]:
        """What goes out, in order: pictures, then words with the buttons under the last of them."""
        words, buttons = self._words_of(rendered), _rows(rendered)
        pictures = [content for each in rendered.photos if (content := self._files.read(each)) is not None]
        fits = _units(words) <= LONGEST_CAPTION
        if rendered.chart is not None:
            caption = words if fits and not pictures else ""
            yield partial(self._send_chart, chat, rendered, caption, buttons if caption else ())
            if caption:
                return
        elif len(pictures) == 1 and fits:
            yield partial(self._client.send_photo, chat, pictures[0], words, buttons)
            return
        for start in range(0, len(pictures), MOST_IN_ALBUM):
            together = pictures[start : start + MOST_IN_ALBUM]
            if len(together) == 1:
                yield partial(self._client.send_photo, chat, together[0])
            else:
                yield partial(self._client.send_album, chat, together)
        parts = split_text(words)
        for part in parts[:-1]:
            yield partial(self._client.send_text, chat, part)
        yield partial(self._client.send_text, chat, parts[-1], buttons)

    async def _send_chart(self, chat: str, rendered: Rendered, caption: str, buttons: Rows) -> None:
        if rendered.chart is None:
            raise ValueError("a message without a chart has none to send")
        picture = await self._charts.picture(rendered.chart, language=LANGUAGE, metric=rendered.metric)
        await self._client.send_photo(chat, picture, caption, buttons)

    def _words_of(self, rendered: Rendered) -> str:
        lines = [rendered.text]
        if rendered.step is not None:
            lines.insert(0, f"{rendered.step}/{rendered.steps}")
        if rendered.picture is not None and rendered.picture_alt:
            lines.append(f"({rendered.picture_alt})")
        if rendered.several:
            numbered = [f"{number}. {each.label}" for number, each in enumerate(rendered.choices, start=1)]
            lines += ["", *numbered, self._words.text(text("telegram-pick-several"))]
        return "\n".join(lines)


def _rows(rendered: Rendered) -> Rows:
    """Short labels stand side by side, long ones each in a row of its own."""
    if rendered.several:
        return ()
    buttons = [Button(label=choice.label, data=choice.token) for choice in rendered.choices]
    if all(len(button.label) <= SHORT_LABEL for button in buttons):
        return [buttons[start : start + MOST_IN_ROW] for start in range(0, len(buttons), MOST_IN_ROW)]
    return [[button] for button in buttons]


def _units(words: str) -> int:
    """The length as Telegram counts it: in UTF-16 units."""
    return len(words.encode("utf-16-le")) // 2


def split_text(words: str, longest: int = LONGEST_TEXT) -> list[str]:
    """A text in pieces none of which is too long, cut at paragraph ends, else at line ends, else at blanks."""
    pieces: list[str] = []
    rest = words
    while _units(rest) > longest:
        cut = _cut(rest, longest)
        pieces.append(rest[:cut].rstrip())
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
