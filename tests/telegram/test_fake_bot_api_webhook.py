"""The Bot API of the tests sends updates to a webhook as the real server does."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from typing import Any

import pytest
from telegram import Bot
from telegram.error import BadRequest, Conflict

from tests.fakes.bot_api import TOKEN, BotApi, running
from tests.fakes.bot_api_http import Reply, Request, Serving


@pytest.fixture
async def api() -> AsyncIterator[BotApi]:
    async with running() as opened:
        yield opened


@pytest.fixture
async def bot(api: BotApi) -> AsyncIterator[Bot]:
    async with Bot(TOKEN, base_url=api.base_url) as opened:
        yield opened


async def until(is_so: Callable[[], object]) -> None:
    """Wait for something on the far side; a test that waits in vain fails by itself."""
    async with asyncio.timeout(5):
        while not is_so():  # noqa: ASYNC110 - what is waited for tells nobody
            await asyncio.sleep(0.001)


class Receiver:
    """The other end of a webhook: the next answers are those statuses, then 200."""

    def __init__(self) -> None:
        self.statuses: list[int] = []
        self.got: list[dict[str, Any]] = []
        self.secrets: set[str] = set()

    def handle(self, request: Request) -> Reply:
        """Take one update."""
        self.got.append(json.loads(request.body))
        self.secrets.add(request.headers.get("x-telegram-bot-api-secret-token", ""))
        return Reply(status=self.statuses.pop(0) if self.statuses else 200)


@pytest.fixture
async def receiver() -> AsyncIterator[tuple[Receiver, str]]:
    opened = Receiver()
    serving = await Serving.open(opened.handle)
    yield opened, f"{serving.url}/telegram"
    await serving.close()


async def test_a_webhook_is_sent_what_waits(api: BotApi, bot: Bot, receiver: tuple[Receiver, str]) -> None:
    """With the secret beside each; polling is refused meanwhile, and goes on after the webhook is taken away."""
    got, url = receiver
    api.people.says(7, "before")
    await bot.set_webhook(url, secret_token="a_secret-1", allowed_updates=["message"])
    api.people.says(8, "after")
    await until(lambda: not api.updates.pending)

    assert {each["message"]["text"] for each in got.got} == {"before", "after"}
    assert got.secrets == {"a_secret-1"}
    with pytest.raises(Conflict, match="webhook is active"):
        await bot.get_updates()
    assert (await bot.get_webhook_info()).url == url
    await bot.delete_webhook()
    api.people.says(7, "again")
    assert len(await bot.get_updates()) == 1


async def test_a_webhook_is_asked_again_until_it_takes_an_update(
    api: BotApi, bot: Bot, receiver: tuple[Receiver, str]
) -> None:
    """In the order of the chat: what comes later waits behind it; the trouble is told to who asks."""
    got, url = receiver
    got.statuses += [503, 500]
    api.settings.backoff_seconds = 0.01
    await bot.set_webhook(url)
    api.people.says(7, "one")
    api.people.says(7, "two")
    await until(lambda: not api.updates.pending)

    assert [each["message"]["text"] for each in got.got] == ["one", "one", "one", "two"]
    assert [each.status for each in api.updates.deliveries] == [503, 500, 200, 200]
    assert (await bot.get_webhook_info()).last_error_message == "Wrong response from the webhook: 500"


async def test_a_webhook_can_get_things_twice(api: BotApi, bot: Bot, receiver: tuple[Receiver, str]) -> None:
    """On demand, with the same number."""
    got, url = receiver
    api.settings.updates_twice = True
    await bot.set_webhook(url)
    api.people.says(7, "one")
    await until(lambda: len(got.got) == 2)

    assert got.got[0] == got.got[1]


async def test_a_webhook_nobody_could_reach_is_refused(bot: Bot) -> None:
    """Without encryption, on odd ports, with a secret of odd letters."""
    for url, secret in (
        ("http://lawn.example/t", None),
        ("https://lawn.example:5000/t", None),
        ("https://lawn.example/t", "a b"),
    ):
        with pytest.raises(BadRequest):
            await bot.set_webhook(url, secret_token=secret)
    assert (await bot.get_webhook_info()).url == ""
