"""A line to a message centre, with the library's own server as the far side: texts, receipts, broken lines."""

from __future__ import annotations

import asyncio
import json
import random
import struct
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import smpp34
from hypothesis import given
from hypothesis import strategies as st

from bot.arrivals import NewArrival
from bot.channels.sms.alphabet import Encoding, encode
from bot.channels.sms.bodies import Text, arrival_of, load_body, mended
from bot.channels.sms.smpp import Account, Patience, SmppLine
from bot.channels.sms.smpp_reading import read
from bot.clock import SetClock
from bot.errors import ChannelClosed, Rejected, SlowDown, StoreError, TryAgain, Uncertain, Unreachable
from tests.fakes import smsc
from tests.fakes.smsc import NO_ANSWER, Smsc

NOW = datetime(2027, 1, 20, 17, 0, tzinfo=UTC)
ANN, OURS = "+12025550143", "898211"
OK, FOR_THE_MOMENT = 0, 0x64
ENQUIRE, UNBIND, DELIVER = 0x15, 0x06, 0x05
QUICK = Patience(
    connect_seconds=5,
    answer_seconds=5,
    alive_seconds=5,
    first_wait_seconds=0.001,
    longest_wait_seconds=0.01,
    refused_wait_seconds=0.01,
)
LONG_GSM = "Leave the brown top on {for now}. " * 12 + "€"
LONG_UCS2 = "草坪 🙂 " * 40


@dataclass(slots=True)
class Shelf:
    """An intake in memory, which can be full, or wait for a sign."""

    arrivals: list[NewArrival] = field(default_factory=list)
    is_broken: bool = False
    begun: asyncio.Event = field(default_factory=asyncio.Event)
    may_end: asyncio.Event = field(default_factory=asyncio.Event)
    _news: asyncio.Condition = field(default_factory=asyncio.Condition)

    def __post_init__(self) -> None:
        self.may_end.set()

    async def store(self, channel: str, arrivals: Sequence[NewArrival], cursor: int | None = None) -> None:
        assert channel == "sms"
        self.begun.set()
        await self.may_end.wait()
        if self.is_broken:
            raise StoreError("the disk is full")
        async with self._news:
            self.arrivals += arrivals
            self._news.notify_all()

    async def cursor(self, channel: str) -> int | None:
        return None

    async def holds(self, count: int) -> list[NewArrival]:
        """Wait until so many were stored."""
        async with self._news:
            await self._news.wait_for(lambda: len(self.arrivals) >= count)
        return self.arrivals


@pytest.fixture
def shelf() -> Shelf:
    return Shelf()


@pytest.fixture
async def far() -> AsyncIterator[Smsc]:
    async with smsc.running() as far:
        yield far


@asynccontextmanager
async def line_to(
    port: int, shelf: Shelf, *, patience: Patience = QUICK, sender: str = OURS
) -> AsyncIterator[SmppLine]:
    account = Account(host="127.0.0.1", port=port, system_id="lawn", password="secret")
    async with (
        SmppLine(account, sender, shelf, SetClock(NOW), patience=patience, chance=random.Random(7)) as line,
        asyncio.timeout(20),
    ):
        yield line


@pytest.fixture
async def line(far: Smsc, shelf: Shelf) -> AsyncIterator[SmppLine]:
    async with line_to(far.port, shelf) as line:
        await far.bound()
        yield line


def text_of(arrival: NewArrival) -> Text:
    body = load_body(arrival.body)
    assert isinstance(body, Text)
    return body


# --- out -------------------------------------------------------------------------------------------------------------


async def test_a_text_arrives_and_its_id_comes_back(far: Smsc, line: SmppLine) -> None:
    """Number without the plus and marked international; a receipt is asked for."""
    far_id = await line.submit(ANN, 7, "Mow at 3 in.")

    [part] = far.taken
    assert far.texts() == ["Mow at 3 in."]
    assert (part.to, part.to_ton, part.sender, part.sender_ton) == ("12025550143", 1, OURS, 0)
    assert (part.esm_class, part.data_coding, part.registered_delivery) == (0, 0, 1)
    assert far_id == part.far_id


