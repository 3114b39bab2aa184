"""The way to an HTTP gateway and back, over real sockets: keys, signatures, errors, calls stored or refused."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.applications import Starlette
from starlette.routing import Route

from bot.arrivals import NewArrival
from bot.channels.sms.channel import SmsChannel
from bot.channels.sms.gateway import (
    MOST_CALLBACK_BYTES,
    Addresses,
    FormGateway,
    HttpGateway,
    JsonGateway,
    NotUnderstood,
    Strategy,
    TextMessage,
    callbacks,
    key_of,
)
from bot.channels.sms.signing import BadSignature, SharedHmac, StandardWebhooks
from bot.clock import SetClock
from bot.errors import ChannelClosed, Rejected, SettingsError, SlowDown, StoreError, TryAgain, Uncertain, Unreachable
from bot.talk.ports import Rendered
from tests.fakes import sms_gateway
from tests.fakes.sms_gateway import KEY, SECRET, SmsGateway
from tests.fakes.weather_services import unused_address

NOW = datetime(2027, 1, 20, 17, 0, tzinfo=UTC)
ANN = "+12025550143"
SENDER, CALLBACK = "+12025550100", "https://lawn.example/sms/calls"


def plain(key: str = KEY) -> JsonGateway:
    return JsonGateway(key=key, signing=StandardWebhooks((SECRET,)))


def forms() -> FormGateway:
    return FormGateway(key="other-key", signing=SharedHmac(key=b"shared", header="X-Signature"))


@asynccontextmanager
async def line(
    strategy: Strategy | None = None, *, answer_seconds: float = 5.0
) -> AsyncIterator[tuple[HttpGateway, SmsGateway]]:
    """Our side and the far side, connected."""
    async with sms_gateway.running(lambda: NOW) as far:
        async with line_to(f"{far.url}/send", strategy, answer_seconds=answer_seconds) as ours:
            yield ours, far


def line_to(url: str, strategy: Strategy | None = None, *, answer_seconds: float = 5.0) -> HttpGateway:
    addresses = Addresses(url=url, sender=SENDER, callback=CALLBACK)
    return HttpGateway(addresses, strategy or plain(), SetClock(NOW), answer_seconds=answer_seconds)


# --- out -------------------------------------------------------------------------------------------------------------


async def test_a_text_arrives_signed_and_its_id_comes_back() -> None:
    """The far side gets number, words and where to call, and its own id is what receipts will name."""
    async with line() as (ours, far):
        far_id = await ours.submit(ANN, 7, "Mow at 3 in.")

    [taken] = far.taken
    assert (taken.sender, taken.to, taken.text, taken.callback) == (SENDER, ANN, "Mow at 3 in.", CALLBACK)
    assert far_id == taken.far_id


async def test_a_text_sent_again_is_taken_once() -> None:
    """The key is the same at every try, so a repeat gets the first answer."""
    async with line() as (ours, far):
        ids = [await ours.submit(ANN, 7, "Mow at 3 in.") for _ in range(3)]

    assert len(set(ids)) == 1
    assert far.texts() == ["Mow at 3 in."]


async def test_another_page_of_the_same_message_is_no_repeat() -> None:
    """Page two has the row's number too, and other words."""
    async with line() as (ours, far):
        await ours.submit(ANN, 7, "page one")
        await ours.submit(ANN, 7, "page two")
        await ours.submit("+12025550144", 7, "page one")

    assert far.texts(ANN) == ["page one", "page two"]
    assert len(far.taken) == 3


async def test_the_pages_of_a_long_message_go_the_whole_way() -> None:
    """Channel and gateway together: each page is taken once, though all are one row."""
    rendered = Rendered(text=" ".join(f"Sentence {number} about your lawn." for number in range(40)))
    async with line() as (ours, far):
        channel = SmsChannel(ours, "Reply MORE for the rest.")
        for page in (0, 0, 1):
            await channel.send_page(ANN, 7, rendered, page)

    first, second = far.texts()
    assert first.endswith("Reply MORE for the rest.") and first != second


