"""The Bot API of the tests seen through the real client: what it takes, what it hands out, and what goes wrong."""

from __future__ import annotations

import asyncio
import io
from collections.abc import AsyncIterator, Callable
from datetime import UTC, datetime, timedelta

import httpx
import pytest
from PIL import Image
from telegram import Bot, BotCommand, InlineKeyboardButton, InlineKeyboardMarkup, InputMediaPhoto, Update
from telegram.error import (
    BadRequest,
    ChatMigrated,
    Conflict,
    Forbidden,
    InvalidToken,
    NetworkError,
    RetryAfter,
    TelegramError,
    TimedOut,
)

from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.fakes.bot_api_faults import (
    Fault,
    asks_for_pause,
    gateway_page,
    hangs,
    hangs_up,
    refuses,
    works,
)

YES_NO = InlineKeyboardMarkup(
    [[InlineKeyboardButton("Yes", callback_data="y"), InlineKeyboardButton("No", callback_data="n")]]
)


def jpeg(width: int = 400, height: int = 300) -> bytes:
    """A picture."""
    written = io.BytesIO()
    Image.new("RGB", (width, height), "green").save(written, "JPEG")
    return written.getvalue()


@pytest.fixture
async def api() -> AsyncIterator[BotApi]:
    async with running() as opened:
        yield opened


@pytest.fixture
async def bot(api: BotApi, monkeypatch: pytest.MonkeyPatch) -> AsyncIterator[Bot]:
    monkeypatch.setenv("PTB_TIMEDELTA", "1")  # the older type of a pause warns
    async with Bot(TOKEN, base_url=api.base_url, base_file_url=api.base_file_url) as opened:
        yield opened


async def until(is_so: Callable[[], object]) -> None:
    """Wait for something on the far side; a test that waits in vain fails by itself."""
    async with asyncio.timeout(5):
        while not is_so():  # noqa: ASYNC110 - what is waited for tells nobody
            await asyncio.sleep(0.001)


# --- what it takes ---------------------------------------------------------------------------------------------------


async def test_a_text_is_kept_with_its_buttons(api: BotApi, bot: Bot) -> None:
    """Letters of any kind, the chat, the buttons, and the number that the client is told."""
    sent = await bot.send_message(7, "Grüße & +1 🌱\n=", reply_markup=YES_NO)

    (taken,) = api.taken
    assert (taken.method, taken.chat_id, taken.text) == ("sendMessage", 7, "Grüße & +1 🌱\n=")
    assert taken.buttons == [("Yes", "y"), ("No", "n")]
    assert (sent.message_id, sent.text, sent.reply_markup) == (taken.message_id, taken.text, YES_NO)


async def test_files_arrive_byte_for_byte(api: BotApi, bot: Bot) -> None:
    """Also where they look like the border between two parts of a body."""
    tricky = b"\xff\r\n--\r\n\x00--boundary--\r\n\r\n"
    await bot.send_document(7, tricky, filename="plan.ics", caption="Your dates")
    sent = await bot.send_photo(7, jpeg(), caption="Snow", reply_markup=YES_NO)

    document, photo = api.taken
    assert (document.text, document.files[0].name, document.files[0].content) == ("Your dates", "plan.ics", tricky)
    assert (photo.text, photo.files[0].content, len(photo.buttons)) == ("Snow", jpeg(), 2)
    assert (sent.photo[-1].width, sent.photo[-1].height) == (400, 300)


async def test_an_album_is_as_many_messages_as_pictures(api: BotApi, bot: Bot) -> None:
    """With one mark; the words stand where they were put."""
    sent = await bot.send_media_group(7, [InputMediaPhoto(jpeg(), caption="front"), InputMediaPhoto(jpeg(500, 300))])

    assert api.texts(7) == ["front", ""]
    assert [len(each.files) for each in api.taken] == [1, 1]
    assert len({each.media_group_id for each in sent}) == 1


