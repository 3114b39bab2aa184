"""The US weather service's warnings (GeoJSON of api.weather.gov) to the same `Alert` as CAP.

1. A feature is read by itself: a broken one is refused by its name and hides no other.
2. Warnings of cold mostly carry no geometry. They are for counties and forecast zones, which stand in `geocode`.
3. GeoJSON has longitude first. Of a polygon with holes the holes are not kept: rather one lawn too many is looked at.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import datetime

from pydantic import ValidationError
from pydantic_core import from_json

from bot.ops.alerts.alert import Alert, Area, Info, Moment, MsgType, Named, Point, Reference, Scope, Status, plain_text
from bot.ops.alerts.cap import CERTAINTIES, SEVERITIES, URGENCIES
from bot.ops.alerts.found import Found, Refusal
from bot.ops.alerts.pieces import MOST_AREAS, MOST_POINTS, TooFar, closed_ring, on_the_globe, one_of
from bot.ops.alerts.refused import AlertRefused
from bot.weather.live import national_bodies as bodies

MOST_BYTES = 5_000_000  # all warnings of the country on a bad day
MOST_FEATURES = 5_000


def read_national(data: bytes) -> Found:
    """The warnings of a FeatureCollection, or of a single Feature. Raises `AlertRefused` where it is neither."""
    if len(data) > MOST_BYTES:
        raise AlertRefused("too_large", f"The warnings are larger than {MOST_BYTES // 1_000_000} MB.")
    try:
        values = from_json(data, allow_inf_nan=False)
    except ValueError as error:  # nested too deeply, too, and what is no text
        raise AlertRefused("not_json", f"It is no JSON, or only a part of it ({plain_text(str(error))}).") from error
    kind = values.get("type") if isinstance(values, dict) else None
    features = [values] if kind == "Feature" else values.get("features") if kind == "FeatureCollection" else None
    if not isinstance(features, list):
        raise AlertRefused("not_alerts", "This is JSON, but no Feature or FeatureCollection.")
    if len(features) > MOST_FEATURES:
        raise AlertRefused("too_many", f"It holds more than {MOST_FEATURES} warnings.")
    return read_features(features)


def read_features(features: Iterable[object]) -> Found:
    """Every warning among some features, each once, and those that were refused."""
    alerts: dict[str, Alert] = {}
    refused: list[Refusal] = []
    for number, feature in enumerate(features, start=1):
        try:
            alert = read_feature(feature)
        except AlertRefused as error:
            refused.append(Refusal.of(_name_of(feature, number), error))
        else:
            alerts.setdefault(alert.digest, alert)
    return Found(alerts=tuple(alerts.values()), refused=tuple(refused))


def read_feature(feature: object) -> Alert:
    """One warning. Raises `AlertRefused`."""
    try:
        form = bodies.AlertFeature.model_validate(feature, strict=False)
    except ValidationError as error:
        raise _refusal_of(error) from error
    try:
        return _alert(form)
    except TooFar as error:
        raise AlertRefused("bad_area", f"An area cannot be used: {error}.") from error
    except ValueError as error:
        raise AlertRefused("bad_time", f"A time lies beyond the calendar: {error}.") from error


def _alert(form: bodies.AlertFeature) -> Alert:
    facts = form.properties
    if not (facts.id.strip() and facts.event.strip()):
        raise AlertRefused(f"missing:{'event' if facts.id.strip() else 'id'}", "A warning has neither name nor number.")
    return Alert(
        identifier=plain_text(facts.id),
        sender=plain_text(facts.sender),
        sent=Moment.of(facts.sent_at),
        status=Status(one_of(facts.status.capitalize(), frozenset(Status), "status")),
        msg_type=MsgType(one_of(facts.kind.capitalize(), frozenset(MsgType), "messageType")),
        scope=Scope(one_of(facts.scope.capitalize(), frozenset(Scope), "scope")),
        note=plain_text(facts.note or ""),
        references=tuple(_reference(each) for each in facts.references if each.identifier),
        infos=(_info(facts, form.geometry),),
    )


def _info(facts: bodies.AlertFacts, geometry: Mapping[str, object] | None) -> Info:
    return Info(
        event=plain_text(facts.event),
        language=plain_text(facts.language),
        categories=(plain_text(facts.category),),
        responses=(plain_text(facts.response),) if facts.response else (),
        urgency=one_of(facts.urgency, URGENCIES, "urgency"),
        severity=one_of(facts.severity, SEVERITIES, "severity"),
        certainty=one_of(facts.certainty, CERTAINTIES, "certainty"),
        event_codes=_named(facts.event_codes),
        effective=_moment(facts.effective_at),
        onset=_moment(facts.onset_at),
        expires=_moment(facts.expires_at),
        ends=_moment(facts.ends_at),
        sender_name=plain_text(facts.sender_name),
        headline=plain_text(facts.headline or ""),
        description=plain_text(facts.description or ""),
        instruction=plain_text(facts.instruction or ""),
        web=plain_text(facts.web or ""),
        parameters=_named(facts.parameters),
        areas=(Area(about=plain_text(facts.area), polygons=_polygons(geometry), geocodes=_named(facts.geocode)),),
    )


def _moment(at: datetime | None) -> Moment | None:
    return None if at is None else Moment.of(at)


def _named(lists: Mapping[str, tuple[str, ...]]) -> tuple[Named, ...]:
    return tuple(
        Named(name=plain_text(name), value=plain_text(value)) for name, values in lists.items() for value in values
    )


def _reference(told: bodies.Reference) -> Reference:
    return Reference(
        identifier=plain_text(told.identifier),
        sender=plain_text(told.sender),
        sent=_moment(told.sent_at),
    )


def _polygons(geometry: Mapping[str, object] | None) -> tuple[tuple[Point, ...], ...]:
    if geometry is None:
        return ()
    kind, coordinates = geometry.get("type"), geometry.get("coordinates")
    if kind not in ("Polygon", "MultiPolygon"):
        raise TooFar("its geometry is neither a Polygon nor a MultiPolygon")
    polygons = [coordinates] if kind == "Polygon" else _list(coordinates)
    if len(polygons) > MOST_AREAS:
        raise TooFar(f"it has more than {MOST_AREAS} polygons")
    return tuple(_outline(_list(each)) for each in polygons)


def _outline(rings: list[object]) -> tuple[Point, ...]:
    if not rings:
        raise TooFar("a polygon has no outline")
    points = _list(rings[0])
    if len(points) > MOST_POINTS:
        raise TooFar(f"a polygon has more than {MOST_POINTS} points")
    return closed_ring(_point(each) for each in points)


def _point(raw: object) -> Point:
    position = _list(raw)
    if len(position) < 2:
        raise TooFar("a point has fewer than two numbers")
    longitude, latitude = _number(position[0]), _number(position[1])
    return on_the_globe(latitude, longitude)


def _number(raw: object) -> float:
    if isinstance(raw, bool) or not isinstance(raw, (int, float)):
        raise TooFar("a point holds something else than numbers")
    try:
        return float(raw)
    except OverflowError as error:
        raise TooFar("a point is not on the globe") from error


def _list(raw: object) -> list[object]:
    if not isinstance(raw, list):
        raise TooFar("something else stands where a list of points is wanted")
    return raw


def _refusal_of(error: ValidationError) -> AlertRefused:
    """The first thing that does not fit, by the service's own name of it."""
    fault = error.errors(include_url=False, include_input=False)[0]
    name = plain_text(str(next((step for step in reversed(fault["loc"]) if isinstance(step, str)), "properties")))[:40]
    if fault["type"] == "missing":
        return AlertRefused(f"missing:{name}", f"A warning has no {name}.")
    if fault["type"].startswith(("datetime", "timezone")):
        return AlertRefused("bad_time", f"{name} is no time with an offset.")
    return AlertRefused(f"bad_value:{name}", f"{name} holds something we cannot read ({plain_text(fault['msg'])}).")


def _name_of(feature: object, number: int) -> str:
    """What to call a feature that was refused."""
    properties = feature.get("properties") if isinstance(feature, dict) else None
    told = properties.get("id") if isinstance(properties, dict) else None
    return plain_text(told)[:100] if isinstance(told, str) and told.strip() else f"warning {number}"
