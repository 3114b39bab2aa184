"""`afterfrost alert`: official alerts read, and made into drafts of advisories. Nothing is sent by it.

Works while the service runs, and without it; see `bot/store/beside.py`.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING, Any

import click

from bot.commands.alert_watch import sources, taken_lines, watch
from bot.commands.telling import data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.ops.alerts.alert import Alert
    from bot.ops.alerts.found import Found
    from bot.ops.alerts.keeping import Alerts, Taken
    from bot.settings import Settings
    from bot.store.store import Store

REFUSED = 1
"""Exit code when something could not be read."""
LISTED = 50


@click.group()
def alert() -> None:
    """Read official alerts (OASIS CAP 1.2, or GeoJSON of the US weather service) and draft advisories from them."""


alert.add_command(watch)
alert.add_command(sources)


@alert.command()
@click.argument("source", metavar="FILE|FOLDER|URL")
@json_option
def read(source: str, as_json: bool) -> None:
    """Show what a file, a folder or an https address holds. Exit code 1: something in it was refused."""
    found = _found(settings_from_environment(), source)
    if as_json:
        shown = {"alerts": [_plain(each) for each in found.alerts], "refused": _plain_refused(found)}
        click.echo(json.dumps(shown, ensure_ascii=False, indent=2))
    else:
        for each in found.alerts:
            click.echo("\n".join(_lines(each)) + "\n")
        _tell_refused(found)
        if not found.alerts and not found.refused:
            click.echo("There is no alert in it.")
    if found.refused:
        sys.exit(REFUSED)


@alert.command()
@click.argument("source", metavar="FILE|FOLDER|URL")
@click.option("--as", "acting", metavar="NAME", help="Who does it, for the record of who did what.")
@data_option
@json_option
def keep(source: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """Keep the alerts of a file, a folder or an address, each once, and draft what follows from them.

    A draft goes to nobody until a person approves it. Exit code 1: something was refused; the rest is kept.
    """
    settings = settings_from_environment(data=data)
    found = _found(settings, source)

    async def do(store: Store, alerts: Alerts) -> None:
        taken = await alerts.take(found.alerts, await _operator_id(store, acting))
        if as_json:
            shown = {"alerts": [_plain_taken(each) for each in taken], "refused": _plain_refused(found)}
            click.echo(json.dumps(shown, ensure_ascii=False, indent=2))
            return
        for each in taken:
            click.echo("\n".join(taken_lines(each, again=", kept before")))
        _tell_refused(found)

    _with_alerts(settings, do)
    if found.refused:
        sys.exit(REFUSED)


@alert.command()
@click.argument("place")
@click.option("--region", "name", required=True, help="The region the draft would go to (see region list).")
@click.option("--as", "acting", metavar="NAME", help="Who does it, for the record of who did what.")
@data_option
@json_option
def ahead(place: str, name: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """Look at the forecast for a PLACE in a region, and draft if it is cold enough to hurt some grass there.

    Official alerts of frost stop after the growing season; our own estimate does not. The forecast is of the US
    National Weather Service, which wants a contact in AFTERFROST_WEATHER_CONTACT. Once for each spell of cold.
    """
    settings = settings_from_environment(data=data, weather="national")

    async def do(store: Store, alerts: Alerts) -> None:
        taken = await _look(settings, store, place, name, await _operator_id(store, acting))
        if as_json:
            click.echo(json.dumps(_plain_taken(taken) if taken else None, ensure_ascii=False, indent=2))
        elif taken is None:
            click.echo("No grass is at risk in the days ahead, or this spell of cold was drafted for already.")
        else:
            click.echo("\n".join(taken_lines(taken)))

    _with_alerts(settings, do)


@alert.command(name="list")
@data_option
@json_option
def list_(data: str | None, as_json: bool) -> None:
    """List the alerts kept lately, newest first, and what became of each."""

    async def do(store: Store, alerts: Alerts) -> None:
        kept = await alerts.latest(LISTED)
        if as_json:
            click.echo(json.dumps([_plain_taken(each) for each in kept], ensure_ascii=False, indent=2))
            return
        for each in kept:
            click.echo("\n".join(taken_lines(each)))
        if not kept:
            click.echo("No alert is kept yet. To read some: alert keep https://api.weather.gov/alerts/active?area=GA")

    _with_alerts(settings_from_environment(data=data), do)


def _found(settings: Settings, source: str) -> Found:
    import asyncio

    from bot.ops.alerts.found import Found, Refusal
    from bot.ops.alerts.refused import AlertRefused
    from bot.ops.alerts.sources import read_any

    try:
        return asyncio.run(read_any(source, settings.weather_contact))
    except AlertRefused as error:
        return Found(refused=(Refusal.of(source, error),))


def _with_alerts(settings: Settings, do: Callable[[Store, Alerts], Awaitable[None]]) -> None:
    from bot.ops.advisories.drafts import Advisories
    from bot.ops.alerts.keeping import Alerts
    from bot.store.beside import beside
    from bot.wiring import clock_for
    from bot.words import Words

    async def within() -> None:
        clock = clock_for(settings)
        async with beside(settings.data) as store:
            await do(store, Alerts(store.database, Advisories(store.database, clock), Words(), clock))

    run(within())


async def _look(settings: Settings, store: Store, place: str, name: str, by: int | None) -> Taken | None:
    """Our own estimate for a region, by the forecast at one place in it."""
    from bot.commands.weather_jobs import standard_offset_hours
    from bot.commands.weather_shelf import where_is
    from bot.ops.advisories.drafts import Advisories
    from bot.ops.alerts.outlook import forecasts, outlook
    from bot.ops.alerts.spots import Spot
    from bot.ops.alerts.watching import Watched, Watching
    from bot.ops.regions.book import RegionBook
    from bot.weather.fetching import require_ready
    from bot.wiring import clock_for
    from bot.words import Words

    require_ready(settings)
    clock = clock_for(settings)
    region, where = await RegionBook(store.database, clock).named(name), where_is(place)
    async with forecasts(settings, clock, standard_offset_hours)() as live:
        spot = Spot(name=where.name, latitude=where.latitude, longitude=where.longitude)
        forecast = (await outlook(live, [spot], clock)).forecast
    watched = Watched(id=region.id, name=region.name, shape=region.shape, latitude=where.latitude)
    watching = Watching(store.database, Advisories(store.database, clock), Words(), clock)
    return await watching.look(watched, forecast, by)


async def _operator_id(store: Store, name: str | None) -> int | None:
    from bot.commands.acting import acting_operator
    from bot.ops.roles import Role

    by = await acting_operator(store, name, Role.ADVISOR, "may not write drafts.")
    return None if by is None else by.id


def _lines(each: Alert) -> list[str]:
    """One alert for a person."""
    from bot.ops.alerts.meaning import drill, product_of, when_of
    from bot.ops.alerts.reach import names_of, reach_of

    told, when, reach, why = each.told, when_of(each), reach_of(each.areas), drill(each)
    product = product_of(each)
    lines = [f"{told.event if told else each.msg_type} ({each.msg_type}, sent {_shown(each.sent.local)})"]
    lines.append(f"  for: {names_of(each.areas) or 'no area is named'}")
    if told is not None:
        ends = f" to {_shown(when.ends.local)}" if when.ends else ", no end is told"
        lines.append(f"  when: {_shown(when.begins.local)}{ends}")
    lines.append(f"  reaches: {_reached(each)}")
    if reach.left:
        lines.append(f"  could not be used: {', '.join(reach.left)}")
    lines.append(f"  to us: {_meant(each) if product else 'other weather'}")
    if why is not None:
        lines.append(f"  leads to nothing: it is {why}")
    return lines


def _meant(each: Alert) -> str:
    from bot.ops.alerts.meaning import product_of

    product = product_of(each)
    return "other weather" if product is None else str(product.cold)


def _reached(each: Alert) -> str:
    from bot.ops.alerts.reach import reach_of

    reach = reach_of(each.areas)
    if reach.shape is None:
        return "no place we know"
    shape = reach.shape
    parts = [(len(shape.polygons), "drawn area"), (len(shape.circles), "circle"), (len(shape.all_counties), "county")]
    told = [f"{count} {name}" if count == 1 else f"{count} {_several(name)}" for count, name in parts if count]
    if shape.all_states:
        told.append("all of " + ", ".join(sorted(shape.all_states)))
    return ", ".join(told) + (" (a forecast zone: narrow it)" if reach.is_wide else "")


def _several(name: str) -> str:
    return "counties" if name == "county" else f"{name}s"


def _shown(at: Any) -> str:
    return f"{at:%a %Y-%m-%d %H:%M %z}"


def _tell_refused(found: Found) -> None:
    for each in found.refused:
        click.echo(click.style(f"{each.name}: {each.sentence} [{each.reason}]", fg="red"), err=True)


def _plain_refused(found: Found) -> list[dict[str, str]]:
    return [{"name": each.name, "reason": each.reason, "sentence": each.sentence} for each in found.refused]


def _plain_taken(each: Taken) -> dict[str, object]:
    return {
        "id": each.id,
        "outcome": each.outcome,
        "is_new": each.is_new,
        "advisory": each.advisory_id,
        "notes": list(each.notes),
        "alert": _plain(each.alert),
    }


def _plain(each: Alert) -> dict[str, object]:
    """All of an alert, with what it means to us."""
    from bot.ops.alerts.meaning import drill, when_of
    from bot.ops.alerts.reach import reach_of
    from bot.ops.alerts.stored import dump_alert
    from bot.ops.regions.shapes import plain_shape

    reach, when, why = reach_of(each.areas), when_of(each), drill(each)
    whole: dict[str, object] = json.loads(dump_alert(each))
    return whole | {
        "cold": _meant(each),
        "begins": when.begins.local.isoformat(),
        "ends": when.ends.local.isoformat() if when.ends else None,
        "reaches": plain_shape(reach.shape) if reach.shape is not None else None,
        "is_wide": reach.is_wide,
        "could_not_be_used": list(reach.left),
        "leads_to_nothing": why,
    }
