"""Updates that wait for the bot: fetched by long polling or sent to its webhook, as the real server does.

1. Asking with an offset confirms all before it; what was not confirmed comes again.
2. A second poll ends the first one with 409; so does polling while a webhook is set.
3. To a webhook the updates of one chat go one after the other, those of different chats at once; each is sent again,
   after a growing pause, until it is answered with 2xx.
"""

from __future__ import annotations

import asyncio
import functools
import itertools
import json
import random
import re
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from urllib.parse import urlsplit

import httpx

from tests.fakes.bot_api_faults import Refusal, Settings
from tests.fakes.bot_api_http import Json

NOT_BY_ITSELF = frozenset({"chat_member", "message_reaction", "message_reaction_count"})
WEBHOOK_PORTS = (443, 80, 88, 8443)


@dataclass(slots=True, kw_only=True)
class Webhook:
    """Where updates are sent to; "" for nowhere."""

    url: str = ""
    secret: str = ""
    most_connections: int = 40
    last_error: str = ""
    last_error_at: int = 0


@dataclass(frozen=True, slots=True)
class Delivery:
    """One try to send an update to the webhook. Status 0: no answer."""

    update_id: int
    status: int
    at_seconds: float


class Updates:
    """The queue of one bot."""

    def __init__(self, settings: Settings, clock: Callable[[], float], today: Callable[[], int]) -> None:
        self.settings = settings
        self.webhook = Webhook()
        self.pending: dict[int, Json] = {}
        self.confirmed: list[int] = []
        self.offsets: list[int] = []
        self.deliveries: list[Delivery] = []
        self.allowed: tuple[str, ...] = ()
        self._again: deque[Json] = deque()
        self._numbers = itertools.count(1)
        self._clock = clock
        self._today = today
        self._poll: asyncio.Future[None] | None = None
        self._chance = random.Random(settings.seed)
        self._posting: dict[str, asyncio.Task[None]] = {}
        self._client: httpx.AsyncClient | None = None
        self._room = asyncio.Semaphore(40)

    # --- in ----------------------------------------------------------------------------------------------------------

    def push(self, update: Json) -> Json:
        """Put an update at the end of the queue; it gets the next number. One the bot does not want is dropped."""
        numbered = {"update_id": next(self._numbers), **update}
        kind = next(name for name in update if name != "update_id")
        wanted = kind in self.allowed if self.allowed else kind not in NOT_BY_ITSELF
        if not wanted:
            return numbered
        self.pending[numbered["update_id"]] = numbered
        if self.settings.updates_twice and self.webhook.url:
            self._again.append(numbered)
        self._wake()
        return numbered

    def push_again(self, update: Json) -> None:
        """Give an update out once more, though it was confirmed."""
        self._again.append(update)
        self._wake()

    def push_shuffled(self, updates: Sequence[Json]) -> list[Json]:
        """Number updates in order, and put them into the queue in another."""
        numbered = [{"update_id": next(self._numbers), **update} for update in updates]
        shuffled = [*numbered[1::2], *numbered[::2]]
        self.pending |= {each["update_id"]: each for each in shuffled}
        self._wake()
        return numbered

    def drop_all(self) -> None:
        """Forget what waits."""
        self.pending.clear()
        self._again.clear()

    def _wake(self) -> None:
        if self.webhook.url:
            self._post_waiting()
        elif self._poll is not None and not self._poll.done():
            self._poll.set_result(None)

    # --- polling -----------------------------------------------------------------------------------------------------

    async def poll(self, offset: int, limit: int, timeout_seconds: float) -> list[Json]:
        """What waits from an offset on; waits for something. Raises Refusal (409)."""
        if self.webhook.url:
            text = "Conflict: can't use getUpdates method while webhook is active; use deleteWebhook to delete the "
            raise Refusal(409, text + "webhook first")
        if self._poll is not None and not self._poll.done():
            text = "Conflict: terminated by other getUpdates request; make sure that only one bot instance is running"
            self._poll.set_exception(Refusal(409, text))
        self._confirm(offset)
        batch = self._batch(limit)
        if batch or timeout_seconds <= 0:
            return batch
        mine = self._poll = asyncio.get_running_loop().create_future()
        try:
            async with asyncio.timeout(timeout_seconds):
                await mine
        except TimeoutError:
            return []
        finally:
            if self._poll is mine:
                self._poll = None
        return self._batch(limit)

    @property
    def is_polled(self) -> bool:
        """Whether somebody waits for updates right now."""
        return self._poll is not None

    def _confirm(self, offset: int) -> None:
        """Everything before the offset is done with. A negative one counts from the end."""
        self.offsets.append(offset)
        if offset < 0:
            kept = sorted(self.pending)[offset:]
            offset = kept[0] if kept else 0
        done = [number for number in self.pending if number < offset]
        self.confirmed += done
        for number in done:
            del self.pending[number]

    def _batch(self, limit: int) -> list[Json]:
        fresh = [each for each in itertools.islice(self.pending.values(), limit) if each not in self._again]
        batch = [*self._again, *fresh] if self._again else fresh
        self._again.clear()
        if self.settings.updates_twice:
            self._again.extend(fresh)
        if self.settings.updates_shuffled:
            self._chance.shuffle(batch)
        return batch

    # --- webhook -----------------------------------------------------------------------------------------------------

    def set_webhook(self, url: str, *, secret: str, most_connections: int) -> None:
        """Send updates to an address from now on; "" for an end of it. Raises Refusal for an address that cannot be."""
        if url:
            _check_address(url)
        if secret and not re.fullmatch(r"[A-Za-z0-9_-]{1,256}", secret):
            raise Refusal(400, "Bad Request: secret token contains unallowed characters")
        if url and self._poll is not None and not self._poll.done():
            text = "Conflict: terminated by setWebhook request"
            self._poll.set_exception(Refusal(409, text))
        self._stop_posting()
        self.webhook = Webhook(url=url, secret=secret, most_connections=most_connections)
        self._room = asyncio.Semaphore(most_connections)
        if url:
            self._post_waiting()

    def _post_waiting(self) -> None:
        """One task for each chat that has something waiting."""
        for update in [*self.pending.values(), *self._again]:
            lane = _chat_of(update)
            if lane not in self._posting:
                task = asyncio.create_task(self._post_chat(lane))
                self._posting[lane] = task
                task.add_done_callback(functools.partial(self._ended, lane))

    def _ended(self, lane: str, task: asyncio.Task[None]) -> None:
        if self._posting.get(lane) is task:
            del self._posting[lane]
        if not task.cancelled():
            task.result()
            self._wake()

    async def _post_chat(self, lane: str) -> None:
        while (update := self._next_of(lane)) is not None:
            pause = self.settings.backoff_seconds
            while not await self._post(update):
                await asyncio.sleep(pause)
                pause = min(2 * pause, 60.0)
            self._posted(update)

    def _next_of(self, lane: str) -> Json | None:
        again = next((each for each in self._again if _chat_of(each) == lane), None)
        waiting = [each for each in self.pending.values() if _chat_of(each) == lane]
        if self.settings.updates_shuffled:
            self._chance.shuffle(waiting)
        return waiting[0] if waiting else again

    def _posted(self, update: Json) -> None:
        if self.pending.pop(update["update_id"], None) is not None:
            self.confirmed.append(update["update_id"])
        elif update in self._again:
            self._again.remove(update)

    async def _post(self, update: Json) -> bool:
        """Whether the webhook has it."""
        if self._client is None:
            self._client = httpx.AsyncClient(timeout=60.0)
        headers = {"content-type": "application/json"}
        if self.webhook.secret:
            headers["x-telegram-bot-api-secret-token"] = self.webhook.secret
        try:
            async with self._room:
                answer = await self._client.post(self.webhook.url, content=json.dumps(update), headers=headers)
            status, error = answer.status_code, f"Wrong response from the webhook: {answer.status_code}"
        except httpx.HTTPError as failed:
            status, error = 0, str(failed) or type(failed).__name__
        self.deliveries.append(Delivery(update["update_id"], status, self._clock()))
        is_taken = 200 <= status < 300
        if not is_taken:
            self.webhook.last_error, self.webhook.last_error_at = error, self._today()
        return is_taken

    def _stop_posting(self) -> None:
        for task in self._posting.values():
            task.cancel()
        self._posting.clear()

    async def close(self) -> None:
        """Stop sending."""
        tasks = tuple(self._posting.values())
        self._stop_posting()
        await asyncio.gather(*tasks, return_exceptions=True)
        if self._client is not None:
            await self._client.aclose()


def _check_address(url: str) -> None:
    """https on one of the known ports. This machine's own address is let through, since tests have no other."""
    parts = urlsplit(url)
    if parts.hostname == "127.0.0.1":
        return
    if parts.scheme != "https" or not parts.hostname:
        raise Refusal(400, "Bad Request: bad webhook: An HTTPS URL must be provided for webhook")
    if (parts.port or 443) not in WEBHOOK_PORTS:
        ports = ", ".join(str(port) for port in WEBHOOK_PORTS[:-1])
        raise Refusal(400, f"Bad Request: bad webhook: Webhook can be set up only on ports {ports} or 8443")


def _chat_of(update: Json) -> str:
    """Whose an update is."""
    for kind, content in update.items():
        if kind == "update_id":
            continue
        place = content.get("message", content)
        return str(place.get("chat", {}).get("id", ""))
    return ""
