"""How texts and receipts are read: the gate first, then words and pictures for the conversation.

1. Nothing is fetched for a number that has not agreed: its pictures wait with its words.
2. Pictures come over https, from the gateway's own hosts only, never from an address inside; they have a size and a
   time. What opens safely is kept; for anything else the sender is told. Words of danger wait for no second try.
3. The pieces of one long text are one text. A piece that never came leaves a gap, no more.
"""

from __future__ import annotations

import asyncio
import ipaddress
import logging
import socket
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Self

import httpx

from bot.arrivals import Consent, DeliveryNote, Reach, Reading, StoredArrival
from bot.channels.sms.alphabet import mended
from bot.channels.sms.bodies import Receipt, Text, load_body
from bot.channels.sms.consent import Decision, gate
from bot.clock import Clock
from bot.envelope import Envelope
from bot.errors import TryAgain
from bot.photos.intake import PhotoIntake, Reason, Refused, Wanted
from bot.store.files import PhotoFolder
from bot.talk.cover import cover_seen, names_only_paper, names_paper
from bot.talk.incoming import Incoming, PhotoRefused, Said, SentPhoto, as_one_sending
from bot.talk.understand.alarms import emergency
from bot.trust import trusted
from rules.cover_reading import Upload

log = logging.getLogger(__name__)

CHANNEL = "sms"
NO_PICTURE = "sms-no-picture"
LONGEST_TEXT = 4000
MOST_PICTURES = 10
MOST_TRIES = 4
"""How often a picture is asked for. Then the words are read without it: a chat does not wait for a broken host.
Must come before the intake itself gives up."""
AGAIN_SECONDS = 30.0
_MOST_REDIRECTS = 3
_REDIRECTS = frozenset({301, 302, 303, 307, 308})
_FOR_THE_MOMENT = frozenset({408, 425, 429})


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureRules:
    """From where a picture may be fetched.

    hosts : the gateway's own; no other is asked, not even when one of them points there
    is_local_allowed : plain http, any port and addresses inside, for a gateway on this machine
    """

    hosts: frozenset[str]
    is_local_allowed: bool = False
    most_bytes: int = 10 * 1024 * 1024
    seconds: float = 10.0


class _NotToBeHad(Exception):
    """This picture will not come, however often we ask."""


class Pictures:
    """Fetches pictures. Use it as `async with Pictures(...) as pictures`."""

    def __init__(self, rules: PictureRules) -> None:
        self.most_bytes = rules.most_bytes
        self._rules = rules
        # No proxy of the environment's: it would be asked in our stead, and we could not see who answers.
        self._client = httpx.AsyncClient(
            timeout=rules.seconds, trust_env=False, verify=trusted(), headers={"Accept-Encoding": "identity"}
        )

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(self, *_: object) -> None:
        await self._client.aclose()

    async def fetch(self, url: str) -> bytes | None:
        """The bytes behind an address, at most one more than allowed; None where they are not to be had.

        Raises `TryAgain` where that may change.
        """
        try:
            async with asyncio.timeout(self._rules.seconds):
                return await self._follow(httpx.URL(url))
        except (_NotToBeHad, httpx.InvalidURL, httpx.UnsupportedProtocol) as error:
            log.warning("A picture was not fetched (%s).", error if isinstance(error, _NotToBeHad) else "no address")
            return None
        except (TimeoutError, OSError, httpx.RequestError) as error:
            raise TryAgain(f"A picture cannot be fetched now ({type(error).__name__}).", AGAIN_SECONDS) from error

    async def _follow(self, url: httpx.URL) -> bytes:
        for _ in range(_MOST_REDIRECTS + 1):
            await self._check(url)
            async with self._client.stream("GET", url) as response:
                if response.status_code not in _REDIRECTS:
                    return await self._content(response)
                url = url.join(response.headers.get("location", ""))
        raise _NotToBeHad("too many redirects")

    async def _check(self, url: httpx.URL) -> None:
        """Whether an address may be asked at all. Raises `_NotToBeHad`.

        A name that leads inside a moment later gets nowhere: there nobody has the certificate for it.
        """
        if url.host.lower() not in self._rules.hosts or url.userinfo:
            raise _NotToBeHad("a host that is not the gateway's")
        if self._rules.is_local_allowed:
            return
        if url.scheme != "https" or url.port not in (None, 443):
            raise _NotToBeHad("not over https")
        loop = asyncio.get_running_loop()
        for *_, address in await loop.getaddrinfo(url.host, 443, type=socket.SOCK_STREAM):
            _require_outside(str(address[0]))

    async def _content(self, response: httpx.Response) -> bytes:
        status = response.status_code
        if status in _FOR_THE_MOMENT or status >= 500:
            raise TryAgain(f"A picture cannot be fetched now (status {status}).", AGAIN_SECONDS)
        if status != 200:
            raise _NotToBeHad(f"status {status}")
        content = bytearray()
        async for part in response.aiter_raw():
            content += part
            if len(content) > self.most_bytes:
                break
        return bytes(content[: self.most_bytes + 1])


