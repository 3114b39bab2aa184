"""Links that carry who invited: a region's number, and a mark that only this installation can make.

The code is short enough for a QR code on a leaflet and for a Telegram deep link (64 signs of a small alphabet). It says
nothing about whoever comes by it, and leads to nobody's lawn.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from urllib.parse import urlencode

_CODE = re.compile(r"r(\d{1,9})-([a-z2-7]{8})")
_ALPHABET = "abcdefghijklmnopqrstuvwxyz234567"
_MARK_SIGNS = 8


def code_of(secret: bytes, region_id: int) -> str:
    """The code of a region's links."""
    return f"r{region_id}-{_mark(secret, region_id)}"


def region_of(secret: bytes, code: str) -> int | None:
    """Whose code it is; None for one that was not made here."""
    found = _CODE.fullmatch(code)
    if found is None:
        return None
    region_id = int(found[1])
    return region_id if hmac.compare_digest(_mark(secret, region_id), found[2]) else None


def web_link(public_url: str, code: str) -> str:
    """The chat page with a code."""
    return f"{public_url.rstrip('/')}/?{urlencode({'from': code})}"


def telegram_link(bot_name: str, code: str) -> str:
    """The Telegram chat with a code; `bot_name` is the bot's own name there."""
    return f"https://t.me/{bot_name.lstrip('@')}?{urlencode({'start': code})}"


def _mark(secret: bytes, region_id: int) -> str:
    digest = hmac.new(secret, f"invite {region_id}".encode(), hashlib.sha256).digest()
    return "".join(_ALPHABET[byte % len(_ALPHABET)] for byte in digest[:_MARK_SIGNS])
