"""Any HTTP gateway for text messages, through one small adapter: how it is asked, how it answers and calls back.

1. What is sent carries one key per message and text, the same at every try, so that the gateway can drop a repeat.
2. A connection that was never made is tried again. No answer in time means it may have been taken: that is said so.
3. A call is believed only with a valid signature over its raw bytes, and answered 200 only once it is on disk.
4. What a gateway does differently (forms instead of JSON, another signature) is a `Strategy` of its own.
"""

from __future__ import annotations

import hashlib
import json
import logging
import re
from collections.abc import Awaitable, Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Protocol, Self
from urllib.parse import parse_qs, urlencode

import httpx
from starlette.requests import Request
from starlette.responses import Response

from bot.arrivals import Intake, NewArrival
from bot.channels.sms.bodies import Body, arrival_of, read_body
from bot.channels.sms.signing import BadSignature, SharedHmac, StandardWebhooks
from bot.clock import Clock
from bot.errors import ChannelClosed, Rejected, SettingsError, SlowDown, TryAgain, Uncertain, Unreachable
from bot.logs import trace_of
from bot.trust import trusted

log = logging.getLogger(__name__)

CHANNEL = "sms"
MOST_CALLBACK_BYTES = 1024 * 1024
MOST_ANSWER_BYTES = 64 * 1024
CONNECT_SECONDS, ANSWER_SECONDS = 10.0, 30.0
BUSY_SECONDS, LONGEST_PAUSE_SECONDS = 30.0, 3600.0
GONE = frozenset({"invalid_number", "opted_out", "landline", "unknown_number", "unreachable"})
"""Reasons of a gateway for which writing to a number again has no use."""
_REASON = re.compile(r"[a-z0-9_.-]{1,40}")
_LOCAL_HOSTS = frozenset({"127.0.0.1", "::1", "localhost"})


class NotUnderstood(Exception):
    """A call with a valid signature whose body makes no sense."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextMessage:
    """One text on its way out.

    key : the same at every try
    callback : where the gateway should tell what became of it
    """

    key: str
    sender: str
    to: str
    text: str
    callback: str


class Strategy(Protocol):
    """What one kind of gateway does its own way."""

    def build_request(self, message: TextMessage, now: datetime) -> tuple[dict[str, str], bytes]:
        """Headers and body of the request that sends a text."""
        ...

    def read_answer(self, status: int, headers: Mapping[str, str], body: bytes) -> str | None:
        """The gateway's own id of the text, if it told one. Raises a `ChannelError` for what was not taken."""
        ...

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> None:
        """Raise `BadSignature` unless the gateway itself sent these bytes, lately."""
        ...

    def read_callback(self, body: bytes) -> list[Body]:
        """What a call says. Raises `NotUnderstood`."""
        ...


# --- strategies ------------------------------------------------------------------------------------------------------


class JsonGateway:
    """The plain one: JSON both ways, signed both ways after Standard Webhooks."""

    def __init__(self, *, key: str, signing: StandardWebhooks) -> None:
        self._key = key
        self._signing = signing

    def build_request(self, message: TextMessage, now: datetime) -> tuple[dict[str, str], bytes]:
        """See `Strategy`."""
        body = json.dumps(
            {
                "id": message.key,
                "from": message.sender,
                "to": message.to,
                "text": message.text,
                "callback": message.callback,
            }
        ).encode()
        headers = {
            "Authorization": f"Bearer {self._key}",
            "Content-Type": "application/json",
            "Idempotency-Key": message.key,
        }
        return headers | self._signing.sign(message.key, now, body), body

    def read_answer(self, status: int, headers: Mapping[str, str], body: bytes) -> str | None:
        """See `Strategy`."""
        answer = _json_object(body)
        return _taken(status, headers, far_id=answer.get("id"), reason=answer.get("reason"))

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> None:
        """See `Strategy`."""
        self._signing.verify(headers, body, now)

    def read_callback(self, body: bytes) -> list[Body]:
        """One call is one event, or a list of them. One that makes no sense does not hold up the others."""
        try:
            told = json.loads(body)
        except (ValueError, RecursionError) as error:
            raise NotUnderstood from error
        return _understood(told if isinstance(told, list) else [told])