@pytest.mark.parametrize(
    ("fault", "error", "after_seconds"),
    [
        (sms_gateway.answers(429, retry_after="7"), SlowDown, 7.0),
        (sms_gateway.answers(429), SlowDown, 30.0),
        (sms_gateway.answers(429, retry_after="999999999999"), SlowDown, 3600.0),
        (sms_gateway.answers(429, retry_after="-5"), SlowDown, 30.0),
        (sms_gateway.answers(503, retry_after="120"), TryAgain, 120.0),
        (sms_gateway.answers(500), TryAgain, 30.0),
        (sms_gateway.answers(502), TryAgain, 30.0),
        (sms_gateway.answers(409), TryAgain, 30.0),
        (sms_gateway.answers(400, "invalid_number"), Unreachable, None),
        (sms_gateway.answers(422, "opted_out"), Unreachable, None),
        (sms_gateway.answers(400, "landline"), Unreachable, None),
        (sms_gateway.answers(400, "text_too_long"), Rejected, None),
        (sms_gateway.answers(400), Rejected, None),
        (sms_gateway.answers(404), Rejected, None),
        (sms_gateway.answers(401), ChannelClosed, None),
        (sms_gateway.answers(403, "invalid_number"), ChannelClosed, None),
        (sms_gateway.answers(402, "no_credit"), ChannelClosed, None),
        (sms_gateway.answers(302, location="http://127.0.0.1:1/"), ChannelClosed, None),
    ],
)
async def test_what_a_gateway_answers_says_what_to_do_next(
    fault: sms_gateway.Fault, error: type[Exception], after_seconds: float | None
) -> None:
    """A pause, another try, a number that is gone, a text of ours that is wrong, a key that is wrong."""
    async with line() as (ours, far):
        far.fail(fault)
        with pytest.raises(error) as caught:
            await ours.submit(ANN, 7, "Hello")

    assert getattr(caught.value, "after_seconds", None) == after_seconds
    assert len(far.tries) == 1 and far.taken == []


async def test_a_date_to_come_back_at_counts_from_the_answers_own() -> None:
    """Whose clock is wrong does not matter: both dates are the gateway's."""
    dates = {"date": "Wed, 20 Jan 2027 17:00:00 GMT", "retry_after": "Wed, 20 Jan 2027 17:01:30 GMT"}
    async with line() as (ours, far):
        far.fail(sms_gateway.answers(503, **dates))
        with pytest.raises(TryAgain) as caught:
            await ours.submit(ANN, 7, "Hello")

    assert caught.value.after_seconds == 90.0


async def test_errors_hold_nothing_of_the_text_or_the_number() -> None:
    """What ends in a log says what to do, not who was written to."""
    async with line() as (ours, far):
        far.fail(sms_gateway.answers(400, f"{ANN} is not on our list"))
        with pytest.raises(Rejected) as caught:
            await ours.submit(ANN, 7, "Hello")

    assert "555" not in str(caught.value) and "Hello" not in str(caught.value)


async def test_nobody_listening_is_tried_again() -> None:
    """What was never connected was never taken."""
    async with line_to(unused_address()) as ours:
        with pytest.raises(TryAgain):
            await ours.submit(ANN, 7, "Hello")


@pytest.mark.parametrize("after_taking", [True, False])
async def test_a_connection_that_breaks_leaves_it_open(after_taking: bool) -> None:
    """From here nobody can tell whether it was taken."""
    async with line() as (ours, far):
        far.fail(sms_gateway.hangs_up(after_taking=after_taking))
        with pytest.raises(Uncertain):
            await ours.submit(ANN, 7, "Hello")

    assert len(far.taken) == int(after_taking)


async def test_no_answer_in_time_leaves_it_open_and_a_later_try_is_no_second_text() -> None:
    """The gateway had it: the next try finds it under the same key."""
    let_go = asyncio.Event()
    async with line(answer_seconds=0.2) as (ours, far):
        far.fail(sms_gateway.hangs(let_go))
        with pytest.raises(Uncertain):
            await ours.submit(ANN, 7, "Hello")
        let_go.set()
        far_id = await ours.submit(ANN, 7, "Hello")

    assert [far_id] == [one.far_id for one in far.taken]


@pytest.mark.parametrize("answer", [b"", b"thanks", b"[]", b'{"id": 12}', b"[" * 100_000, b"\xff" * 200_000])
async def test_a_good_status_with_an_odd_answer_is_still_taken(answer: bytes) -> None:
    """It was taken; only its receipts will find nobody."""
    async with line() as (ours, far):
        far.fail(sms_gateway.speaks(answer))

        assert await ours.submit(ANN, 7, "Hello") is None


async def test_a_wrong_key_closes_the_channel() -> None:
    """Nothing goes out until somebody has seen to it."""
    async with line(plain("wrong")) as (ours, far):
        with pytest.raises(ChannelClosed):
            await ours.submit(ANN, 7, "Hello")

    assert far.taken == []


