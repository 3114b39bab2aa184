"""The way out to weather services: one client that is polite, patient, careful with what comes back, and remembers it.

Polite: it says who asks, asks again only for what changed, and honours "later". Patient: passing faults are tried
again. Careful: an answer has a size limit and must be JSON before anything keeps it. What it remembers serves when a
service cannot be reached; the age of such a copy is always told.
"""

from __future__ import annotations

import importlib.metadata
import random
import re
from collections.abc import AsyncIterator, Mapping
from contextlib import AsyncExitStack
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from pathlib import Path
from types import TracebackType
from typing import Self

import httpx
import stamina
from hishel import AsyncSqliteStorage, CacheOptions
from hishel.httpx import AsyncCacheTransport

from bot.clock import Clock
from bot.errors import SettingsError
from bot.trust import trusted
from bot.weather.live.answers import fault_of, no_json, unreachable
from bot.weather.live.port import NotUnderstood, TryLater, WillNotWork
from bot.weather.live.screen import SECRET, Screen, TooBig, is_json

CONTACT_SETTING = "AFTERFROST_WEATHER_CONTACT"
_CONTACT = re.compile(r"[\x20-\x27\x2a-\x7e]{3,200}")  # no brackets: it stands in a comment of the header
KEEP_COPIES = timedelta(days=30)
MOST_CACHE_BYTES = 200_000_000
_MOST_REDIRECTS = 5
_ACCEPT = "application/geo+json, application/json"


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How long and how often one question is asked, and how long an answer may be.

    tries, seconds : no further try after either
    first_wait_seconds : doubled after each try up to `longest_wait_seconds`, with up to `jitter_seconds` of chance
    longest_asked_seconds : a service's own "come back after" is honoured up to this; beyond it we give up at once
    """

    tries: int = 4
    seconds: float = 45.0
    first_wait_seconds: float = 0.5
    longest_wait_seconds: float = 8.0
    jitter_seconds: float = 1.0
    longest_asked_seconds: float = 20.0
    connect_seconds: float = 5.0
    answer_seconds: float = 20.0
    most_bytes: int = 5_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A good answer: the JSON as it came, and when it was last known to be right at its origin."""

    body: bytes
    fetched_at: datetime
    is_kept_copy: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is asked of a service.

    service : its name, for errors
    url, params : without anything secret
    secret : further parameters (a key) that neither the cache nor an error ever sees
    oldest_copy : how old a kept copy may be when the service cannot be reached
    """

    service: str
    url: str
    params: Mapping[str, str] | None = None
    secret: Mapping[str, str] | None = None
    oldest_copy: timedelta = KEEP_COPIES


def require_contact(contact: str) -> str:
    """The contact an operator gave, fit for a header. Raises SettingsError naming the setting."""
    if not contact.strip():
        raise SettingsError(
            f"{CONTACT_SETTING} is empty. The US weather service wants to know whom to ask when a program misbehaves: "
            "set it to an e-mail address or a web page of yours."
        )
    if not _CONTACT.fullmatch(contact.strip()):
        raise SettingsError(f"{CONTACT_SETTING} should be plain letters, at most 200, without ( and ).")
    return contact.strip()


class Web:
    """The client. Use it as `async with Web(...) as web`."""

    def __init__(self, *, contact: str, cache_file: Path | None, clock: Clock, patience: Patience = Patience()) -> None:
        self.clock = clock
        self.contact = contact
        self.patience = patience
        self._cache_file = cache_file
        self._storage: AsyncSqliteStorage | None = None
        self._client: httpx.AsyncClient | None = None
        self._stack = AsyncExitStack()

    async def __aenter__(self) -> Self:
        self._storage = _storage(self._cache_file) if self._cache_file is not None else None
        self._client = await self._stack.enter_async_context(self._new_client())
        return self

    async def __aexit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        await self._stack.aclose()

    def _new_client(self) -> httpx.AsyncClient:
        patience, version = self.patience, importlib.metadata.version("afterfrost")
        transport: httpx.AsyncBaseTransport = Screen(
            httpx.AsyncHTTPTransport(verify=trusted()), patience.most_bytes, self.clock
        )
        if self._storage is not None:
            transport = AsyncCacheTransport(transport, storage=self._storage, rfc=CacheOptions(shared=False))
        contact = f" ({require_contact(self.contact)})" if self.contact.strip() else ""
        return httpx.AsyncClient(
            transport=transport,
            headers={"User-Agent": f"Afterfrost/{version}{contact}", "Accept": _ACCEPT},
            timeout=httpx.Timeout(patience.answer_seconds, connect=patience.connect_seconds),
            follow_redirects=True,
            max_redirects=_MOST_REDIRECTS,
        )

    async def get(self, question: Question) -> Answer:
        """The answer, tried again while that helps; else a kept copy if it is young enough.

        Raises WeatherServiceError.
        """
        try:
            return await self._patiently(question)
        except TryLater:
            kept = await self._kept_copy(question)
            if kept is None:
                raise
            return kept

    async def _patiently(self, question: Question) -> Answer:
        patience = self.patience
        retries = stamina.retry_context(
            on=lambda error: wait_seconds(error, patience),
            attempts=patience.tries,
            timeout=patience.seconds,
            wait_initial=patience.first_wait_seconds,
            wait_max=patience.longest_wait_seconds,
            wait_jitter=patience.jitter_seconds,
        )
        async for attempt in retries:
            with attempt:
                return await self._once(question)
        raise AssertionError("the last attempt returns or raises")

    async def _once(self, question: Question) -> Answer:
        if self._client is None:
            raise RuntimeError("use `async with` around a Web")
        try:
            response = await self._client.get(question.url, params=question.params, extensions=_extensions(question))
        except (httpx.UnsupportedProtocol, httpx.InvalidURL, httpx.LocalProtocolError, httpx.TooManyRedirects) as error:
            what = f"its address leads nowhere ({type(error).__name__})"
            raise WillNotWork(service=question.service, what=what, do="Check the address in the settings.") from error
        except TooBig as error:
            what = f"the answer is longer than {self.patience.most_bytes // 1_000_000} MB"
            raise NotUnderstood(service=question.service, what=what, do="Ask for fewer days.") from error
        except httpx.RequestError as error:
            raise unreachable(question.service, error) from error
        if response.status_code != httpx.codes.OK:
            raise fault_of(question.service, response, self.clock.now())
        if not is_json(response.content):
            raise no_json(question.service)
        return Answer(body=response.content, fetched_at=self._known_right_at(response))

    def _known_right_at(self, response: httpx.Response) -> datetime:
        caching = response.extensions.get("caching", {})
        now = self.clock.now()
        is_untouched_copy = caching.get("from_cache") and not caching.get("revalidated")
        return min(dated(response.headers.get("date", "")) or now, now) if is_untouched_copy else now

    async def _kept_copy(self, question: Question) -> Answer | None:
        """The youngest good answer to the same question, whatever its headers say of its age: we are cut off."""
        if self._storage is None:
            return None
        found: list[tuple[datetime, bytes]] = []
        for entry in await self._storage.get_entries(_key(question)):
            kept_at = dated(entry.response.headers.get("date") or "")
            stream, is_good = entry.response.stream, entry.response.status_code == httpx.codes.OK
            if kept_at is not None and is_good and isinstance(stream, AsyncIterator):
                found.append((kept_at, b"".join([part async for part in stream])))
        now = self.clock.now()
        kept_at, body = max(found, default=(now, b""), key=lambda one: one[0])
        if not body or now - kept_at > question.oldest_copy:
            return None
        return Answer(body=body, fetched_at=min(kept_at, now), is_kept_copy=True)


def wait_seconds(error: Exception, patience: Patience) -> bool | float:
    """Whether to ask again after an error, or how long to wait first when the service itself said so."""
    if not isinstance(error, TryLater):
        return False
    if error.after_seconds is None:
        return True
    if error.after_seconds > patience.longest_asked_seconds:
        return False
    return error.after_seconds + random.uniform(0, patience.jitter_seconds)


def dated(header: str) -> datetime | None:
    """The instant an HTTP date names; None for what is no date."""
    try:
        at = parsedate_to_datetime(header)
    except ValueError:
        return None
    return at.replace(tzinfo=UTC) if at.tzinfo is None else at.astimezone(UTC)


def _key(question: Question) -> str:
    """One name for everything the question leads to, redirects included."""
    url = httpx.URL(question.url)
    return str(url.copy_merge_params(question.params) if question.params else url)


def _extensions(question: Question) -> dict[str, object]:
    caching = {"key": _key(question)}
    if not question.secret:
        return {"caching": caching}
    return {"caching": caching, SECRET: (httpx.URL(question.url).host, dict(question.secret))}


def _storage(cache_file: Path) -> AsyncSqliteStorage:
    cache_file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    seconds = KEEP_COPIES.total_seconds()
    return AsyncSqliteStorage(database_path=cache_file, default_ttl=seconds, max_size=MOST_CACHE_BYTES)
