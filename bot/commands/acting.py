"""Who a command is done by: the operator named with `--as`, as believed as whoever sits at this machine."""

from __future__ import annotations

from bot.commands.telling import Told
from bot.ops.roles import Operator, Role
from bot.store import operators
from bot.store.store import Store


async def acting_operator(
    store: Store, name: str | None, role: Role = Role.READER, may_not: str = "may not do that. A keeper can change it."
) -> Operator | None:
    """An operator by name, who has at least this role; None where none is named. `may_not` is told of one without."""
    if name is None:
        return None
    async with store.database.read() as tx:
        found = await operators.by_name(tx, name)
    if found is None:
        raise Told(f'Nobody called {name} is let in. "afterfrost operator list" shows who is.')
    if not Role(found.role).may(role):
        raise Told(f"{found.name} {may_not}")
    return Operator(id=found.id, name=found.name, role=Role(found.role))
