"""The command line. Subcommands only; what they do lives in `bot/commands/`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any, TypeVar

import click

from bot.commands.telling import Told, data_option, run, settings_from_environment
from bot.errors import AfterfrostError
from bot.garbage import look_not_yet, look_seldom
from rules.errors import NotEnoughData, OutOfRange

Command = TypeVar("Command", bound=Callable[..., Any])

OF_OPERATORS = {
    "advisory": "advisory",
    "alert": "alert",
    "cases": "cases",
    "enrol": "enrol_group",
    "invite": "enrol_group",
    "learn": "learn",
    "local": "local",
    "operator": "operator",
    "region": "region",
}
"""Commands for operators, and the file of `bot/commands/` in which each stands: read when one is wanted."""


class Commands(click.Group):
    """The commands of this file and those for operators, which a homeowner's first words need not wait for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All of them, by name."""
        return sorted([*super().list_commands(ctx), *OF_OPERATORS])

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One of them."""
        if cmd_name not in OF_OPERATORS:
            return super().get_command(ctx, cmd_name)
        found: click.Command = getattr(import_module(f"bot.commands.{OF_OPERATORS[cmd_name]}"), cmd_name)
        return found


_day = click.DateTime(formats=["%Y-%m-%d"])


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="afterfrost")
def main() -> None:
    """Afterfrost sees one warm-season lawn through a hard freeze.

    It asks a few questions, tells what probably happened under the brown, gives a dated care plan with amounts for
    that lawn, and comes back at the right days until it is clear what returned.
    """
    look_seldom()


@main.command()
@data_option
@click.option("--port", type=int, help="Port of the chat page (default 8090).")
@click.option("--host", help="Address the chat page listens on (default 127.0.0.1, this machine only).")
def start(data: str | None, port: int | None, host: str | None) -> None:
    """Serve the chat page on this machine."""
    look_not_yet()
    from bot.commands.start import serve_here
    from bot.logs import log_to_stderr

    settings = settings_from_environment(data=data, port=port, host=host)
    log_to_stderr(settings.log_level)
    run(serve_here(settings))


@main.command()
@data_option
def talk(data: str | None) -> None:
    """Hold the conversation in this terminal."""
    look_not_yet()
    from bot.commands.talk import talk_here
    from bot.logs import log_to_stderr

    settings = settings_from_environment(data=data)
    log_to_stderr("ERROR")
    run(talk_here(settings))


@main.command()
@click.option("--lawn", "only", help="Show one lawn only, by its owner's name.")
@click.option("--json", "as_json", is_flag=True, help="Print what was said as JSON lines.")
def rehearse(only: str | None, as_json: bool) -> None:
    """Play a whole invented season in under half a minute."""
    from bot.commands.rehearse import play

    run(play(only=only, as_json=as_json))


@main.command()
@click.argument("lawn", type=click.Path(exists=True, dir_okay=False, path_type=Path), required=False)
@click.option("--json", "as_json", is_flag=True, help="Print the assessment and plan as JSON.")
@click.option("--schema", is_flag=True, help="Print the JSON schema of a lawn file.")
@click.option("--example", is_flag=True, help="Print a complete example of a lawn file.")
@click.option("--metric", is_flag=True, help="Celsius, centimetres and square metres in the text.")
@click.option(
    "--weather",
    "weather_files",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    multiple=True,
    help="A file of measured weather near the lawn; may be given several times. Without it: what is kept in --data.",
)
@data_option
def assess(lawn: Path | None, weather_files: tuple[Path, ...], data: str | None, **how: bool) -> None:
    """Assess one described lawn without a chat: odds, reasons and the dated care plan.

    The cold is worked out from measured weather where there is any within 60 miles, else from what the file tells.
    """
    from bot.commands.assess import WeatherWanted, assess_command

    wanted = WeatherWanted(files=weather_files)
    if lawn is not None and not weather_files:
        wanted = WeatherWanted(data=settings_from_environment(data=data).data)
    try:
        click.echo(assess_command(lawn, weather=wanted, **how))
    except AfterfrostError as error:
        raise Told(str(error)) from error


def _snow(_: click.Context, __: click.Parameter, typed: str | None) -> float | None:
    from bot.commands.soil import snow_in_of

    try:
        return None if typed is None else snow_in_of(typed)
    except ValueError as error:
        raise click.BadParameter(str(error)) from error


def _plot_wanted(rest: dict[str, Any]) -> Any:
    """What `--plot` and its companions ask for, taken out of the other options."""
    file, grass, day = rest.pop("plot"), rest.pop("grass"), rest.pop("freeze_on")
    if file is None:
        return None
    from bot.commands.soil_plot import PlotWanted

    return PlotWanted(file=file, grass=grass, freeze_on=day.date() if day else None)


def _readings(_: click.Context, __: click.Parameter, typed: tuple[str, ...]) -> tuple[Any, ...]:
    from bot.commands.soil import reading_of

    try:
        return tuple(reading_of(each) for each in typed)
    except ValueError as error:
        raise click.BadParameter(str(error)) from error


@main.command()
@click.argument("weather_file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--station", help="Which station, where the file holds several.")
@click.option("--latitude", type=float, help="Degrees north, where the file does not say.")
@click.option("--longitude", type=float, help="Degrees east, where the file does not say.")
@click.option("--daily", is_flag=True, help="One line a day instead of the coldest ones.")
@click.option("--json", "as_json", is_flag=True, help="Print a list with one object a day.")
@click.option("--metric", is_flag=True, help="Celsius in the text.")
@click.option(
    "--snow",
    "snow_in",
    metavar="INCHES|none",
    callback=_snow,
    help="Snow that lay on days with a mean at or below freezing. Without it: as measured, or from rain and cold.",
)
@click.option(
    "--soil", type=click.Choice(["sand", "loam", "clay"]), default="loam", show_default=True, help="The soil."
)
@click.option(
    "--moisture",
    type=click.Choice(["dry", "moist", "wet"]),
    default="moist",
    show_default=True,
    help="How wet the soil was when the cold came.",
)
@click.option(
    "--cover",
    type=click.Choice(["thin", "lawn", "thick"]),
    default="lawn",
    show_default=True,
    help="Thin or no grass, a lawn, or a lawn with thick thatch.",
)
@click.option(
    "--exposure",
    type=click.Choice(["open", "shade", "north-slope", "south-slope"]),
    default="open",
    show_default=True,
    help="The winter sun: in the open, in shade or north of something, or on a slope that faces north or south.",
)
@click.option(
    "--learn-from",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Earlier winters of the same station with soil measured 2 in down: how far this place lies off. "
    "Only days before this file's teach.",
)
@click.option(
    "--reading",
    "readings",
    metavar="DATE=TEMP[F|C]",
    multiple=True,
    callback=_readings,
    help="A soil thermometer 2 in down, like 2027-01-09=41F. Give one for each reading.",
)
@click.option(
    "--plot",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="PNG",
    help="Draw a freeze: air, crown and soil hour by hour, and where the grass suffers.",
)
@click.option(
    "--grass",
    default="st_augustine",
    show_default=True,
    metavar="GRASS[/CULTIVAR]",
    help="For the picture: like bermuda or zoysia/meyer.",
)
@click.option("--freeze", "freeze_on", type=_day, metavar="DATE", help="For the picture: a day of the freeze wanted.")
def soil(weather_file: Path, *, snow_in: float | None, learn_from: Path | None, readings: Any, **rest: Any) -> None:
    """Work out what crown and soil under a lawn did, from a file of measured weather."""
    from bot.commands.soil import SoilWanted, soil_command
    from rules.lawn_setting import Cover, Exposure, LawnSetting, Moisture, SoilKind

    setting = LawnSetting(
        soil=SoilKind(rest.pop("soil")),
        moisture=Moisture(rest.pop("moisture")),
        cover=Cover(rest.pop("cover")),
        exposure=Exposure(rest.pop("exposure")),
        snow_in=snow_in,
    )
    wanted = SoilWanted(setting=setting, learn_from=learn_from, readings=readings, plot=_plot_wanted(rest))
    try:
        click.echo(soil_command(weather_file, wanted, **rest))
    except (AfterfrostError, NotEnoughData, OutOfRange) as error:
        raise Told(str(error)) from error


@main.command()
@click.argument("photos", type=click.Path(), nargs=-1, required=True, metavar="PHOTO...")
@click.option("--paper", is_flag=True, help="A sheet of white paper lies in each picture: put the colors right by it.")
@click.option("--json", "as_json", is_flag=True, help="Print a list with one object a photo.")
def cover(photos: tuple[str, ...], paper: bool, as_json: bool) -> None:
    """Measure how much of each photo is green, between what and what, or say why a photo is no use.

    Exit code 1: a file could not be opened as a picture. The others are measured all the same.
    """
    from bot.commands.cover import cover_command

    told = cover_command(photos, paper=paper, as_json=as_json)
    click.echo(told.text)
    sys.exit(told.exit_code)


def _pots(_: click.Context, __: click.Parameter, typed: tuple[str, ...]) -> tuple[Any, ...]:
    from bot.commands.trend import pot_of

    try:
        return tuple(pot_of(each) for each in typed)
    except ValueError as error:
        raise click.BadParameter(str(error)) from error


@main.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option(
    "--grass",
    metavar="GRASS",
    help="Decides how long to wait before judging: 42 warm days, bermuda and zoysia (or no grass given) 56.",
)
@click.option(
    "--warm-soil",
    "warm_soil_on",
    type=_day,
    help="For dates: first day with 65 F (18 C) or more in soil 4 in (10 cm) down; each day from it counts as warm.",
)
@click.option("--place", help="For dates: ZIP code, town and state, or coordinates; warm soil from a table, about.")
@click.option("--judging", "judging_on", type=_day, help="The judging day of the care plan, where it is known.")
@click.option("--judging-warm-days", type=click.IntRange(28, 200), help="The same in warm days.")
@click.option(
    "--pot",
    "pots",
    metavar="[SPOT=]ALIVE/TOTAL@WEEKS",
    multiple=True,
    callback=_pots,
    help="A pot test, like front=0/6@4: none of six plugs alive after four weeks. Give one for each count.",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as JSON.")
def trend(file: Path, *, as_json: bool, grass: str | None, **known: Any) -> None:
    """Tell from a CSV of cover readings whether each spot of a lawn is coming back.

    Columns: cover_percent, and date (YYYY-MM-DD) or warm_day (warm days since growth could start). If wanted: spot,
    upload (kind of picture: file, photo, mms, ...), photos (how many were averaged), weeds (none, some, most or
    not_sure). A file with warm_day needs no options.
    """
    from bot.commands.trend import TrendWanted, trend_command
    from rules.grasses import GrassCode

    for name in ("warm_soil_on", "judging_on"):
        known[name] = known[name].date() if known[name] else None
    if grass and grass not in tuple(GrassCode):
        raise click.BadParameter(f'"{grass}" is none of: {", ".join(GrassCode)}', param_hint="--grass")
    wanted = TrendWanted(grass=GrassCode(grass) if grass else None, **known)
    try:
        click.echo(trend_command(file, wanted, as_json=as_json))
    except (AfterfrostError, NotEnoughData, OutOfRange) as error:
        raise Told(str(error)) from error


@main.command()
@data_option
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
def tray(data: str | None, as_json: bool) -> None:
    """List the questions that were passed on to a person."""
    from bot.commands.tray import list_tray

    settings = settings_from_environment(data=data)
    try:
        list_tray(settings, as_json=as_json)
    except AfterfrostError as error:
        raise Told(str(error)) from error


@main.command()
@data_option
@click.option("--json", "as_json", is_flag=True, help="Print a list with one object a channel.")
def queue(data: str | None, as_json: bool) -> None:
    """What waits to be sent or read, what was given up on, who cannot be reached. Exit code 1: somebody should look."""
    from bot.commands.queue import show_queue
    from bot.wiring import clock_for

    settings = settings_from_environment(data=data)
    try:
        is_well = show_queue(settings, clock_for(settings), as_json=as_json)
    except AfterfrostError as error:
        raise Told(str(error)) from error
    if not is_well:
        sys.exit(1)


@main.command()
@data_option
def check(data: str | None) -> None:
    """Check this installation and say what it can and cannot do."""
    from bot.commands.check import check_here

    sys.exit(0 if check_here(settings_from_environment(data=data)) else 1)


@main.group()
def weather() -> None:
    """Look into weather files, and keep weather for the service."""


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
        raise Told(str(error)) from error


@weather.command(name="import")
@click.argument(
    "files", type=click.Path(exists=True, dir_okay=False, path_type=Path), nargs=-1, required=True, metavar="FILE..."
)
@data_option
@click.option("--station", help="Code or name of the station, where a file holds several.")
@click.option("--latitude", type=float, help="Degrees north, where a file does not say.")
@click.option("--longitude", type=float, help="Degrees east (negative in America), where a file does not say.")
def import_(files: tuple[Path, ...], data: str | None, **where: Any) -> None:
    """Keep weather files for the service: it then tells owners near them what was measured.

    The same kinds as "weather show" reads. If one file is wrong, none is kept. New readings of a station are put to
    the old ones.
    """
    from bot.commands.weather_shelf import import_files

    settings = settings_from_environment(data=data)
    try:
        click.echo(import_files(settings.data, files, **where))
    except AfterfrostError as error:
        raise Told(str(error)) from error


@weather.command()
@click.argument("place")
@data_option
@click.option("--from", "first", type=_day, help="First day, YYYY-MM-DD (default: 90 days before the last).")
@click.option("--to", "last", type=_day, help="Last day, YYYY-MM-DD (default: today).")
@click.option(
    "--source", "weather", type=click.Choice(["national", "reanalysis", "both"]), help="Which service to ask."
)
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@click.option("--metric", is_flag=True, help="Kilometres in the text.")
def fetch(place: str, data: str | None, first: Any, last: Any, weather: str | None, **how: bool) -> None:
    """Fetch the weather of a PLACE (ZIP code, town and state, or "31.2,-81.5") and keep it for the service.

    "national" is the US National Weather Service: thermometers, about the last week. It wants a contact in
    AFTERFROST_WEATHER_CONTACT. "reanalysis" is an open archive of a weather model, free for non-commercial work with
    its credit shown. "both" puts the thermometer's days first.
    """
    import asyncio

    from bot.clock import SystemClock
    from bot.commands.weather_fetch import fetch_command, fetched_text
    from bot.logs import log_to_stderr

    log_to_stderr("ERROR")
    settings = settings_from_environment(data=data, weather=weather)
    days = (first.date() if first else None, last.date() if last else None)
    try:
        found = asyncio.run(fetch_command(settings, SystemClock(), place, days))
    except AfterfrostError as error:
        raise Told(str(error)) from error
    click.echo(found.model_dump_json(indent=2) if how["as_json"] else fetched_text(found, metric=how["metric"]))


@weather.command()
@click.argument("place", required=False)
@data_option
@click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
@click.option("--metric", is_flag=True, help="Kilometres and metres in the text.")
def near(place: str | None, data: str | None, as_json: bool, metric: bool) -> None:
    """List the kept stations, or those that speak for a PLACE (ZIP code, town and state, or "31.2,-81.5")."""
    from bot.commands.weather_shelf import near_command

    settings = settings_from_environment(data=data)
    try:
        click.echo(near_command(settings.data, place, as_json=as_json, metric=metric))
    except AfterfrostError as error:
        raise Told(str(error)) from error


if __name__ == "__main__":
    main()
