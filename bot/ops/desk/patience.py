"""How long whoever tries passwords has to wait.

A few tries are free; after them each wait is twice the one before. Tries are counted for the name and for where they
come from, both known by a keyed digest only, and whether there is an operator of that name makes no difference. The
wait for a name stays short: otherwise anybody could keep an operator out by trying their name all day. (A one-time link
is not held up by it.)
"""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from bot.store import operators
from bot.store.database import Transaction, milliseconds
from bot.store.operators import digest_of_trace, folded

REMEMBERED = timedelta(hours=2)
FIRST_WAIT = timedelta(seconds=2)
NETWORK_BITS = 64
"""Of an IPv6 address: what one household or firm is given is tried from as one place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Patience:
    """How many tries cost nothing, and the longest wait after that. Expert judgement."""

    free: int
    longest: timedelta


FOR_A_NAME = Patience(free=5, longest=timedelta(minutes=2))
FOR_A_PLACE = Patience(free=20, longest=timedelta(minutes=15))  # an office shares one address


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """What is known of a try: digests of the name and of where it came from."""

    name: str
    place: str

    @property
    def limits(self) -> Mapping[str, Patience]:
        """What holds for each."""
        return {self.name: FOR_A_NAME, self.place: FOR_A_PLACE}


def trace_of_try(tx: Transaction, name: str, address: str) -> Trace:
    """The trace a try leaves."""
    return Trace(
        name=digest_of_trace(tx, "name", folded(name)), place=digest_of_trace(tx, "place", _network_of(address))
    )


async def take_a_try(tx: Transaction, trace: Trace, now: datetime) -> timedelta:
    """Count a try and return zero, or how long to wait before the next one is looked at.

    A try that comes too early is not counted: hammering does not make the wait longer, nor the table.
    """
    wait = await wait_left(tx, trace, now)
    if not wait:
        await operators.add_tries(tx, list(trace.limits), milliseconds(now))
    return wait


async def wait_left(tx: Transaction, trace: Trace, now: datetime) -> timedelta:
    """How long to wait before a try is looked at; zero where it may be made now."""
    found = await operators.tries(tx, list(trace.limits), milliseconds(now - REMEMBERED))
    waits = [_wait(found[digest], patience, now) for digest, patience in trace.limits.items()]
    return max(timedelta(0), *waits)


def _wait(tried_ms: Sequence[int], patience: Patience, now: datetime) -> timedelta:
    over = len(tried_ms) - patience.free
    if over < 0:
        return timedelta(0)
    doublings = min(over, 30)  # beyond that it is the longest in any case, and a huge number of milliseconds
    pause = min(FIRST_WAIT * 2.0**doublings, patience.longest)
    return pause - timedelta(milliseconds=milliseconds(now) - tried_ms[-1])


def _network_of(address: str) -> str:
    try:
        found = ipaddress.ip_address(address)
    except ValueError:
        return address
    if isinstance(found, ipaddress.IPv6Address):
        return str(ipaddress.ip_network((found, NETWORK_BITS), strict=False))
    return str(found)
