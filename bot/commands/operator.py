"""`afterfrost operator`: who may sit at the desk. The first is made here; whoever runs this can always make another.

Works while the service runs, and without it; see `bot/store/beside.py`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

import click

from bot.commands.telling import Told, data_option, json_option, run, settings_from_environment
from bot.ops.roles import Role

if TYPE_CHECKING:
    from bot.ops.desk.staffing import Fault, Staffing
    from bot.settings import Settings
    from bot.store.operators import StoredOperator

ROLES = click.Choice([str(role) for role in Role])
_WHY_NOT: dict[Fault, str] = {
    "name": "A name has up to 40 letters, figures, spaces, dots and dashes; its first and last are letters or figures.",
    "taken": 'Somebody has or had that name. Take another, so that it stays clear who did what (see "operator list").',
    "nobody": 'Nobody of that name is let in. "operator list" shows who is.',
    "last": 'That is the only keeper. Make somebody else a keeper first: "operator role NAME keeper".',
    "same": "That is the role they have already.",
}


@click.group()
def operator() -> None:
    """Let people in to the operators' page, and out.

    Roles, each with what the one before may do: reader (counts, maps, advisories), advisor (cases, drafts), approver
    (approve and send), keeper (let people in and out, see who did what).
    """


@operator.command()
@click.argument("name")
@click.option("--role", type=ROLES, required=True, help="What they may do.")
@data_option
@json_option
def add(name: str, role: str, data: str | None, as_json: bool) -> None:
    """Let somebody in, and print a link that signs them in once, within 15 minutes."""
    settings = settings_from_environment(data=data)

    async def do(staffing: Staffing) -> None:
        secret = await staffing.add(name, Role(role), None)
        _tell_link(settings, await staffing.named(name), secret, as_json=as_json)

    _with_staffing(settings, do)


@operator.command()
@click.argument("name")
@data_option
@json_option
def link(name: str, data: str | None, as_json: bool) -> None:
    """Print a link that signs somebody in once, within 15 minutes. Earlier links of theirs stop working."""
    settings = settings_from_environment(data=data)

    async def do(staffing: Staffing) -> None:
        known = await staffing.named(name)
        _tell_link(settings, known, await staffing.link(known.id, None), as_json=as_json)

    _with_staffing(settings, do)


@operator.command(name="list")
@data_option
@json_option
def list_(data: str | None, as_json: bool) -> None:
    """List who is let in, and who was."""

    async def do(staffing: Staffing) -> None:
        everybody = await staffing.everybody()
        if as_json:
            click.echo(json.dumps([_plain(each) for each in everybody], ensure_ascii=False, indent=2))
        elif not everybody:
            click.echo('Nobody is let in yet. Make the first: "operator add NAME --role keeper".')
        else:
            for each in everybody:
                click.echo(_line(each))

    _with_staffing(settings_from_environment(data=data), do)


@operator.command()
@click.argument("name")
@click.argument("role", type=ROLES)
@data_option
@json_option
def role(name: str, role: str, data: str | None, as_json: bool) -> None:
    """Change what somebody may do. They are signed out, and sign in anew."""

    async def do(staffing: Staffing) -> None:
        await staffing.change_role((await staffing.named(name)).id, Role(role), None)
        known = await staffing.named(name)
        click.echo(json.dumps(_plain(known), ensure_ascii=False) if as_json else _line(known))

    _with_staffing(settings_from_environment(data=data), do)


@operator.command(name="let-go")
@click.argument("name")
@data_option
@json_option
def let_go(name: str, data: str | None, as_json: bool) -> None:
    """Let somebody go: they are signed out at once. Their name stays, for who did what."""

    async def do(staffing: Staffing) -> None:
        known = await staffing.named(name)
        await staffing.let_go(known.id, None)
        gone = next(each for each in await staffing.everybody() if each.id == known.id)
        click.echo(json.dumps(_plain(gone), ensure_ascii=False) if as_json else _line(gone))

    _with_staffing(settings_from_environment(data=data), do)


@operator.command()
@click.argument("name")
@click.argument("channel", type=click.Choice(["telegram", "sms", "none"]))
@click.argument("address", required=False)
@data_option
def channel(name: str, channel: str, address: str | None, data: str | None) -> None:
    """Send somebody the weekly digest: to a Telegram chat (its number) or a phone number; "none" ends it."""
    from bot.channels.sms.numbers import e164

    if channel != "none" and not address:
        raise Told("Where to? Give the number of a Telegram chat, or a phone number.")
    at = e164(address or "") if channel == "sms" else address
    if channel == "sms" and at is None:
        raise Told(f"{address!r} is no number a person can be reached at.")

    async def do(staffing: Staffing) -> None:
        known = await staffing.named(name)
        is_wanted = channel != "none"
        await staffing.send_digests(known.id, channel if is_wanted else None, at if is_wanted else None, None)
        click.echo(f"{known.name}: digest {'to ' + channel if is_wanted else 'ended'}")

    _with_staffing(settings_from_environment(data=data), do)


def _with_staffing(settings: Settings, do: Callable[[Staffing], Coroutine[Any, Any, None]]) -> None:
    from bot.ops.desk.staffing import Staffing, Unfit
    from bot.store.beside import beside
    from bot.wiring import clock_for

    async def work() -> None:
        async with beside(settings.data) as store:
            await do(Staffing(store, clock_for(settings)))

    try:
        run(work())
    except Unfit as unfit:
        raise Told(_WHY_NOT[unfit.fault]) from unfit


def _tell_link(settings: Settings, known: StoredOperator, secret: str, *, as_json: bool) -> None:
    from bot.channels.web.server import address_of
    from bot.ops.desk.pages import link_at

    found = link_at(settings.public_url or address_of(settings), secret)
    if as_json:
        click.echo(json.dumps({**_plain(known), "link": found}, ensure_ascii=False))
        return
    click.echo(f"{known.name} ({known.role}) signs in with this link, once, within 15 minutes:")
    click.echo(found)


def _plain(each: StoredOperator) -> dict[str, object]:
    from bot.store.database import instant

    ended = each.ended_ms
    return {
        "id": each.id,
        "name": each.name,
        "role": each.role,
        "has_password": each.password is not None,
        "let_in": instant(each.made_ms).isoformat(),
        "let_go": None if ended is None else instant(ended).isoformat(),
    }


def _line(each: StoredOperator) -> str:
    if each.ended_ms is not None:
        return f"{each.name}: let go, was {each.role}"
    return f"{each.name}: {each.role}, {'has a password' if each.password else 'signs in by link'}"
