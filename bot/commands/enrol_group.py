"""The commands by which people come to us through operators. What they do lives in `enrol.py`."""

from __future__ import annotations

from pathlib import Path

import click

from bot.commands.telling import data_option, run, settings_from_environment


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--dry-run", "dry", is_flag=True, help="Only read the list and say what is wrong with it.")
@click.option("--as", "name", metavar="NAME", help="The operator who hands the list in.")
@data_option
def enrol(file: Path, dry: bool, name: str | None, data: str | None) -> None:
    """Ask everybody on a list of people who agreed to texts, once, whether they did. Prints JSON.

    A CSV with the columns phone, agreed_on (day), agreed_to (the words they agreed to), where (how they said so). A row
    without its proof is not taken; whoever said no, was asked before or is with us is left out. Until somebody answers
    YES they get nothing else.
    """
    from bot.clock import SystemClock
    from bot.commands.enrol import enrol_command

    async def do() -> None:
        click.echo(await enrol_command(settings_from_environment(data=data), SystemClock(), file, dry=dry, name=name))

    run(do())


@click.command()
@click.argument("region")
@click.option("--telegram-name", metavar="BOT", help="The bot's name on Telegram, for a link that opens it there.")
@click.option(
    "--qr",
    "picture",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="SVG",
    help="Draw the web link as a QR code for leaflets and counters.",
)
@data_option
def invite(region: str, telegram_name: str | None, picture: Path | None, data: str | None) -> None:
    """Print the links by which people come to REGION. Whoever comes by one is kept with its code. Prints JSON."""
    from bot.commands.enrol import invite_command

    async def do() -> None:
        settings = settings_from_environment(data=data)
        click.echo(await invite_command(settings, region, telegram_name=telegram_name, picture=picture))

    run(do())
