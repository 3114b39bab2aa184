"""The whole way with the real client: from an update to a message, and what may go wrong on it."""

from __future__ import annotations

import asyncio
from io import BytesIO

import pytest
from PIL import Image

from bot.channels.telegram.client import TelegramClient
from bot.channels.telegram.polling import poll
from bot.errors import ChannelClosed, Moved, Rejected, SlowDown, TryAgain, Uncertain, Unreachable
from tests.fakes.bot_api import TOKEN
from tests.fakes.bot_api_faults import Fault, asks_for_pause, gateway_page, hangs, hangs_up, refuses
from tests.telegram.conftest import Line

WRONG = "110201543:AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"


def jpeg(colour: str = "green") -> bytes:
    """A picture large enough to be one of a lawn."""
    content = BytesIO()
    Image.new("RGB", (640, 480), colour).save(content, "JPEG")
    return content.getvalue()


async def test_words_are_answered(line: Line) -> None:
    """The plain case."""
    line.start()
    line.api.people.says(77, "hello")
    await line.until(lambda: line.told(77))

    assert line.told(77) == ["counted 1 hello"]


async def test_ten_updates_of_one_chat_keep_their_order(line: Line) -> None:
    """Also when the far side hands every one of them over twice."""
    line.start()
    line.api.settings.updates_twice = True
    for number in range(10):
        line.api.people.says(77, f"line {number}")
    await line.until(lambda: len(line.told(77)) == 10)
    await asyncio.sleep(0.05)

    assert line.told(77) == [f"counted {number + 1} line {number}" for number in range(10)]


async def test_nothing_is_confirmed_before_it_is_on_disk(line: Line) -> None:
    """While the database cannot take it, the far side keeps it; afterwards it is read once."""
    line.api.people.says(77, "hello")
    async with line.house.locked():
        async with line.house.store.database.writer.connect() as connection:
            driver = (await connection.get_raw_connection()).driver_connection
            assert driver is not None
            await (await driver.execute("PRAGMA busy_timeout=5")).close()
        line.listen()
        await asyncio.sleep(0.3)
        assert not line.api.updates.confirmed
        assert len(line.api.updates.pending) == 1
    line.courier.start()
    line.intake.start()
    await line.until(lambda: line.told(77) == ["counted 1 hello"])
    await line.until(lambda: not line.api.updates.pending)


async def test_a_crash_between_storing_and_asking_again_repeats_nothing(line: Line) -> None:
    """The offset is on disk with what came: the next process goes on behind it, and a repeat is dropped."""
    line.start()
    line.api.people.says(77, "hello")
    await line.until(lambda: line.told(77))
    await line.stop_listening()
    assert await line.intake.cursor("telegram")
    line.api.settings.updates_twice = True
    line.api.people.says(77, "again")
    line.listen()
    await line.until(lambda: len(line.told(77)) == 2)
    await asyncio.sleep(0.05)

    assert line.told(77) == ["counted 1 hello", "counted 2 again"]


async def test_a_press_is_ended_and_counts(line: Line) -> None:
    """The waiting on the phone ends; one that waited too long has ended by itself, and counts all the same."""
    line.start()
    message = line.api.people.message(77, text="Which?")
    line.api.people.presses_button(77, "q:1:snow:0:none", message["message_id"])
    await line.until(lambda: line.told(77))
    assert len(line.api.answered) == 1

    line.api.settings.press_seconds = -1
    line.api.people.presses_button(77, "q:1:snow:0:none", message["message_id"])
    await line.until(lambda: len(line.told(77)) == 2)
    assert len(line.api.answered) == 1


async def test_an_album_comes_as_pictures_in_order_and_its_words_after(line: Line) -> None:
    """Both pictures are opened and kept; what was typed meanwhile waits for them."""
    line.start()
    line.api.people.sends_album(77, [jpeg("green"), jpeg("brown")], caption="the front")
    line.api.people.says(77, "and words")
    await asyncio.sleep(0.1)
    assert line.told(77) == []
    line.house.pass_time(seconds=3)
    await line.until(lambda: len(line.told(77)) == 4)

    assert line.told(77) == ["photo 1", "counted 2 the front", "photo 3", "counted 4 and words"]
    assert line.house.value("SELECT count(*) FROM photo") == 2


