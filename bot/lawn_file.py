"""One described lawn as a file: what `afterfrost assess` reads and writes. Field names carry units.

A lawn file becomes the same case a conversation would have made, so both get the same answer from the same code.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from bot.talk.case import (
    Answer,
    AnswerValue,
    AreaTold,
    Case,
    DayTold,
    LabelTold,
    NamesTold,
    NotSure,
    NumberTold,
    Picked,
    PickedMany,
    Place,
    PlacesTold,
    TemperatureTold,
)
from rules.evidence import sign_codes
from rules.facts.areas import LAWN_SQFT
from rules.grasses import GrassCode, cultivars_of
from rules.units import f_to_c

SITE_TRAITS = ("north_shade", "slope_north", "windy", "low_wet", "new_turf")


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class PlaceIn(_Strict):
    """Where the lawn is. Latitude decides dates; the state decides legal limits."""

    latitude: float = Field(ge=18, le=45, description="degrees north", examples=[31.2])
    longitude: float = Field(ge=-125, le=-60, description="degrees east (negative in the US)", examples=[-81.5])
    state: str = Field("", max_length=2, description="two letters, like GA", examples=["GA"])


class FreezeIn(_Strict):
    """What is known of the freeze. Leave out what is not known: the odds get wider."""

    coldest_on: date = Field(description="day of the worst cold, YYYY-MM-DD", examples=["2027-01-16"])
    air_min_f: float | None = Field(None, ge=-60, le=33.8, description="lowest air temperature, degrees F")
    air_min_give_or_take_f: float = Field(2, ge=0, le=20, description="how sure, as a standard deviation, degrees F")
    days_below_freezing: float | None = Field(None, ge=0, le=90, description="days with frost, counted together")
    snow_in: float | None = Field(None, ge=0, le=60, description="snow on the grass that night, inches")


class SpotIn(_Strict):
    """One part of the lawn that is judged by itself."""

    name: str = Field("", max_length=40, description="a short name; empty for a lawn that is all alike")
    signs: tuple[str, ...] = Field((), description=f"what is seen, any of: {', '.join(sign_codes())}")
    site: tuple[str, ...] = Field((), description=f"what it is like, any of: {', '.join(SITE_TRAITS)}")

    @model_validator(mode="after")
    def _known_codes(self) -> SpotIn:
        for field, given, known in (("signs", self.signs, sign_codes()), ("site", self.site, SITE_TRAITS)):
            wrong = sorted(set(given) - set(known))
            if wrong:
                raise ValueError(f"{field}: {wrong[0]!r} is not one of {', '.join(known)}")
        return self


class FertilizerIn(_Strict):
    """The bag at hand, as its label prints it. Percent of the product."""

    n_percent: float = Field(ge=0, le=100, description="first number on the bag, percent")
    p2o5_percent: float = Field(ge=0, le=100, description="second number, percent")
    k2o_percent: float = Field(ge=0, le=100, description="third number, percent")
    slow_n_percent: float | None = Field(
        None, ge=0, le=100, description="slow-release nitrogen, percent of the product"
    )

    @model_validator(mode="after")
    def _adds_up(self) -> FertilizerIn:
        total = self.n_percent + self.p2o5_percent + self.k2o_percent
        if not 0 < total <= 100:
            raise ValueError(f"the three numbers add up to {total:g} percent; allowed is more than 0 and at most 100")
        if self.slow_n_percent is not None and self.slow_n_percent > self.n_percent:
            raise ValueError(
                f"slow_n_percent is {self.slow_n_percent:g}; allowed is 0 to n_percent ({self.n_percent:g})"
            )
        return self


class DatesIn(_Strict):
    """Dates known from the place itself; they win over the table."""

    last_frost_on: date | None = Field(None, description="day from which frost is no longer expected")
    warm_soil_on: date | None = Field(None, description="first day of 65 F soil at 4 inches")


class LawnFile(_Strict):
    """One lawn after one freeze."""

    place: PlaceIn
    freeze: FreezeIn
    grass: Literal[
        "st_augustine", "bermuda", "zoysia", "centipede", "bahia", "buffalo", "seashore_paspalum", "carpetgrass"
    ] = Field(description="the warm-season grass")
    cultivar: str | None = Field(None, description="code of the cultivar, if known")
    spots: tuple[SpotIn, ...] = Field((SpotIn(),), min_length=1, max_length=6)
    mowing_height_in: float | None = Field(None, ge=0.5, le=8, description="height it is cut at, inches")
    notch_in: float | None = Field(None, ge=0.1, le=1.5, description="one step of the mower, inches")
    area_sqft: float | None = Field(None, ge=LAWN_SQFT.low, le=LAWN_SQFT.high, description="size, square feet")
    fertilizer: FertilizerIn | None = None
    planned_on: date | None = Field(None, description="day the plan starts; today when left out")
    dates: DatesIn = DatesIn()

    @model_validator(mode="after")
    def _cultivar_fits(self) -> LawnFile:
        known = [each.code for each in cultivars_of(GrassCode(self.grass))]
        if self.cultivar is not None and self.cultivar not in known:
            raise ValueError(f"cultivar: {self.cultivar!r} is not a {self.grass} cultivar; known: {', '.join(known)}")
        if len({spot.name for spot in self.spots}) != len(self.spots):
            raise ValueError("spots: every spot needs a name of its own")
        return self

    def case(self, today: date) -> Case:
        """The case a conversation with the same answers would have made."""
        at = datetime.combine(self.planned_on or today, time(12), tzinfo=UTC)
        rows = [*_freeze_answers(self), *_lawn_answers(self), *_spot_answers(self)]
        answers = tuple(
            Answer(question=question, spot=spot, value=value, words="", at=at) for question, spot, value in rows
        )
        return Case(number=1, opened_at=at, answers=answers, planned_on=self.planned_on or today)


Row = tuple[str, str, AnswerValue]


def _freeze_answers(lawn: LawnFile) -> list[Row]:
    freeze, place = lawn.freeze, lawn.place
    air: AnswerValue = NotSure()
    if freeze.air_min_f is not None:
        air = TemperatureTold(mean_c=f_to_c(freeze.air_min_f), sd_dc=freeze.air_min_give_or_take_f / 1.8)
    where = Place(
        name="",
        county="",
        state=place.state.upper(),
        zone="America/New_York",
        latitude=place.latitude,
        longitude=place.longitude,
    )
    return [
        ("place", "", PlacesTold(candidates=(where,))),
        ("coldest_on", "", DayTold(on=freeze.coldest_on)),
        ("air_min", "", air),
        ("days_cold", "", _number(freeze.days_below_freezing)),
        ("snow", "", _number(freeze.snow_in)),
    ]


def _lawn_answers(lawn: LawnFile) -> list[Row]:
    grass = f"{lawn.grass}/{lawn.cultivar}" if lawn.cultivar else lawn.grass
    rows: list[Row] = [
        ("grass", "", Picked(code=grass)),
        ("see", "", PickedMany(codes=lawn.spots[0].signs)),
        ("spots", "", NamesTold(names=tuple(spot.name for spot in lawn.spots))),
        ("mow_height", "", _number(lawn.mowing_height_in)),
        ("notch", "", _number(lawn.notch_in)),
    ]
    if lawn.area_sqft is not None:
        rows.append(("size", "", AreaTold(area_sqft=lawn.area_sqft)))
    if lawn.fertilizer is not None:
        rows.append(("bag", "", LabelTold(**lawn.fertilizer.model_dump())))
    return rows


def _spot_answers(lawn: LawnFile) -> list[Row]:
    rows: list[Row] = []
    for spot in lawn.spots:
        rows.append(("site", spot.name, PickedMany(codes=spot.site)))
        if spot.name:
            rows.append(("see_spot", spot.name, PickedMany(codes=spot.signs)))
    return rows


def _number(value: float | None) -> AnswerValue:
    return NotSure() if value is None else NumberTold(value=value)


EXAMPLE = LawnFile(
    place=PlaceIn(latitude=31.2, longitude=-81.5, state="GA"),
    freeze=FreezeIn(
        coldest_on=date(2027, 1, 16), air_min_f=17, air_min_give_or_take_f=2, days_below_freezing=4, snow_in=0
    ),
    grass="st_augustine",
    cultivar="raleigh",
    spots=(
        SpotIn(name="front", signs=("straw_blades", "firm_runners"), site=()),
        SpotIn(name="north side", signs=("limp_dark_blades", "slimy_runners"), site=("north_shade", "low_wet")),
    ),
    mowing_height_in=4,
    notch_in=0.5,
    area_sqft=2400,
    fertilizer=FertilizerIn(n_percent=15, p2o5_percent=0, k2o_percent=15, slow_n_percent=7),
    planned_on=date(2027, 1, 20),
)
