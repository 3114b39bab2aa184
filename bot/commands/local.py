"""`afterfrost local`: what holds in a region: local codes on feeding and watering, dates, the freeze, whom to ask.

Works while the service runs, and without it; see `bot/store/beside.py`. A running service looks every minute.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Coroutine, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import Told, data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.ops.local.keeping import Keeping, Kept
    from bot.ops.local.pieces import Piece
    from bot.ops.regions.book import Region, RegionBook
    from bot.ops.regions.glancing import Glancing
    from bot.ops.roles import Operator
    from bot.store.local_rules import StoredLocalRule
    from bot.store.store import Store

region_option = click.option("--region", required=True, metavar="NAME", help="The region it holds in.")
as_option = click.option("--as", "acting", metavar="NAME", help="Who does it, for the record of who did what.")
_CODE_HELP = "The name of the local code."


@click.group()
def local() -> None:
    """Say what holds in a region. Where regions overlap, the smallest counts, piece by piece."""


@local.command()
@click.option("--region", metavar="NAME", help="Only this region, with what was said before.")
@data_option
@json_option
def show(region: str | None, data: str | None, as_json: bool) -> None:
    """Show what holds in the regions."""

    async def do(house: _House) -> None:
        regions = await house.book.all() if region is None else [await house.book.named(region)]
        seen = [(each, await house.keeping.kept(each.id)) for each in regions]
        if as_json:
            with_history = region is not None
            click.echo(json.dumps([_plain(each, kept, with_history) for each, kept in seen], indent=2))
            return
        for each, kept in seen:
            click.echo("\n".join(_lines(each, kept, with_history=region is not None)))
        if not seen:
            click.echo('No region is drawn yet. The first: region add "My county" --county 13127')

    _in_house(data, do)


@local.command(name="set")
@region_option
@click.option("--no-feeding", metavar="SPANS", help='Days on which feeding is banned: "06-01..09-30, 12-01..02-15".')
@click.option("--feeding-code", metavar="NAME", help=_CODE_HELP)
@click.option("--feeding-until", metavar="DATE", help="The last day on which that code holds.")
@click.option("--no-phosphate", metavar="SPANS", help="The same for phosphate alone.")
@click.option("--phosphate-code", metavar="NAME", help=_CODE_HELP)
@click.option("--phosphate-until", metavar="DATE", help="The last day on which that code holds.")
@click.option("--watering-days", metavar="DAYS", help='Days on which watering is allowed: "tue, sat".')
@click.option("--watering-hours", metavar="HOURS", help='In these hours: "00:00-10:00, 16:00-24:00".')
@click.option("--watering-code", metavar="NAME", help=_CODE_HELP)
@click.option("--last-frost", metavar="DAY", help="04-01 for every spring, 2027-04-01 for one.")
@click.option("--last-frost-sure", is_flag=True, help='Tell that day without "about".')
@click.option("--warm-soil", metavar="DAY", help="First day of 65 F in the soil at 4 inches.")
@click.option("--warm-soil-sure", is_flag=True, help='Tell that day without "about".')
@click.option("--freeze-day", metavar="DATE", help="The coldest day of the freeze.")
@click.option("--freeze-air", metavar="F", help="The lowest air temperature of it.")
@click.option("--freeze-days", metavar="N", help="How many days had frost.")
@click.option("--freeze-snow", metavar="INCHES", help="How much snow lay on the grass.")
@click.option("--contact", metavar="LINE", help="How to reach the advisor of the region.")
@click.option("--note", metavar="LINE", help="A short note told with the plan, at most 200 letters.")
@click.option("--end", "ended", multiple=True, metavar="PIECE", help="Say nothing of it any more: note, watering, ...")
@as_option
@data_option
@json_option
def set_(
    region: str, ended: tuple[str, ...], acting: str | None, data: str | None, as_json: bool, **typed: Any
) -> None:
    """Say something of a region. What is not named stays as it is; a piece named anew takes the older one's place."""

    async def do(house: _House) -> None:
        drawn, by = await house.book.named(region), await house.operator(acting)
        docs = _docs_of(typed) | {_piece(name): None for name in ended}
        if not docs:
            raise Told('Say something: "local set --help" lists what there is.')
        changed = await house.keeping.say(drawn.id, docs, by)
        await house.look_again()
        if as_json:
            click.echo(json.dumps({"region": drawn.name, "changed": changed}, indent=2))
        else:
            click.echo(f"{drawn.name}: {', '.join(changed) or 'nothing'} changed.")

    _in_house(data, do)