class FormGateway:
    """Another kind: forms both ways, a key of its own, and a plain HMAC over the body in one header."""

    def __init__(self, *, key: str, signing: SharedHmac) -> None:
        self._key = key
        self._signing = signing

    def build_request(self, message: TextMessage, now: datetime) -> tuple[dict[str, str], bytes]:
        """See `Strategy`."""
        fields = {
            "reference": message.key,
            "sender": message.sender,
            "recipient": message.to,
            "message": message.text,
            "report_to": message.callback,
        }
        headers = {"X-Api-Key": self._key, "Content-Type": "application/x-www-form-urlencoded"}
        body = urlencode(fields).encode()
        return headers | self._signing.sign(body), body

    def read_answer(self, status: int, headers: Mapping[str, str], body: bytes) -> str | None:
        """The answer is a form, too: `message_id`, or `error`."""
        fields = _form(body)
        return _taken(status, headers, far_id=fields.get("message_id"), reason=fields.get("error"))

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> None:
        """See `Strategy`."""
        self._signing.verify(headers, body, now)

    def read_callback(self, body: bytes) -> list[Body]:
        """A form with `state` is a receipt, any other a text."""
        fields = _form(body)
        if "state" in fields:
            event: dict[str, object] = {"kind": "receipt", "id": fields.get("message_id"), "status": fields["state"]}
        else:
            event = {
                "kind": "text",
                "id": fields.get("message_id"),
                "from": fields.get("sender"),
                "to": fields.get("recipient"),
                "text": fields.get("message", ""),
                "pictures": [url for url in fields.get("media", "").split() if url],
            }
        return _understood([event])


def _understood(events: Sequence[object]) -> list[Body]:
    """What can be read of some events. Raises `NotUnderstood` where that is nothing."""
    found: list[Body] = []
    faults: list[ValueError] = []
    for event in events:
        try:
            found.append(read_body(event))
        except ValueError as error:
            faults.append(error)
    if faults and not found:
        raise NotUnderstood from faults[0]
    if faults:
        log.error("Of %d events in a call of the SMS gateway %d made no sense.", len(events), len(faults))
    return found


def _form(body: bytes) -> dict[str, str]:
    """The fields of a form; of one that is there several times, all of it in lines."""
    try:
        fields = parse_qs(body.decode("utf-8"), keep_blank_values=True, max_num_fields=100)
    except ValueError:
        return {}
    return {name: "\n".join(values) for name, values in fields.items()}


def _json_object(body: bytes) -> Mapping[str, object]:
    """An answer's fields; none where it is no JSON object (an error page)."""
    try:
        answer = json.loads(body)
    except (ValueError, RecursionError):
        return {}
    return answer if isinstance(answer, dict) else {}


def _taken(status: int, headers: Mapping[str, str], *, far_id: object, reason: object) -> str | None:
    """The id of what was taken; else the error that says what to do next."""
    if 200 <= status < 300:
        return far_id if isinstance(far_id, str) and far_id else None
    why = reason if isinstance(reason, str) and _REASON.fullmatch(reason) else f"status {status}"
    match status:
        case 429:
            raise SlowDown("The gateway asks for a pause.", _pause_seconds(headers))
        case 408 | 409 | 425:
            raise TryAgain(f"The gateway is not ready ({why}).", BUSY_SECONDS)
        case 401 | 402 | 403:
            raise ChannelClosed(f"The gateway does not let us send ({why}). Check the key and the account.")
        case _ if status >= 500:
            raise TryAgain(f"The gateway is broken or busy ({why}).", _pause_seconds(headers))
        case _ if status < 400:
            raise ChannelClosed(f"The gateway's address is not right any more ({why}). Check it in the settings.")
        case _ if why in GONE:
            raise Unreachable(f"The gateway cannot reach this number ({why}).")
        case _:
            raise Rejected(f"The gateway rejected a text ({why}).")


def _pause_seconds(headers: Mapping[str, str]) -> float:
    """How long a gateway wants to be left alone: seconds, or a date beside the answer's own."""
    asked = headers.get("retry-after", "").strip()
    if asked.isascii() and asked.isdigit():
        return min(max(float(asked), 1.0), LONGEST_PAUSE_SECONDS)
    try:
        pause = parsedate_to_datetime(asked) - parsedate_to_datetime(headers.get("date", ""))
    except (ValueError, TypeError):  # no date, or only one of them with a zone
        return BUSY_SECONDS
    return min(max(pause / timedelta(seconds=1), 1.0), LONGEST_PAUSE_SECONDS)


# --- out -------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Addresses:
    """Where texts are handed in, which number they come from, and where the gateway tells what became of them."""

    url: str
    sender: str
    callback: str


