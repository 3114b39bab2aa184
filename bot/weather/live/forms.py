"""The base of every answer we read."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Latitude = Annotated[float, Field(ge=-90, le=90)]
Longitude = Annotated[float, Field(ge=-180, le=180)]


class Body(BaseModel):
    """No number from a text, no endless one; unknown fields are let by, since services add some now and then."""

    model_config = ConfigDict(extra="ignore", frozen=True, strict=True, allow_inf_nan=False)


class Pages(Body):
    """Where the next page is, if there is one."""

    next: str | None = None


class PagedForm(Body):
    """An answer that may be one page of several."""

    pagination: Pages | None = None
