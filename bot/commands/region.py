"""`afterfrost region`: the areas a house answers for.

Works while the service runs, and without it; see `bot/store/beside.py`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.ops.regions.book import Region, RegionBook, RegionSeen
    from bot.ops.regions.ending import Affected
    from bot.ops.regions.shapes import Shape
    from bot.store.store import Store

as_option = click.option("--as", "acting", metavar="NAME", help="Who does it, for the record of who did what.")


@click.group()
def region() -> None:
    """Draw the areas you answer for, and see what is in them.

    Areas may overlap. A home in several belongs to the smallest, of equal ones to the older.
    """


@region.command()
@click.argument("name")
@click.option("--state", multiple=True, help="Two letters, like GA.")
@click.option("--county", multiple=True, help='Its code or name: 13127, or "Glynn, GA".')
@click.option("--zip", multiple=True, help="The first digits of ZIP codes, or a whole one: 315.")
@click.option("--circle", multiple=True, help="Latitude, longitude, kilometres: 31.2,-81.5,40.")
@click.option(
    "--geojson",
    multiple=True,
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A file with drawn areas (Polygon, MultiPolygon, Feature or FeatureCollection).",
)
@click.option("--code", multiple=True, help='A county as alerts name it: "SAME 013127" or "UGC GAC127".')
@click.option("--preview", is_flag=True, help="Only count what would be in it; nothing is kept.")
@click.option("--for", "answering", metavar="NAME", help="The operator who answers for it.")
@as_option
@data_option
@json_option
def add(name: str, answering: str | None, acting: str | None, data: str | None, as_json: bool, **parts: Any) -> None:
    """Draw an area: everything that any of the options names. Each may be given several times."""

    async def do(house: _House) -> None:
        is_preview = parts.pop("preview")
        shape, is_mended = _shape_of(**parts)
        if is_preview:
            seen = await house.book.preview(name, shape)
            click.echo(json.dumps(_plain_seen(seen), indent=2) if as_json else "\n".join(_lines_of(seen)))
            return
        by, answered_by = await house.operator(acting, may_draw=True), await house.operator(answering)
        await house.book.add(name, shape, by=by, answered_by=answered_by)
        drawn = await house.book.named(name)
        click.echo(json.dumps(_plain(drawn) | {"mended": is_mended}, indent=2) if as_json else _line(drawn))
        if is_mended and not as_json:
            click.echo("An outline crossed itself and was put right. Look whether the area is the one you meant.")

    _in_house(data, do)


@region.command(name="list")
@data_option
@json_option
def list_(data: str | None, as_json: bool) -> None:
    """List the areas, oldest first."""

    async def do(house: _House) -> None:
        regions = await house.book.all()
        if as_json:
            click.echo(json.dumps([_plain(each) for each in regions], indent=2))
        elif not regions:
            click.echo('No area is drawn yet. The first: region add "My county" --county 13127')
        else:
            for each in regions:
                click.echo(_line(each))

    _in_house(data, do)


@region.command()
@click.argument("name")
@data_option
@json_option
def show(name: str, data: str | None, as_json: bool) -> None:
    """Show what is in an area: homes, lawns by grass and stage, and other areas that overlap it."""

    async def do(house: _House) -> None:
        seen = await house.book.seen(await house.book.named(name))
        click.echo(json.dumps(_plain_seen(seen), indent=2) if as_json else "\n".join(_lines_of(seen)))

    _in_house(data, do)


@region.command()
@click.argument("name")
@as_option
@data_option
@json_option
def end(name: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """End an area: it counts no more. Its name stays taken, for what was done in it."""

    async def do(house: _House) -> None:
        from bot.ops.regions.ending import affected

        ended = await house.book.named(name)
        by = await house.operator(acting, may_draw=True)
        async with house.store.database.read() as tx:
            touched = await affected(tx, ended)
        await house.book.end(ended, by=by)
        click.echo(json.dumps(_plain_end(ended, touched)) if as_json else "\n".join(_end_lines(ended, touched)))

    _in_house(data, do)


# --- the house --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class _House:
    """An open data folder and its regions."""

    store: Store
    book: RegionBook

    async def operator(self, name: str | None, *, may_draw: bool = False) -> int | None:
        """The id of an operator by name; None where none is named."""
        from bot.commands.acting import acting_operator
        from bot.ops.roles import Role

        needed = Role.APPROVER if may_draw else Role.READER
        by = await acting_operator(
            self.store, name, needed, "may not do that. Only an approver or a keeper draws areas."
        )
        return None if by is None else by.id


def _in_house(data: str | None, do: Callable[[_House], Coroutine[Any, Any, None]]) -> None:
    from bot.ops.regions.book import RegionBook
    from bot.store.beside import beside
    from bot.wiring import clock_for

    settings = settings_from_environment(data=data)

    async def work() -> None:
        async with beside(settings.data) as store:
            await do(_House(store=store, book=RegionBook(store.database, clock_for(settings))))

    run(work())


# --- what was typed ---------------------------------------------------------------------------------------------------


def _shape_of(
    *,
    state: Sequence[str],
    county: Sequence[str],
    zip: Sequence[str],
    circle: Sequence[str],
    geojson: Sequence[Path],
    code: Sequence[str],
) -> tuple[Shape, bool]:
    """The area, and whether an outline had to be put right."""
    from bot.ops.regions.typed import Typed, shape_of

    typed = Typed(
        states=tuple(state),
        counties=tuple(county),
        zips=tuple(zip),
        circles=tuple(circle),
        codes=tuple(code),
        geojson=tuple(file.read_bytes() for file in geojson),
    )
    return shape_of(typed)


# --- what is shown ----------------------------------------------------------------------------------------------------


def _line(region: Region) -> str:
    answered = f", answered for by {region.answered_by}" if region.answered_by else ""
    return f"{region.name}: {_parts(region.shape)}; about {region.area_square_miles:,.0f} square miles{answered}"


def _parts(shape: Shape) -> str:
    from bot.ops.regions.counties import county_told

    told = [*sorted(shape.states), *map(county_told, sorted(shape.counties)), *sorted(shape.codes)]
    told += [f"ZIP {prefix}{'...' if len(prefix) < 5 else ''}" for prefix in sorted(shape.zip_prefixes)]
    told += [f"{each.km:g} km around {each.latitude:g}, {each.longitude:g}" for each in shape.circles]
    if shape.polygons:
        told.append(f"{len(shape.polygons)} drawn area{'s' if len(shape.polygons) > 1 else ''}")
    return "; ".join(told[:_MOST_TOLD]) + (f"; and {len(told) - _MOST_TOLD} more" if len(told) > _MOST_TOLD else "")


_MOST_TOLD = 12


def _lines_of(seen: RegionSeen) -> list[str]:
    lawns = sum(count for *_, count in seen.lawns)
    lines = [_line(seen.region), f"{seen.homes:,} homes with {lawns:,} lawns"]
    lines += [f"  {(grass or 'not sure').replace('_', ' ')}, {stage}: {count:,}" for grass, stage, count in seen.lawns]
    for each in seen.overlaps:
        lines.append(f"{each.homes:,} of these homes are in {each.other} too. They belong to {each.owner}.")
    if seen.overlaps:
        lines.append("A home in several areas belongs to the smallest, of equal ones to the older.")
    if seen.nowhere:
        lines.append(f"{seen.nowhere:,} homes have no place good enough to find them in a drawn area.")
    if seen.behind:
        lines.append(f"{seen.behind:,} homeowners wrote since they were counted. The running service counts them anew.")
    return lines


def _end_lines(ended: Region, touched: Affected) -> list[str]:
    lines = [f"{ended.name}: ended."]
    lines += [f"Advisory {each.id}, {each.content.name!r}, goes on as it was written." for each in touched.advisories]
    lines += [f"Correction {each.id}, for {each.grass}, counts no more." for each in touched.corrections]
    lines += [f"Its {touched.local_rules} local rules count no more."] if touched.local_rules else []
    return lines


def _plain_end(ended: Region, touched: Affected) -> dict[str, object]:
    return {
        "ended": ended.name,
        "advisories_going_on": [each.id for each in touched.advisories],
        "corrections_ended": [each.id for each in touched.corrections],
        "local_rules_ended": touched.local_rules,
    }


def _plain(region: Region) -> dict[str, object]:
    from bot.ops.regions.shapes import plain_shape
    from bot.store.database import instant

    return {
        "id": region.id,
        "name": region.name,
        "shape": plain_shape(region.shape),
        "area_km2": round(region.area_km2),
        "answered_by": region.answered_by or None,
        "drawn": instant(region.made_ms).isoformat(),
    }


def _plain_seen(seen: RegionSeen) -> dict[str, object]:
    return _plain(seen.region) | {
        "homes": seen.homes,
        "lawns": [{"grass": grass, "stage": stage, "count": count} for grass, stage, count in seen.lawns],
        "overlaps": [{"with": each.other, "homes": each.homes, "belong_to": each.owner} for each in seen.overlaps],
        "homes_without_place": seen.nowhere,
        "homes_behind": seen.behind,
    }
