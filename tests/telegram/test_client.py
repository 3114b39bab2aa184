"""The real client against a Bot API here: every answer becomes the error that says what to do next."""

from __future__ import annotations

import asyncio
import socket

import pytest

from bot.channels.telegram.client import TelegramClient, TooBig, Waits
from bot.errors import ChannelClosed, Rejected, SlowDown, TryAgain, Uncertain, Unreachable
from tests.fakes.bot_api import TOKEN
from tests.fakes.bot_api_faults import Fault, gateway_page, hangs, hangs_up, refuses
from tests.telegram.conftest import Line


@pytest.mark.parametrize("status", [400, 401, 403, 404, 409, 502])
async def test_a_page_from_something_on_the_way_is_no_word_of_telegram(line: Line, status: int) -> None:
    """A proxy's "forbidden" closes no chat, and its "not found" is no wrong key: it is tried again."""
    line.api.next_calls(gateway_page(status))
    with pytest.raises(TryAgain):
        await line.client.send_text("77", "hello")


async def test_a_page_in_place_of_a_good_answer_is_tried_again(line: Line) -> None:
    """A network that wants a log-in first answers everything with a page of its own and 200."""
    line.api.next_calls(gateway_page(200))
    with pytest.raises(TryAgain):
        await line.client.send_text("77", "hello")


async def test_a_pause_without_a_length_is_a_pause(line: Line) -> None:
    """Too many is too many, also where nobody says for how long."""
    line.api.next_calls(refuses(429, "Too Many Requests"))
    with pytest.raises(SlowDown):
        await line.client.send_text("77", "hello")


@pytest.mark.parametrize(
    ("status", "description", "answer"),
    [
        (403, "Forbidden: user is deactivated", Unreachable),
        (400, "Bad Request: user is deactivated", Unreachable),
        (400, "Bad Request: not enough rights to send text messages to the chat", Unreachable),
        (400, "Bad Request: BUTTON_DATA_INVALID", Rejected),
        (413, "Request Entity Too Large", Rejected),
        (401, "Unauthorized", ChannelClosed),
        (500, "Internal Server Error", TryAgain),
    ],
)
async def test_refusals_are_told_apart(line: Line, status: int, description: str, answer: type[Exception]) -> None:
    """Nobody there, our fault, a wrong key, and trouble on their side each ask for something else."""
    line.api.next_calls(refuses(status, description))
    with pytest.raises(answer):
        await line.client.send_text("77", "hello")


async def test_an_answer_that_does_not_come_leaves_it_open(line: Line) -> None:
    """The message is there, and we were not told: to send it again would double it."""
    line.api.next_calls(hangs())
    with pytest.raises(Uncertain):
        await line.client.send_text("77", "hello")
    assert line.told(77) == ["hello"]


@pytest.mark.parametrize("is_used", [False, True])
@pytest.mark.parametrize("is_taken", [False, True])
async def test_a_message_whose_connection_broke_is_not_sent_again_by_itself(
    line: Line, is_used: bool, is_taken: bool
) -> None:
    """Neither on a new connection nor on one that was used before: nobody can tell whether it is there."""
    if is_used:
        await line.client.send_text("77", "before")
    before, called = line.told(77), line.api.count("sendMessage")
    line.api.next_calls(hangs_up(after_taking=is_taken))
    with pytest.raises(Uncertain):
        await line.client.send_text("77", "hello")
    assert line.told(77) == [*before, *(["hello"] if is_taken else [])]
    assert line.api.count("sendMessage") == called + 1


async def test_nobody_there_leaves_nothing_open() -> None:
    """A door that is shut: nothing was sent."""
    with socket.create_server(("127.0.0.1", 0)) as shut:
        address = f"http://127.0.0.1:{shut.getsockname()[1]}"
    async with TelegramClient(TOKEN, server=address) as client:
        with pytest.raises(TryAgain, match="ClientConnectorError"):
            await client.send_text("77", "hello")


async def test_a_connection_that_is_never_made_leaves_nothing_open(line: Line) -> None:
    """A server whose queue is full never answers the knock: nothing was sent."""
    with socket.create_server(("127.0.0.1", 0), backlog=0) as full:
        knocking = []
        for _ in range(4):  # until nobody is let in any more
            knocker = socket.socket()
            knocker.setblocking(False)
            knocker.connect_ex(full.getsockname())
            knocking.append(knocker)
        address = f"http://127.0.0.1:{full.getsockname()[1]}"
        waits = Waits(connect_seconds=0.1, answer_seconds=5)
        async with TelegramClient(TOKEN, server=address, waits=waits) as client:
            with pytest.raises(TryAgain, match="ConnectionTimeoutError"):
                await client.send_text("77", "hello")
        for knocker in knocking:
            knocker.close()


async def test_while_all_connections_are_taken_a_send_waits_its_turn(line: Line) -> None:
    """It waits for the one before it and not for a limit of its own: nothing is given up on that was never tried."""
    waits = Waits(connect_seconds=0.1, answer_seconds=5)
    line.api.next_calls(hangs(0.4))
    async with TelegramClient(TOKEN, server=line.api.url, connections=1, waits=waits) as client:
        first, second = await _both(client)
    assert (first, second) == (None, None)
    assert line.told(77) == ["first", "second"]


