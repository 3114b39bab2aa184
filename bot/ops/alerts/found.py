"""What reading gave: alerts, and what was refused, by name."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from bot.ops.alerts.alert import Alert
from bot.ops.alerts.refused import AlertRefused


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """One file or warning that could not be used, and why."""

    name: str
    reason: str
    sentence: str

    @classmethod
    def of(cls, name: str, error: AlertRefused) -> Refusal:
        """From the error."""
        return cls(name=name, reason=error.reason, sentence=str(error))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Alerts that could be read, and what could not."""

    alerts: tuple[Alert, ...] = ()
    refused: tuple[Refusal, ...] = ()

    def within(self, name: str) -> Found:
        """The same, its refusals told with the file they came from."""
        refused = tuple(replace(each, name=f"{name}: {each.name}") for each in self.refused)
        return replace(self, refused=refused)


def together(parts: Iterable[Found]) -> Found:
    """All of them: each alert once, in the order they were sent; refusals as they came."""
    alerts: dict[str, Alert] = {}
    refused: list[Refusal] = []
    for part in parts:
        refused += part.refused
        for alert in part.alerts:
            alerts.setdefault(alert.digest, alert)
    in_order = sorted(alerts.values(), key=lambda each: (each.sent.at, each.identifier))
    return Found(alerts=tuple(in_order), refused=tuple(refused))
