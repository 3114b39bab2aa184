"""Who is meant: a place and what the lawn there is like. JSON text and back, strictly.

All conditions must hold for one and the same lawn of a homeowner. An empty set means "any"; an estimate that is not
there never meets a condition about it.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, fields
from typing import Any

from bot.ops.regions.shapes import Shape, plain_shape


@dataclass(frozen=True, slots=True, kw_only=True)
class Audience:
    """Who is meant; empty sets mean "any".

    shape : where; None for everywhere, homes without a place included
    grasses, cultivars : codes of `rules`; stages : of `bot.talk.glance.Stage`
    channels : where a homeowner was last heard; languages : codes like "en"
    soil_min_below_c, crown_min_below_c : estimated, of the lawn's coldest spot [degC]
    homeowner_ids : only these (corrections and follow-ups); None for all
    """

    shape: Shape | None = None
    grasses: frozenset[str] = frozenset()
    cultivars: frozenset[str] = frozenset()
    stages: frozenset[str] = frozenset()
    channels: frozenset[str] = frozenset()
    languages: frozenset[str] = frozenset()
    soil_min_below_c: float | None = None
    crown_min_below_c: float | None = None
    homeowner_ids: frozenset[int] | None = None


def audience_doc(audience: Audience) -> str:
    """An audience as JSON text; the same audience gives the same text."""
    return json.dumps(plain_audience(audience), separators=(",", ":"))


def plain_audience(audience: Audience) -> dict[str, Any]:
    """An audience as plain values; what says nothing is left out."""
    plain: dict[str, Any] = {}
    for name in (field.name for field in fields(audience)):
        value = getattr(audience, name)
        if isinstance(value, Shape):
            plain[name] = plain_shape(value)
        elif isinstance(value, frozenset) and (value or name == "homeowner_ids"):  # no homeowner at all is not "any"
            plain[name] = sorted(value)
        elif value is not None and not isinstance(value, frozenset):
            plain[name] = value
    return plain


def audience_from(doc: str | bytes) -> Audience:
    """An audience from JSON text, strictly: what is not known, or cannot be used, raises `ShapeRefused`."""
    from bot.ops.regions.audience_file import read_audience  # pydantic: only where something comes from outside

    return read_audience(doc)