async def test_a_photo_can_go_out_again_by_its_name(api: BotApi, bot: Bot) -> None:
    """Without its bytes being sent once more."""
    first = await bot.send_photo(7, jpeg())
    await bot.send_photo(8, first.photo[-1].file_id)

    assert api.taken[1].files[0].content == jpeg()


async def test_a_message_can_be_changed(api: BotApi, bot: Bot) -> None:
    """Its words or its buttons; not into the same, not what is not there, not somebody else's."""
    sent = await bot.send_message(7, "one", reply_markup=YES_NO)
    await bot.edit_message_reply_markup(7, sent.message_id, reply_markup=None)
    await bot.edit_message_text("two", 7, sent.message_id)
    theirs = api.people.says(7, "mine")["message"]

    assert "reply_markup" not in api.edited[-1]
    assert api.edited[-1]["text"] == "two"
    with pytest.raises(BadRequest, match="not modified"):
        await bot.edit_message_text("two", 7, sent.message_id)
    with pytest.raises(BadRequest, match="to edit not found"):
        await bot.edit_message_text("two", 8, sent.message_id)
    with pytest.raises(BadRequest, match="can't be edited"):
        await bot.edit_message_text("two", 7, theirs["message_id"])


async def test_a_press_is_answered_once_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """It hangs at the message that has the button; after a while there is nothing to answer any more."""
    now = [datetime(2026, 3, 1, tzinfo=UTC)]
    async with running(BotApi(now=lambda: now[0])) as api, Bot(TOKEN, base_url=api.base_url) as bot:
        sent = await bot.send_message(7, "Snow?", reply_markup=YES_NO)
        api.people.presses_button(7, "n")
        (update,) = await bot.get_updates()
        assert update.callback_query is not None and update.callback_query.message is not None
        await bot.answer_callback_query(update.callback_query.id, "Noted")

        assert (update.callback_query.data, update.callback_query.message.message_id) == ("n", sent.message_id)
        assert api.answered == {update.callback_query.id: "Noted"}
        now[0] += timedelta(seconds=16)
        for late in (update.callback_query.id, "never"):
            with pytest.raises(BadRequest, match="Query is too old"):
                await bot.answer_callback_query(late)


async def test_the_bot_can_say_what_it_is(api: BotApi, bot: Bot) -> None:
    """Its commands, its description, that it types."""
    await bot.set_my_commands([BotCommand("stop", "No more messages")])
    await bot.set_my_description("Helps a lawn.")
    await bot.send_chat_action(7, "typing")

    assert (await bot.get_me()).username == api.me["username"]
    assert (api.commands, api.description, api.count("sendChatAction")) == (
        {"stop": "No more messages"},
        "Helps a lawn.",
        1,
    )
    with pytest.raises(BadRequest, match="Bot_command_invalid"):
        await bot.set_my_commands([BotCommand("Stop-it", "No more messages")])


def _button(data: str) -> InlineKeyboardMarkup:
    return InlineKeyboardMarkup.from_button(InlineKeyboardButton("Yes", callback_data=data))


async def test_lengths_are_counted_as_the_real_server_counts(api: BotApi, bot: Bot) -> None:
    """UTF-16 units of texts and captions, bytes of what a button sends: the last one passes, one more does not."""
    await bot.send_message(7, "🌱" * 2048)
    await bot.send_photo(7, jpeg(), caption="é" * 1024)
    await bot.send_message(7, "one", reply_markup=_button("é" * 32))

    assert len(api.taken) == 3
    with pytest.raises(BadRequest, match="Message is too long"):
        await bot.send_message(7, "🌱" * 2048 + "a")
    with pytest.raises(BadRequest, match="caption is too long"):
        await bot.send_photo(7, jpeg(), caption="a" * 1025)
    with pytest.raises(BadRequest, match="Button_data_invalid"):
        await bot.send_message(7, "one", reply_markup=_button("é" * 32 + "a"))
    with pytest.raises(BadRequest, match="text is empty"):
        await bot.send_message(7, " \n ")
    assert len(api.taken) == 3


