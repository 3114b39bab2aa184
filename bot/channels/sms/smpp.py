"""A line of our own to a message centre over SMPP 3.4: texts out, texts and receipts in, kept up by itself.

1. The line is tried again and again with growing, jittered pauses; a far side that refuses us is asked seldom, and
   meanwhile nothing goes out.
2. What comes in is acknowledged after it is on disk. If it cannot be stored the far side hears so and keeps it.
3. A long text goes out in parts, one after the other. Each carries its place in a header within the text, which phones
   read themselves; the alternative (sar parameters) relies on the centre to make that header, and not all do.
4. A text that is sent again goes on after the parts that were taken, under the same reference, so that a phone joins
   what it had with what comes. The list of those is in memory only.
5. The receipt is asked for on the last part, and its id there is what we go by.
"""

from __future__ import annotations

import asyncio
import hashlib
import logging
import random
from collections import OrderedDict
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Self, TypeVar

from bot.arrivals import Intake
from bot.channels.sms.alphabet import Encoding, encode
from bot.channels.sms.bodies import arrival_of
from bot.channels.sms.segments import split
from bot.channels.sms.smpp_reading import content_of, far_id, read
from bot.channels.sms.smpp_session import (
    Account,
    Answer,
    BindRefused,
    Command,
    CommandStatus,
    NoAnswer,
    NotSent,
    Patience,
    Session,
)
from bot.clock import Clock
from bot.errors import ChannelClosed, ChannelError, Rejected, SlowDown, TryAgain, Uncertain, Unreachable
from bot.logs import trace_of

if TYPE_CHECKING:
    from smpp34 import DeliverSm

__all__ = ["Account", "Patience", "SmppLine"]

log = logging.getLogger(__name__)

CHANNEL = "sms"
PAUSE_SECONDS = 5.0
AGAIN_SECONDS = 10.0
_REMEMBERED = 1000
_K = TypeVar("_K")
_V = TypeVar("_V")
_HAS_HEADER = 0x40
_HEADER_SIZE = 16
_REFERENCES_EACH = 4
_DATA_CODING = {Encoding.GSM: 0, Encoding.UCS2: 8}
_UNKNOWN, _INTERNATIONAL, _NAME = (0, 0), (1, 1), (5, 0)
"""Kinds of address: type of number and numbering plan."""
_REFUSED_FOR_GOOD = frozenset(
    {CommandStatus.INVALID_PASSWORD, CommandStatus.INVALID_SYSTEM_ID, CommandStatus.INVALID_SYSTEM_TYPE}
)
_FOR_THE_MOMENT = frozenset(
    {
        CommandStatus.NOT_BOUND,
        CommandStatus.SYSTEM_ERROR,
        CommandStatus.SUBMIT_FAILED,
        CommandStatus.OURS_FOR_THE_MOMENT,
        CommandStatus.UNKNOWN_ERROR,
    }
)


