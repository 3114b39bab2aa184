"""Whom to believe on the net: read once for all connections, since reading the list takes longer than most requests."""

from __future__ import annotations

import ssl
from functools import cache

import httpx


@cache
def trusted() -> ssl.SSLContext:
    """The authorities that the environment names (`SSL_CERT_FILE`, `SSL_CERT_DIR`), else the list that comes along."""
    return httpx.create_ssl_context()
