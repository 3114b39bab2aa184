"""Whether anything was ever said of a region. Apart from `local_rules.py`, since every start asks it: it reads no table
for operators.
"""

from __future__ import annotations

from sqlalchemy import text

from bot.store.database import Transaction

_ANY = text("SELECT 1 FROM local_rule LIMIT 1")


async def is_any_said(tx: Transaction) -> bool:
    """Whether there is, or was, a local rule."""
    return (await tx.execute(_ANY)).first() is not None