async def test_a_photo_has_to_be_one(bot: Bot) -> None:
    """Bytes that are no picture, and pictures of a shape nobody can look at."""
    for content, complaint in ((b"no picture", "Image_process_failed"), (jpeg(900, 20), "Photo_invalid_dimensions")):
        with pytest.raises(BadRequest, match=complaint):
            await bot.send_photo(7, content)


async def test_marked_up_text_is_refused(bot: Bot) -> None:
    """It is not played, and taking it would hide mistakes."""
    with pytest.raises(BadRequest, match="Can't parse entities"):
        await bot.send_message(7, "<b>", parse_mode="HTML")


async def test_a_stranger_and_an_unknown_method_are_turned_away(api: BotApi) -> None:
    """With the answers the client knows them by."""
    for token in ("5550100:another-token-of-the-right-shape", "5550100:odd"):
        with pytest.raises(InvalidToken):
            async with Bot(token, base_url=api.base_url):
                pass
    async with httpx.AsyncClient() as client:
        answer = await client.post(f"{api.base_url}{TOKEN}/sendDice", json={"chat_id": 7})
        taken = await client.get(f"{api.base_url}{TOKEN}/SENDMESSAGE?chat_id=7&text=plain")
    assert (answer.status_code, answer.json()["ok"]) == (404, False)
    assert (taken.json()["ok"], api.texts()) == (True, ["plain"])


# --- what it hands out -----------------------------------------------------------------------------------------------


async def test_the_client_reads_every_kind_of_update(api: BotApi, bot: Bot) -> None:
    """Each as the real server would write it."""
    people = api.people
    said = people.says(7, "hello")
    people.edits(said, "hullo")
    people.starts(7, "spring")
    people.shares_place(7, 31.2, -81.4)
    people.sends_photo(7, jpeg(1000, 700), caption="lawn")
    people.sends_document(7, b"x", "soil.pdf", "application/pdf")
    people.sends_voice(7)
    people.sends_sticker(7)
    people.says_in_group(-1_000_000_000_005, 8, "hi all")
    people.presses_button(7, "y", said["message"]["message_id"])
    people.blocks(7)
    text, edited, start, place, photo, document, voice, sticker, group, press, blocked = map(
        Update.to_dict, await bot.get_updates()
    )

    assert (text["message"]["text"], edited["edited_message"]["text"]) == ("hello", "hullo")
    assert edited["edited_message"]["message_id"] == text["message"]["message_id"]
    assert (start["message"]["text"], start["message"]["entities"][0]["length"]) == ("/start spring", 6)
    assert place["message"]["location"] == {"latitude": 31.2, "longitude": -81.4}
    assert [each["width"] for each in photo["message"]["photo"]] == [90, 320, 800, 1000]
    assert document["message"]["document"]["mime_type"] == "application/pdf"
    assert (voice["message"]["voice"]["duration"], sticker["message"]["sticker"]["emoji"]) == (3, "\N{SEEDLING}")
    assert (group["message"]["chat"]["type"], group["message"]["from"]["id"]) == ("supergroup", 8)
    assert press["callback_query"]["data"] == "y"
    assert blocked["my_chat_member"]["new_chat_member"]["status"] == "kicked"


async def test_an_offset_confirms_what_lies_before_it(api: BotApi, bot: Bot) -> None:
    """And nothing else; what is not confirmed comes again; a negative one forgets all but the last."""
    numbers = [api.people.says(7, f"line {n}")["update_id"] for n in range(5)]

    assert [each.update_id for each in await bot.get_updates(limit=2)] == numbers[:2]
    assert [each.update_id for each in await bot.get_updates(limit=2)] == numbers[:2]
    assert [each.update_id for each in await bot.get_updates(offset=numbers[1])] == numbers[1:]
    assert api.updates.confirmed == numbers[:1]
    assert [each.update_id for each in await bot.get_updates(offset=-1)] == numbers[-1:]
    assert api.updates.confirmed == numbers[:4]


