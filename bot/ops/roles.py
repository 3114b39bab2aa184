"""Who may do what. Each role may do everything the one before it may."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Role(StrEnum):
    """What an operator may do.

    reader : look at counts, the map, advisories and reports, and at no single lawn
    advisor : read and answer cases, write drafts
    approver : approve and send, draw regions, adopt what was learned
    keeper : let operators in and out, read who did what
    """

    READER = "reader"
    ADVISOR = "advisor"
    APPROVER = "approver"
    KEEPER = "keeper"

    def may(self, needed: Role) -> bool:
        """Whether this role may do what `needed` may."""
        order = list(Role)
        return order.index(self) >= order.index(needed)


@dataclass(frozen=True, slots=True, kw_only=True)
class Operator:
    """Somebody who works for the region, signed in."""

    id: int
    name: str
    role: Role