async def _both(client: TelegramClient) -> tuple[BaseException | None, BaseException | None]:
    sending = asyncio.create_task(client.send_text("77", "first"))
    await asyncio.sleep(0.05)
    found = await asyncio.gather(sending, client.send_text("77", "second"), return_exceptions=True)
    return found[0], found[1]


async def test_a_press_that_waited_too_long_is_let_go(line: Line) -> None:
    """It has ended by itself; only that is forgiven."""
    line.api.settings.press_seconds = -1
    line.api.people.presses_button(77, "x", line.api.people.message(77, text="Which?")["message_id"])
    (press,) = line.api.people.presses
    await line.client.answer_button(press)
    line.api.next_calls(refuses(400, "Bad Request: MESSAGE_TOO_LONG", method="answerCallbackQuery"))
    with pytest.raises(Rejected):
        await line.client.answer_button(press, "words")


async def test_a_closed_client_sends_nothing(line: Line) -> None:
    """What comes after the end of the house is tried again by the next one."""
    with pytest.raises(TryAgain):
        await TelegramClient(TOKEN, server=line.api.url).send_text("77", "hello")


# --- files -----------------------------------------------------------------------------------------------------------


def a_file(line: Line, content: bytes, claimed: int | None = None) -> str:
    return str(line.api.files.keep(content, "photos", "lawn.jpg", file_size=claimed)["file_id"])


async def test_a_file_comes_as_it_is(line: Line) -> None:
    """Byte by byte, up to the very length that is allowed."""
    assert await line.client.download(a_file(line, b"12345"), at_most_bytes=5) == b"12345"


async def test_a_file_that_says_it_is_too_long_is_not_fetched(line: Line) -> None:
    """Its length is told before."""
    with pytest.raises(TooBig):
        await line.client.download(a_file(line, b"123456"), at_most_bytes=5)
    assert line.api.files.fetched == []


async def test_a_file_that_hides_its_length_is_not_read_to_its_end(line: Line) -> None:
    """Whatever was said before, counted is what comes."""
    with pytest.raises(TooBig):
        await line.client.download(a_file(line, bytes(100_000), claimed=3), at_most_bytes=5)


async def test_a_file_that_telegram_finds_too_long_is_too_long(line: Line) -> None:
    """Its own limit may be lower than ours."""
    with pytest.raises(TooBig):
        await line.client.download(a_file(line, b"1", claimed=30_000_000))


async def test_a_file_nobody_knows_is_told_apart_from_one_that_cannot_be_had_now(line: Line) -> None:
    """Not there, or not there yet."""
    with pytest.raises(Rejected):
        await line.client.download("no such file")
    known = a_file(line, b"12345")
    for faults in (
        [refuses(500, method="download")],
        [gateway_page(method="download")],
        [Fault(method="download", takes=False, breaks=True)] * 2,  # a file is asked for once more at once
        [hangs(1.0, method="download")],
    ):
        line.api.next_calls(*faults)
        with pytest.raises(TryAgain):
            await line.client.download(known)
    line.api.next_calls(refuses(404, method="download"))
    with pytest.raises(Rejected):
        await line.client.download(known)


async def test_a_file_that_only_trickles_is_given_up(line: Line) -> None:
    """Each part may come in time, and the whole would still take for ever."""
    line.api.next_calls(hangs(1.0, method="download"))
    waits = Waits(answer_seconds=5, file_seconds=0.1)
    async with TelegramClient(TOKEN, server=line.api.url, waits=waits) as client:
        with pytest.raises(TryAgain, match="TimeoutError"):
            await client.download(a_file(line, b"12345"))


# --- settings of the bot ---------------------------------------------------------------------------------------------


async def test_the_way_in_can_be_turned(line: Line) -> None:
    """To an address with a secret, asking for what we read; and back, keeping what waits."""
    await line.client.set_webhook("https://lawn.example/in/telegram", "a-secret")
    webhook = line.api.updates.webhook
    assert (webhook.url, webhook.secret) == ("https://lawn.example/in/telegram", "a-secret")
    assert set(line.api.updates.allowed or ()) == {"message", "edited_message", "callback_query", "my_chat_member"}
    await line.client.delete_webhook()
    line.api.people.says(77, "hello")
    await line.client.delete_webhook()

    assert line.api.updates.webhook.url == ""
    assert [each["message"]["text"] for each in await line.client.fetch(None, 0)] == ["hello"]


async def test_the_menu_is_set(line: Line) -> None:
    """Names with what they do."""
    await line.client.set_commands([("plan", "Show my plan"), ("stop", "No more messages")])

    assert line.api.commands == {"plan": "Show my plan", "stop": "No more messages"}


async def test_updates_come_as_they_were_written(line: Line) -> None:
    """What the library does not know is kept: the store holds what came, not what somebody made of it."""
    sent = line.api.updates.push({"message": {"chat": {"id": 77}, "new_in_a_later_version": {"deep": [1]}}})

    assert await line.client.fetch(None, 0) == [sent]


async def test_a_break_while_fetching_is_no_end(line: Line) -> None:
    """It is asked again; nothing was confirmed."""
    line.api.people.says(77, "hello")
    line.api.next_calls(hangs_up(after_taking=False, method="getUpdates"))
    with pytest.raises(Uncertain):
        await line.client.fetch(None, 0)
    assert len(await line.client.fetch(None, 0)) == 1