class SmppLine:
    """Keeps a session with a message centre. Use it as `async with SmppLine(...) as line`."""

    def __init__(
        self,
        account: Account,
        sender: str,
        intake: Intake,
        clock: Clock,
        *,
        patience: Patience | None = None,
        chance: random.Random | None = None,
    ) -> None:
        self._account, self._sender = account, sender
        self._intake = intake
        self._clock = clock
        self._patience = patience or Patience()
        self._chance = chance or random.Random()
        self._session: Session | None = None
        self._refused: int | None = None
        self._keeper: asyncio.Task[None] | None = None
        self._known = asyncio.Event()  # the first try to bind is over
        self._taken: OrderedDict[tuple[str, int, str], int] = OrderedDict()
        self._unanswered: OrderedDict[str, str] = OrderedDict()

    async def __aenter__(self) -> Self:
        self._keeper = asyncio.create_task(self._keep(), name="smpp-line")
        return self

    async def __aexit__(self, *_: object) -> None:
        if self._keeper is not None:
            self._keeper.cancel()
            await asyncio.gather(self._keeper, return_exceptions=True)
        if self._session is not None:
            await self._session.close()

    # --- the line ----------------------------------------------------------------------------------------------------

    async def _keep(self) -> None:
        loop = asyncio.get_running_loop()
        failures = 0
        while True:
            began = loop.time()
            await self._one_session()
            lasted = loop.time() - began
            failures = 0 if lasted > self._patience.longest_wait_seconds else failures + 1
            await asyncio.sleep(self._pause(failures))

    def _pause(self, failures: int) -> float:
        if self._refused is not None:
            wait = self._patience.refused_wait_seconds
        else:
            growing = self._patience.first_wait_seconds * 2 ** min(failures, 16)
            wait = min(growing, self._patience.longest_wait_seconds)
        return wait * self._chance.uniform(0.5, 1.0)

    async def _one_session(self) -> None:
        """Bind, and stay until the session ends."""
        try:
            self._session = await Session.open(self._account, self._deliver, self._patience)
            self._refused = None
            self._known.set()
            log.info("The line to the message centre is up.")
            await self._session.ended()
        except BindRefused as error:
            self._refused = error.status if error.status in _REFUSED_FOR_GOOD else None
            log.error("The message centre refuses us (status %#x). Check account and password.", error.status)
        except (OSError, TimeoutError, NoAnswer, NotSent) as error:
            log.warning("The message centre cannot be reached (%s).", type(error).__name__)
        except Exception as error:  # noqa: BLE001 - the edge: the line must be tried again whatever it was
            log.error("The line to the message centre failed.\n%s", trace_of(error))
        finally:
            self._known.set()

    async def _bound(self) -> Session:
        """The session, if there is one. Right after the start the first try is waited for."""
        try:
            async with asyncio.timeout(self._patience.connect_seconds):
                await self._known.wait()
        except TimeoutError as error:
            raise TryAgain("The message centre has not let us in yet.", AGAIN_SECONDS) from error
        if self._refused is not None:
            raise ChannelClosed("The message centre refuses us. Check account and password, and start again.")
        if self._session is None or not self._session.is_open:
            raise TryAgain("There is no line to the message centre at the moment.", AGAIN_SECONDS)
        return self._session

    # --- out ---------------------------------------------------------------------------------------------------------

    async def submit(self, address: str, outbox_id: int, text: str) -> str | None:
        """Hand over one text; the far side's id of its last part. Raises a `ChannelError`."""
        session = await self._bound()
        bodies = list(self._bodies(address, outbox_id, text))
        key = (address, outbox_id, text)
        name = ""
        taken = self._taken.pop(key, 0)
        try:
            for body in bodies[taken:]:
                name = far_id((await _sent(session, body)).body)
                taken += 1
        except ChannelError:
            _remember(self._taken, key, taken)
            raise
        return name or None

    def _bodies(self, address: str, outbox_id: int, text: str) -> Iterator[bytes]:
        """The commands that carry a text, without their headers: a session gives the sequence numbers."""
        import smpp34

        parts = split(text)
        total = len(parts.texts)
        from_ton, from_npi = _kind_of(self._sender)
        to_ton, to_npi = _kind_of(address)
        for number, part in enumerate(parts.texts, start=1):
            header = b"" if total == 1 else bytes([5, 0, 3, _reference(outbox_id, text), total, number])
            pdu = smpp34.SubmitSm(
                self._sender.removeprefix("+"),
                address.removeprefix("+"),
                header + encode(part, parts.encoding),
                source_addr_ton=from_ton,
                source_addr_npi=from_npi,
                dest_addr_ton=to_ton,
                dest_addr_npi=to_npi,
                esm_class=_HAS_HEADER if header else 0,
                data_coding=_DATA_CODING[parts.encoding],
                registered_delivery=int(number == total),
            )
            yield pdu.encode()[_HEADER_SIZE:]

    # --- in ----------------------------------------------------------------------------------------------------------

    async def _deliver(self, session: Session, pdu: DeliverSm) -> int:
        """Store what came and say what to answer."""
        try:
            await self._store(session, pdu)
        except Exception as error:  # noqa: BLE001 - the edge: whatever it was, the far side must not think we have it
            log.error("A text that came in could not be stored; the far side keeps it.\n%s", trace_of(error))
            return CommandStatus.OURS_FOR_THE_MOMENT
        return CommandStatus.OK

    async def _store(self, session: Session, pdu: DeliverSm) -> None:
        now = self._clock.now()
        body = read(pdu, now)
        arrival = arrival_of(body, now) if body is not None else None
        if arrival is None:
            log.info("Something came in that is no text of a phone number; it was left out.")
            return
        content = content_of(pdu)
        if (known := self._unanswered.pop(content, None)) is not None:
            log.info("A text came again that was stored before the line broke.")
            arrival = replace(arrival, external_id=known)
        await self._intake.store(CHANNEL, [arrival])
        if not session.is_open:
            _remember(self._unanswered, content, arrival.external_id)


def _remember(memory: OrderedDict[_K, _V], key: _K, value: _V) -> None:
    """Keep it among the latest."""
    memory[key] = value
    if len(memory) > _REMEMBERED:
        memory.popitem(last=False)


async def _sent(session: Session, body: bytes) -> Answer:
    """Send one part; its answer if it was taken, else the error that says what to do next."""
    try:
        answer = await session.request(Command.SUBMIT, body)
    except NotSent as error:
        raise TryAgain("The line to the message centre broke.", AGAIN_SECONDS) from error
    except NoAnswer as error:
        raise Uncertain("The message centre gave no answer.") from error
    status = answer.status
    if status in (CommandStatus.THROTTLED, CommandStatus.QUEUE_FULL):
        raise SlowDown("The message centre asks for a pause.", PAUSE_SECONDS)
    if status == CommandStatus.INVALID_DESTINATION:
        raise Unreachable("The message centre does not know this number.")
    if status in _FOR_THE_MOMENT:
        raise TryAgain(f"The message centre cannot take it now (status {status:#x}).", AGAIN_SECONDS)
    if status != CommandStatus.OK:
        raise Rejected(f"The message centre rejected a text (status {status:#x}).")
    return answer


def _reference(outbox_id: int, text: str) -> int:
    """What the parts of one text have in common: the same at every try, another for another page.

    It has 256 values, and a phone joins parts by it. So it counts on with the messages: the next 63 never share it.
    """
    of_text = hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()[0] % _REFERENCES_EACH
    return (outbox_id * _REFERENCES_EACH + of_text) % 256


def _kind_of(address: str) -> tuple[int, int]:
    if address.startswith("+"):
        return _INTERNATIONAL
    return _UNKNOWN if address.isdigit() else _NAME
