"""`afterfrost learn`: what really survived, against the published figures; adopting what came out, and taking it back.

Works while the service runs, and without it; see `bot/store/beside.py`. A running service looks for corrections every
minute.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Coroutine
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import Told, data_option, json_option, run, settings_from_environment

if TYPE_CHECKING:
    from bot.commands.learn_house import LearnHouse

region_option = click.option("--region", metavar="NAME", help="Only lawns of this region. Without it: all lawns.")
as_option = click.option("--as", "acting", metavar="NAME", help="Who does it, for the record of who did what.")


@click.group()
def learn() -> None:
    """Learn from what came of lawns how much cold a grass really stands, region by region.

    A lawn counts two weeks after its judging day. Nothing changes until somebody adopts it.
    """


@learn.command()
@region_option
@click.option("--grass", help='Only this grass, like "zoysia".')
@click.option(
    "--plot",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Draw the survival curve as a PNG. Needs --grass where lawns are of several.",
)
@click.option("--metric", is_flag=True, help="Celsius in the text and in the picture.")
@data_option
@json_option
def show(region: str | None, grass: str | None, plot: Path | None, data: str | None, **how: bool) -> None:
    """Show how far each grass lies off its published figure, how sure that is, and what was adopted."""

    async def do(house: LearnHouse) -> None:
        from bot.commands.learn_told import drawn, lines_of, plain_of

        seen = await house.look(region, grass)
        adopted = await house.standing()
        picture = drawn(seen, plot, metric=how["metric"]) if plot is not None else ""
        if how["as_json"]:
            click.echo(json.dumps(plain_of(seen, adopted), indent=2))
        else:
            click.echo("\n".join(lines_of(seen, adopted, picture, metric=how["metric"])))

    _in_house(data, do)


@learn.command()
@click.argument("grass")
@region_option
@as_option
@click.option("--yes", is_flag=True, help="Do not ask.")
@click.option("--metric", is_flag=True, help="Celsius in the text.")
@data_option
@json_option
def adopt(grass: str, region: str | None, acting: str | None, data: str | None, **how: bool) -> None:
    """Adopt what was found for a GRASS, like "zoysia", or a cultivar, like "zoysia/meyer".

    Shows first which lawns would be told something else, and asks. With --json nothing is asked: give --yes to adopt.
    """

    async def do(house: LearnHouse) -> None:
        from bot.commands.learn_told import change_lines, plain_changes

        by = await house.operator(acting)
        proposal = await house.proposal(region, grass)
        if how["as_json"]:
            made = await house.adopt(proposal, by) if how["yes"] else None
            click.echo(json.dumps(plain_changes(proposal) | {"adopted": made}, indent=2))
            return
        click.echo("\n".join(change_lines(proposal, metric=how["metric"])))
        if how["yes"] or click.confirm("Adopt it?"):
            made = await house.adopt(proposal, by)
            click.echo(f"Adopted as correction {made}. To take it back: learn undo {made}")

    _in_house(data, do)


@learn.command()
@click.argument("correction", type=int)
@as_option
@data_option
@json_option
def undo(correction: int, acting: str | None, data: str | None, as_json: bool) -> None:
    """Take a correction back. The one before it counts again, or else the published figure."""

    async def do(house: LearnHouse) -> None:
        await house.undo(correction, await house.operator(acting))
        click.echo(json.dumps({"undone": correction}) if as_json else f"Correction {correction} is taken back.")

    _in_house(data, do)


@learn.command()
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@region_option
@click.option("--share", type=int, help="How many homeowners share a row at least. Without it: 10.")
@data_option
@json_option
def export(file: Path, region: str | None, share: int | None, data: str | None, as_json: bool) -> None:
    """Write what came of lawns into a CSV FILE without personal data.

    Area, grass and winter of a row are shared by at least 10 homeowners: counties where that is so, else states. Rows
    that cannot be made so are left out.
    """

    async def do(house: LearnHouse) -> None:
        from bot.durable import write_durably
        from bot.ops.learning.exporting import USUAL_K, csv_of
        from bot.ops.learning.exporting import export as table_of

        k = USUAL_K if share is None else share
        table = table_of((await house.gathered(region)).told, k)
        try:
            write_durably(file, csv_of(table).encode())
        except OSError as error:
            raise Told(f"{file} cannot be written ({error.strerror}). Name another file.") from error
        if as_json:
            counts = {"rows": len(table.rows), "by_state_alone": table.by_state, "left_out": table.left_out, "k": k}
            click.echo(json.dumps({"file": str(file)} | counts, indent=2))
            return
        click.echo(f"{file}: {len(table.rows)} rows, {table.by_state} of them by state alone.")
        if table.left_out:
            click.echo(f"Left out: {table.left_out} that fewer than {k} homeowners share area, grass and winter with.")

    _in_house(data, do)


def _in_house(data: str | None, do: Callable[[LearnHouse], Coroutine[Any, Any, None]]) -> None:
    from bot.commands.learn_house import learn_house

    settings = settings_from_environment(data=data)

    async def work() -> None:
        async with learn_house(settings) as house:
            await do(house)

    run(work())
