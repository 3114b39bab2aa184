"""Where weather came from: what must be shown with it, and whether a thermometer stood there."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The origin of some weather.

    name : of the service or kind of file
    credit : the line that must be shown wherever the weather is; empty where nothing is asked for
    link : the address that belongs to the credit; empty where there is none
    is_measured : False for a reanalysis or a forecast: worked out for a grid cell, not read from a thermometer
    fetched_at : when it was last known to be right at its origin; None for a file
    note : what else must be known, such as that it is a kept copy
    """

    name: str
    credit: str
    link: str
    is_measured: bool
    fetched_at: datetime | None
    note: str = ""

    @property
    def credit_line(self) -> str:
        """The credit with its address, as it is shown; empty where nothing is asked for."""
        is_named = not self.credit or not self.link or self.link in self.credit
        return self.credit if is_named else f"{self.credit} {self.link}"