class HttpGateway:
    """Hands texts to a gateway. Use it as `async with HttpGateway(...) as gateway`."""

    def __init__(
        self, addresses: Addresses, strategy: Strategy, clock: Clock, *, answer_seconds: float = ANSWER_SECONDS
    ) -> None:
        _require_safe(addresses.url)
        self._addresses = addresses
        self._strategy = strategy
        self._clock = clock
        timeout = httpx.Timeout(answer_seconds, connect=CONNECT_SECONDS)
        self._client = httpx.AsyncClient(timeout=timeout, verify=trusted())

    async def __aenter__(self) -> Self:
        return self

    async def __aexit__(self, *_: object) -> None:
        await self._client.aclose()

    async def submit(self, address: str, outbox_id: int, text: str) -> str | None:
        """Hand in one text; its id at the gateway. Raises a `ChannelError`."""
        message = TextMessage(
            key=key_of(address, outbox_id, text),
            sender=self._addresses.sender,
            to=address,
            text=text,
            callback=self._addresses.callback,
        )
        headers, body = self._strategy.build_request(message, self._clock.now())
        status, answered, answer = await self._ask(headers, body)
        return self._strategy.read_answer(status, answered, answer)

    async def _ask(self, headers: dict[str, str], body: bytes) -> tuple[int, Mapping[str, str], bytes]:
        try:
            async with self._client.stream("POST", self._addresses.url, headers=headers, content=body) as response:
                return response.status_code, response.headers, await _beginning(response)
        except (httpx.ConnectError, httpx.ConnectTimeout, httpx.PoolTimeout) as error:
            raise TryAgain(f"The gateway cannot be reached ({type(error).__name__}).", BUSY_SECONDS) from error
        except (httpx.UnsupportedProtocol, httpx.LocalProtocolError) as error:
            raise ChannelClosed("The gateway's address or key cannot be used. Check the settings.") from error
        except httpx.RequestError as error:
            raise Uncertain(f"The gateway gave no answer ({type(error).__name__}).") from error


def key_of(address: str, outbox_id: int, text: str) -> str:
    """What a gateway knows a repeat by. Another page of the same message, or another database, is no repeat."""
    digest = hashlib.sha256(f"{address}\0{text}".encode("utf-8", "replace")).hexdigest()
    return f"afterfrost-{outbox_id}-{digest[:16]}"


async def _beginning(response: httpx.Response) -> bytes:
    """As much of an answer as any sensible one has."""
    parts, size = [], 0
    async for part in response.aiter_bytes():
        parts.append(part)
        size += len(part)
        if size > MOST_ANSWER_BYTES:
            break
    return b"".join(parts)[:MOST_ANSWER_BYTES]


def _require_safe(url: str) -> None:
    try:
        parsed = httpx.URL(url)
    except httpx.InvalidURL as error:
        raise SettingsError(
            "The address of the SMS gateway should be one like https://gateway.example/send."
        ) from error
    if not parsed.host or (parsed.scheme != "https" and parsed.host not in _LOCAL_HOSTS):
        raise SettingsError("The address of the SMS gateway should begin with https://, since a key goes along.")


# --- in --------------------------------------------------------------------------------------------------------------


class _TooLong(Exception):
    """A call is longer than any we expect."""


def callbacks(strategy: Strategy, intake: Intake, clock: Clock) -> Callable[[Request], Awaitable[Response]]:
    """The handler for a gateway's calls: texts that came in, and receipts."""

    async def called(request: Request) -> Response:
        try:
            body = await _whole(request)
            strategy.verify(request.headers, body, clock.now())
            arrivals = _arrivals(strategy.read_callback(body), clock.now())
        except _TooLong:
            return Response(status_code=413)
        except BadSignature:
            log.warning("A call of the SMS gateway had no valid signature and was refused.")
            return Response(status_code=401)
        except NotUnderstood as error:
            log.error("A call of the SMS gateway could not be understood.\n%s", trace_of(error))
            return Response(status_code=400)
        return await _stored(intake, arrivals)

    return called


async def _stored(intake: Intake, arrivals: Sequence[NewArrival]) -> Response:
    """Put on disk, then say so; otherwise the gateway keeps it and calls again."""
    try:
        if arrivals:
            await intake.store(CHANNEL, arrivals)
    except Exception as error:  # noqa: BLE001 - the edge: whatever it was, the gateway must not think we have it
        log.error("A call of the SMS gateway could not be stored.\n%s", trace_of(error))
        return Response(status_code=503, headers={"Retry-After": "5"})
    return Response(status_code=200)


async def _whole(request: Request) -> bytes:
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_CALLBACK_BYTES:
            raise _TooLong
        parts.append(part)
    return b"".join(parts)


def _arrivals(bodies: Sequence[Body], at: datetime) -> list[NewArrival]:
    """What is to be stored. A sender that is no number (a shop's name) cannot be answered and is left out."""
    found = [arrival_of(body, at) for body in bodies]
    return [arrival for arrival in found if arrival is not None]
