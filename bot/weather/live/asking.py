"""Questions to one service for one result, remembering how old the oldest of the answers is."""

from __future__ import annotations

from collections.abc import AsyncIterator, Mapping
from datetime import datetime, timedelta
from typing import TypeVar
from urllib.parse import urlsplit

from pydantic import BaseModel

from bot.weather.live.answers import not_understood, read_body
from bot.weather.live.forms import PagedForm
from bot.weather.live.http import KEEP_COPIES, Answer, Question, Web
from bot.weather.source import Source

Form = TypeVar("Form", bound=BaseModel)
Page = TypeVar("Page", bound=PagedForm)
_MOST_PAGES = 20


class Asking:
    """Asks below one address. Links in answers count by their path only, so that no answer leads anywhere else."""

    def __init__(self, web: Web, service: str, base_url: str, oldest_copy: timedelta = KEEP_COPIES) -> None:
        self._web = web
        self._service = service
        self._base_url = base_url.rstrip("/")
        self._oldest_copy = oldest_copy
        self._answers: list[Answer] = []

    async def ask(
        self,
        form: type[Form],
        link: str,
        params: Mapping[str, str] | None = None,
        secret: Mapping[str, str] | None = None,
    ) -> Form:
        """The answer in its form. Raises WeatherServiceError."""
        question = Question(
            service=self._service,
            url=self._below(link),
            params=params,
            secret=secret,
            oldest_copy=self._oldest_copy,
        )
        answer = await self._web.get(question)
        self._answers.append(answer)
        return read_body(self._service, form, answer.body)

    async def pages(self, form: type[Page], link: str, params: Mapping[str, str] | None = None) -> AsyncIterator[Page]:
        """The answer and those it says come next. Raises WeatherServiceError, also when the pages never end."""
        for _ in range(_MOST_PAGES):
            page = await self.ask(form, link, params)
            yield page
            following = page.pagination.next if page.pagination is not None else None
            if not following:
                return
            link, params = following, None
        raise not_understood(self._service, f"there are more than {_MOST_PAGES} pages")

    @property
    def fetched_at(self) -> datetime | None:
        """Of the oldest answer."""
        return min((each.fetched_at for each in self._answers), default=None)

    @property
    def is_kept_copy(self) -> bool:
        """Whether any answer is a kept copy."""
        return any(each.is_kept_copy for each in self._answers)

    def source(self, credit: str, link: str, *, is_measured: bool) -> Source:
        """Where the answers came from."""
        note = f"kept copy: {self._service} could not be reached" if self.is_kept_copy else ""
        return Source(
            name=self._service,
            credit=credit,
            link=link,
            is_measured=is_measured,
            fetched_at=self.fetched_at,
            note=note,
        )

    def _below(self, link: str) -> str:
        parts = urlsplit(link)
        path = parts.path.removeprefix(urlsplit(self._base_url).path)
        return f"{self._base_url}{path}" + (f"?{parts.query}" if parts.query else "")