@pytest.mark.parametrize("url", ["http://gateway.example/send", "gateway.example", "", "https://", "http://[::1"])
def test_a_key_never_travels_in_the_open(url: str) -> None:
    """An address without https is refused at the start, by a word about settings."""
    with pytest.raises(SettingsError):
        line_to(url)


# --- in --------------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Shelf:
    """An intake in memory, which can be full."""

    arrivals: list[NewArrival] = field(default_factory=list)
    is_broken: bool = False

    async def store(self, channel: str, arrivals: Sequence[NewArrival], cursor: int | None = None) -> None:
        if self.is_broken:
            raise StoreError("the disk is full")
        known = {one.external_id for one in self.arrivals}
        self.arrivals += [one for one in arrivals if one.external_id not in known]

    async def cursor(self, channel: str) -> int | None:
        return None


@dataclass(frozen=True, slots=True)
class Desk:
    """Where the far side calls, and what it has to call about."""

    far: SmsGateway
    shelf: Shelf
    client: httpx.AsyncClient
    url: str

    async def call(self, event: object, **changes: str) -> int:
        return await self.far.call(self.client, self.url, event, **changes)


@pytest.fixture
async def desk() -> AsyncIterator[Desk]:
    shelf = Shelf()
    handler = callbacks(plain(), shelf, SetClock(NOW))
    app = Starlette(routes=[Route("/calls", handler, methods=["POST"])])
    async with sms_gateway.serving(app) as url, httpx.AsyncClient() as client:
        yield Desk(SmsGateway(now=lambda: NOW), shelf, client, f"{url}/calls")


async def test_a_text_is_on_disk_before_the_gateway_hears_that_it_is(desk: Desk) -> None:
    """It is stored under the gateway's id and the sender's number, at our own time."""
    event = desk.far.text_in("My lawn froze")

    assert await desk.call(event) == 200
    [arrival] = desk.shelf.arrivals
    assert (arrival.address, arrival.at, arrival.group) == (ANN, NOW, None)
    assert event["id"] in arrival.external_id
    assert "My lawn froze" in arrival.body


async def test_a_call_repeated_has_one_effect(desk: Desk) -> None:
    """Gateways call until they are answered, and sometimes once more."""
    event = desk.far.text_in("My lawn froze")

    assert [await desk.call(event) for _ in range(3)] == [200, 200, 200]
    assert len(desk.shelf.arrivals) == 1


async def test_while_nothing_can_be_stored_the_gateway_keeps_it(desk: Desk) -> None:
    """503 now, and the same call later is stored."""
    event = desk.far.text_in("My lawn froze")
    desk.shelf.is_broken = True
    assert await desk.call(event) == 503

    desk.shelf.is_broken = False
    assert await desk.call(event) == 200
    assert len(desk.shelf.arrivals) == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"webhook_signature": "v1,AAAA"},
        {"webhook_signature": ""},
        {"webhook_id": "another"},
        {"webhook_timestamp": str(int((NOW - timedelta(minutes=6)).timestamp()))},
        {"webhook_timestamp": "soon"},
        {"webhook_timestamp": str(int((NOW + timedelta(minutes=6)).timestamp()))},
    ],
)
async def test_a_call_without_a_valid_signature_is_refused(desk: Desk, changes: dict[str, str]) -> None:
    """Nothing of it is stored."""
    assert await desk.call(desk.far.text_in("STOP"), **changes) == 401
    assert desk.shelf.arrivals == []


async def test_an_old_call_is_refused_though_its_signature_is_right(desk: Desk) -> None:
    """Somebody may have kept it."""
    desk.far.now = lambda: NOW - timedelta(minutes=6)

    assert await desk.call(desk.far.text_in("STOP")) == 401


@pytest.mark.parametrize("event", [{}, [], "text", {"kind": "text"}, {"kind": "?", "id": "1"}, 7, None, [[]]])
async def test_a_call_that_makes_no_sense_is_refused_or_empty(desk: Desk, event: object) -> None:
    """An empty list is an empty call; anything else that is no event is said to be none."""
    assert await desk.call(event) == (200 if event == [] else 400)
    assert desk.shelf.arrivals == []


async def test_a_body_that_never_ends_is_refused(desk: Desk) -> None:
    """A megabyte is more than any text with its pictures' addresses."""
    assert await desk.call(desk.far.text_in("x" * MOST_CALLBACK_BYTES)) == 413


