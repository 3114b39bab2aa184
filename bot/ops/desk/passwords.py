"""Passwords as salted slow hashes.

scrypt comes with Python, so it needs no library that somebody must keep. The cost is one of those the OWASP Password
Storage Cheat Sheet lists as equally strong (N=2^15, r=8, p=3; from memory). It takes 32 MiB, where the first of that
list takes 128 MiB, so that a few people who sign in at once do not push a small machine into swapping. The cost stands
in the hash: a hash of another cost still works and is renewed at the next sign-in.
"""

from __future__ import annotations

import asyncio
import base64
import hashlib
import hmac
import secrets
import unicodedata
from dataclasses import dataclass

SALT_BYTES, HASH_BYTES = 16, 32
SHORTEST, LONGEST = 15, 200
"""Characters. 15 is what NIST SP 800-63B-4 (section 3.1.1.2) asks of a password that is all there is."""
FEWEST_DIFFERENT = 6  # common practice: "aaaaaaaaaaaaaaa" is long, too
AT_ONCE = 2
"""How many are worked out at the same time; more wait."""
_ROOM = 2  # OpenSSL's own bookkeeping comes on top of the 128 * N * r bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """What one hash costs: `n` steps of `r` blocks, `p` times."""

    n: int = 2**15
    r: int = 8
    p: int = 3


class Passwords:
    """Hashes and compares, beside the loop and a few at a time."""

    def __init__(self, cost: Cost | None = None) -> None:
        self._cost = cost or Cost()
        self._turns = asyncio.Semaphore(AT_ONCE)
        self._nobodys = _packed(self._cost, secrets.token_bytes(SALT_BYTES), secrets.token_bytes(HASH_BYTES))
        self.worked_out = 0

    async def hashed(self, password: str) -> str:
        """What is kept of a password."""
        salt = secrets.token_bytes(SALT_BYTES)
        return _packed(self._cost, salt, await self._work_out(password, salt, self._cost))

    async def is_right(self, password: str, kept: str | None) -> bool:
        """Whether it is the one that is kept. Where none is kept it takes as long, and is not."""
        cost, salt, wanted = _unpacked(kept or self._nobodys)
        found = await self._work_out(password, salt, cost)
        return hmac.compare_digest(found, wanted) and kept is not None

    def is_of_today(self, kept: str) -> bool:
        """Whether a hash has today's cost."""
        return _unpacked(kept)[0] == self._cost

    async def _work_out(self, password: str, salt: bytes, cost: Cost) -> bytes:
        async with self._turns:
            self.worked_out += 1
            return await asyncio.to_thread(_hash, password, salt, cost)


def is_fit(password: str, name: str) -> bool:
    """Whether a password may be chosen: long enough, not one sign over and over, not mostly one's own name."""
    plain = _plain(password)
    without_name = plain.casefold().replace(name.casefold(), "")
    return SHORTEST <= len(plain) <= LONGEST and len(set(without_name)) >= FEWEST_DIFFERENT


def _plain(password: str) -> str:
    """The same password from any keyboard: letters with marks can be typed in two ways."""
    return unicodedata.normalize("NFKC", password)


def _hash(password: str, salt: bytes, cost: Cost) -> bytes:
    typed = _plain(password).encode("utf-8", "replace")
    room = _ROOM * 128 * cost.r * (cost.n + cost.p)
    return hashlib.scrypt(typed, salt=salt, n=cost.n, r=cost.r, p=cost.p, maxmem=room, dklen=HASH_BYTES)


def _packed(cost: Cost, salt: bytes, found: bytes) -> str:
    told = (base64.b64encode(part).decode("ascii") for part in (salt, found))
    return "$".join(("scrypt", str(cost.n), str(cost.r), str(cost.p), *told))


def _unpacked(kept: str) -> tuple[Cost, bytes, bytes]:
    _, n, r, p, salt, found = kept.split("$")
    return Cost(n=int(n), r=int(r), p=int(p)), base64.b64decode(salt), base64.b64decode(found)
