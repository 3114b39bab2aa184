"""Alerts as JSON text and back, strictly."""

from __future__ import annotations

from dataclasses import is_dataclass
from functools import cache

from pydantic import ConfigDict, TypeAdapter, ValidationError

from bot.errors import StoreError
from bot.ops.alerts import alert as model
from bot.ops.alerts.alert import Alert


@cache
def _alerts() -> TypeAdapter[Alert]:
    for member in vars(model).values():
        if isinstance(member, type) and is_dataclass(member):
            member.__pydantic_config__ = ConfigDict(extra="forbid")  # type: ignore[attr-defined]
    return TypeAdapter(Alert)


def dump_alert(alert: Alert) -> str:
    """All of an alert as text."""
    return _alerts().dump_json(alert).decode()


def load_alert(doc: str) -> Alert:
    """An alert from text. Raises `StoreError` when it cannot be read."""
    try:
        return _alerts().validate_json(doc)
    except ValidationError as error:
        raise StoreError("A stored alert does not fit today's types.") from error
