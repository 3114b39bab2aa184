"""Text messages as a channel: words fitted to the network's alphabet, long ones page by page over some transport."""

from __future__ import annotations

from typing import Protocol

from bot.channels.sms.pages import pages
from bot.channels.sms.segments import gsm_text, segments_of
from bot.errors import Rejected
from bot.talk.ports import Rendered

NAME = "sms"


class Transport(Protocol):
    """What carries one text to one number: a gateway over HTTP, or a line of our own."""

    async def submit(self, address: str, outbox_id: int, text: str) -> str | None:
        """Hand over one text; its id on the far side, if that tells one. Raises a `ChannelError`."""
        ...


class SmsChannel:
    """Sends the short wording.

    hint : the line that ends every page but the last ("Reply MORE ...")
    nothing_more : what is sent for a page that is not there (somebody asked for more at the end of a message)
    """

    name = NAME

    def __init__(self, transport: Transport, hint: str, nothing_more: str = "") -> None:
        self._transport = transport
        self._nothing_more = gsm_text(nothing_more)
        self._hint = gsm_text(hint)

    async def send(self, address: str, outbox_id: int, rendered: Rendered) -> str | None:
        """Send the first page."""
        return await self.send_page(address, outbox_id, rendered, 0)

    async def send_page(self, address: str, outbox_id: int, rendered: Rendered, page: int) -> str | None:
        """Send one page, or the word that there are no more. Raises `Rejected` where there is no word for it."""
        texts = self._pages(rendered)
        text = texts[page] if 0 <= page < len(texts) else self._nothing_more
        if not text:
            raise Rejected(f"A text of {len(texts)} pages has no page {page}.")
        return await self._transport.submit(address, outbox_id, text)

    def page_count(self, rendered: Rendered) -> int:
        """How many pages a message has."""
        return len(self._pages(rendered))

    def cost(self, rendered: Rendered) -> int:
        """Segments of the first page. A later page costs at most as much as a page can (`pages.AT_MOST`)."""
        return segments_of(self._pages(rendered)[0])

    def _pages(self, rendered: Rendered) -> tuple[str, ...]:
        folded = gsm_text(rendered.text).strip()
        return pages(folded or rendered.text, self._hint)  # nothing but an emoji is better sent as it is than not
