"""`afterfrost enrol`: ask everybody on a list of people who agreed; `afterfrost invite`: the links of a region."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

from bot.clock import Clock, SystemClock
from bot.commands.acting import acting_operator
from bot.errors import AfterfrostError
from bot.ops.enrolling.enrol import Enrolled, enrol
from bot.ops.enrolling.invites import code_of, telegram_link, web_link
from bot.ops.enrolling.lists import Listed, read_list
from bot.ops.regions.book import RegionBook
from bot.ops.roles import Role
from bot.settings import Settings
from bot.store.beside import beside
from bot.store.database import secret_of
from bot.words import Words


class EnrolRefused(AfterfrostError):
    """What was asked for cannot be done. The message says what to do."""


async def enrol_command(settings: Settings, clock: Clock, file: Path, *, dry: bool, name: str | None) -> str:
    """Read a list and ask everybody on it; what became of it as JSON. `dry`: only read."""
    listed = read_list(await asyncio.to_thread(file.read_bytes), clock.now())
    if dry:
        return _told(listed, None)
    async with beside(settings.data) as store:
        by = await acting_operator(store, name, Role.APPROVER)
        return _told(listed, await enrol(store, Words(), listed.agreed, clock.now(), None if by is None else by.id))


def _told(listed: Listed, enrolled: Enrolled | None) -> str:
    found: dict[str, object] = {
        "people": len(listed.agreed),
        "wrong_lines": [{"line": fault.line, "why": fault.why} for fault in listed.faults],
    }
    if enrolled is not None:
        found |= {"asked": enrolled.asked, "left_out": enrolled.left_out}
    return json.dumps(found, indent=2)


async def invite_command(settings: Settings, region: str, *, telegram_name: str | None, picture: Path | None) -> str:
    """The links that carry a region, as JSON; with `picture` the web link as a QR code in an SVG file."""
    if not settings.public_url:
        raise EnrolRefused("Links need AFTERFROST_PUBLIC_URL: the address homeowners reach the page at.")
    async with beside(settings.data) as store:
        found = await RegionBook(store.database, SystemClock()).named(region)
        async with store.database.read() as tx:
            code = code_of(secret_of(tx), found.id)
    links = {"code": code, "web": web_link(settings.public_url, code)}
    if telegram_name:
        links["telegram"] = telegram_link(telegram_name, code)
    if picture is not None:
        import segno

        segno.make(links["web"], error="m", micro=False).save(str(picture), scale=8, border=4)
    return json.dumps(links, indent=2)
