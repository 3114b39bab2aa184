"""Signatures on what gateways and we tell each other over HTTP.

1. They are made over the bytes as they travelled, never over what was read from them.
2. Several secrets are accepted at a time, so that one can follow the other without a gap; we sign with the first.
3. What is compared is compared in constant time, and a reason never tells what would have been right.
4. The instant is given from outside; a call five minutes off it is refused. A scheme without a time of its own cannot
   tell an old call from a new one: there only the id, dropped when it comes again, protects.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Literal, Protocol

TOLERANCE = timedelta(minutes=5)
_PREFIX = "whsec_"
_VERSION = "v1"


class BadSignature(Exception):
    """This was not signed by whom we expect, or too long ago. `reason` may go into a log."""

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.reason = reason


class Verifier(Protocol):
    """How one kind of gateway proves that it is the gateway."""

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> str:
        """The id by which a repeat of this call is known. Raises `BadSignature`."""
        ...


class StandardWebhooks:
    """The open Standard Webhooks specification, its symmetric scheme: HMAC-SHA256 over `id.timestamp.body`."""

    def __init__(self, secrets: Sequence[str]) -> None:
        if not secrets:
            raise ValueError("At least one secret is needed to sign and to check signatures.")
        self._keys = [_key(secret) for secret in secrets]

    def sign(self, message_id: str, now: datetime, body: bytes) -> dict[str, str]:
        """The headers that go with a body."""
        timestamp = str(int(now.timestamp()))
        signature = base64.b64encode(_standard_digest(self._keys[0], message_id, timestamp, body)).decode()
        return {
            "webhook-id": message_id,
            "webhook-timestamp": timestamp,
            "webhook-signature": f"{_VERSION},{signature}",
        }

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> str:
        """See `Verifier`."""
        message_id = _header(headers, "webhook-id")
        timestamp = _header(headers, "webhook-timestamp")
        given = _signatures(_header(headers, "webhook-signature"))
        _require_recent(timestamp, now)
        wanted = [_standard_digest(key, message_id, timestamp, body) for key in self._keys]
        if not any(hmac.compare_digest(one, other) for one in wanted for other in given):
            raise BadSignature("no signature fits")
        return message_id


class SharedHmac:
    """A plain HMAC in one header, for gateways with a way of their own.

    url : our own address, where the gateway signs it in front of the body
    id_field : the field of a JSON body that names the call; without it the body's digest does
    """

    def __init__(
        self,
        *,
        key: bytes,
        header: str,
        algorithm: Literal["sha256", "sha1"] = "sha256",
        encoding: Literal["hex", "base64"] = "hex",
        url: str = "",
        id_field: str | None = None,
    ) -> None:
        if not key:
            raise ValueError("A shared key is needed to sign and to check signatures.")
        self._key, self._header, self._url, self._id_field = key, header, url, id_field
        self._algorithm, self._encoding = algorithm, encoding

    def sign(self, body: bytes) -> dict[str, str]:
        """The header that goes with a body."""
        digest = hmac.new(self._key, self._url.encode() + body, self._algorithm).digest()
        return {self._header: digest.hex() if self._encoding == "hex" else base64.b64encode(digest).decode()}

    def verify(self, headers: Mapping[str, str], body: bytes, now: datetime) -> str:
        """See `Verifier`. There is no time in it: see rule 4."""
        given = _header(headers, self._header).removeprefix(f"{self._algorithm}=")
        if self._encoding == "hex":
            given = given.lower()
        if not hmac.compare_digest(self.sign(body)[self._header].encode(), given.encode("utf-8", "replace")):
            raise BadSignature("the signature does not fit")
        return self._id_of(body)

    def _id_of(self, body: bytes) -> str:
        if self._id_field is None:
            return hashlib.sha256(body).hexdigest()
        try:
            told = json.loads(body)
        except (ValueError, RecursionError) as error:
            raise BadSignature("the body that should hold the id is no JSON") from error
        value = told.get(self._id_field) if isinstance(told, dict) else None
        if not isinstance(value, str | int) or value == "":
            raise BadSignature("the body holds no id")
        return str(value)


def _key(secret: str) -> bytes:
    """The key in a `whsec_` secret."""
    coded = secret.strip().removeprefix(_PREFIX)
    try:
        key = base64.b64decode(coded + "=" * (-len(coded) % 4), validate=True)
    except ValueError as error:
        raise ValueError(f"A signing secret should be {_PREFIX} and then base64.") from error
    if not key:
        raise ValueError("A signing secret is empty.")
    return key


def _standard_digest(key: bytes, message_id: str, timestamp: str, body: bytes) -> bytes:
    signed = f"{message_id}.{timestamp}.".encode("utf-8", "surrogatepass") + body
    return hmac.new(key, signed, hashlib.sha256).digest()


def _header(headers: Mapping[str, str], name: str) -> str:
    """A header that has to be there, whatever its case."""
    for given, value in headers.items():
        if given.lower() == name.lower() and value.strip():
            return value.strip()
    raise BadSignature(f"the header {name} is missing")


def _signatures(header: str) -> list[bytes]:
    """The signatures of the version we know; others are for other readers."""
    known = [given.removeprefix(f"{_VERSION},") for given in header.split() if given.startswith(f"{_VERSION},")]
    if not known:
        raise BadSignature(f"no signature of version {_VERSION}")
    return [found for one in known if (found := _decoded(one)) is not None]


def _decoded(signature: str) -> bytes | None:
    """The bytes of a signature; None where it is not written the one way base64 writes them."""
    try:
        found = base64.b64decode(signature, validate=True)
    except ValueError:
        return None
    return found if base64.b64encode(found).decode() == signature else None


def _require_recent(timestamp: str, now: datetime) -> None:
    if not (timestamp.isascii() and timestamp.isdigit()):
        raise BadSignature("the timestamp is no number of seconds")
    try:
        signed_at = datetime.fromtimestamp(int(timestamp), UTC)
    except (ValueError, OverflowError, OSError) as error:
        raise BadSignature("the timestamp is no number of seconds") from error
    if signed_at < now - TOLERANCE:
        raise BadSignature("signed too long ago")
    if signed_at > now + TOLERANCE:
        raise BadSignature("signed in the future")
