"""The process that is killed: the real wiring on a data folder, fed through a socket, sending into a journal.

Each line that comes in is a JSON object with `address`, `id` and `incoming`; the answer is the same id once the message
is on disk, or the id with `busy` when it could not be taken and should be sent again.
"""

from __future__ import annotations

import argparse
import asyncio
import importlib
import json
import os
from datetime import UTC, datetime
from pathlib import Path

from bot.clock import ShiftedClock
from bot.envelope import Envelope
from bot.errors import StoreError
from bot.service import Service
from bot.settings import Settings
from bot.store.rows import load_incoming
from bot.talk.ports import Talk
from bot.terms import Terms
from bot.wiring import Ways, running, until_told_to_stop
from tests.fakes.journal_channel import JournalChannel


def named(path: str) -> object:
    """What stands at "package.module:name"."""
    module, _, name = path.partition(":")
    return getattr(importlib.import_module(module), name)


async def serve(arguments: argparse.Namespace) -> None:
    """Run until told to stop."""
    talk = named(arguments.talk)
    if not isinstance(talk, Talk):
        raise TypeError(f"{arguments.talk} is no talk")
    channel = JournalChannel(arguments.journal, takes_seconds=arguments.send_seconds)
    settings = Settings(data=arguments.data, clock_shift_file=arguments.shift)
    clock = ShiftedClock(arguments.shift)
    terms = {channel.name: Terms(in_flight=arguments.in_flight)}
    async with running(settings, clock, [channel], talk, ways=Ways(terms=terms)) as application:
        server = await asyncio.start_unix_server(
            lambda reader, writer: _answer(application.service, reader, writer), path=arguments.socket
        )
        watching = asyncio.create_task(_end_with_parent())
        print("ready", flush=True)  # noqa: T201 - read by the parent
        await until_told_to_stop()
        server.close()
        watching.cancel()


async def _end_with_parent() -> None:
    """A drill that was itself killed must not leave this process behind."""
    parent = os.getppid()
    while os.getppid() == parent:  # noqa: ASYNC110 - there is no event for it
        await asyncio.sleep(1)
    os._exit(1)


async def _answer(service: Service, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    while line := await reader.readline():
        asked = json.loads(line)
        envelope = Envelope(
            channel="journal",
            address=asked["address"],
            external_id=asked["id"],
            at=datetime.now(UTC),
            incoming=load_incoming(json.dumps(asked["incoming"])),
        )
        answer = {"id": asked["id"]}
        try:
            await service.take_in(envelope)
        except StoreError:
            answer["busy"] = "yes"
        writer.write((json.dumps(answer) + "\n").encode())
        await writer.drain()
    writer.close()


def main() -> None:
    """Read the arguments and serve."""
    parser = argparse.ArgumentParser()
    for name in ("data", "socket", "journal", "shift"):
        parser.add_argument(f"--{name}", type=Path, required=True)
    parser.add_argument("--talk", required=True)
    parser.add_argument("--in-flight", type=int, default=1)
    parser.add_argument("--send-seconds", type=float, default=0.0)
    asyncio.run(serve(parser.parse_args()))


if __name__ == "__main__":
    main()
