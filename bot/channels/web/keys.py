"""Who is there: a secret key in the browser and in the private link. We only ever keep its digest.

1. The key is 256 bits of chance. Whoever has it is the homeowner: there is no account.
2. What is stored as the address is the key's SHA-256, so nobody who reads the database can come in by it.
3. A form carries a second digest of the key. It ties a page to its homeowner, and no other site can make it.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets

from starlette.requests import Request
from starlette.responses import Response

COOKIE = "afterfrost"
COOKIE_SECONDS = 400 * 24 * 3600  # the longest that browsers allow; renewed at every visit
_KEY = re.compile(r"[A-Za-z0-9_-]{43}")


def new_key() -> str:
    """A key nobody can guess."""
    return secrets.token_urlsafe(32)


def is_key(text: str) -> bool:
    """Whether text has the form of a key."""
    return _KEY.fullmatch(text) is not None


def address_of(key: str) -> str:
    """What the store knows a key's owner by."""
    return hashlib.sha256(key.encode("ascii")).hexdigest()


def form_mark(key: str) -> str:
    """What every form of this owner's page carries."""
    return hmac.new(key.encode("ascii"), b"form", hashlib.sha256).hexdigest()[:32]


def is_own_mark(key: str, mark: str) -> bool:
    """Whether a form came from a page of this owner."""
    return hmac.compare_digest(form_mark(key).encode(), mark.encode("utf-8", "replace"))


def key_in(request: Request) -> str | None:
    """The key a browser brings along, if it has the form of one."""
    key = request.cookies.get(COOKIE, "")
    return key if is_key(key) else None


def give_key(response: Response, request: Request, key: str) -> None:
    """Let the browser keep the key, out of reach of scripts and of forms on other sites."""
    response.set_cookie(
        COOKIE,
        key,
        max_age=COOKIE_SECONDS,
        httponly=True,
        samesite="lax",
        secure=request.url.scheme == "https",
    )


def take_key(response: Response) -> None:
    """Let the browser forget the key."""
    response.delete_cookie(COOKIE, httponly=True, samesite="lax")