async def test_several_events_of_one_call_are_stored_together(desk: Desk) -> None:
    """In the order they stand in."""
    events = [desk.far.text_in("one"), desk.far.text_in("two"), desk.far.receipt("far-1", "DELIVRD")]

    assert await desk.call(events) == 200
    assert [arrival.address for arrival in desk.shelf.arrivals] == [ANN, ANN, ""]


async def test_an_event_that_makes_no_sense_does_not_hold_up_the_others(desk: Desk) -> None:
    """Gateways add kinds of events; a text beside one still comes in."""
    assert await desk.call([{"kind": "news"}, desk.far.text_in("one")]) == 200
    assert len(desk.shelf.arrivals) == 1


async def test_the_pieces_of_a_long_text_wait_for_each_other(desk: Desk) -> None:
    """They share a group, and other texts of the number don't."""
    pieces = [desk.far.text_in(words, part=part, parts=2, reference="9") for part, words in ((2, "b"), (1, "a"))]
    for event in (*pieces, desk.far.text_in("alone")):
        await desk.call(event)

    first, second, other = desk.shelf.arrivals
    assert first.group == second.group is not None
    assert first.wait > timedelta(0)
    assert other.group is None


async def test_receipts_of_one_text_are_stored_each_by_its_state(desk: Desk) -> None:
    """Late, twice and out of order: each state once."""
    for status in ("DELIVRD", "ENROUTE", "DELIVRD"):
        assert await desk.call(desk.far.receipt("far-1", status)) == 200

    assert len(desk.shelf.arrivals) == 2


async def test_a_sender_that_is_no_number_is_left_out(desk: Desk) -> None:
    """A name cannot be answered."""
    assert await desk.call(desk.far.text_in("Sale!", from_="LAWNSHOP")) == 200
    assert desk.shelf.arrivals == []


# --- the other dialect -----------------------------------------------------------------------------------------------

MESSAGE = TextMessage(key="k-1", sender=SENDER, to=ANN, text="Mow & feed = later", callback=CALLBACK)


def test_a_gateway_that_wants_forms_gets_forms() -> None:
    """Same text, other dress: what is sent can be read back, and is signed over its bytes."""
    headers, body = forms().build_request(MESSAGE, NOW)

    fields = dict(httpx.QueryParams(body.decode()).items())
    assert fields["message"] == MESSAGE.text and fields["recipient"] == ANN and fields["reference"] == "k-1"
    forms().verify({name.lower(): value for name, value in headers.items()}, body, NOW)


def test_a_changed_form_is_not_believed() -> None:
    """One byte more, and the signature is another's."""
    headers, body = forms().build_request(MESSAGE, NOW)

    with pytest.raises(BadSignature):
        forms().verify({name.lower(): value for name, value in headers.items()}, body + b"&x=1", NOW)


def test_both_dialects_say_the_same() -> None:
    """A text with pictures and a receipt come out alike."""
    told = {
        "kind": "text",
        "id": "m-1",
        "from": ANN,
        "to": SENDER,
        "text": "Hi & bye",
        "pictures": ["https://media.example/1", "https://media.example/2"],
    }
    form = {"message_id": "m-1", "sender": ANN, "recipient": SENDER, "message": "Hi & bye"}
    media = [("media", url) for url in told["pictures"]]
    encoded = str(httpx.QueryParams([*form.items(), *media])).encode()

    assert forms().read_callback(encoded) == plain().read_callback(json.dumps(told).encode())
    assert forms().read_callback(b"message_id=m-1&state=DELIVRD") == plain().read_callback(
        b'{"kind": "receipt", "id": "m-1", "status": "DELIVRD"}'
    )


def test_the_other_dialect_answers_in_forms() -> None:
    """Its id, or its reason."""
    assert forms().read_answer(200, {}, b"message_id=m-9") == "m-9"
    with pytest.raises(Unreachable):
        forms().read_answer(400, {}, b"error=landline")


@given(st.binary(max_size=200))
def test_any_bytes_are_a_call_or_are_not_understood(body: bytes) -> None:
    """Nothing but `NotUnderstood` comes out of a strategy."""
    for strategy in (plain(), forms()):
        try:
            assert isinstance(strategy.read_callback(body), list)
        except NotUnderstood as error:
            assert error.__cause__ is not None


@given(st.text(max_size=20), st.integers(1, 10**9), st.text(max_size=500))
def test_a_key_is_plain_and_short(address: str, outbox_id: int, words: str) -> None:
    """It goes into a header, whatever the words are."""
    key = key_of(address, outbox_id, words)

    assert key.isascii() and key.isprintable() and len(key) <= 64
    assert key == key_of(address, outbox_id, words)