@local.command()
@region_option
@click.argument("piece")
@as_option
@data_option
@json_option
def undo(region: str, piece: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """Take the newest word on a PIECE (like nitrogen_ban) back. The one before it counts again."""

    async def do(house: _House) -> None:
        drawn, by, wanted = await house.book.named(region), await house.operator(acting), _piece(piece)
        kept = await house.keeping.kept(drawn.id)
        newest = next((each for each in kept.rows if each.piece == wanted and kept.may_undo(each)), None)
        if newest is None:
            raise Told(f"Nothing was said of {piece} in {drawn.name} that could be taken back.")
        await house.keeping.undo(drawn.id, newest.id, by)
        await house.look_again()
        told = {"region": drawn.name, "undone": newest.id, "piece": wanted}
        click.echo(json.dumps(told, indent=2) if as_json else f"{drawn.name}: {piece} is taken back.")

    _in_house(data, do)


# --- what was typed --------------------------------------------------------------------------------------------------

_OPTIONS: Mapping[str, tuple[str, str]] = {
    "no_feeding": ("nitrogen_ban", "spans"),
    "feeding_code": ("nitrogen_ban", "code"),
    "feeding_until": ("nitrogen_ban", "until"),
    "no_phosphate": ("phosphorus_ban", "spans"),
    "phosphate_code": ("phosphorus_ban", "code"),
    "phosphate_until": ("phosphorus_ban", "until"),
    "watering_days": ("watering", "weekdays"),
    "watering_hours": ("watering", "hours"),
    "watering_code": ("watering", "code"),
    "last_frost": ("last_frost", "day"),
    "last_frost_sure": ("last_frost", "exact"),
    "warm_soil": ("warm_soil", "day"),
    "warm_soil_sure": ("warm_soil", "exact"),
    "freeze_day": ("freeze", "coldest_on"),
    "freeze_air": ("freeze", "air_min_f"),
    "freeze_days": ("freeze", "days"),
    "freeze_snow": ("freeze", "snow_in"),
    "contact": ("contact", "words"),
    "note": ("note", "words"),
}


def _docs_of(typed: Mapping[str, Any]) -> dict[Piece, str | None]:
    """The pieces that any option names. Raises `Told` for one that cannot be kept."""
    from bot.ops.local.entering import doc_from
    from bot.ops.local.pieces import Piece
    from bot.ops.local.refused import LocalRefused

    fields: dict[Piece, dict[str, str]] = {}
    for option, (piece, name) in _OPTIONS.items():
        value = typed[option]
        if value:
            fields.setdefault(Piece(piece), {})[name] = "yes" if value is True else str(value)
    docs: dict[Piece, str | None] = {}
    for piece, of_it in fields.items():
        try:
            docs[piece] = doc_from(piece, of_it)
        except LocalRefused as refused:
            raise Told(f"{piece}: {refused}") from refused
        if docs[piece] is None:
            raise Told(f"{piece}: say which day.")
    return docs


def _piece(name: str) -> Piece:
    from bot.ops.local.pieces import Piece

    if name not in set(Piece):
        raise Told(f"{name!r} is nothing that can be said of a region. Known: {', '.join(Piece)}.")
    return Piece(name)


# --- as it is shown --------------------------------------------------------------------------------------------------


def _plain(region: Region, kept: Kept, with_history: bool) -> dict[str, object]:
    holds = {piece: json.loads(row.doc or "null") for piece, row in kept.counting.items() if _reads(row)}
    unread = [piece for piece, row in kept.counting.items() if not _reads(row)]
    shown: dict[str, object] = {"region": region.name, "holds": holds, "unread": unread}
    if with_history:
        shown["history"] = [_plain_row(kept, row) for row in kept.rows]
    return shown


def _reads(row: StoredLocalRule) -> bool:
    from bot.ops.local.entering import typed_from
    from bot.ops.local.pieces import Piece

    return bool(typed_from(Piece(row.piece), row.doc or ""))


def _plain_row(kept: Kept, row: StoredLocalRule) -> dict[str, object]:
    from bot.store.database import instant

    return {
        "id": row.id,
        "piece": row.piece,
        "ends": row.doc is None,
        "by": kept.by(row.made_by) or None,
        "at": instant(row.made_ms).isoformat(),
        "undone_by": kept.by(row.undone_by) or None,
        "undone_at": None if row.undone_ms is None else instant(row.undone_ms).isoformat(),
    }


def _lines(region: Region, kept: Kept, *, with_history: bool) -> list[str]:
    from bot.ops.local.told import told
    from bot.store.database import instant
    from bot.words import Words

    words = Words()
    lines = [f"{region.name}:"]
    lines += [f"  {piece}: {words.text(told(piece, row.doc))}" for piece, row in kept.counting.items()]
    lines += [] if kept.counting else ["  nothing is said"]
    if with_history and kept.rows:
        lines.append("  Said before, newest first:")
        lines += [
            f"    {row.id} {instant(row.made_ms):%Y-%m-%d} {kept.by(row.made_by) or 'command line'}: {row.piece}"
            f"{': ' + words.text(told(row.piece, row.doc))}{' (taken back)' if row.undone_ms is not None else ''}"
            for row in kept.rows
        ]
    return lines


@dataclass(frozen=True, slots=True, kw_only=True)
class _House:
    store: Store
    book: RegionBook
    keeping: Keeping
    glancing: Glancing

    async def operator(self, name: str | None) -> Operator | None:
        from bot.commands.acting import acting_operator

        return await acting_operator(self.store, name)

    async def look_again(self) -> None:
        """Have what operators see of lawns worked out anew, as a running service does by itself."""
        await self.glancing.look_again()


def _in_house(data: str | None, do: Callable[[_House], Coroutine[Any, Any, None]]) -> None:
    from bot.conversation import GAZETTEER, known_here
    from bot.ops.local.keeping import Keeping
    from bot.ops.regions.book import RegionBook
    from bot.ops.regions.glancing import Glancing
    from bot.ops.regions.whereabouts import Geography
    from bot.store.beside import beside
    from bot.wiring import clock_for
    from bot.words import Words

    settings = settings_from_environment(data=data)
    clock = clock_for(settings)

    async def work() -> None:
        async with beside(settings.data) as store:
            await do(
                _House(
                    store=store,
                    book=RegionBook(store.database, clock),
                    keeping=Keeping(store.database, clock),
                    glancing=Glancing(store, known_here(Words(), settings), Geography(GAZETTEER)),
                )
            )

    run(work())
