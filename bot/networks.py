"""The networks that are switched on: for each its channel, its way in, its terms, and what must run or listen for it.

Each is built from the settings alone, and only when they ask for it. What needs the running house (the store, the
intake) is given it later, through `Network`.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import AsyncIterator, Callable, Coroutine, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from bot.arrivals import Inlet, Intake, NewArrival
from bot.channels.channel import Channel
from bot.clock import Clock
from bot.errors import ChannelClosed, ChannelError, StoreError
from bot.pace import Limits
from bot.settings import Settings
from bot.store.store import Store
from bot.talk.messages import text
from bot.terms import Terms
from bot.words import Words

if TYPE_CHECKING:
    from starlette.routing import Route

    from bot.photos.intake import PhotoIntake

log = logging.getLogger(__name__)

Listen = Callable[[Intake], Coroutine[Any, Any, None]]
"""Hears a network until it is cancelled."""

TELEGRAM_A_SECOND, TELEGRAM_IN_FLIGHT = 25, 32
"""Of the 30 a second that its makers name; the rest is for what they count and we do not see."""
TELEGRAM_MENU = ("plan", "change", "why", "person", "help", "data", "stop")
TELEGRAM_CHAT_SECONDS, TELEGRAM_GROUP_SECONDS = 1.0, 3.0
SMS_IN_FLIGHT = 8
MOST_SEGMENTS = 3
SMS_PATH, TELEGRAM_PATH = "/in/sms", "/in/telegram"


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """One network.

    channel : how the courier sends on it
    terms : how it may be used
    inlet_of : how what came in is read, once there is a store
    listen : what must run while the house runs
    routes_of : what the web server must answer for it
    """

    channel: Channel
    terms: Terms
    inlet_of: Callable[[Store], Inlet]
    listen: Listen | None = None
    routes_of: Callable[[Intake], Sequence[Route]] = field(default=lambda _intake: ())


class Door:
    """The way in for what is built before the house: closed until the house runs."""

    def __init__(self) -> None:
        self._intake: Intake | None = None

    def open(self, intake: Intake) -> None:
        """Let in from now on."""
        self._intake = intake

    async def store(self, channel: str, arrivals: Sequence[NewArrival], cursor: int | None = None) -> None:
        """See `Intake`. Raises `StoreError` while nobody is home."""
        await self._home().store(channel, arrivals, cursor)

    async def cursor(self, channel: str) -> int | None:
        """See `Intake`."""
        return await self._home().cursor(channel)

    def _home(self) -> Intake:
        if self._intake is None:
            raise StoreError("Afterfrost is still starting; give this in again.")
        return self._intake


@asynccontextmanager
async def open_networks(
    settings: Settings, words: Words, clock: Clock, door: Door, photos: PhotoIntake
) -> AsyncIterator[list[Network]]:
    """The networks the settings ask for, until the end of the block. Raises `SettingsError` for what cannot be used.

    `photos` opens the pictures of all of them, so that together they take no more processes than one would.
    """
    from contextlib import AsyncExitStack

    async with AsyncExitStack() as stack:
        networks = []
        if settings.telegram_token:
            networks.append(await _telegram(settings, words, clock, photos, stack.enter_async_context))
        if settings.sms != "off":
            networks.append(await _sms(settings, words, clock, door, photos, stack.enter_async_context))
        yield networks


async def _telegram(
    settings: Settings,
    words: Words,
    clock: Clock,
    photos: PhotoIntake,
    enter: Callable,  # type: ignore[type-arg]
) -> Network:
    from bot.channels.telegram.channel import TelegramChannel
    from bot.channels.telegram.client import TelegramClient
    from bot.channels.telegram.inlet import TelegramInlet
    from bot.channels.telegram.polling import poll
    from bot.channels.telegram.webhook import secret_of, webhook
    from bot.charts.desk import ChartDesk
    from bot.store.store import photo_folder

    token, is_called = settings.telegram_token, settings.telegram_listen == "webhook"
    client = await enter(TelegramClient(token, server=settings.telegram_api, connections=TELEGRAM_IN_FLIGHT + 2))
    menu = [(name, words.text(text(f"telegram-menu-{name}"))) for name in TELEGRAM_MENU]

    async def listen(intake: Intake) -> None:
        await until_done(lambda: client.set_commands(menu))
        if is_called:
            address = f"{settings.public_url.rstrip('/')}{TELEGRAM_PATH}"
            await until_done(lambda: client.set_webhook(address, secret_of(token)))
        else:
            await until_done(client.delete_webhook)
            await poll(client, intake, clock)

    def routes_of(intake: Intake) -> Sequence[Route]:
        from starlette.routing import Route

        return [Route(TELEGRAM_PATH, webhook(token, intake, clock), methods=["POST"])] if is_called else ()

    return Network(
        channel=TelegramChannel(client, words, ChartDesk(words), photo_folder(settings.data)),
        terms=TELEGRAM_TERMS,
        inlet_of=lambda store: TelegramInlet(client, photos, store.files, clock),
        listen=listen,
        routes_of=routes_of,
    )


def _telegram_gap(address: str) -> float:
    """Seconds between two messages to one chat; groups have numbers below zero."""
    return TELEGRAM_GROUP_SECONDS if address.startswith("-") else TELEGRAM_CHAT_SECONDS


TELEGRAM_TERMS = Terms(
    in_flight=TELEGRAM_IN_FLIGHT,
    limits=Limits(units=TELEGRAM_A_SECOND, window_seconds=1.0, gap_of=_telegram_gap),
)


async def until_done(ask: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Ask the far side for something that can wait: again after a pause while it cannot do it, never giving up."""
    pause_seconds = 2.0
    while True:
        try:
            await ask()
        except ChannelError as error:
            log.warning("A network could not be set up yet. %s", error)
            if isinstance(error, ChannelClosed):
                return
            await asyncio.sleep(pause_seconds)
            pause_seconds = min(pause_seconds * 2, 60.0)
        else:
            return


