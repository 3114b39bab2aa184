"""`afterfrost advisory`: what goes out to many: drafted, shown, approved, steered, reported.

Works while the service runs, and without it; see `bot/store/beside.py`. Nothing is sent by a command: a running service
sends what is approved, and hears of a pause or a stop within a second.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Coroutine, Iterable
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import data_option, json_option, run, settings_from_environment
from bot.ops.roles import Role

if TYPE_CHECKING:
    from bot.commands.advisory_house import House
    from bot.ops.roles import Operator

as_option = click.option("--as", "acting", metavar="NAME", help="Who you are, for the record of who did what.")
zone_option = click.option(
    "--zone", metavar="ZONE", help="Whose clock, like America/Chicago. Else that of most recipients."
)
words_option = click.option("--words", required=True, metavar="TEXT|@FILE|-", help="What is said; - reads it.")
_moment = click.DateTime(formats=["%Y-%m-%d %H:%M", "%Y-%m-%dT%H:%M", "%Y-%m-%d"])


@click.group()
def advisory() -> None:
    """Write to many homeowners at once: warn before a freeze, guide after it.

    A draft goes to nobody. Somebody looks at its preview and approves what it shows; then the service sends it, each
    homeowner at their own hours, and not to those who want no messages.
    """


@advisory.command()
@click.argument("name")
@words_option
@click.option("--region", multiple=True, metavar="NAME", help='A region ("region list"). May be given several times.')
@click.option("--state", multiple=True, help="Two letters, like GA.")
@click.option("--county", multiple=True, help='Its code or name: 13127, or "Glynn, GA".')
@click.option("--zip", multiple=True, help="The first digits of ZIP codes, or a whole one: 315.")
@click.option("--grass", multiple=True, help="Like st_augustine or bermuda.")
@click.option("--cultivar", multiple=True, help="Like meyer.")
@click.option("--stage", multiple=True, help='How far a lawn is, like waiting or judging ("region show" tells).')
@click.option("--channel", multiple=True, help="Where people are heard: web, telegram, sms.")
@click.option("--soil-below", metavar="TEMP", help="Soil, as estimated, was below this: 30F or -1C.")
@click.option("--runners-below", metavar="TEMP", help="The grass itself, as estimated, was below this.")
@click.option("--pressing", is_flag=True, help="A freeze warning: may come beside the one message a day.")
@click.option("--due", type=_moment, help="Not before, by the clock of most recipients.")
@click.option("--useful-until", type=_moment, help="Nobody gets it later. Else a week, or two days if it presses.")
@click.option("--after", "after_id", type=int, metavar="ID", help="Only to those who got that one; needs --due.")
@zone_option
@as_option
@data_option
@json_option
def draft(name: str, *, words: str, acting: str | None, data: str | None, as_json: bool, **rest: Any) -> None:
    """Draft an advisory. In its words, figures stand in braces and are filled in for each homeowner.

    {place} {grass} {coldest_soil} {coldest_runners} {alive} {judging_day}: a sentence with a figure that is not known
    for a lawn is left out for it.
    """

    async def do(house: House) -> None:
        from bot.commands.advisory_house import Meant, with_times, words_typed
        from bot.ops.advisories.advisory import NewAdvisory
        from bot.ops.advisories.zones import zone_named

        due, useful, pressing = (rest.pop(key) for key in ("due", "useful_until", "pressing"))
        after_id, zone = rest.pop("after_id"), rest.pop("zone")
        new = NewAdvisory(
            name=name,
            words=words_typed(words),
            audience=await house.audience(Meant(**rest)),
            is_pressing=pressing,
            after_id=after_id,
            zone=None if zone is None else zone_named(zone),
        )
        new = await with_times(house.office, new, due, useful)
        by = await house.operator(acting, Role.ADVISOR)
        advisory_id = await house.office.drafts.draft(new, None if by is None else by.id)
        if as_json:
            click.echo(json.dumps({"id": advisory_id}))
        else:
            click.echo(f"Drafted as {advisory_id}. See what it would do: advisory preview {advisory_id}")

    _in_house(data, do)


@advisory.command(name="list")
@data_option
@json_option
def list_(data: str | None, as_json: bool) -> None:
    """List advisories, the newest first."""

    async def do(house: House) -> None:
        from bot.commands.advisory_told import line_of, plain

        found = await house.office.drafts.latest()
        if as_json:
            names = await house.names()
            click.echo(json.dumps([plain(each, names) for each in found], indent=2))
        else:
            _print(map(line_of, found), "There is no advisory yet.")

    _in_house(data, do)


@advisory.command()
@click.argument("number", type=int)
@zone_option
@data_option
@json_option
def show(number: int, zone: str | None, data: str | None, as_json: bool) -> None:
    """Show an advisory as it stands."""

    async def do(house: House) -> None:
        from bot.commands.advisory_told import lines_of, plain

        found, names = await house.office.drafts.get(number), await house.names()
        if as_json:
            click.echo(json.dumps(plain(found, names), indent=2))
        else:
            _print(lines_of(found, names, await house.zone(found, zone)))

    _in_house(data, do)


@advisory.command()
@click.argument("number", type=int)
@zone_option
@data_option
@json_option
def preview(number: int, zone: str | None, data: str | None, as_json: bool) -> None:
    """Show what an advisory would do: whom it reaches and when, who is left out and why, what they would read."""

    async def do(house: House) -> None:
        from bot.commands.advisory_told import preview_lines, preview_plain

        made = await house.office.preview(number)
        if as_json:
            click.echo(json.dumps(preview_plain(made), indent=2))
        else:
            _print(preview_lines(made, house.words, await house.zone(made.advisory, zone)))

    _in_house(data, do)


@advisory.command()
@click.argument("number", type=int)
@click.option("--seen", required=True, metavar="MARK", help='What the preview names: "--seen 2".')
@as_option
@data_option
@json_option
def approve(number: int, seen: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """Approve what the preview showed. For ten seconds it can be taken back with "advisory undo"."""

    async def do(house: House) -> None:
        await house.office.approving.approve(number, seen, await house.operator(acting, Role.APPROVER))
        _told(number, "approved", f'Approved. "advisory undo {number}" takes it back for ten seconds.', as_json)

    _in_house(data, do)


def _deed(
    name: str, does: str, told: str, act: Callable[[House, int, Operator | None], Coroutine[Any, Any, None]]
) -> None:
    """A command that does one thing to an advisory."""

    @advisory.command(name=name, help=does)
    @click.argument("number", type=int)
    @as_option
    @data_option
    @json_option
    def command(number: int, acting: str | None, data: str | None, as_json: bool) -> None:
        async def do(house: House) -> None:
            await act(house, number, await house.operator(acting, Role.ADVISOR))
            _told(number, name, told, as_json)

        _in_house(data, do)


_deed(
    "undo",
    "Take an approval back before anything left.",
    "Taken back. It is a draft again.",
    lambda house, number, by: house.office.approving.undo(number, by),
)
_deed(
    "pause",
    "Let nothing more out until it is resumed. What is in the air still arrives.",
    "Paused.",
    lambda house, number, by: house.office.steering.pause(number, by),
)
_deed(
    "resume",
    "Go on with what was paused.",
    "It goes on.",
    lambda house, number, by: house.office.steering.resume(number, by),
)
_deed(
    "cancel",
    "Stop it for good. What was sent stays sent.",
    "Stopped.",
    lambda house, number, by: house.office.steering.cancel(number, by),
)
_deed(
    "drop",
    "Give up a draft.",
    "Dropped.",
    lambda house, number, by: house.office.drafts.drop(number, None if by is None else by.id),
)


@advisory.command()
@click.argument("number", type=int)
@zone_option
@data_option
@json_option
def report(number: int, zone: str | None, data: str | None, as_json: bool) -> None:
    """Show what became of an advisory, in numbers that add up."""

    async def do(house: House) -> None:
        from bot.commands.advisory_told import report_lines, report_plain

        found = await house.office.report(number)
        if as_json:
            click.echo(json.dumps(report_plain(found, await house.names()), indent=2))
        else:
            _print(report_lines(found, house.words, await house.zone(found.advisory, zone)))

    _in_house(data, do)


@advisory.command()
@click.argument("number", type=int)
@words_option
@as_option
@data_option
@json_option
def correct(number: int, words: str, acting: str | None, data: str | None, as_json: bool) -> None:
    """Draft a correction for exactly those who got wrong words. If those still go out, its approval stops them."""

    async def do(house: House) -> None:
        from bot.commands.advisory_house import words_typed
        from bot.ops.advisories.drafts import correction_of

        by = await house.operator(acting, Role.ADVISOR)
        by_id = None if by is None else by.id
        advisory_id = await correction_of(house.office.drafts, number, words_typed(words), by_id)
        if as_json:
            click.echo(json.dumps({"id": advisory_id}))
        else:
            click.echo(f"Drafted as {advisory_id}. See what it would do: advisory preview {advisory_id}")

    _in_house(data, do)


@advisory.command()
@click.argument("number", type=int)
@as_option
@data_option
@json_option
def again(number: int, acting: str | None, data: str | None, as_json: bool) -> None:
    """Draft the same words for those from whom no answer came. Some of them may then read it twice."""

    async def do(house: House) -> None:
        by = await house.operator(acting, Role.ADVISOR)
        advisory_id = await house.office.again(number, None if by is None else by.id)
        if as_json:
            click.echo(json.dumps({"id": advisory_id}))
        else:
            click.echo(f"Drafted as {advisory_id}. See what it would do: advisory preview {advisory_id}")

    _in_house(data, do)


def _told(number: int, done: str, told: str, as_json: bool) -> None:
    click.echo(json.dumps({"id": number, "done": done}) if as_json else told)


def _print(lines: Iterable[str], otherwise: str = "") -> None:
    click.echo("\n".join(lines) or otherwise)


def _in_house(data: str | None, do: Callable[[House], Coroutine[Any, Any, None]]) -> None:
    """Open the data folder, do it, and tell in one message what cannot be done."""
    settings = settings_from_environment(data=data)

    async def work() -> None:
        from bot.commands.advisory_house import open_house

        async with open_house(settings) as house:
            await do(house)

    run(work())
