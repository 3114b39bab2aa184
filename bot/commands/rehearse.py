"""`afterfrost rehearse`: shows everything the bot does in a season, in under half a minute."""

from __future__ import annotations

import json
import sys
from zoneinfo import ZoneInfo

import click

from bot.channels.terminal import wrapped_lines
from bot.errors import SettingsError
from bot.rehearsal.play import Line, play_season
from bot.rehearsal.scenario import FREEZE_ON, OWNERS, ZONE
from bot.talk.case import Homeowner, TaskState
from bot.talk.messages import Day, Number, Text, Verbatim, text
from bot.words import Words


async def play(*, only: str | None, as_json: bool) -> None:
    """Play the season and print it, one lawn after the other, each line with its local date and time."""
    owners = tuple(owner for owner in OWNERS if only is None or owner.name.lower() == only.lower())
    if not owners:
        raise SettingsError(f"No lawn of {only!r} here. There are: {', '.join(owner.name for owner in OWNERS)}.")
    lines: list[Line] = []
    with _Progress() as progress:

        def watch(line: Line) -> None:
            lines.append(line)
            progress.tick()

        ends = await play_season(owners, watch)
    if as_json:
        for line in lines:
            click.echo(json.dumps(_as_dict(line), ensure_ascii=False))
        return
    words = Words()
    click.echo(_say(words, text("rehearse-head", day=Day(FREEZE_ON))))
    for owner in owners:
        click.echo(_heading(words, text("rehearse-lawn", name=Verbatim(owner.name), lawn=Verbatim(owner.lawn))))
        for line in lines:
            if line.owner == owner.name:
                _show(line)
        click.echo(_say(words, _ending(owner.name, owner.fate, ends[owner.name])))


class _Progress:
    """A count of lines on standard error while the season is played, only where a person looks on."""

    def __init__(self) -> None:
        self._count = 0
        self._is_watched = sys.stderr.isatty()

    def __enter__(self) -> _Progress:
        return self

    def tick(self) -> None:
        """One more line."""
        self._count += 1
        if self._is_watched and self._count % _TICK_EVERY == 0:
            click.echo(f"\r{self._count}", nl=False, err=True)

    def __exit__(self, *_: object) -> None:
        if self._is_watched:
            click.echo("\r", nl=False, err=True)


_TICK_EVERY = 25


def _show(line: Line) -> None:
    stamp = line.at.astimezone(ZoneInfo(ZONE)).strftime("%a %b %d %H:%M")
    if line.is_owner:
        click.echo(f"\n{click.style(stamp, dim=True)}  {click.style(f'{line.owner}: {line.text}', fg='yellow')}")
        return
    click.echo(f"\n{click.style(stamp, dim=True)}")
    for text_line in wrapped_lines(line.text):
        click.echo(f"    {text_line}".rstrip())
    if line.choices:
        click.echo(click.style("    " + "  ".join(f"[{label}]" for label in line.choices), dim=True))


def _ending(name: str, fate: str, homeowner: Homeowner) -> Text:
    tasks = [task for case in homeowner.lawns for task in case.tasks]
    return text(
        "rehearse-end",
        name=Verbatim(name),
        fate=Verbatim(fate),
        done=Number(sum(task.state is TaskState.DONE for task in tasks)),
        all=Number(len(tasks)),
    )


def _heading(words: Words, message: Text) -> str:
    title = words.text(message)
    return f"\n{click.style('=' * len(title), fg='cyan')}\n{click.style(title, bold=True)}"


def _say(words: Words, message: Text) -> str:
    return "\n" + "\n".join(wrapped_lines(words.text(message)))


def _as_dict(line: Line) -> dict[str, object]:
    return {
        "owner": line.owner,
        "at": line.at.astimezone(ZoneInfo(ZONE)).isoformat(),
        "from": "owner" if line.is_owner else "bot",
        "text": line.text,
        "choices": list(line.choices),
    }
