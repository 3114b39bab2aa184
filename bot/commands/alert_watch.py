"""`afterfrost alert watch` and `alert sources`: one round of the watch by hand, and how what is watched stands.

The running service does the rounds by itself. A round by hand asks everybody at once, whatever their turn.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING

import click

from bot.commands.telling import Told, data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.ops.alerts.feeds import FeedRead
    from bot.ops.alerts.keeping import Taken
    from bot.ops.alerts.notes import RegionNote, SourceNote
    from bot.ops.alerts.round import Found
    from bot.settings import Settings

UNREAD = 1
"""Exit code when something could not be read."""
_OFF = "Forecasts are not watched. See afterfrost check."
_NOTHING = "No source of alerts is set. See AFTERFROST_ALERTS in afterfrost check."


@click.command()
@click.option("--once", is_flag=True, help="Do one round now, and show what it found.")
@data_option
@json_option
def watch(once: bool, data: str | None, as_json: bool) -> None:
    """Read every source of alerts and look at every region's forecast, once. At most drafts come of it.

    The running service does this by itself: alerts every few minutes, forecasts a few times a day. Exit code 1:
    something could not be read.
    """
    if not once:
        raise Told("The running service watches by itself. To do one round now: alert watch --once")
    found = _round(settings_from_environment(data=data))
    if as_json:
        click.echo(json.dumps(_plain_found(found), ensure_ascii=False, indent=2))
    else:
        _tell(found)
    is_unread = any(each.note.fault or each.note.unread for each in found.sources)
    if is_unread or any(each.fault for each in found.regions or ()):
        sys.exit(UNREAD)


def _tell(found: Found) -> None:
    for read in found.sources:
        click.echo("\n".join([_source_line(read.source, read.note), *_drafts_of(read)]))
    if not found.sources:
        click.echo(_NOTHING)
    for note in found.regions or ():
        click.echo(_region_line(note))
    if found.regions is None:
        click.echo(_OFF)
    elif not found.regions:
        click.echo('There is no region to look at. To draw one: "region add".')


@click.command()
@data_option
@json_option
def sources(data: str | None, as_json: bool) -> None:
    """List what is watched by itself: when each was last looked at, and what ailed it."""
    from bot.ops.alerts.feeds import key_of, shown_source
    from bot.ops.alerts.notes import read_notes
    from bot.ops.alerts.outlook import has_forecasts
    from bot.ops.alerts.round import watched_sources

    settings = settings_from_environment(data=data)
    notes = read_notes(settings.data)
    known = [(shown_source(each), notes.sources.get(key_of(each))) for each in watched_sources(settings)]
    regions = list(notes.regions.values()) if has_forecasts(settings) else None
    if as_json:
        shown = {
            "sources": [_plain_source(name, note) for name, note in known],
            "regions": None if regions is None else [each.model_dump(mode="json") for each in regions],
        }
        click.echo(json.dumps(shown, ensure_ascii=False, indent=2))
        return
    lines = [_source_line(name, note) for name, note in known] or [_NOTHING]
    lines += [_OFF] if regions is None else map(_region_line, regions)
    click.echo("\n".join(lines))


def _round(settings: Settings) -> Found:
    from bot.commands.weather_jobs import standard_offset_hours
    from bot.conversation import GAZETTEER
    from bot.ops.alerts.round import Surroundings, Watch, way_to_forecasts
    from bot.store.beside import beside
    from bot.weather.fetching import require_ready
    from bot.wiring import clock_for
    from bot.words import Words

    found: list[Found] = []

    async def within() -> None:
        require_ready(settings)
        clock = clock_for(settings)
        async with beside(settings.data) as store:
            around = Surroundings(
                settings=settings,
                database=store.database,
                clock=clock,
                words=Words(),
                areas=GAZETTEER.areas,
                open=way_to_forecasts(settings, clock, standard_offset_hours),
            )
            found.append(await Watch(around).once())

    run(within())
    return found[0]


def _source_line(name: str, note: SourceNote | None) -> str:
    if note is None:
        return f"{name}: not read yet"
    if note.fault:
        well = f"; last well {_shown(note.well_at)}" if note.well_at else ""
        when = f"{_shown(note.looked_at)}, tried again {_shown(note.next_at)}{well}"
        return f"{name}: could not be read {when}: {note.fault}"
    unread = f", {note.unread} could not be used ({note.why_unread})" if note.unread else ""
    return f"{name}: read {_shown(note.looked_at)}, {note.alerts} held{unread}"


def _drafts_of(read: FeedRead) -> list[str]:
    return [f"  {line}" for each in read.taken if each.id is not None for line in taken_lines(each)]


def taken_lines(each: Taken, again: str = "") -> list[str]:
    """What became of one alert; `again` is put to one that was here already."""
    told = each.alert.told
    event = told.event if told else str(each.alert.msg_type)
    draft = f" (advisory {each.advisory_id})" if each.advisory_id is not None else ""
    again = "" if each.is_new or each.id is None else again
    number = f"alert {each.id}: " if each.id is not None else ""
    return [f"{number}{event} ({each.alert.msg_type}): {each.outcome}{draft}{again}", *(f"  {n}" for n in each.notes)]


def _region_line(note: RegionNote) -> str:
    if note.fault:
        return f"{note.name}: could not be looked at {_shown(note.looked_at)}: {note.fault}"
    if note.air_min_c is None:
        return f"{note.name}: no freeze in sight ({note.answered} of {note.spots} places)"
    draft = f"; advisory {note.advisory_id} was drafted" if note.advisory_id is not None else ""
    near = f" near {note.near}" if note.near else ""
    fahrenheit = note.air_min_c * 1.8 + 32
    return f"{note.name}: {fahrenheit:.0f} F{near} on {note.coldest_on} ({note.answered} of {note.spots} places){draft}"


def _shown(at: datetime) -> str:
    return f"{at.astimezone():%a %Y-%m-%d %H:%M %z}"


def _plain_found(found: Found) -> dict[str, object]:
    return {
        "sources": [_plain_source(read.source, read.note) | {"taken": _plain_taken(read)} for read in found.sources],
        "regions": None if found.regions is None else [each.model_dump(mode="json") for each in found.regions],
        "drafts": sorted({*_ids(found.sources), *(_drafted(found.regions or ()))}),
    }


def _ids(read: Sequence[FeedRead]) -> list[int]:
    """Advisories that were drafted or changed just now."""
    return [each.advisory_id for one in read for each in one.taken if each.is_new and each.advisory_id is not None]


def _drafted(regions: Sequence[RegionNote]) -> list[int]:
    return [each.advisory_id for each in regions if each.advisory_id is not None]


def _plain_source(name: str, note: SourceNote | None) -> dict[str, object]:
    return {"source": name} | (note.model_dump(mode="json") if note else {"looked_at": None})


def _plain_taken(read: FeedRead) -> list[dict[str, object]]:
    return [
        {
            "id": each.id,
            "identifier": each.alert.identifier,
            "outcome": each.outcome,
            "is_new": each.is_new,
            "advisory": each.advisory_id,
            "notes": list(each.notes),
        }
        for each in read.taken
    ]
