"""The secret in an operator's browser, and the mark that ties a form to it.

1. Before somebody signs in the browser holds a secret that opens nothing: it only ties the sign-in form to it.
2. Signing in gives a new secret, so that one which somebody else planted before is worth nothing.
3. Behind https the name begins with `__Host-`: a browser then takes it from this very host only. It goes with no
   request that begins on another site.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets

from starlette.requests import Request
from starlette.responses import Response

NAME = "afterfrost-desk"
_SECRET = re.compile(r"[A-Za-z0-9_-]{43}")


def new_secret() -> str:
    """256 bits of chance."""
    return secrets.token_urlsafe(32)


def is_secret(text: str) -> bool:
    """Whether text has the form of a secret."""
    return _SECRET.fullmatch(text) is not None


def secret_in(request: Request) -> str | None:
    """The secret a browser brings along, if it has the form of one."""
    found = request.cookies.get(_name_for(request), "")
    return found if is_secret(found) else None


def give_secret(response: Response, request: Request, secret: str) -> None:
    """Let the browser keep it until it is closed, out of reach of scripts and of other sites."""
    response.set_cookie(
        _name_for(request), secret, path="/", httponly=True, samesite="strict", secure=_is_https(request)
    )


def take_secret(response: Response, request: Request) -> None:
    """Let the browser forget it."""
    response.delete_cookie(_name_for(request), path="/", httponly=True, samesite="strict", secure=_is_https(request))


def mark_for(secret: str) -> str:
    """What every form in this browser carries. No other site can make it, and it tells nothing of the secret."""
    return hmac.new(secret.encode("ascii"), b"desk form", hashlib.sha256).hexdigest()[:32]


def is_own_mark(secret: str, mark: object) -> bool:
    """Whether a form came from a page this browser was given."""
    given = mark if isinstance(mark, str) else ""
    return hmac.compare_digest(mark_for(secret).encode(), given.encode("utf-8", "replace"))


def _is_https(request: Request) -> bool:
    return request.url.scheme == "https"


def _name_for(request: Request) -> str:
    return f"__Host-{NAME}" if _is_https(request) else NAME
