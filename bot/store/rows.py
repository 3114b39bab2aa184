"""Stored documents: homeowners, what came in, and rendered messages, as JSON text and back.

1. A stored field that today's types do not know is an error, never dropped in silence.
2. What `dump_homeowner` returns can be loaded again: it is read back before it is handed out, because a homeowner who
   cannot be loaded is a chat that is stuck for good.
3. A document of an older version goes through the upgrade before it is read as today's type.

The adapters are built at first use, or before it with `build_adapters`; building them costs tens of milliseconds.
"""

from __future__ import annotations

import json
from dataclasses import fields, is_dataclass
from functools import cache
from types import ModuleType
from typing import Annotated

from pydantic import ConfigDict, Field, TypeAdapter, ValidationError
from pydantic_core import PydanticSerializationError

from bot.errors import StoreError
from bot.talk import case, chart, cover, cover_chart, incoming, ports
from bot.talk.case import CASE_VERSION, Answer, AnswerValue, Homeowner
from bot.talk.incoming import Incoming
from bot.talk.ports import Rendered, Upgrade


@cache
def _homeowners() -> TypeAdapter[Homeowner]:
    _forbid_unknown_fields(case)
    _forbid_unknown_fields(cover)
    _tell_answers_by_kind()
    return TypeAdapter(Homeowner)


@cache
def _incomings() -> TypeAdapter[Incoming]:
    _forbid_unknown_fields(incoming)
    return TypeAdapter(Annotated[Incoming, Field(discriminator="kind")])


@cache
def _rendereds() -> TypeAdapter[Rendered]:
    for module in (ports, chart, cover_chart):
        _forbid_unknown_fields(module)
    return TypeAdapter(Rendered)


def build_adapters() -> None:
    """Build everything now, so that the first homeowner does not wait for it; safe in another thread."""
    for adapter in (_homeowners, _incomings, _rendereds):
        adapter()


def _forbid_unknown_fields(module: ModuleType) -> None:
    """Set here and not in the modules themselves, so that the conversation stays free of pydantic."""
    for member in vars(module).values():
        if isinstance(member, type) and is_dataclass(member) and member.__module__ == module.__name__:
            member.__pydantic_config__ = ConfigDict(extra="forbid")  # type: ignore[attr-defined]


def _tell_answers_by_kind() -> None:
    """Without this every kind of answer is tried in turn: a big homeowner loads in 190 instead of 50 microseconds."""
    value = next(field for field in fields(Answer) if field.name == "value")
    value.type = Annotated[AnswerValue, Field(discriminator="kind")]


def dump_homeowner(homeowner: Homeowner) -> str:
    """A homeowner as text. Raises `StoreError` when it could not be loaded again (a wrong type, a NaN)."""
    try:
        written = _homeowners().dump_json(homeowner, warnings=False)  # a wrong type is an error when read back
        read_back = _homeowners().validate_json(written)
    except (ValidationError, PydanticSerializationError) as error:
        raise StoreError("A homeowner holds a value that could not be read back; it is not stored.") from error
    if read_back != homeowner:
        raise StoreError("A homeowner would not be the same after storing; it is not stored.")
    return written.decode()


def load_homeowner(text: str, upgrade: Upgrade) -> Homeowner:
    """A homeowner from text of this version or an older one. Raises `StoreError` when it cannot be read."""
    try:
        homeowner = _homeowners().validate_json(text)
    except ValidationError as error:
        return _load_older(text, upgrade, error)
    return homeowner if homeowner.version == CASE_VERSION else _load_older(text, upgrade, None)


def _load_older(text: str, upgrade: Upgrade, cause: ValidationError | None) -> Homeowner:
    stored = json.loads(text)
    version = stored.get("version") if isinstance(stored, dict) else None
    if not isinstance(version, int) or version == CASE_VERSION:
        raise StoreError("A stored homeowner does not fit today's types.") from cause
    if version > CASE_VERSION:
        raise StoreError(f"A stored homeowner is of version {version}; this Afterfrost knows up to {CASE_VERSION}.")
    try:
        return _homeowners().validate_json(json.dumps(upgrade(stored)))
    except ValidationError as error:
        raise StoreError(f"A stored homeowner of version {version} could not be brought up to date.") from error


def dump_incoming(came_in: Incoming) -> str:
    """What came in, as text."""
    return _incomings().dump_json(came_in).decode()


def load_incoming(text: str) -> Incoming:
    """What came in, from text. Raises `StoreError` when it cannot be read."""
    try:
        return _incomings().validate_json(text)
    except ValidationError as error:
        raise StoreError("A stored message does not fit today's types.") from error


def dump_rendered(rendered: Rendered) -> str:
    """A rendered message as text."""
    return _rendereds().dump_json(rendered).decode()


def load_rendered(text: str) -> Rendered:
    """A rendered message from text. Raises `StoreError` when it cannot be read."""
    try:
        return _rendereds().validate_json(text)
    except ValidationError as error:
        raise StoreError("A stored reply does not fit today's types.") from error