async def test_a_waiting_poll_wakes_when_something_comes(api: BotApi, bot: Bot) -> None:
    """At once, not when its time is over; an empty one ends by itself."""
    polling = asyncio.create_task(bot.get_updates(timeout=40))
    await until(lambda: api.updates.is_polled)
    api.people.says(7, "hello")

    assert len(await asyncio.wait_for(polling, 5)) == 1
    assert await api.updates.poll(2, 100, 0.05) == []


async def test_a_second_poll_ends_the_first(api: BotApi, bot: Bot) -> None:
    """With a conflict; what comes goes to the second."""
    first = asyncio.create_task(bot.get_updates(timeout=40))
    await until(lambda: api.updates.is_polled)
    async with Bot(TOKEN, base_url=api.base_url) as other:
        second = asyncio.create_task(other.get_updates(timeout=40))
        with pytest.raises(Conflict, match="other getUpdates"):
            await asyncio.wait_for(first, 5)
        await until(lambda: api.updates.is_polled)
        api.people.says(7, "hello")
        assert len(await asyncio.wait_for(second, 5)) == 1


async def test_a_poll_whose_client_went_away_is_over(api: BotApi, bot: Bot) -> None:
    """It can neither meet the next one nor swallow what comes."""
    polling = asyncio.create_task(bot.get_updates(timeout=40))
    await until(lambda: api.updates.is_polled)
    polling.cancel()
    await until(lambda: not api.updates.is_polled)
    api.people.says(7, "hello")

    assert len(await bot.get_updates()) == 1


async def test_the_bot_gets_only_what_it_asked_for(api: BotApi, bot: Bot) -> None:
    """From the next update on, and until it asks otherwise."""
    api.people.says(7, "kept")
    await bot.get_updates(allowed_updates=["my_chat_member"])
    api.people.says(7, "not wanted")
    api.people.unblocks(7)
    found = await bot.get_updates()

    assert [bool(each.my_chat_member) for each in found] == [False, True]


async def test_updates_come_twice_and_out_of_order_on_demand(api: BotApi, bot: Bot) -> None:
    """A repeat keeps its number though that was confirmed."""
    first = api.people.says(7, "one")
    await bot.get_updates(offset=first["update_id"] + 1)
    api.updates.push_again(first)
    api.updates.push_shuffled([{"message": api.people.message(7, text=word)} for word in ("two", "three")])
    found = await bot.get_updates(offset=first["update_id"] + 1)
    assert [(each.update_id, each.message and each.message.text) for each in found] == [
        (1, "one"),
        (3, "three"),
        (2, "two"),
    ]

    api.settings.updates_twice = True
    fresh = api.people.says(7, "four")["update_id"]
    assert [each.update_id for each in await bot.get_updates(offset=fresh)] == [fresh]
    assert [each.update_id for each in await bot.get_updates(offset=fresh + 1)] == [fresh]
    assert await bot.get_updates(offset=fresh + 1) == ()


async def test_files_are_fetched_by_a_link(api: BotApi, bot: Bot) -> None:
    """Unknown ones, those over 20 MB and old links are refused."""
    picture = api.people.sends_album(7, [jpeg(), jpeg(500, 400)], caption="two")[1]["message"]["photo"][-1]
    large = api.people.sends_document(7, b"x", file_size=20_000_001)["message"]["document"]
    file = await bot.get_file(picture["file_id"])

    assert bytes(await file.download_as_bytearray()) == jpeg(500, 400)
    for wrong, complaint in (("nothing", "Wrong file_id"), (large["file_id"], "File is too big")):
        with pytest.raises(BadRequest, match=complaint):
            await bot.get_file(wrong)
    api.files.links.clear()
    with pytest.raises(InvalidToken):  # what the client makes of any 404
        await file.download_as_bytearray()


