"""`afterfrost talk`: the conversation in this terminal, with the same service, store and courier as every channel."""

from __future__ import annotations

import asyncio
import errno
import sys
import uuid
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bot.channels.terminal import ADDRESS, TerminalChannel
from bot.commands.weather_jobs import weather_jobs
from bot.conversation import GAZETTEER, known_here, talk_knowing, warm_up
from bot.envelope import Envelope
from bot.garbage import made_to_stay
from bot.ops.local.early import early_book
from bot.settings import Settings
from bot.store import outbox
from bot.store.store import Store
from bot.talk.case import Place
from bot.talk.incoming import Arrived, Incoming, PhotoRefused, Said, SentPhoto
from bot.talk.known import LocalRules
from bot.talk.messages import Text
from bot.talk.ports import Talk
from bot.weather.living import LivingBook
from bot.wiring import Application, Ways, clock_for, running
from bot.words import Words

if TYPE_CHECKING:
    from bot.ops.local.book import LocalBook

_LOOK_AGAIN_SECONDS = 0.01
_PHOTO = "/photo"


async def talk_here(settings: Settings) -> None:
    """Run until the input ends."""
    words = Words()

    def label(key: str) -> str:
        return words.text(Text(key=key))

    channel = TerminalChannel(label)
    weather, clock = LivingBook(settings.data), clock_for(settings)
    jobs = weather_jobs(settings, weather, clock)
    local: list[LocalBook] = []

    def local_at(place: Place | None) -> LocalRules | None:
        return local[0].at(place) if local else None

    async def prepare(store: Store) -> None:
        book = await early_book(store, GAZETTEER.zip_near)
        local.extend([] if book is None else [book])

    talk = talk_knowing(words, replace(known_here(words, settings, weather), local_at=local_at))
    await asyncio.to_thread(weather.refresh)  # before the first words: nobody else is kept waiting here
    try:
        async with running(settings, clock, [channel], talk, ways=Ways(prepare=prepare), weather=jobs) as application:
            await _converse(application, channel, talk, label)
    except* BrokenPipeError:
        channel.is_cut_off = True
    if channel.is_cut_off:
        raise BrokenPipeError(errno.EPIPE, "Nobody reads what is printed.")  # click ends the command quietly


async def _converse(
    application: Application, channel: TerminalChannel, talk: Talk, label: Callable[[str], str]
) -> None:
    is_person = sys.stdin.isatty()
    if is_person:
        click.echo(click.style(label("terminal-hello"), dim=True))
    try:
        await _take_turns(application, channel, talk, label)
    finally:  # by Ctrl-C too
        if is_person and not channel.is_cut_off:
            click.echo(click.style(f"\n{label('terminal-bye')}", dim=True))


async def _take_turns(
    application: Application, channel: TerminalChannel, talk: Talk, label: Callable[[str], str]
) -> None:
    is_person = sys.stdin.isatty()
    await _hand_in(application, channel, Arrived())
    async with asyncio.TaskGroup() as group:
        group.create_task(_get_ready(talk, is_person))  # while the first words are read: before, it would hold them up
        while not channel.is_cut_off:
            line = await _next_line(label("terminal-prompt") if is_person else "")
            if line is None:
                break
            incoming = await _understood(application, line)
            if incoming is None:
                click.echo(label("terminal-photo-missing"))
                continue
            await _hand_in(application, channel, incoming)


async def _get_ready(talk: Talk, is_person: bool) -> None:
    """Lines of a file are there at once: each part is read when one of them needs it."""
    if is_person:
        await warm_up(talk)
        return
    with made_to_stay():
        pass


async def _next_line(prompt: str) -> str | None:
    """One line of input, read in a thread so that reminders can be shown meanwhile; None at its end."""
    if prompt:
        click.echo(f"\n{click.style(prompt, fg='green')} ", nl=False)
        await _something_typed()
    line = await asyncio.to_thread(sys.stdin.readline)
    return line.rstrip("\r\n") if line else None


async def _something_typed() -> None:
    """Wait beside the thread: one that waits for a person's line cannot be called off, and Ctrl-C would wait for it."""
    loop, typed = asyncio.get_running_loop(), asyncio.Event()
    loop.add_reader(sys.stdin.fileno(), typed.set)
    try:
        await typed.wait()
    finally:
        loop.remove_reader(sys.stdin.fileno())


async def _understood(application: Application, line: str) -> Incoming | None:
    if not line.startswith(f"{_PHOTO} "):
        return Said(text=line)
    content = await asyncio.to_thread(_read, line.removeprefix(_PHOTO).strip().strip("'\""))
    return await _opened(application, content) if content is not None else None


def _read(name: str) -> bytes | None:
    file = Path(name).expanduser()
    return file.read_bytes() if file.is_file() else None


async def _opened(application: Application, content: bytes) -> Incoming:
    from bot.photos.intake import PhotoIntake, Refused, Wanted
    from bot.talk.cover import cover_seen
    from rules.cover_reading import Upload

    opened = await PhotoIntake().open(content, Wanted(upload=Upload.FILE))
    if isinstance(opened, Refused):
        return PhotoRefused(reason=opened.reason)
    photo_id = application.store.files.keep(opened.jpeg, application.clock.now())
    return SentPhoto(photo_id=photo_id, cover=cover_seen(opened.reading))


async def _hand_in(application: Application, channel: TerminalChannel, incoming: Incoming) -> None:
    """Take a message in and wait until everything said to it is printed, or can be no more."""
    envelope = Envelope(
        channel="terminal",
        address=ADDRESS,
        external_id=str(uuid.uuid4()),
        at=application.clock.now(),
        incoming=incoming,
    )
    await application.service.take_in(envelope)
    await _printed(application, channel)


async def _printed(application: Application, channel: TerminalChannel) -> None:
    while not channel.is_cut_off:
        await asyncio.sleep(_LOOK_AGAIN_SECONDS)  # before the look, which would only hold up the printing
        async with application.store.database.read() as tx:
            waiting = await outbox.waiting(tx)
        if not waiting.get(channel.name):
            return
