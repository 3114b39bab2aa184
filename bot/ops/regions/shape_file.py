"""Shapes and audiences as JSON from outside: strict, with every refusal a `ShapeRefused`."""

from __future__ import annotations

from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from bot.ops.regions.geojson import polygons_of, values_in
from bot.ops.regions.refused import ShapeRefused
from bot.ops.regions.shapes import Circle, Shape

Model = TypeVar("Model", bound=BaseModel)


class Strict(BaseModel):
    """Unknown fields and wrong kinds of values are refused, numbers that are none too."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, allow_inf_nan=False)


class CircleIn(Strict):
    """A circle: degrees and kilometres."""

    latitude: float
    longitude: float
    km: float


class ShapeIn(Strict):
    """A shape as `shapes.plain_shape` writes it."""

    states: list[str] = Field(default_factory=list)
    counties: list[str] = Field(default_factory=list)
    zip_prefixes: list[str] = Field(default_factory=list)
    circles: list[CircleIn] = Field(default_factory=list)
    area: dict[str, Any] | None = Field(None, description="GeoJSON: Polygon, MultiPolygon, Feature, FeatureCollection")
    codes: list[str] = Field(default_factory=list)

    def made(self) -> Shape:
        """The shape it describes. Raises `ShapeRefused`."""
        return Shape(
            states=frozenset(self.states),
            counties=frozenset(self.counties),
            zip_prefixes=frozenset(self.zip_prefixes),
            circles=tuple(Circle(**each.model_dump()) for each in self.circles),
            polygons=() if self.area is None else polygons_of(self.area),
            codes=frozenset(self.codes),
        )


def read_shape(doc: str | bytes) -> Shape:
    """A shape from JSON text. Raises `ShapeRefused`."""
    return checked(ShapeIn, values_in(doc)).made()


def checked(model: type[Model], values: object) -> Model:
    """The values as the model, or `ShapeRefused` naming the first thing that is wrong."""
    try:
        return model.model_validate(values)
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(map(str, first["loc"])) or "it"
        raise ShapeRefused("bad_field", f"{where}: {first['msg']}") from error
