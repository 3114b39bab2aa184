"""`afterfrost queue`: what waits to be sent and to be read, what was sent, and who cannot be reached."""

from __future__ import annotations

import json
from datetime import timedelta

import click

from bot.clock import Clock
from bot.settings import Settings
from bot.store.glance import QueueGlance, queue_of
from bot.talk.messages import Number, Text, Verbatim, text
from bot.words import Words

OLD = timedelta(minutes=15)
"""A queue whose oldest message has been ready for longer than this wants a look."""


def show_queue(settings: Settings, clock: Clock, *, as_json: bool) -> bool:
    """Print one line a channel. False when something needs a person."""
    glance = queue_of(settings.data, clock.now())
    if as_json:
        click.echo(json.dumps(_plain(glance), indent=2))
        return not glance.needs_a_look(OLD)
    words = Words()
    for line in _lines(glance):
        click.echo(words.text(line))
    return not glance.needs_a_look(OLD)


def _lines(glance: QueueGlance) -> list[Text]:
    lines = []
    for each in glance.channels:
        minutes = Number(each.oldest_seconds // 60)
        lines.append(
            text(
                "queue-channel",
                channel=Verbatim(each.channel),
                waiting=Number(each.waiting),
                due=Number(each.due),
                minutes=minutes,
                parked=Number(each.parked),
                unread=Number(each.unread),
                unreadable=Number(each.unreadable),
                unreachable=Number(each.unreachable),
            )
        )
        if each.counts:
            counted = ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in each.counts.items())
            lines.append(text("queue-counts", counts=Verbatim(counted)))
    return lines or [text("queue-empty")]


def _plain(glance: QueueGlance) -> list[dict[str, object]]:
    return [
        {
            "channel": each.channel,
            "waiting": each.waiting,
            "due": each.due,
            "oldest_due_seconds": each.oldest_seconds,
            "parked": each.parked,
            "unread": each.unread,
            "unreadable": each.unreadable,
            "unreachable": each.unreachable,
            "units_last_24_hours": each.units,
            "counts": each.counts,
        }
        for each in glance.channels
    ]
