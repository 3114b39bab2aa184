"""Who may pass where. Every address of the desk stands behind one of these, and an address without one is refused."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from bot.ops.roles import Role

Endpoint = Callable[[Request], Awaitable[Response]]

LOOKING, DOING = frozenset({"GET", "HEAD"}), frozenset({"POST"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """What it takes to use an address: a role (None: anybody), and how it is asked.

    at_most_bytes : of what is sent along
    """

    role: Role | None
    methods: frozenset[str]
    at_most_bytes: int = 0


class Gates:
    """The gate of every endpoint that was made with one."""

    def __init__(self) -> None:
        self._of: dict[Endpoint, Gate] = {}

    @property
    def most_bytes(self) -> int:
        """The largest body any address takes."""
        return max((gate.at_most_bytes for gate in self._of.values()), default=0)

    def put(self, endpoint: Endpoint, gate: Gate) -> Endpoint:
        """Note which gate an endpoint stands behind."""
        self._of[endpoint] = gate
        return endpoint

    def of(self, route: Route) -> Gate:
        """The gate of a route. Raises `TypeError` for one without, or one that answers to other ways of asking."""
        gate = self._of.get(route.endpoint)
        if gate is None:
            raise TypeError(f"{route.path} stands open: make its endpoint with desk.looks or desk.does.")
        if set(route.methods or ()) != gate.methods:
            raise TypeError(f"{route.path} answers to {route.methods}, and its gate to {sorted(gate.methods)}.")
        return gate

    def check(self, routes: Sequence[Route]) -> None:
        """Raise `TypeError` unless every route stands behind a gate."""
        for route in routes:
            self.of(route)
