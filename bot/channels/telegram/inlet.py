"""Reads stored updates: answers presses, fetches pictures, and hands on what they mean."""

from __future__ import annotations

import asyncio
import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import replace

from bot.arrivals import Reach, Reading, StoredArrival
from bot.channels.telegram.client import MOST_BYTES, TelegramClient, TooBig
from bot.channels.telegram.updates import Meaning, meaning_of
from bot.clock import Clock
from bot.envelope import Envelope
from bot.errors import ChannelClosed, ChannelError, Rejected, SlowDown, TryAgain, Uncertain
from bot.photos.intake import PhotoIntake, Reason, Refused, Wanted
from bot.store.files import PhotoFolder
from bot.talk.cover import cover_seen, names_only_paper, names_paper
from bot.talk.incoming import Incoming, PhotoRefused, Said, SentPhoto, as_one_sending
from rules.cover_reading import Upload

log = logging.getLogger(__name__)

NAME = "telegram"
AGAIN_SECONDS = 20.0
TRIES_FOR_A_FILE = 3
"""Telegram says "not there" of a file, too, when it only is not there yet."""


class TelegramInlet:
    """Reads one update, or the parts of an album."""

    name = NAME

    def __init__(self, client: TelegramClient, photos: PhotoIntake, files: PhotoFolder, clock: Clock) -> None:
        self._client = client
        self._photos = photos
        self._files = files
        self._clock = clock

    async def read(self, arrivals: Sequence[StoredArrival], reach: Reach) -> Reading:
        """See `Inlet`."""
        envelopes: list[Envelope] = []
        replies: list[str] = []
        meanings = [_meaning(arrival) for arrival in arrivals]
        for arrival, meaning in zip(arrivals, meanings, strict=True):
            if meaning == Meaning():
                log.info("Arrival %d is nothing that is read here.", arrival.id)
            if meaning.press is not None:
                await self._end_waiting(meaning.press)
            seen = await self._picture(meaning, arrival.attempts)
            said = meaning.incoming if seen is None else [each for each in meaning.incoming if not _is_paper(each)]
            incoming = [*([seen] if seen is not None else []), *said]
            envelopes += [_envelope(arrival, number, each) for number, each in enumerate(incoming)]
            if meaning.reply is not None and meaning.reply not in replies:
                replies.append(meaning.reply)
        if not arrivals or not arrivals[0].address:
            return Reading()  # nobody to answer
        marked = as_one_sending([each.incoming for each in envelopes])
        envelopes = [replace(each, incoming=one) for each, one in zip(envelopes, marked, strict=True)]
        return _reading(meanings, envelopes, replies, reach)

    async def _end_waiting(self, press: str) -> None:
        """A press that cannot be ended now ends by itself; what was pressed counts all the same."""
        try:
            await self._client.answer_button(press)
        except ChannelError as error:
            log.warning("A press could not be answered (%s).", type(error).__name__)

    async def _picture(self, meaning: Meaning, attempts: int) -> Incoming | None:
        """A picture as the conversation takes it. Raises `TryAgain` while it is not to be had."""
        file = meaning.file
        if file is None:
            return None
        if (file.size or 0) > MOST_BYTES:
            return PhotoRefused(reason=Reason.TOO_BIG)
        try:
            content = await self._client.download(file.id)
        except TooBig:
            return PhotoRefused(reason=Reason.TOO_BIG)
        except Rejected as error:
            if attempts + 1 < TRIES_FOR_A_FILE:
                raise TryAgain("The picture is not there.", AGAIN_SECONDS) from error
            return PhotoRefused(reason=Reason.BROKEN)
        except (SlowDown, Uncertain, ChannelClosed) as error:
            raise TryAgain("The picture cannot be fetched now.", AGAIN_SECONDS) from error
        has_paper = any(isinstance(each, Said) and names_paper(each.text) for each in meaning.incoming)
        upload = Upload.FILE if file.is_original else Upload.PICTURE
        opened = await self._photos.open(content, Wanted(upload=upload, has_paper=has_paper))
        if isinstance(opened, Refused) and opened.reason is Reason.BUSY:
            raise TryAgain("Too many pictures are being opened.", AGAIN_SECONDS)
        if isinstance(opened, Refused):
            return PhotoRefused(reason=opened.reason)
        photo_id = await asyncio.to_thread(self._files.keep, opened.jpeg, self._clock.now())
        return SentPhoto(photo_id=photo_id, cover=cover_seen(opened.reading))


def _is_paper(incoming: Incoming) -> bool:
    """Whether words only say what lies in the picture above them: then they answer nothing that was asked."""
    return isinstance(incoming, Said) and names_only_paper(incoming.text)


def _meaning(arrival: StoredArrival) -> Meaning:
    update = json.loads(arrival.body)
    return meaning_of(update) if isinstance(update, Mapping) else Meaning()


def _reading(
    meanings: Sequence[Meaning], envelopes: Sequence[Envelope], replies: Sequence[str], reach: Reach
) -> Reading:
    told = [meaning.is_reachable for meaning in meanings if meaning.is_reachable is not None]
    is_back = True if reach.is_unreachable and envelopes else None
    moved = [meaning.moved_to for meaning in meanings if meaning.moved_to is not None]
    return Reading(
        envelopes=tuple(envelopes),
        replies=tuple(replies),
        is_reachable=told[-1] if told else is_back,
        moved_to=moved[-1] if moved else None,
    )


def _envelope(arrival: StoredArrival, number: int, incoming: Incoming) -> Envelope:
    suffix = f":{number}" if number else ""
    return Envelope(
        channel=NAME,
        address=arrival.address,
        external_id=f"{arrival.external_id}{suffix}",
        at=arrival.at,
        incoming=incoming,
    )
