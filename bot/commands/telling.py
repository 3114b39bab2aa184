"""What every subcommand shares: its settings, errors that say what to do, and how a group of commands reads them.

A group with several subcommands is made in its own file, and what takes long to import is imported in its functions.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Coroutine, Iterator
from typing import TYPE_CHECKING, Any

import click

from bot.errors import AfterfrostError

if TYPE_CHECKING:
    from bot.settings import Settings


class Told(click.ClickException):
    """An error of ours on the command line: one message that says what to do, no traceback."""

    exit_code = 2

    def show(self, file: Any = None) -> None:
        click.echo(click.style(self.message, fg="red"), err=True)


def settings_from_environment(**given: object) -> Settings:
    """Settings from the environment, with what the command line gave on top."""
    from bot.settings import read_settings

    environ = dict(os.environ)
    environ |= {f"AFTERFROST_{name.upper()}": str(value) for name, value in given.items() if value is not None}
    try:
        return read_settings(environ)
    except AfterfrostError as error:
        raise Told(str(error)) from error


def run(coroutine: Coroutine[Any, Any, None]) -> None:
    """Run a command to its end. What it cannot do is told in one message."""
    import asyncio  # not above: the collector of garbage would look through it again and again while it is read

    try:
        asyncio.run(coroutine)
    except AfterfrostError as error:
        raise Told(str(error)) from error
    except BaseExceptionGroup as group:  # tasks side by side that ended together
        ours, others = group.split(AfterfrostError)
        if ours is None or others is not None:
            raise
        raise Told("\n".join(dict.fromkeys(_leaves(ours)))) from group
    except KeyboardInterrupt:
        sys.exit(130)


def _leaves(group: BaseExceptionGroup[AfterfrostError]) -> Iterator[str]:
    for each in group.exceptions:
        if isinstance(each, BaseExceptionGroup):
            yield from _leaves(each)
        else:
            yield str(each)


data_option = click.option("--data", type=click.Path(file_okay=False), help="Folder for the database and photos.")
json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
