"""What a chat sees of a message, and what becomes of one in several pieces when something goes wrong amid it."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from io import BytesIO

import pytest
from PIL import Image

from bot.channels.telegram.channel import TelegramChannel
from bot.charts.desk import ChartDesk
from bot.errors import Rejected, TryAgain, Uncertain, Unreachable
from bot.talk.chart import TraceChart
from bot.talk.cover_chart import Chart
from bot.talk.ports import Rendered, RenderedChoice
from bot.words import Words
from tests.charts.invented import charts
from tests.fakes.bot_api_faults import gateway_page, hangs, hangs_up, refuses, works
from tests.telegram.conftest import WORDS, Line

QUESTION = Rendered(
    text="Which?",
    choices=tuple(RenderedChoice(token=f"q:1:x:0:{code}", label=code) for code in ("one", "two", "not sure")),
)
LONG = replace(QUESTION, text="\n\n".join(f"Part {number}. " + "word " * 700 for number in range(3)))


def jpeg(colour: str) -> bytes:
    content = BytesIO()
    Image.new("RGB", (640, 480), colour).save(content, "JPEG")
    return content.getvalue()


def kept(line: Line, *colours: str) -> tuple[str, ...]:
    """Photos that lie in the data folder, by their ids."""
    return tuple(line.house.store.files.keep(jpeg(colour), line.house.clock.now()) for colour in colours)


def a_chart() -> TraceChart:
    return next(iter(charts().values()))


def labelled(*labels: str) -> Rendered:
    choices = tuple(RenderedChoice(token=f"q:1:x:0:{number}", label=label) for number, label in enumerate(labels))
    return replace(QUESTION, choices=choices)


def rows_of(line: Line) -> list[list[str]]:
    """The labels of the buttons under the last message, row by row."""
    return [[each["text"] for each in row] for row in line.api.taken[-1].reply_markup.get("inline_keyboard", [])]


async def test_choices_are_buttons_with_their_tokens(line: Line) -> None:
    """Each sends back the token it was given, with its label on it, and the progress stands above the question."""
    await line.channel.send("77", 1, replace(QUESTION, step=3, steps=8))

    (sent,) = line.api.taken
    assert sent.text == "3/8\nWhich?"
    assert sent.buttons == [("one", "q:1:x:0:one"), ("two", "q:1:x:0:two"), ("not sure", "q:1:x:0:not sure")]


@pytest.mark.parametrize(
    ("labels", "sizes"),
    [
        (("yes", "no", "not sure"), [3]),
        (("a", "b", "c", "d"), [2, 2]),
        (("a", "b", "c", "d", "e"), [3, 2]),
        (("wide flat blades, thick runners", "fine", "not sure"), [1, 1, 1]),
        ((), []),
    ],
)
async def test_short_labels_stand_side_by_side(line: Line, labels: tuple[str, ...], sizes: list[int]) -> None:
    """A long label needs a row of its own; no row is left with one lonely button."""
    await line.channel.send("77", 1, labelled(*labels))

    assert [len(row) for row in rows_of(line)] == sizes


async def test_where_several_may_be_picked_they_are_numbered(line: Line) -> None:
    """The text says what each number means and how to give more than one; one press picks one."""
    await line.channel.send("77", 1, replace(QUESTION, several=True))

    (sent,) = line.api.taken
    assert "1. one\n2. two\n3. not sure" in sent.text
    assert 'type the numbers, like "1 3"' in sent.text
    assert sent.buttons == [("1", "q:1:x:0:one"), ("2", "q:1:x:0:two"), ("3", "q:1:x:0:not sure")]


async def test_a_choice_that_fits_no_button_is_listed(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """Telegram would refuse the whole message; typed words answer it as well, and the log names the fault."""
    too_long = RenderedChoice(token="q" * 65, label="one")
    await line.channel.send("77", 1, replace(QUESTION, choices=(too_long,), numbered=False))

    (sent,) = line.api.taken
    assert (sent.text, sent.buttons) == ("Which?\n\n• one", [])
    assert "no buttons" in caplog.text


async def test_a_drawing_is_described(line: Line) -> None:
    """Built-in drawings are vector files, which no chat shows."""
    await line.channel.send("77", 1, Rendered(text="Look.", picture="blade_tip", picture_alt="a pointed tip"))

    assert line.told(77) == ["Look.\n(a pointed tip)"]


# --- pictures --------------------------------------------------------------------------------------------------------


async def test_the_picture_of_a_freeze_carries_its_words_and_buttons(line: Line) -> None:
    """One message, as long as the words fit under a picture."""
    await line.channel.send("77", 1, replace(QUESTION, chart=a_chart(), picture_alt="it was cold"))

    (sent,) = line.api.taken
    assert (sent.method, sent.text, len(sent.buttons)) == ("sendPhoto", "Which?", 3)
    assert sent.files[0].content.startswith(b"\x89PNG")


async def test_words_too_long_for_a_picture_come_after_it(line: Line) -> None:
    """Then the buttons stand under the words."""
    await line.channel.send("77", 1, replace(QUESTION, text="\N{SEEDLING}" * 513, chart=a_chart()))

    picture, words = line.api.taken
    assert (picture.text, picture.buttons) == ("", [])
    assert (words.text, len(words.buttons)) == ("\N{SEEDLING}" * 513, 3)


class BrokenDesk(ChartDesk):
    """A desk whose pencil is broken."""

    async def picture(self, chart: Chart, *, language: str, metric: bool) -> bytes:
        raise ZeroDivisionError


async def test_what_cannot_be_drawn_is_told(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """Words matter more than pictures: they go out, with what the picture would have shown."""
    channel = TelegramChannel(line.client, WORDS, BrokenDesk(Words()), line.house.store.files)
    await channel.send("77", 1, replace(QUESTION, chart=a_chart(), picture_alt="it was cold"))

    assert line.told(77) == ["Which?\n(it was cold)"]
    assert "ZeroDivisionError" in caplog.text


async def test_one_photo_carries_the_words(line: Line) -> None:
    """As a caption, under the very file that was kept."""
    await line.channel.send("77", 1, replace(QUESTION, photos=kept(line, "green")))

    (sent,) = line.api.taken
    assert (sent.method, sent.text, len(sent.buttons)) == ("sendPhoto", "Which?", 3)
    assert sent.files[0].content == jpeg("green")


async def test_photos_are_an_album_before_the_words(line: Line) -> None:
    """In the order they were given; one that is not there any more is left out."""
    photos = (*kept(line, "green", "brown"), "0" * 64)
    await line.channel.send("77", 1, replace(QUESTION, photos=photos))

    first, second, words = line.api.taken
    assert [first.method, second.method] == ["sendMediaGroup"] * 2
    assert [first.files[0].content, second.files[0].content] == [jpeg("green"), jpeg("brown")]
    assert (words.text, len(words.buttons)) == ("Which?", 3)


async def test_more_photos_than_an_album_holds_are_more_messages(line: Line) -> None:
    """Ten together, and the one that is left alone, since an album of one is refused."""
    photos = kept(line, *(f"#{number:02x}0000" for number in range(1, 12)))
    await line.channel.send("77", 1, replace(QUESTION, photos=photos))

    assert [each.method for each in line.api.taken] == ["sendMediaGroup"] * 10 + ["sendPhoto", "sendMessage"]


@pytest.mark.parametrize(("count", "method"), [(1, "sendPhoto"), (2, "sendMediaGroup")])
async def test_a_picture_that_is_not_taken_does_not_take_its_words_along(line: Line, count: int, method: str) -> None:
    """The words and the buttons go out without it."""
    line.api.next_calls(refuses(400, "Bad Request: PHOTO_INVALID_DIMENSIONS", method=method))
    await line.channel.send("77", 1, replace(QUESTION, photos=kept(line, "green", "brown")[:count]))

    (sent,) = line.api.taken
    assert (sent.text, len(sent.buttons)) == ("Which?", 3)


async def test_a_closed_chat_is_closed_for_pictures_too(line: Line) -> None:
    """Only a picture that is not taken is left out; everything else is an answer to the whole message."""
    line.api.chats.blocked.add("77")
    with pytest.raises(Unreachable):
        await line.channel.send("77", 1, replace(QUESTION, photos=kept(line, "green")))


async def test_a_copy_of_the_data_is_a_file(line: Line) -> None:
    """Under a name that says what it is, with the very bytes."""
    await line.channel.send_data("77", 1, b'{"lawn": 1}')

    (sent,) = line.api.taken
    assert (sent.method, sent.files[0].name, sent.files[0].content) == (
        "sendDocument",
        "afterfrost-data.json",
        b'{"lawn": 1}',
    )


# --- several pieces --------------------------------------------------------------------------------------------------


def parts_of(line: Line) -> list[str]:
    return [each[:6] for each in line.told(77)]


async def test_another_try_goes_on_where_the_last_one_stopped(line: Line) -> None:
    """What is there is not sent again; the buttons hang under the last piece."""
    line.api.next_calls(works(), gateway_page())
    with pytest.raises(TryAgain):
        await line.channel.send("77", 5, LONG)
    assert parts_of(line) == ["Part 0"]
    await line.channel.send("77", 5, LONG)

    assert parts_of(line) == ["Part 0", "Part 1", "Part 2"]
    assert [len(each.buttons) for each in line.api.taken] == [0, 0, 3]


async def test_another_message_begins_at_its_beginning(line: Line) -> None:
    """What is remembered belongs to one message, and only until it is there."""
    line.api.next_calls(works(), gateway_page())
    with pytest.raises(TryAgain):
        await line.channel.send("77", 5, LONG)
    for outbox_id in (6, 5, 5):
        await line.channel.send("77", outbox_id, LONG)

    assert parts_of(line) == [
        "Part 0",
        *("Part 0", "Part 1", "Part 2"),  # message 6
        *("Part 1", "Part 2"),
        *("Part 0", "Part 1", "Part 2"),
    ]


async def test_a_piece_without_an_answer_is_not_sent_twice(line: Line) -> None:
    """It may be there: amid a message a gap is better than the same again."""
    line.api.next_calls(works(), hangs_up(after_taking=True))
    await line.channel.send("77", 5, LONG)

    assert parts_of(line) == ["Part 0", "Part 1", "Part 2"]


async def test_the_end_of_a_message_without_an_answer_is_for_the_courier(line: Line) -> None:
    """It alone knows whether to send it once more; then only the end goes out."""
    line.api.next_calls(works(), works(), hangs_up(after_taking=False))
    with pytest.raises(Uncertain):
        await line.channel.send("77", 5, LONG)
    assert parts_of(line) == ["Part 0", "Part 1"]
    await line.channel.send("77", 5, LONG)

    assert parts_of(line) == ["Part 0", "Part 1", "Part 2"]


async def test_a_message_in_one_piece_can_be_sent_once_more(line: Line) -> None:
    """Nobody asked for a reminder: better twice than never."""
    line.api.next_calls(hangs_up(after_taking=False))
    with pytest.raises(Uncertain):
        await line.channel.send("77", 5, QUESTION)
    await line.channel.send("77", 5, QUESTION)

    assert line.told(77) == ["Which?"]


async def test_a_send_that_is_broken_off_goes_on_behind_what_is_there(line: Line) -> None:
    """The courier gives up on a send that takes too long; what went out before is remembered all the same."""
    line.api.next_calls(works(), hangs())
    sending = asyncio.create_task(line.channel.send("77", 5, LONG))
    await line.until(lambda: len(line.told(77)) == 2)
    sending.cancel()
    await asyncio.wait([sending])
    await line.channel.send("77", 5, LONG)

    assert parts_of(line) == ["Part 0", "Part 1", "Part 1", "Part 2"]


async def test_the_pieces_of_a_message_keep_the_pace_of_a_chat(line: Line) -> None:
    """A chat may be written to once in a while; Telegram's own limits let all pieces through."""
    line.api.settings.limits = True
    line.api.settings.chat_gap_seconds = 0.05
    channel = TelegramChannel(line.client, WORDS, ChartDesk(WORDS), line.house.store.files, gap_seconds=0.06)
    await channel.send("77", 5, LONG)

    assert parts_of(line) == ["Part 0", "Part 1", "Part 2"]
    assert not line.api.early


async def test_words_that_telegram_does_not_take_are_our_fault(line: Line) -> None:
    """They are told apart from a chat that is gone."""
    with pytest.raises(Rejected):
        await line.channel.send("77", 5, Rendered(text=" "))


async def test_a_reminder_without_an_answer_is_sent_once_more(line: Line) -> None:
    """Through the courier: the first one was lost on the way, so the one after the pause must really go out."""
    line.start()
    line.api.people.says(77, "remind plan 2026-02-10 11:00")
    await line.until(lambda: line.told(77))
    told = len(line.told(77))
    line.api.next_calls(hangs_up(after_taking=False))
    line.house.pass_time(hours=2)
    assert await line.house.service.reminders_due() == 1
    await line.until(lambda: line.house.value("SELECT max(unsure) FROM outbox") == 1)
    assert len(line.told(77)) == told
    line.house.pass_time(seconds=61)
    line.courier.wake()
    await line.until(lambda: len(line.told(77)) == told + 1)
