"""What a person writes, as each channel shows it: the chat page, Telegram, and text messages."""

from __future__ import annotations

import httpx

from bot.channels.sms.channel import SmsChannel
from bot.channels.telegram.channel import TelegramChannel
from bot.channels.telegram.client import TelegramClient
from bot.channels.web.app import web_app
from bot.channels.web.push import WebChannel
from bot.charts.desk import ChartDesk
from bot.ops.cases.book import Cases
from bot.ops.roles import Operator
from bot.store.rows import load_rendered
from bot.talk.ports import Rendered
from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.service.chats import PHONE, STRANGER, Chats, a_plan
from tests.talk.conversation import WORDS
from tests.web.visitor import HOST, Visitor

HINT = "Reply MORE for the rest."
WRITTEN = "Keep the brown <b>on</b> & wait: *65 °F*.\n\n• call 811 first"


class Wire:
    """Keeps the texts it was given to send."""

    def __init__(self) -> None:
        self.sent: list[str] = []

    async def submit(self, address: str, outbox_id: int, text: str) -> str | None:
        self.sent.append(text)
        return None


def newest(chats: Chats) -> Rendered:
    return load_rendered(chats.house.value("SELECT body FROM outbox ORDER BY id DESC LIMIT 1"))


async def test_the_chat_page_shows_a_person_and_their_words(chats: Chats, cases: Cases, ana: Operator) -> None:
    """Who came, what they wrote, who left; signs of the page's own language are only signs."""
    transport = httpx.ASGITransport(app=web_app(chats.house, WORDS, WebChannel()))
    async with httpx.AsyncClient(transport=transport, base_url=HOST) as client:
        visitor = Visitor(client)
        await visitor.look()
        await cases.take(1, ana, once="a")
        await cases.write(1, WRITTEN, ana, once="b")
        await visitor.look()
        assert "Ana is here now" in visitor.newest
        assert "Ana writes: Keep the brown <b>on</b> & wait: *65 °F*. call 811 first" in visitor.newest
        assert "<b>on" not in visitor.seen
        await visitor.say("31522")
        assert "31522" in visitor.seen
        await visitor.look()
        assert visitor.newest.endswith("You 31522 Something new below")  # nothing of the bot's after it
        await cases.give_back(1, ana, once="c")
        await visitor.look()

    assert "Ana has left the talk to me again." in visitor.newest
    assert visitor.newest.count("Where is the lawn?") == 1


async def test_telegram_carries_a_persons_words_letter_by_letter(chats: Chats, cases: Cases, ana: Operator) -> None:
    """No sign of theirs is taken for a style."""
    await a_plan(chats, STRANGER)
    await cases.write(1, WRITTEN, ana, once="a")
    async with (
        running(BotApi(now=chats.house.clock.now)) as api,
        TelegramClient(TOKEN, server=api.url) as client,
    ):
        channel = TelegramChannel(client, WORDS, ChartDesk(WORDS), chats.house.store.files, gap_seconds=0.0)
        await channel.send("77", 1, newest(chats))

        assert api.texts(77) == [f"Ana writes:\n\n{WRITTEN}"]


async def test_a_long_answer_by_text_message_comes_in_pages_and_loses_nothing(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """As other long texts."""
    await a_plan(chats, PHONE)
    written = " ".join(f"Step {number}: leave the brown top on." for number in range(1, 45))
    await cases.write(1, written, ana, once="a")
    wire = Wire()
    channel = SmsChannel(wire, HINT)
    for page in range(channel.page_count(newest(chats))):
        await channel.send_page(PHONE[1], 1, newest(chats), page)

    joined = " ".join(" ".join(page.removesuffix(HINT) for page in wire.sent).split())
    assert len(wire.sent) > 2
    assert joined == f"Ana writes: {written}"


async def test_letters_a_text_message_lacks_are_sent_and_not_replaced(
    chats: Chats, cases: Cases, ana: Operator
) -> None:
    """Another script is kept as it is written; typographic signs are folded to their plain like."""
    await a_plan(chats, PHONE)
    await cases.write(1, "It’s fine… שלום", ana, once="a")
    wire = Wire()
    await SmsChannel(wire, HINT).send(PHONE[1], 1, newest(chats))

    assert wire.sent == ["Ana writes:\n\nIt's fine... שלום"]