@pytest.mark.parametrize(("text", "coding"), [(LONG_GSM, 0), (LONG_UCS2, 8)])
async def test_a_long_text_arrives_whole(far: Smsc, line: SmppLine, text: str, coding: int) -> None:
    """In parts with one reference; the last part's id is ours, and only for it a receipt is asked."""
    far_id = await line.submit(ANN, 7, text)

    assert far.texts() == [text]
    assert len(far.taken) > 1 and {part.data_coding for part in far.taken} == {coding}
    assert [part.registered_delivery for part in far.taken] == [0] * (len(far.taken) - 1) + [1]
    assert far_id == far.taken[-1].far_id
    assert max(len(part.octets) for part in far.taken) <= 159


async def test_two_long_texts_to_one_phone_do_not_mix(far: Smsc, line: SmppLine) -> None:
    """Another page of a message has another reference."""
    await line.submit(ANN, 7, LONG_GSM)
    await line.submit(ANN, 7, LONG_GSM.replace("brown", "green"))

    assert len(far.texts()) == 2


async def test_long_texts_that_follow_each_other_never_mix(far: Smsc, line: SmppLine) -> None:
    """A plan is several long texts in a row: a phone that joined parts of two of them would show neither."""
    for number in range(1, 41):
        await line.submit(ANN, number, f"{number}: {LONG_GSM}")

    assert len(far.texts()) == 40


@pytest.mark.parametrize(
    ("status", "error"),
    [
        (0x58, SlowDown),
        (0x14, SlowDown),
        (0x0B, Unreachable),
        (0x08, TryAgain),
        (0x64, TryAgain),
        (0x04, TryAgain),
        (0x45, TryAgain),
        (0x01, Rejected),
        (0x0A, Rejected),
        (0x66, Rejected),
    ],
)
async def test_what_the_far_side_answers_says_what_to_do_next(
    far: Smsc, line: SmppLine, status: int, error: type[Exception]
) -> None:
    """A pause, a number that is gone, another try, a text of ours that is wrong; the line stays up."""
    far.faults.append(status)
    with pytest.raises(error) as caught:
        await line.submit(ANN, 7, "Hello")

    assert "555" not in str(caught.value) and "Hello" not in str(caught.value)
    assert await line.submit(ANN, 8, "Again") == "far-1"


async def test_a_long_text_goes_on_where_it_was_stopped(far: Smsc, line: SmppLine) -> None:
    """The parts that were taken are not sent and paid for twice."""
    far.faults.extend([OK, 0x58])
    with pytest.raises(SlowDown):
        await line.submit(ANN, 7, LONG_GSM)
    await line.submit(ANN, 7, LONG_GSM)

    assert far.texts() == [LONG_GSM]
    assert [part.place[2] for part in far.taken if part.place] == list(range(1, len(far.taken) + 1))


async def test_no_answer_in_time_leaves_it_open(far: Smsc, shelf: Shelf) -> None:
    """The far side may have it."""
    far.faults.append(NO_ANSWER)
    impatient = Patience(answer_seconds=0.3, first_wait_seconds=0.001, longest_wait_seconds=0.01)
    async with line_to(far.port, shelf, patience=impatient) as line:
        with pytest.raises(Uncertain):
            await line.submit(ANN, 7, "Hello")


async def test_a_line_that_breaks_before_the_answer_leaves_it_open(far: Smsc, line: SmppLine) -> None:
    """And the next text goes out on a new line."""
    far.faults.append(NO_ANSWER)
    sending = asyncio.create_task(line.submit(ANN, 7, "Hello"))
    await far.was_asked(1)
    far.cut()
    with pytest.raises(Uncertain):
        await sending

    await far.bound(2)
    assert await _patiently(line, "Hello again")


async def _patiently(line: SmppLine, text: str) -> str | None:
    """Submit as the courier does: again after a moment while there is no line."""
    while True:
        try:
            return await line.submit(ANN, 8, text)
        except TryAgain:
            await asyncio.sleep(0.001)