# --- what goes wrong -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fault", "error", "cause", "delivered"),
    [
        (asks_for_pause(3), RetryAfter, None, 0),
        (refuses(500), NetworkError, None, 0),
        (refuses(502, "Bad Gateway"), NetworkError, None, 0),
        (refuses(400, "Bad Request: TOPIC_CLOSED"), BadRequest, None, 0),
        (refuses(403, "Forbidden: user is deactivated"), Forbidden, None, 0),
        (hangs_up(after_taking=False), NetworkError, httpx.RemoteProtocolError, 0),
        (hangs_up(after_taking=True), NetworkError, httpx.RemoteProtocolError, 1),
        (hangs(), TimedOut, httpx.ReadTimeout, 1),
        (hangs(0.3), TimedOut, httpx.ReadTimeout, 1),
    ],
    ids=str,
)
async def test_a_fault_meets_one_send(
    api: BotApi, bot: Bot, fault: Fault, error: type[TelegramError], cause: type[Exception] | None, delivered: int
) -> None:
    """It comes out as the client's own error, with the message delivered or surely not; the next send is untouched."""
    api.settings.pauses_hold = False
    api.next_calls(fault)
    with pytest.raises(error) as raised:
        await bot.send_message(7, "one", read_timeout=0.15)

    assert type(raised.value) is error
    assert cause is None or isinstance(raised.value.__cause__, cause)
    assert len(api.taken) == delivered
    await bot.send_message(7, "two")
    assert api.texts()[delivered:] == ["two"]


async def test_a_page_of_a_gateway_is_an_error_of_the_network(
    api: BotApi, bot: Bot, caplog: pytest.LogCaptureFixture
) -> None:
    """Though it is no JSON."""
    api.next_calls(gateway_page())
    with pytest.raises(NetworkError, match="502"):
        await bot.send_message(7, "one")
    assert api.taken == []


async def test_a_fault_waits_for_its_method(api: BotApi, bot: Bot) -> None:
    """Faults without one meet what sends messages; a good call may stand between two bad ones."""
    api.people.says(7, "hello")
    api.next_calls(refuses(500, method="getUpdates"), works(), refuses(503), refuses(500, method="download"))
    await bot.send_message(7, "one")
    with pytest.raises(NetworkError):
        await bot.get_updates()
    with pytest.raises(NetworkError):
        await bot.send_message(7, "two")
    file = await bot.get_file(api.people.photo(jpeg())[-1]["file_id"])
    with pytest.raises(NetworkError):
        await file.download_as_bytearray()
    assert bytes(await file.download_as_bytearray()) == jpeg()
    assert len(await bot.get_updates()) == 1


async def test_chats_that_cannot_be_written_to(api: BotApi, bot: Bot) -> None:
    """Blocked, gone, moved; who lets the bot in again can be written to again."""
    api.people.blocks(7)
    api.chats.unknown.add("8")
    api.chats.moved["-5"] = -1_000_000_000_005
    with pytest.raises(Forbidden, match="blocked"):
        await bot.send_message(7, "one")
    with pytest.raises(BadRequest, match="Chat not found"):
        await bot.send_message(8, "one")
    with pytest.raises(ChatMigrated) as moved:
        await bot.send_message(-5, "one")
    assert moved.value.new_chat_id == -1_000_000_000_005
    assert api.taken == []
    api.people.unblocks(7)
    await bot.send_message(7, "one")
    assert api.texts(7) == ["one"]


async def test_a_share_of_the_sends_fails_by_the_seed(api: BotApi, bot: Bot) -> None:
    """The same seed fails the same sends; what the client saw as done is there."""
    api.settings.change({"failing_fraction": 0.4, "pauses_hold": False})
    done = []
    for number in range(60):
        try:
            await bot.send_message(7, str(number))
        except (NetworkError, RetryAfter):
            continue
        done.append(str(number))

    assert 15 <= 60 - len(done) <= 35
    assert set(done) < set(api.texts())  # some were delivered without an answer
    assert "0" not in done or api.texts()[0] == "0"
