"""The channel over a transport: what is sent, page by page, and what it costs."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.channels.channel import Channel, DataChannel, MeteredChannel, PagedChannel
from bot.channels.sms.channel import SmsChannel
from bot.channels.sms.segments import is_gsm
from bot.errors import Rejected, Unreachable
from bot.talk.ports import Rendered

HINT = "Reply MORE for the rest."
ANN = "+12025550143"
LONG = " ".join(f"Sentence number {number} is about your lawn." for number in range(1, 60))


@dataclass(slots=True)
class Wire:
    """A transport that keeps what it was given."""

    sent: list[tuple[str, int, str]] = field(default_factory=list)
    error: Exception | None = None

    async def submit(self, address: str, outbox_id: int, text: str) -> str | None:
        if self.error is not None:
            raise self.error
        self.sent.append((address, outbox_id, text))
        return f"far-{len(self.sent)}"


def test_it_is_metered_and_paged_and_carries_no_documents() -> None:
    """What the courier may ask of it."""
    channel: Channel = SmsChannel(Wire(), HINT)

    assert isinstance(channel, MeteredChannel) and isinstance(channel, PagedChannel)
    assert not isinstance(channel, DataChannel)
    assert channel.name == "sms"


async def test_a_short_text_goes_out_as_it_is() -> None:
    """Number, row and words reach the transport; its id comes back."""
    wire = Wire()

    assert await SmsChannel(wire, HINT).send(ANN, 7, Rendered(text="Mow at 3 in.")) == "far-1"
    assert wire.sent == [(ANN, 7, "Mow at 3 in.")]


async def test_what_the_network_lacks_is_written_in_what_it_has() -> None:
    """One typographic sign would halve the room of the whole text."""
    wire = Wire()
    await SmsChannel(wire, HINT).send(ANN, 7, Rendered(text="It’s 28 °F — take care…"))

    [(_, _, text)] = wire.sent
    assert is_gsm(text) and "28 F" in text


async def test_a_long_text_goes_page_by_page() -> None:
    """Only the first page goes out by itself, with the hint; together the pages say all of it."""
    wire = Wire()
    channel = SmsChannel(wire, HINT)
    rendered = Rendered(text=LONG)
    for page in range(channel.page_count(rendered)):
        await channel.send_page(ANN, 7, rendered, page)

    texts = [text for _, _, text in wire.sent]
    assert len(texts) > 1
    assert all(HINT in text for text in texts[:-1]) and HINT not in texts[-1]
    assert " ".join(" ".join(text.replace(HINT, "") for text in texts).split()) == LONG


async def test_send_is_the_first_page() -> None:
    """The courier knows nothing of pages when a message first goes out."""
    wire = Wire()
    channel = SmsChannel(wire, HINT)
    await channel.send(ANN, 7, Rendered(text=LONG))
    await channel.send_page(ANN, 7, Rendered(text=LONG), 0)

    assert wire.sent[0] == wire.sent[1]


@pytest.mark.parametrize("page", [-1, 1, 99])
async def test_a_page_that_is_not_there_is_never_sent(page: int) -> None:
    """Nothing reaches the transport."""
    wire = Wire()
    with pytest.raises(Rejected):
        await SmsChannel(wire, HINT).send_page(ANN, 7, Rendered(text="Short."), page)

    assert wire.sent == []


async def test_who_asks_for_more_than_there_is_hears_so() -> None:
    """However often."""
    wire = Wire()
    for page in (1, 2):
        await SmsChannel(wire, HINT, "There is nothing more.").send_page(ANN, 7, Rendered(text="Short."), page)

    assert [text for _, _, text in wire.sent] == ["There is nothing more."] * 2


async def test_what_the_transport_says_reaches_the_courier() -> None:
    """Errors pass as they are."""
    with pytest.raises(Unreachable):
        await SmsChannel(Wire(error=Unreachable("landline")), HINT).send(ANN, 7, Rendered(text="Hi"))


@given(st.text(min_size=1, max_size=1200).filter(lambda text: bool(text.strip())))
def test_the_cost_is_that_of_what_goes_out(text: str) -> None:
    """Whatever the words, a first page is not empty and costs one to three segments."""
    channel = SmsChannel(Wire(), HINT)

    assert 1 <= channel.cost(Rendered(text=text)) <= 3


@pytest.mark.parametrize(("length", "segments"), [(1, 1), (160, 1), (161, 2), (306, 2), (307, 3), (459, 3), (460, 3)])
def test_the_cost_follows_the_published_lengths(length: int, segments: int) -> None:
    """160 alone, 153 in each part; beyond three a page ends and its hint goes along."""
    assert SmsChannel(Wire(), HINT).cost(Rendered(text="x" * length)) == segments


async def test_an_emoji_alone_is_not_folded_away() -> None:
    """An empty text would say less."""
    wire = Wire()
    await SmsChannel(wire, HINT).send(ANN, 7, Rendered(text="🌱"))

    assert wire.sent == [(ANN, 7, "🌱")]
