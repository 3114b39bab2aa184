"""`afterfrost start`: the chat page on this machine, with everything that carries it."""

from __future__ import annotations

import asyncio

import click

from bot.channels.web import WebChannel, serve
from bot.commands.weather_jobs import weather_jobs
from bot.conversation import real_talk, warm_up
from bot.settings import Settings
from bot.talk.messages import Verbatim, text
from bot.terms import Terms
from bot.weather.living import LivingBook
from bot.wiring import clock_for, running, until_told_to_stop
from bot.words import Words

TERMS = {"web": Terms(in_flight=64)}
"""Sending to the page only wakes open browsers, so many may be under way."""


async def serve_here(settings: Settings) -> None:
    """Run until told to stop (Ctrl-C or SIGTERM)."""
    words = Words()
    channel = WebChannel()

    def say_where(address: str) -> None:
        click.echo(words.text(text("start-listening", address=Verbatim(address))))
        click.echo(click.style(words.text(text("start-how-to-stop")), dim=True))

    weather, clock = LivingBook(settings.data), clock_for(settings)
    jobs = weather_jobs(settings, weather, clock)
    async with (
        asyncio.TaskGroup() as group,
        running(
            settings, clock_for(settings), [channel], real_talk(settings, weather), terms=TERMS, weather=jobs
        ) as house,
    ):
        group.create_task(warm_up())
        await serve(house, words, settings, channel=channel, until=until_told_to_stop(), listening=say_where)
