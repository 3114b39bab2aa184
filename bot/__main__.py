"""The command line. Subcommands only; what they do lives in `bot/commands/`."""

from __future__ import annotations

import asyncio
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from bot.errors import AfterfrostError
from bot.settings import Settings, read_settings
from rules.errors import NotEnoughData, OutOfRange

Command = TypeVar("Command", bound=Callable[..., Any])


class _Told(click.ClickException):
    """An error of ours on the command line: one message that says what to do, no traceback."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        click.echo(click.style(self.message, fg="red"), err=True)


def settings_from_environment(**given: object) -> Settings:
    """Settings from the environment, with what the command line gave on top."""
    environ = dict(os.environ)
    environ |= {f"AFTERFROST_{name.upper()}": str(value) for name, value in given.items() if value is not None}
    try:
        return read_settings(environ)
    except AfterfrostError as error:
        raise _Told(str(error)) from error


def _run(coroutine: Any) -> None:
    try:
        asyncio.run(coroutine)
    except AfterfrostError as error:
        raise _Told(str(error)) from error
    except KeyboardInterrupt:
        sys.exit(130)


_data = click.option("--data", type=click.Path(file_okay=False), help="Folder for the database and photos.")


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="afterfrost")
def main() -> None:
    """Afterfrost sees one warm-season lawn through a hard freeze.

    It asks a few questions, tells what probably happened under the brown, gives a dated care plan with amounts for
    that lawn, and comes back at the right days until it is clear what returned.
    """


@main.command()
@_data
@click.option("--port", type=int, help="Port of the chat page (default 8090).")
@click.option("--host", help="Address the chat page listens on (default 127.0.0.1, this machine only).")
def start(data: str | None, port: int | None, host: str | None) -> None:
    """Serve the chat page on this machine."""
    from bot.commands.start import serve_here
    from bot.logs import log_to_stderr

    settings = settings_from_environment(data=data, port=port, host=host)
    log_to_stderr(settings.log_level)
    _run(serve_here(settings))


@main.command()
@_data
def talk(data: str | None) -> None:
    """Hold the conversation in this terminal."""
    from bot.commands.talk import talk_here
    from bot.logs import log_to_stderr

    settings = settings_from_environment(data=data)
    log_to_stderr("ERROR")
    _run(talk_here(settings))


@main.command()
@click.option("--lawn", "only", help="Show one lawn only, by its owner's name.")
@click.option("--json", "as_json", is_flag=True, help="Print what was said as JSON lines.")
def rehearse(only: str | None, as_json: bool) -> None:
    """Play a whole invented season in under half a minute."""
    from bot.commands.rehearse import play

    _run(play(only=only, as_json=as_json))


@main.command()
@click.argument("lawn", type=click.Path(exists=True, dir_okay=False, path_type=Path), required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the assessment and plan as JSON.")
@click.option("--schema", is_flag=True, help="Print the JSON schema of a lawn file.")
@click.option("--example", is_flag=True, help="Print a complete example of a lawn file.")
@click.option("--metric", is_flag=True, help="Celsius, centimetres and square metres in the text.")
def assess(lawn: Path | None, as_json: bool, schema: bool, example: bool, metric: bool) -> None:
    """Assess one described lawn without a chat: odds, reasons and the dated care plan."""
    from bot.commands.assess import assess_command

    try:
        click.echo(assess_command(lawn, as_json=as_json, schema=schema, example=example, metric=metric))
    except AfterfrostError as error:
        raise _Told(str(error)) from error


@main.command()
@click.argument("weather_file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--station", help="Which station, where the file holds several.")
@click.option("--latitude", type=float, help="Degrees north, where the file does not say.")
@click.option("--longitude", type=float, help="Degrees east, where the file does not say.")
@click.option("--daily", is_flag=True, help="One line a day instead of the coldest ones.")
@click.option("--json", "as_json", is_flag=True, help="Print a list with one object a day.")
@click.option("--metric", is_flag=True, help="Celsius in the text.")
def soil(weather_file: Path, *, daily: bool, as_json: bool, metric: bool, **where: Any) -> None:
    """Work out what crown and soil under a lawn did, from a file of measured weather."""
    from bot.commands.soil import soil_command

    try:
        click.echo(soil_command(weather_file, daily=daily, as_json=as_json, metric=metric, **where))
    except (AfterfrostError, NotEnoughData, OutOfRange) as error:
        raise _Told(str(error)) from error


@main.command()
@_data
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def tray(data: str | None, as_json: bool) -> None:
    """List the questions that were passed on to a person."""
    from bot.commands.tray import list_tray

    settings = settings_from_environment(data=data)
    try:
        list_tray(settings, as_json=as_json)
    except AfterfrostError as error:
        raise _Told(str(error)) from error


@main.command()
@_data
def check(data: str | None) -> None:
    """Check this installation and say what it can and cannot do."""
    from bot.commands.check import check_here

    sys.exit(0 if check_here(settings_from_environment(data=data)) else 1)


@main.group()
def weather() -> None:
    """Look into weather files; nothing is fetched from anywhere."""


@weather.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--station", help="Code or name of the station, where the file holds several.")
@click.option("--latitude", type=float, help="Degrees north, where the file does not say.")
@click.option("--longitude", type=float, help="Degrees east (negative in America), where the file does not say.")
@click.option("--json", "as_json", is_flag=True, help="Print as JSON, temperatures in Celsius.")
def show(file: Path, station: str | None, latitude: float | None, longitude: float | None, as_json: bool) -> None:
    """Say what a weather file holds: station, days, what is missing, and the freezes found.

    Reads USCRN hourly02 and daily01 (or a CSV extract with its column names), GHCN-Daily by station, and a CSV of your
    own, plain or gzip-packed. Your own needs two lines "# latitude: 31.2" and "# longitude: -81.5", then a header like
    date,air_min_f,air_max_f,rain_in or time_utc,air_c (with a line "# utc_offset_hours: -5"), each unit in its name.
    """
    from bot.commands.weather import weather_command

    try:
        click.echo(weather_command(file, station=station, latitude=latitude, longitude=longitude, as_json=as_json))
    except AfterfrostError as error:
        raise _Told(str(error)) from error


if __name__ == "__main__":
    main()