async def _sms(
    settings: Settings,
    words: Words,
    clock: Clock,
    door: Door,
    photos: PhotoIntake,
    enter: Callable,  # type: ignore[type-arg]
) -> Network:
    from bot.channels.sms.channel import SmsChannel
    from bot.channels.sms.inlet import PictureRules, Pictures, SmsInlet

    hosts = frozenset(host.strip().lower() for host in settings.sms_picture_hosts.split(",") if host.strip())
    pictures = await enter(Pictures(PictureRules(hosts=hosts)))
    transport, routes_of = await _transport(settings, clock, door, enter)
    return Network(
        channel=SmsChannel(transport, words.text(text("sms-more-hint")), words.text(text("sms-nothing-more"))),
        terms=sms_terms(settings),
        inlet_of=lambda store: SmsInlet(pictures, photos, store.files, clock),
        routes_of=routes_of,
    )


def sms_terms(settings: Settings) -> Terms:
    """How texts may be sent with these settings."""
    limits = Limits(
        units=settings.sms_a_minute,
        window_seconds=60.0,
        most_at_once=MOST_SEGMENTS,
        day_units=settings.sms_a_day,
    )
    return Terms(in_flight=SMS_IN_FLIGHT, limits=limits, needs_consent=True)


async def _transport(settings: Settings, clock: Clock, door: Door, enter: Callable):  # type: ignore[no-untyped-def, type-arg]
    """What carries texts, and what the web server answers for it."""
    if settings.sms == "smpp":
        from bot.channels.sms.smpp import Account, SmppLine

        host, _, port = settings.sms_url.rpartition(":")
        account = Account(
            host=host, port=int(port), system_id=settings.sms_login, password=settings.sms_key, tls=settings.sms_tls
        )
        return await enter(SmppLine(account, settings.sms_number, door, clock)), lambda _intake: ()

    from starlette.routing import Route

    from bot.channels.sms.gateway import Addresses, FormGateway, HttpGateway, JsonGateway, callbacks
    from bot.channels.sms.signing import SharedHmac, StandardWebhooks

    called_at = f"{settings.public_url.rstrip('/')}{SMS_PATH}"
    strategy: JsonGateway | FormGateway
    if settings.sms == "forms":
        signing = SharedHmac(key=settings.sms_secret.encode(), header=settings.sms_signature_header)
        strategy = FormGateway(key=settings.sms_key, signing=signing)
    else:
        strategy = JsonGateway(key=settings.sms_key, signing=StandardWebhooks(settings.sms_secret.split()))
    addresses = Addresses(url=settings.sms_url, sender=settings.sms_number, callback=called_at)
    gateway = await enter(HttpGateway(addresses, strategy, clock))
    return gateway, lambda intake: [Route(SMS_PATH, callbacks(strategy, intake, clock), methods=["POST"])]