@pytest.mark.parametrize("status", [0x0E, 0x0F])
async def test_a_refused_account_closes_the_channel(shelf: Shelf, status: int) -> None:
    """A wrong password or name: nothing goes out until a person has seen to it."""
    async with smsc.scripted(status=status) as (port, _), line_to(port, shelf) as line:
        with pytest.raises(ChannelClosed):
            await line.submit(ANN, 7, "Hello")


async def test_a_far_side_that_is_not_ready_is_tried_again(shelf: Shelf) -> None:
    """An account still bound from before a crash is no refusal."""
    async with smsc.scripted(status=0x05) as (port, heard), line_to(port, shelf) as line:
        with pytest.raises(TryAgain):
            await line.submit(ANN, 7, "Hello")
        await heard.get()
        await heard.get()  # it came back


async def test_nobody_listening_is_tried_again(shelf: Shelf) -> None:
    """What was never connected was never taken."""
    port = int(smsc.unused_address().rpartition(":")[2])
    async with line_to(port, shelf) as line:
        with pytest.raises(TryAgain):
            await line.submit(ANN, 7, "Hello")


@pytest.mark.parametrize(("sender", "ton"), [("898211", 0), ("+12025550100", 1), ("Afterfrost", 5)])
async def test_what_we_send_from_is_marked_by_its_kind(far: Smsc, shelf: Shelf, sender: str, ton: int) -> None:
    """A short code, a number, a name."""
    async with line_to(far.port, shelf, sender=sender) as line:
        await line.submit(ANN, 7, "Hello")

    assert (far.taken[0].sender, far.taken[0].sender_ton) == (sender.removeprefix("+"), ton)


# --- in --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("octets", "coding", "text"),
    [
        (encode("My lawn froze {today} €", Encoding.GSM), 0, "My lawn froze {today} €"),
        ("Él césped".encode("latin-1"), 3, "Él césped"),
        ("草坪 🙂".encode("utf-16-be"), 8, "草坪 🙂"),
        (b"plain", 1, "plain"),
    ],
)
async def test_a_text_is_stored_in_its_letters(
    far: Smsc, line: SmppLine, shelf: Shelf, octets: bytes, coding: int, text: str
) -> None:
    """Whatever alphabet it came in, under the sender's number and at our own time."""
    assert await far.told(octets, data_coding=coding) == OK

    [arrival] = shelf.arrivals
    assert (arrival.address, arrival.at, arrival.group) == (ANN, NOW, None)
    assert text_of(arrival).text == text
    assert (text_of(arrival).from_, text_of(arrival).to) == (ANN, OURS)


