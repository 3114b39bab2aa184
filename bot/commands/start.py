"""`afterfrost start`: the chat page on this machine and the networks that are switched on."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence

import click

from bot.channels.web import WebChannel, serve, web_app
from bot.commands.start_desk import DeskSettings, OperatorsSide
from bot.commands.weather_jobs import weather_jobs
from bot.conversation import known_here, talk_knowing, warm_up
from bot.networks import Door, Network, open_networks
from bot.photos.intake import PhotoIntake
from bot.settings import Settings
from bot.talk.case import Homeowner
from bot.talk.effects import Say
from bot.talk.messages import Several, Verbatim, text
from bot.talk.ports import Rendered
from bot.terms import Terms
from bot.turns import SHORT_CHANNELS
from bot.weather.living import LivingBook
from bot.wiring import Ways, clock_for, running, until_told_to_stop
from bot.words import Words

WEB_TERMS = Terms(in_flight=64)
"""Sending to the page only wakes open browsers, so many may be under way."""


async def serve_here(settings: Settings) -> None:
    """Run until told to stop (Ctrl-C or SIGTERM)."""
    words, clock, door, photos = Words(), clock_for(settings), Door(), PhotoIntake()
    async with open_networks(settings, words, clock, door, photos) as networks:
        terms = {"web": WEB_TERMS} | {network.channel.name: network.terms for network in networks}
        given = DeskSettings(settings=settings, clock=clock, words=words, terms=terms)
        await _serve_with(given, networks, door, photos)


async def _serve_with(given: DeskSettings, networks: Sequence[Network], door: Door, photos: PhotoIntake) -> None:
    settings, words, clock, page = given.settings, given.words, given.clock, WebChannel()
    weather = LivingBook(settings.data)
    operators = OperatorsSide(given, known_here(words, settings, weather))
    jobs, talk = weather_jobs(settings, weather, clock), talk_knowing(words, operators.known)
    channels = [page, *(network.channel for network in networks)]
    ways = _ways(networks, given, operators)
    async with (
        running(settings, clock, channels, talk, ways=ways, weather=jobs) as house,
        asyncio.TaskGroup() as group,
    ):
        door.open(house.intake)
        operators.wake_with(house.courier.wake)
        warming = group.create_task(warm_up(talk))
        hearing = [group.create_task(network.listen(house.intake)) for network in networks if network.listen]
        routes = [route for network in networks for route in network.routes_of(house.intake)]
        await serve(
            web_app(house, words, page, [*routes, *operators.routes(house)], photos=photos, known=operators.known),
            settings,
            channel=page,
            until=until_told_to_stop(),
            listening=lambda address: _say_where(words, address, networks),
        )
        for task in (warming, *hearing):
            task.cancel()


def _ways(networks: Sequence[Network], given: DeskSettings, operators: OperatorsSide) -> Ways:
    words, line = given.words, given.settings.contact_line
    contact = Verbatim(line) if line else text("contact-none")

    def speak(channel: str, key: str) -> Rendered:
        say = Say(parts=(text(key, contact=contact),))
        return words.render(say, Homeowner(), is_short=channel in SHORT_CHANNELS)

    return Ways(
        terms=given.terms,
        inlets_of=[network.inlet_of for network in networks],
        speak=speak,
        chores=operators.chores,
        prepare=operators.prepare,
    )


def _say_where(words: Words, address: str, networks: Sequence[Network]) -> None:
    click.echo(words.text(text("start-listening", address=Verbatim(address))))
    if networks:
        names = Several(tuple(Verbatim(network.channel.name) for network in networks))
        click.echo(words.text(text("start-networks", names=names)))
    click.echo(click.style(words.text(text("start-how-to-stop")), dim=True))