async def test_a_picture_that_is_none_is_told_so(line: Line) -> None:
    """A file by the name of a picture is opened like one, and refused like one."""
    line.start()
    line.api.people.sends_document(77, b"not a picture at all")
    await line.until(lambda: line.told(77))

    assert line.told(77) == ["hello 1"]
    assert '"photo_refused"' in line.house.value("SELECT body FROM inbox")


async def test_sounds_and_groups_get_a_kind_word(line: Line) -> None:
    """Outside the conversation, and nothing of it is kept."""
    line.start()
    line.api.people.sends_voice(77)
    line.api.people.says_in_group(-1005, 78, "/start@lawn_under_test_bot")
    line.api.people.says_in_group(-1005, 78, "just chatting")
    await line.until(lambda: len(line.api.taken) == 2)
    await asyncio.sleep(0.05)

    assert line.told(77) == ["telegram-no-voice"]
    assert line.told(-1005) == ["telegram-only-private"]
    assert line.house.value("SELECT count(*) FROM homeowner") == 0


async def test_a_chat_that_closed_us_is_left_alone_until_it_comes_back(line: Line) -> None:
    """Told by the far side before we try."""
    line.start()
    line.api.people.says(77, "hello")
    await line.until(lambda: line.told(77))
    line.api.people.blocks(77)
    await line.until(lambda: line.house.value("SELECT count(*) FROM reach WHERE unreachable_ms IS NOT NULL"))
    line.api.people.unblocks(77)
    await line.until(lambda: not line.house.value("SELECT count(*) FROM reach WHERE unreachable_ms IS NOT NULL"))


@pytest.mark.parametrize(
    ("fault", "answer"),
    [
        (asks_for_pause(3), SlowDown),
        (gateway_page(), TryAgain),
        (refuses(500), TryAgain),
        (hangs_up(after_taking=False), Uncertain),
        (hangs_up(after_taking=True), Uncertain),
        (hangs(1.0), Uncertain),
    ],
)
async def test_what_goes_wrong_on_the_way_is_told_apart(line: Line, fault: Fault, answer: type) -> None:
    """Whether it surely is not there, or may be."""
    line.api.next_calls(fault)
    with pytest.raises(answer) as raised:
        await line.client.send_text("77", "hello")
    if isinstance(raised.value, SlowDown):
        assert raised.value.after_seconds == 3.5
    assert len(line.api.taken) == fault.takes


async def test_who_is_not_there_is_told_apart(line: Line) -> None:
    """Closed, gone, moved; a wrong key; a server that is not there."""
    line.api.chats.blocked.add("1")
    line.api.chats.unknown.add("2")
    line.api.chats.moved["-3"] = -1003
    for chat in ("1", "2"):
        with pytest.raises(Unreachable):
            await line.client.send_text(chat, "hello")
    with pytest.raises(Moved) as moved:
        await line.client.send_text("-3", "hello")
    assert moved.value.address == "-1003"
    async with TelegramClient(WRONG, server=line.api.url) as stranger:
        with pytest.raises(ChannelClosed, match="AFTERFROST_TELEGRAM_TOKEN"):
            await stranger.send_text("77", "hello")
    async with TelegramClient(TOKEN, server="http://127.0.0.1:9") as nowhere:
        with pytest.raises(TryAgain):
            await nowhere.send_text("77", "hello")
    with pytest.raises(Rejected):
        await line.client.send_text("77", "x" * 5000)


async def test_somebody_else_polling_is_no_crash(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """Two processes with one key: the log says so, and listening goes on later."""
    line.listen()
    await asyncio.sleep(0.05)
    async with TelegramClient(TOKEN, server=line.api.url) as other:
        await asyncio.wait([asyncio.create_task(other.fetch(None, 1))])
        await line.until(lambda: "Another process asks" in caplog.text)


async def test_a_wrong_key_ends_listening_with_a_plain_word(line: Line, caplog: pytest.LogCaptureFixture) -> None:
    """It cannot get better by itself."""
    async with TelegramClient(WRONG, server=line.api.url) as stranger:
        await asyncio.wait_for(poll(stranger, line.intake, line.house.clock, wait_seconds=1), 5)
    assert "Put the right one in" in caplog.text