async def test_a_text_is_acknowledged_only_when_it_is_on_disk(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """A crash before that makes the far side send it again."""
    shelf.may_end.clear()
    delivering = asyncio.ensure_future(far.deliver(b"STOP"))
    await shelf.begun.wait()
    await asyncio.sleep(0.05)
    was_answered_before = delivering.done()
    shelf.may_end.set()

    assert (await delivering).command_status == OK
    assert not was_answered_before
    assert len(shelf.arrivals) == 1


async def test_what_cannot_be_stored_stays_with_the_far_side(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """It hears an error for the moment, and the same text later is stored."""
    shelf.is_broken = True
    assert await far.told(b"STOP") == FOR_THE_MOMENT

    shelf.is_broken = False
    assert await far.told(b"STOP") == OK
    assert len(shelf.arrivals) == 1


async def test_a_text_delivered_again_over_a_new_line_is_the_same(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """The line broke before the acknowledgement got out: the repeat has the same id, so it has no second effect."""
    shelf.may_end.clear()
    delivering = asyncio.ensure_future(far.deliver(b"yes"))
    await shelf.begun.wait()
    far.cut()
    await asyncio.gather(delivering, return_exceptions=True)
    shelf.may_end.set()
    await far.bound(2)
    assert await far.told(b"Hello?") == OK  # so the repeat has another sequence number
    assert await far.told(b"yes") == OK

    first, _, again = await shelf.holds(3)
    assert [text_of(each).text for each in (first, again)] == ["yes", "yes"]
    assert first.external_id == again.external_id


async def test_the_same_answer_twice_is_two_answers(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """Yes to one question and yes to the next."""
    assert [await far.told(b"yes") for _ in range(2)] == [OK, OK]

    first, second = shelf.arrivals
    assert first.external_id != second.external_id


@pytest.mark.parametrize("header", ["short", "long", "parameters"])
async def test_parts_of_a_long_text_find_each_other(far: Smsc, line: SmppLine, shelf: Shelf, header: str) -> None:
    """Out of order, cut anywhere: joined in their order they are the text."""
    octets = LONG_UCS2.encode("utf-16-be")
    pieces = [octets[start : start + 134] for start in range(0, len(octets), 134)]
    for number, piece in reversed(list(enumerate(pieces, start=1))):
        assert await _deliver_part(far, header, len(pieces), number, piece) == OK

    parts = sorted((text_of(arrival) for arrival in shelf.arrivals), key=lambda text: text.part)
    assert mended("".join(part.text for part in parts)) == LONG_UCS2
    assert {part.parts for part in parts} == {len(pieces)}
    assert {arrival.group for arrival in shelf.arrivals} == {f"sms:9:{len(pieces)}"}
    assert {arrival.wait for arrival in shelf.arrivals} == {timedelta(seconds=5)}
    assert len({arrival.external_id for arrival in shelf.arrivals}) == len(pieces)


async def _deliver_part(far: Smsc, header: str, total: int, number: int, piece: bytes) -> int:
    match header:
        case "short":
            return await far.told(bytes([5, 0, 3, 9, total, number]) + piece, data_coding=8, esm_class=0x40)
        case "long":
            return await far.told(bytes([6, 8, 4, 0, 9, total, number]) + piece, data_coding=8, esm_class=0x40)
    place = [
        smpp34.Tlv(smpp34.TLV_SAR_MSG_REF_NUM, b"\0\x09"),
        smpp34.Tlv(smpp34.TLV_SAR_TOTAL_SEGMENTS, bytes([total])),
        smpp34.Tlv(smpp34.TLV_SAR_SEGMENT_SEQNUM, bytes([number])),
    ]
    return await far.told(piece, data_coding=8, tlvs=place)


async def test_a_text_of_no_phone_is_acknowledged_and_left_out(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """A shop's name cannot be answered, a ring tone is no text."""
    assert await far.told(b"Sale!", source_addr="LAWNSHOP", source_addr_ton=5) == OK
    assert await far.told(b"\x06\x05\x04", data_coding=4) == OK
    assert shelf.arrivals == []


def delivered(octets: bytes = b"yes", *, sequence: int = 5, **more: Any) -> smpp34.DeliverSm:
    """A command as it came, to be read by itself."""
    return smpp34.DeliverSm("12025550143", "898211", octets, source_addr_ton=1, sequence_number=sequence, **more)


def id_of(pdu: smpp34.DeliverSm, at: datetime = NOW) -> str:
    body = read(pdu, at)
    assert isinstance(body, Text)
    return body.id


def test_the_same_command_again_is_the_same_text() -> None:
    """A far side that got no answer repeats it as it was."""
    assert id_of(delivered()) == id_of(delivered())


def test_other_words_numbers_or_hours_are_another_text() -> None:
    """Sequence numbers begin anew with every session: the same one an hour later is another answer."""
    others = [delivered(b"no"), delivered(sequence=6), delivered(esm_class=0x40), delivered(data_coding=3)]

    assert len({id_of(pdu) for pdu in (delivered(), *others)} | {id_of(delivered(), NOW + timedelta(hours=1))}) == 6


@pytest.mark.parametrize("tag", [smpp34.TLV_USER_MESSAGE_REFERENCE, smpp34.TLV_RECEIPTED_MESSAGE_ID, 0x1403])
def test_a_text_with_a_name_of_its_own_is_known_by_it(tag: int) -> None:
    """Under any sequence number, and at any hour."""
    first, again, other = (
        delivered(sequence=number, tlvs=[smpp34.Tlv(tag, name)]) for number, name in ((5, b"1"), (9, b"1"), (5, b"2"))
    )

    assert id_of(first) == id_of(again, NOW + timedelta(days=1)) != id_of(other)


@pytest.mark.parametrize(
    "octets",
    [
        b"\x05\x00\x03\x09\x02\x03late",  # the third of two
        b"\x05\x00\x03\x09\x01\x01only",
        b"\x05\x00\x03\x09\x00\x00none",
        b"\x04\x08\x04\x00\x09odd",
        b"\xff\x00",
        b"\x00whole",
    ],
)
def test_a_header_without_a_sensible_place_leaves_a_whole_text(octets: bytes) -> None:
    """Words are read, whatever was meant with them."""
    body = read(delivered(octets, esm_class=0x40), NOW)

    assert isinstance(body, Text)
    assert (body.part, body.parts, body.reference) == (1, 1, "")


def test_parameters_without_a_sensible_place_leave_a_whole_text() -> None:
    """No text has 256 parts."""
    tlvs = [smpp34.Tlv(smpp34.TLV_SAR_TOTAL_SEGMENTS, b"\1\0"), smpp34.Tlv(smpp34.TLV_SAR_SEGMENT_SEQNUM, b"\1")]
    body = read(delivered(tlvs=tlvs), NOW)

    assert isinstance(body, Text) and (body.part, body.parts) == (1, 1)


def test_a_text_in_the_long_parameter_is_read() -> None:
    """Longer than 254 octets it is not in the usual place."""
    body = read(delivered(b"", tlvs=[smpp34.Tlv(smpp34.TLV_MESSAGE_PAYLOAD, b"brown " * 100)]), NOW)

    assert isinstance(body, Text) and body.text == "brown " * 100


@given(
    st.binary(max_size=254),
    st.integers(0, 255),
    st.integers(0, 255),
    st.lists(st.tuples(st.sampled_from([0x1E, 0x20C, 0x20E, 0x20F, 0x424, 0x427]), st.binary(max_size=4)), max_size=6),
)
def test_whatever_is_delivered_can_be_read_and_stored(
    octets: bytes, esm_class: int, coding: int, parameters: list[tuple[int, bytes]]
) -> None:
    """As the wire brings it: a text, a receipt or nothing, and never an exception."""
    tlvs = [smpp34.Tlv(tag, value) for tag, value in parameters]
    pdu = smpp34.decode(delivered(octets, esm_class=esm_class, data_coding=coding, tlvs=tlvs).encode())
    assert isinstance(pdu, smpp34.DeliverSm)
    body = read(pdu, NOW)

    if body is not None:
        arrival = arrival_of(body, NOW)
        assert arrival is not None and load_body(arrival.body) == body
        assert arrival.external_id.isascii()


# --- receipts --------------------------------------------------------------------------------------------------------


async def test_a_receipt_names_the_text_we_sent(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """Its id is the one the submit gave back."""
    far_id = await line.submit(ANN, 7, "Mow at 3 in.")
    words = f"id:{far_id} sub:001 dlvrd:001 submit date:2701201700 done date:2701201701 stat:DELIVRD err:000 text:Mow"
    assert await far.told(words.encode(), esm_class=0x04) == OK

    [arrival] = shelf.arrivals
    assert json.loads(arrival.body) == {"kind": "receipt", "id": far_id, "status": "delivered"}
    assert arrival.address == ""


@pytest.mark.parametrize(
    ("name", "number", "status"),
    [
        ("ENROUTE", 1, "on the way"),
        ("DELIVRD", 2, "delivered"),
        ("EXPIRED", 3, "failed"),
        ("DELETED", 4, "failed"),
        ("UNDELIV", 5, "failed"),
        ("ACCEPTD", 6, "on the way"),
        ("UNKNOWN", 7, "unknown"),
        ("REJECTD", 8, "failed"),
    ],
)
async def test_receipts_in_both_forms_say_the_same(
    far: Smsc, line: SmppLine, shelf: Shelf, name: str, number: int, status: str
) -> None:
    """In words, or in optional parameters alone."""
    told = [
        smpp34.Tlv(smpp34.TLV_RECEIPTED_MESSAGE_ID, b"far-7\0"),
        smpp34.Tlv(smpp34.TLV_MESSAGE_STATE, bytes([number])),
    ]
    assert await far.told(f"ID: far-7 STAT: {name}".encode(), esm_class=0x04) == OK
    assert await far.told(b"", esm_class=0x04, tlvs=told) == OK

    first, second = shelf.arrivals
    assert first == second
    assert json.loads(first.body)["status"] == status


async def test_a_receipt_of_nothing_is_acknowledged_and_left_out(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """It would come again for ever."""
    assert await far.told(b"delivered, thanks", esm_class=0x04) == OK
    assert shelf.arrivals == []


# --- the line --------------------------------------------------------------------------------------------------------


async def test_a_far_side_that_says_goodbye_is_bound_again(far: Smsc, line: SmppLine, shelf: Shelf) -> None:
    """A restart over there costs nothing here."""
    await far.unbind()
    await far.bound(2)

    assert await _patiently(line, "Hello") == "far-1"
    assert await far.told(b"Hi") == OK


async def test_a_silent_line_is_given_up_and_made_anew(shelf: Shelf) -> None:
    """It was asked whether it is alive, and did not answer."""
    impatient = Patience(alive_seconds=0.02, answer_seconds=0.05, first_wait_seconds=0.001, longest_wait_seconds=0.01)
    async with smsc.scripted() as (port, heard), line_to(port, shelf, patience=impatient):
        commands = [int.from_bytes((await heard.get())[4:8]) for _ in range(3)]

    assert commands == [0x09, ENQUIRE, 0x09]


def command(number: int, body: bytes = b"", sequence: int = 77, length: int | None = None) -> bytes:
    """Any command, also a broken one."""
    return struct.pack(">IIII", 16 + len(body) if length is None else length, number, 0, sequence) + body


@pytest.mark.parametrize(
    ("sent", "answered", "status"),
    [
        (command(ENQUIRE), 0x80000015, OK),
        (command(0x0103, b"data"), 0x80000000, 0x03),  # data_sm, which nobody here asked for
        (command(DELIVER, b"\0"), 0x80000005, 0x02),  # cannot be read
        (command(UNBIND), 0x80000006, OK),
    ],
)
async def test_what_the_far_side_asks_is_answered(shelf: Shelf, sent: bytes, answered: int, status: int) -> None:
    """Under its own sequence number; what cannot be read is refused, so that it does not come again."""
    async with smsc.scripted(sent) as (port, heard), line_to(port, shelf):
        await heard.get()
        answer = await heard.get()

    assert struct.unpack(">III", answer[4:16]) == (answered, status, 77)
    assert shelf.arrivals == []


@pytest.mark.parametrize("length", [0, 15, 70_001, 0xFFFFFFFF])
async def test_a_length_that_cannot_be_ends_the_session(shelf: Shelf, length: int) -> None:
    """Nothing is read into the blue; the line is made anew."""
    async with smsc.scripted(command(ENQUIRE, length=length)) as (port, heard), line_to(port, shelf):
        first, second = await heard.get(), await heard.get()

    assert first[4:8] == second[4:8] == bytes([0, 0, 0, 9])


async def test_the_bind_says_who_we_are(shelf: Shelf) -> None:
    """As transceiver, in version 3.4, with name and password."""
    async with smsc.scripted() as (port, heard), line_to(port, shelf):
        bind = await heard.get()

    assert bind[4:8] == bytes([0, 0, 0, 9])
    assert bind[16:] == b"lawn\0secret\0\0" + bytes([0x34, 0, 0, 0])


async def test_the_end_says_goodbye_after_what_is_being_stored(far: Smsc, shelf: Shelf) -> None:
    """Stopping loses no acknowledgement."""
    async with line_to(far.port, shelf):
        await far.bound()
        shelf.may_end.clear()
        delivering = asyncio.ensure_future(far.deliver(b"Hi"))
        await shelf.begun.wait()
        asyncio.get_running_loop().call_later(0.05, shelf.may_end.set)

    assert (await delivering).command_status == OK
    assert len(shelf.arrivals) == 1
