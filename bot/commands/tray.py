"""`afterfrost tray`: the questions homeowners asked to pass on to a person."""

from __future__ import annotations

import json

import click

from bot.settings import Settings
from bot.store.glance import open_questions
from bot.talk.messages import Day, Number, Value, Verbatim, text
from bot.words import Words


def list_tray(settings: Settings, *, as_json: bool) -> None:
    """Print every open question with its number, day and lawn."""
    waiting = open_questions(settings.data)
    if as_json:
        rows = [
            {"id": each.id, "at": each.at.isoformat(), "lawn": each.lawn, "question": each.question} for each in waiting
        ]
        click.echo(json.dumps(rows, ensure_ascii=False, indent=2))
        return
    words = Words()
    if not waiting:
        click.echo(words.text(text("tray-empty")))
    for each in waiting:
        values: dict[str, Value] = {
            "id": Number(each.id),
            "day": Day(each.at.astimezone().date()),
            "question": Verbatim(each.question),
        }
        key = "tray-line" if each.lawn is not None else "tray-line-no-lawn"
        click.echo(words.text(text(key, lawn=Number(each.lawn or 0), **values)))