def _require_outside(address: str) -> None:
    """Raise for an address that is not of the public network, in whatever dress."""
    found = ipaddress.ip_address(address.partition("%")[0])
    if isinstance(found, ipaddress.IPv6Address):
        found = found.ipv4_mapped or found.sixtofour or found
    if not found.is_global or found.is_multicast:
        raise _NotToBeHad("an address inside")


class SmsInlet:
    """Reads what came in as texts."""

    name = CHANNEL

    def __init__(self, pictures: Pictures, photos: PhotoIntake, files: PhotoFolder, clock: Clock) -> None:
        self._pictures = pictures
        self._photos = photos
        self._files = files
        self._clock = clock

    async def read(self, arrivals: Sequence[StoredArrival], reach: Reach) -> Reading:
        """What one text (in one piece or several) means, or one receipt. Raises `TryAgain`."""
        bodies = [load_body(arrival.body) for arrival in arrivals]
        receipts = tuple(_delivery(body) for body in bodies if isinstance(body, Receipt))
        texts = [body for body in bodies if isinstance(body, Text)]
        if not texts or not arrivals[0].address:
            return Reading(deliveries=receipts)
        reading = await self._read_text(texts, arrivals, reach)
        return replace(reading, deliveries=receipts, is_reachable=True if reach.is_unreachable else None)

    async def _read_text(self, texts: list[Text], arrivals: Sequence[StoredArrival], reach: Reach) -> Reading:
        words = joined(texts)
        urls = [url for text in texts for url in text.pictures][:MOST_PICTURES]
        if not words.strip() and not urls:
            return Reading()
        first = arrivals[0]
        decision = gate(words, reach, first.at)
        is_last_try = max(arrival.attempts for arrival in arrivals) >= MOST_TRIES or emergency(words) is not None
        wanted = Wanted(upload=Upload.MMS, has_paper=names_paper(words))
        taken = urls if _are_wanted(decision, reach) else []
        seen = [await self._picture(url, wanted, is_last_try=is_last_try) for url in taken]
        said = None if seen and _is_about_the_picture(decision.incoming) else decision.incoming
        incoming = [each for each in (said, *seen) if each is not None]
        replies = (*decision.replies, *((NO_PICTURE,) if None in seen else ()))
        envelopes = tuple(_envelope(first, number, each) for number, each in enumerate(as_one_sending(incoming)))
        return _reading(decision, envelopes, replies)

    async def _picture(self, url: str, wanted: Wanted, *, is_last_try: bool) -> Incoming | None:
        """A picture as the conversation takes it; None where it could not be had."""
        try:
            content = await self._pictures.fetch(url)
        except TryAgain:
            if not is_last_try:
                raise
            log.warning("A picture could not be fetched in %d tries.", MOST_TRIES)
            return None
        if content is None:
            return None
        if len(content) > self._pictures.most_bytes:
            return PhotoRefused(reason=Reason.TOO_BIG)
        opened = await self._photos.open(content, wanted)
        if isinstance(opened, Refused):
            return PhotoRefused(reason=opened.reason)
        photo_id = await asyncio.to_thread(self._files.keep, opened.jpeg, self._clock.now())
        return SentPhoto(photo_id=photo_id, cover=cover_seen(opened.reading))


def _are_wanted(decision: Decision, reach: Reach) -> bool:
    """Whether pictures are for the conversation: beside HELP and MORE, too, from a number that agreed and goes on."""
    return decision.is_open or (reach.consent is Consent.GIVEN and not decision.consent)


def _is_about_the_picture(incoming: Incoming | None) -> bool:
    """Whether words only say what lies in the picture beside them: then they answer nothing that was asked."""
    return isinstance(incoming, Said) and names_only_paper(incoming.text)


def joined(texts: Sequence[Text]) -> str:
    """The words of one text: its pieces in order, each once, with a gap where one is missing."""
    by_part: dict[int, str] = {}
    for text in texts:
        by_part.setdefault(text.part, text.text)
    words, before = "", None
    for part in sorted(by_part):
        gap = " " if before is not None and part > before + 1 else ""
        words, before = words + gap + by_part[part], part
    return mended(words)[:LONGEST_TEXT]


def _envelope(first: StoredArrival, number: int, incoming: Incoming) -> Envelope:
    suffix = f":{number}" if number else ""
    return Envelope(
        channel=CHANNEL,
        address=first.address,
        external_id=f"{first.external_id}{suffix}",
        at=first.at,
        incoming=incoming,
    )


def _reading(decision: Decision, envelopes: tuple[Envelope, ...], replies: tuple[str, ...]) -> Reading:
    return Reading(
        envelopes=envelopes,
        replies=replies,
        consent=decision.consent,
        is_purging=decision.is_purging,
        is_held=decision.is_held,
        more=decision.more,
    )


def _delivery(receipt: Receipt) -> DeliveryNote:
    return DeliveryNote(far_id=receipt.id, is_delivered=receipt.is_delivered, is_failed=receipt.is_failed)
