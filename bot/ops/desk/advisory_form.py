"""The form an advisory is written with: what stands in it, and what was meant by it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import reduce
from operator import or_

from starlette.datastructures import FormData

from bot.ops.advisories.advisory import AdvisoryRefused, NewAdvisory
from bot.ops.advisories.zones import moment, on_clock, zone_named
from bot.ops.regions.audience import Audience
from bot.ops.regions.book import Region
from bot.ops.regions.shapes import Shape
from rules.units import c_to_f, f_to_c

EVERYWHERE, AS_IT_IS, REGIONS = "everywhere", "as-it-is", "regions"
_MOMENT = "%Y-%m-%dT%H:%M"
_LONGEST = 2000  # of a field that is shown again, whatever was sent


@dataclass(frozen=True, slots=True, kw_only=True)
class AdvisoryForm:
    """What stands in the form, as typed. Temperatures are in degrees F, moments by the clock of `zone` ("": of those it
    is for).
    """

    name: str = ""
    words: str = ""
    where: str = REGIONS
    regions: frozenset[str] = frozenset()
    grasses: frozenset[str] = frozenset()
    stages: frozenset[str] = frozenset()
    channels: frozenset[str] = frozenset()
    soil_below: str = ""
    runners_below: str = ""
    is_pressing: bool = False
    due: str = ""
    useful_until: str = ""
    zone: str = ""
    after_id: int | None = None
    corrects: int | None = None
    kept: Audience = field(default_factory=Audience)  # of the draft that is changed: its area may stay

    @property
    def is_for_those_who_got(self) -> bool:
        """Whether who gets it is settled by another advisory."""
        return self.after_id is not None or self.corrects is not None


def form_of(content: NewAdvisory, zone: str | None) -> AdvisoryForm:
    """A draft as it stands in the form, its times by the clock of a zone."""
    audience = content.audience
    return AdvisoryForm(
        name=content.name,
        words=content.words,
        where=EVERYWHERE if audience.shape is None else AS_IT_IS,
        grasses=audience.grasses,
        stages=audience.stages,
        channels=audience.channels,
        soil_below=_fahrenheit(audience.soil_min_below_c),
        runners_below=_fahrenheit(audience.crown_min_below_c),
        is_pressing=content.is_pressing,
        due=_typed(content.due_at, zone),
        useful_until=_typed(content.useful_until, zone),
        zone=zone or "",
        after_id=content.after_id,
        corrects=content.corrects,
        kept=audience,
    )


def form_sent(form: FormData, kept: AdvisoryForm) -> AdvisoryForm:
    """What was sent; what no field holds (whom it follows or corrects, its area as it is) comes from `kept`."""

    def typed(name: str) -> str:
        value = form.get(name)
        return value.strip()[:_LONGEST] if isinstance(value, str) else ""

    def ticked(name: str) -> frozenset[str]:
        return frozenset(value for value in form.getlist(name) if isinstance(value, str))

    return AdvisoryForm(
        name=typed("name"),
        words=typed("words"),
        where=typed("where") or REGIONS,
        regions=ticked("region"),
        grasses=ticked("grass"),
        stages=ticked("stage"),
        channels=ticked("channel"),
        soil_below=typed("soil_below"),
        runners_below=typed("runners_below"),
        is_pressing=bool(typed("pressing")),
        due=typed("due"),
        useful_until=typed("useful_until"),
        zone=typed("zone"),
        after_id=kept.after_id,
        corrects=kept.corrects,
        kept=kept.kept,
    )


def content_of(form: AdvisoryForm, regions: Sequence[Region]) -> NewAdvisory:
    """What is meant by a form, but for its times. Raises `AdvisoryRefused` for what cannot be read."""
    return NewAdvisory(
        name=form.name,
        words=form.words,
        audience=_audience(form, {str(each.id): each.shape for each in regions}),
        is_pressing=form.is_pressing,
        after_id=form.after_id,
        corrects=form.corrects,
        zone=zone_named(form.zone) if form.zone else None,
    )


def with_times(content: NewAdvisory, form: AdvisoryForm, zone: str | None) -> NewAdvisory:
    """The same with its times, meant by the clock of a zone. Raises `AdvisoryRefused`."""
    due_at, useful_until = _moment(form.due, zone), _moment(form.useful_until, zone)
    return replace(content, due_at=due_at, useful_until=useful_until, zone=zone)


def _audience(form: AdvisoryForm, shapes: Mapping[str, Shape]) -> Audience:
    return Audience(
        shape=None if form.is_for_those_who_got else _shape(form, shapes),
        grasses=form.grasses,
        cultivars=form.kept.cultivars,
        stages=form.stages,
        channels=form.channels,
        languages=form.kept.languages,
        soil_min_below_c=_celsius(form.soil_below),
        crown_min_below_c=_celsius(form.runners_below),
        homeowner_ids=form.kept.homeowner_ids,
    )


def _shape(form: AdvisoryForm, shapes: Mapping[str, Shape]) -> Shape | None:
    if form.where == EVERYWHERE:
        return None
    if form.where == AS_IT_IS:
        return form.kept.shape
    chosen = [shape for region, shape in shapes.items() if region in form.regions]
    if not chosen:
        raise AdvisoryRefused("nowhere", "Choose a region, or say that it is for everywhere.")
    return reduce(or_, chosen)


def _celsius(typed: str) -> float | None:
    try:
        return f_to_c(float(typed)) if typed else None
    except ValueError as error:
        raise AdvisoryRefused("degrees", f"{typed[:20]!r} is no temperature. Type degrees F, like 30.") from error


def _fahrenheit(celsius: float | None) -> str:
    return "" if celsius is None else f"{c_to_f(celsius):.4g}"


def _moment(typed: str, zone: str | None) -> datetime | None:
    try:
        shown = datetime.strptime(typed, _MOMENT) if typed else None  # noqa: DTZ007 - as a clock shows it
    except ValueError as error:
        raise AdvisoryRefused("moment", f"{typed[:20]!r} is no day and time, like 2027-01-15T18:00.") from error
    return None if shown is None else moment(shown, zone)


def _typed(at: datetime | None, zone: str | None) -> str:
    return "" if at is None else on_clock(at, zone).strftime(_MOMENT)
