"""A browser without scripts, as far as the page needs one: it keeps a cookie, fills forms in, and follows redirects."""

from __future__ import annotations

import html
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

import httpx

HOST = "http://afterfrost.test"
_HIDDEN = re.compile(r'<input type="hidden" name="(\w+)" value="([^"]*)">')
_FORM = re.compile(r'<form class="([\w ]+)" method="post" action="([^"]+)".*?</form>', re.DOTALL)
_CHOICE = re.compile(r'name="token" value="([^"]+)">(.*?)</(?:button|label)>', re.DOTALL)
_TAG = re.compile(r"<[^>]+>")


def plain(source: str) -> str:
    """What a page or a part of it reads, without its tags."""
    return " ".join(html.unescape(_TAG.sub(" ", source)).split())


@dataclass(slots=True)
class Visitor:
    """One person with one browser. `seen` is the page in front of them."""

    client: httpx.AsyncClient
    seen: str = ""
    headers: dict[str, str] = field(default_factory=dict)

    async def look(self, path: str = "/") -> httpx.Response:
        """Open an address."""
        answer = await self.client.get(path, follow_redirects=True)
        self.seen = answer.text
        return answer

    def fields(self, kind: str) -> dict[str, str]:
        """The hidden fields of a form as they stand in the page."""
        for form in _FORM.finditer(self.seen):
            if form[1] == kind:
                return dict(_HIDDEN.findall(form[0]))
        raise AssertionError(f"the page has no form {kind!r}")

    @property
    def newest(self) -> str:
        """What stands in the log after the visitor's last own line."""
        log = self.seen.partition('<section id="answer"')[0]
        return plain(log.rpartition('<div class="own"')[2])

    @property
    def choices(self) -> dict[str, str]:
        """The tokens that can be picked, by what stands beside them."""
        return {plain(label).lstrip("0123456789– "): token for token, label in _CHOICE.findall(self.seen)}

    async def post(
        self, path: str, data: Mapping[str, object], files: dict[str, tuple[str, bytes, str]] | None = None
    ) -> httpx.Response:
        """Send a form as a browser does, and open where it leads."""
        headers = {"origin": HOST, **self.headers}
        answer = await self.client.post(path, data=data, files=files, headers=headers)
        if answer.status_code == 303:
            await self.look(answer.headers["location"].partition("#")[0])
        else:
            self.seen = answer.text
        return answer

    async def say(self, words: str) -> httpx.Response:
        """Type something and send it."""
        return await self.post("/say", {**self.fields("say"), "text": words})

    async def press(self, *labels: str) -> httpx.Response:
        """Press a choice, or tick several and send."""
        return await self.post("/choose", {**self.fields("choices"), "token": [self.choices[each] for each in labels]})

    async def photograph(self, content: bytes, name: str = "lawn.jpg") -> httpx.Response:
        """Send a file as a photo."""
        return await self.post("/photo", self.fields("photo"), {"photo": (name, content, "image/jpeg")})
